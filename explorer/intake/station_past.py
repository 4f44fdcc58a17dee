"""What a record knows of a delivery's stations: their usual values, who read there, what stands already."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
import shapely

from explorer.analysis.season_table import FORMULAS
from explorer.model.readings import empty_frame
from explorer.records.change_entry import in_portions
from explorer.records.place_rows import fetch_outlines
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["NO_PAST", "STANDING", "StationPast", "station_past"]

DRAWN_WRONGLY_DEG = 0.002  # about 200 m: outlines are coarse, and water levels change (common practice)

STANDING = {
    "reading_id": "int64", "station_code": "str", "quantity": "str", "taken_on": "datetime64[ms]",
    "depth_m": "float64", "stratum": "str", "value": "float64", "sign": "str", "sample_type": "str",
    "sample_code": "str", "observer": "str", "sha256": "str", "as_written": "str",
}  # fmt: skip

USUAL = {
    "station_code": "str", "quantity": "str", "seasons": "float64", "low": "float64", "high": "float64",
    "lowest": "float64", "highest": "float64",
}  # fmt: skip

_STATION_IDS = "SELECT code, station_id FROM stations WHERE left_in IS NULL"
_QUANTITY_IDS = "SELECT code, quantity_id FROM quantities"
_USUAL = """
SELECT s.code, q.code, count(DISTINCT t.year), min(t.median), max(t.median), min(t.minimum), max(t.maximum)
FROM season_summary t
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = t.quantity_id
WHERE t.window = 'year' AND t.settings_hash = ? AND t.formulas = ?
GROUP BY t.station_id, t.quantity_id
"""
_STANDING = """
SELECT r.reading_id, s.code, q.code, r.taken_on, r.depth_m, r.stratum, r.value, r.sign, r.sample_type,
       r.sample_code, v.observer, f.sha256, r.as_written
FROM readings r
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = r.quantity_id
LEFT JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
JOIN files f ON f.file_id = r.file_id
WHERE r.left_in IS NULL AND r.station_id IN ({marks}) AND r.quantity_id IN ({quantities})
AND r.taken_on BETWEEN ? AND ?
"""
_OBSERVERS = """
SELECT DISTINCT s.code, v.observer FROM visits v JOIN stations s ON s.station_id = v.station_id
WHERE v.left_in IS NULL AND s.left_in IS NULL AND v.observer <> '' AND v.station_id IN ({marks})
"""


@dataclass(frozen=True, slots=True)
class StationPast:
    """What stands in the record of the stations of a delivery.

    Attributes
    ----------
    usual : DataFrame
        By (station_code, quantity): seasons, low and high of the yearly medians, lowest and highest value
        of all years; NaN where nothing is known. [record unit]
    observers : frozenset of (str, str)
        Station and observer of every pair that has read there before.
    standing : DataFrame
        Columns of `STANDING`: readings of the delivery's days.
    outside : mapping of str to str
        Stations of the delivery that do not lie in their water's outline, with the name of the water.
    """

    usual: pd.DataFrame
    observers: frozenset[tuple[str, str]]
    standing: pd.DataFrame
    outside: Mapping[str, str]


NO_PAST = StationPast(
    pd.DataFrame(columns=["seasons", "low", "high", "lowest", "highest"], dtype="float64"),
    frozenset(),
    empty_frame(STANDING),
    {},
)


def station_past(record: Record, entries: pd.DataFrame) -> StationPast:
    """Return what a record knows of the stations and days of some entries.

    Parameters
    ----------
    record : Record
        An open record.
    entries : DataFrame
        Columns of `ENTRIES`, with stations and dates where they are known.
    """
    placed = entries[(entries["station_code"] != "") & entries["taken_on"].notna()]
    codes = sorted(set(placed["station_code"]))
    return StationPast(
        _usual(record, codes),
        _observers(record, codes),
        _standing(record, placed, codes),
        _outside(record, codes),
    )


def _outside(record: Record, codes: Sequence[str]) -> dict[str, str]:
    """Return the stations that lie farther from their water's outline than any outline is drawn wrongly."""
    outlines, lakes = fetch_outlines(record.fetch_rows), record.lakes()
    stations = [record.station(code) for code in codes]
    known = [each for each in stations if each.lake_code in outlines and not np.isnan(each.longitude_deg)]
    points = shapely.points([each.longitude_deg for each in known], [each.latitude_deg for each in known])
    away = shapely.distance(points, [outlines[each.lake_code] for each in known]) if known else []
    return {
        each.code: lakes[each.lake_code].name
        for each, distance in zip(known, away, strict=True)
        if distance > DRAWN_WRONGLY_DEG
    }


def _usual(record: Record, codes: Sequence[str]) -> pd.DataFrame:
    """Return the usual values from the stored season table; a station whose table is stale has none."""
    rows = record.fetch_rows(_USUAL, (record.settings_hash, FORMULAS))
    frame = frame_of_rows(rows, USUAL)
    frame = frame[frame["station_code"].isin(codes)]
    return frame.set_index(["station_code", "quantity"])


def _ids(record: Record, query: str, codes: Sequence[str]) -> list[int]:
    """Return the ids of codes, by a query for all pairs of code and id."""
    ids = dict(record.fetch_rows(query))
    return [ids[code] for code in codes if code in ids]


def _observers(record: Record, codes: Sequence[str]) -> frozenset[tuple[str, str]]:
    found: set[tuple[str, str]] = set()
    for some in in_portions(_ids(record, _STATION_IDS, codes)):
        found.update(record.fetch_rows(_OBSERVERS.format(marks=", ".join("?" for _ in some)), tuple(some)))
    return frozenset(found)


def _standing(record: Record, placed: pd.DataFrame, codes: Sequence[str]) -> pd.DataFrame:
    quantities = _ids(record, _QUANTITY_IDS, sorted(set(placed["quantity"]) - {""}))
    rows: list[tuple[object, ...]] = []
    for some in in_portions(_ids(record, _STATION_IDS, codes) if quantities else ()):
        query = _STANDING.format(
            marks=", ".join("?" for _ in some), quantities=", ".join("?" for _ in quantities)
        )
        days = [placed["taken_on"].min().date().isoformat(), placed["taken_on"].max().date().isoformat()]
        rows.extend(record.fetch_rows(query, (*some, *quantities, *days)))
    return frame_of_rows(rows, STANDING)
