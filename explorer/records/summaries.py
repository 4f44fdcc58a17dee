"""Stored season tables: kept beside the readings they came from, with the version they belong to."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from explorer.model.readings import SEASONS
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.connections import transaction
from explorer.records.ids import id_of, ids_by_code, ids_of, insert_frame
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["stale_seasons", "store_seasons", "stored_seasons"]

_IDS = {"station_code": "station_id", "quantity": "quantity_id", "method": "method_id"}
_COLUMNS = {_IDS.get(name, name): "int64" if name in _IDS else kind for name, kind in SEASONS.items()}
_CODES = {
    "station_code": "SELECT station_id, code FROM stations",
    "quantity": "SELECT quantity_id, code FROM quantities",
    "method": "SELECT method_id, code FROM methods",
}
_SEASONS = f"""
SELECT {", ".join(f't."{name}"' for name in _COLUMNS)} FROM season_summary t
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
WHERE t.settings_hash = ? AND t.formulas = ?{{of_stations}}
ORDER BY t.station_id
"""
_FRESH = """
SELECT s.code FROM station_summary t JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
WHERE t.settings_hash = ? AND t.formulas = ?{of_stations}
"""


def stored_seasons(
    record: Record, formulas: int, codes: Sequence[str] | None = None
) -> tuple[pd.DataFrame, list[str]]:
    """Return the stored season table and the stations for which none is stored or it is stale.

    Parameters
    ----------
    record : Record
        An open record.
    formulas : int
        Version of the formulas that the reader would compute with.
    codes : sequence of str, optional
        Only these stations; all when left out.

    Returns
    -------
    seasons : DataFrame
        Columns of `SEASONS`.
    stale : list of str
        Station codes to compute afresh.
    """
    frame = frame_of_rows(_fetch(record, _SEASONS, formulas, codes), _COLUMNS)
    texts = {name: _codes_of(frame[_IDS[name]], record.fetch_rows(query)) for name, query in _CODES.items()}
    seasons = pd.DataFrame({name: texts[name] if name in texts else frame[name] for name in SEASONS})
    return seasons, stale_seasons(record, formulas, codes)


def stale_seasons(record: Record, formulas: int, codes: Sequence[str] | None = None) -> list[str]:
    """Return the stations for which no season table is stored or it is stale.

    Parameters
    ----------
    record, formulas, codes : as for `stored_seasons`
        Of which record, by which formulas, and which stations.
    """
    fresh = {code for (code,) in _fetch(record, _FRESH, formulas, codes)}
    wanted = [station.code for station in record.station_list()] if codes is None else codes
    return [code for code in wanted if code not in fresh]


def _fetch(record: Record, query: str, formulas: int, codes: Sequence[str] | None) -> list[tuple[Any, ...]]:
    some = () if codes is None else tuple(codes)
    of_stations = "" if codes is None else f" AND s.code IN ({', '.join('?' for _ in some)})"
    return record.fetch_rows(query.format(of_stations=of_stations), (record.settings_hash, formulas, *some))


def _codes_of(ids: pd.Series, known: Sequence[tuple[int, str]]) -> pd.Series:
    codes = np.full(max((number for number, _ in known), default=0) + 1, "", dtype=object)
    for number, code in known:
        codes[number] = code
    return pd.Series(codes[ids.to_numpy()], dtype="str")


def store_seasons(
    path: Path, seasons: pd.DataFrame, codes: Sequence[str], *, version: int, formulas: int
) -> None:
    """Store the season table of the given stations, if the record has not moved on meanwhile.

    Parameters
    ----------
    path : Path
        The record's file.
    seasons : DataFrame
        Columns of `SEASONS`, of these stations only.
    codes : sequence of str
        All stations that were computed, also those without a season.
    version : int
        Version of the record that was read.
    formulas : int
        Version of the formulas.
    """
    with transaction(path) as connection:
        info = connection.execute(schema.record_info.select()).one()
        if info.version != version:
            return
        ids = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
        quantities = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
        methods = ids_by_code(connection, schema.methods.c.code, schema.methods.c.method_id)
        stamp = {"record_version": version, "settings_hash": info.settings_hash, "formulas": formulas}
        touched = [id_of(ids, code, "station") for code in codes]
        for table in (schema.season_summary, schema.station_summary):
            for some in in_portions(touched):
                connection.execute(table.delete().where(table.c.station_id.in_(some)))
        rows = seasons.assign(
            station_id=ids_of(seasons["station_code"], ids, "station"),
            quantity_id=ids_of(seasons["quantity"], quantities, "quantity"),
            method_id=ids_of(seasons["method"], methods, "method"),
            **stamp,
        )
        insert_frame(
            connection, schema.season_summary, rows.drop(columns=["station_code", "quantity", "method"])
        )
        stamps = pd.DataFrame({"station_id": pd.Series(touched, dtype="int64")}).assign(**stamp)
        insert_frame(connection, schema.station_summary, stamps)
