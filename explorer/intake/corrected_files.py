"""Files that came before under the same name: what a corrected one changes, and what it leaves as it is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.intake.hand_decisions import differ, hand_decisions
from explorer.records.past import files_of
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["DIFFERENCES", "Comparison", "compare_with_before", "current_files", "versions_of"]

DIFFERENCES: Mapping[str, str] = {
    "reading_id": "int64",  # the one that stands now; 0 for an added one
    "file_name": "str",
    "row": "int64",
    "station_code": "str",
    "taken_on": "datetime64[ms]",
    "quantity": "str",
    "before": "str",
    "after": "str",
    "change": "str",  # changed, added, gone
}

_KEY = ["station_code", "quantity", "taken_on", "depth_m", "stratum", "sample_type", "sample_code", "number"]
_PLACE = ["sheet", "row", "column", "quantity"]
_OUTCOME = ("station_code", "taken_on", "depth_m", "stratum", "value", "sign")

_BEFORE = """
SELECT r.reading_id, s.code, q.code, r.taken_on, r.depth_m, r.stratum, r.sample_type, r.sample_code, r.value,
       r.sign, r.status, r.as_written, r.sheet, r."row", r."column"
FROM readings r
JOIN files f ON f.file_id = r.file_id
LEFT JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
WHERE r.left_in IS NULL AND f.sha256 IN ({marks})
"""
_BEFORE_COLUMNS = {
    "reading_id": "int64", "station_code": "str", "quantity": "str", "taken_on": "datetime64[ms]",
    "depth_m": "float64", "stratum": "str", "sample_type": "str", "sample_code": "str", "value": "float64",
    "sign": "str", "status": "str", "as_written": "str", "sheet": "str", "row": "int64", "column": "str",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Comparison:
    """A corrected file against the one that came before.

    Attributes
    ----------
    is_correction : bool
        Whether anything of the earlier file comes again; else it is another file with the same name.
    differences : DataFrame
        Columns of `DIFFERENCES`.
    unchanged : ndarray of int
        Index of the entries that stand in the record as they are, and stay there.
    replaces : Series of int
        By the index of an entry: the reading in whose place it stands.
    gone : tuple of int
        Readings that the corrected file no longer holds.
    """

    is_correction: bool
    differences: pd.DataFrame
    unchanged: np.ndarray[tuple[int], np.dtype[np.int64]]
    replaces: pd.Series
    gone: tuple[int, ...]


def current_files(record: Record) -> pd.DataFrame:
    """Return the files that stand in a record: name, sha256 and the change that brought each.

    Parameters
    ----------
    record : Record
        An open record.
    """
    files = files_of(record)
    return files.loc[files["left_in"] == 0, ["name", "sha256", "entered_in"]]


def versions_of(record: Record, sha256: str) -> tuple[str, ...]:
    """Return the checksums of a file and of those in whose place it came, the latest first.

    A reading that no version changed still stands as the one that brought it.

    Parameters
    ----------
    record : Record
        An open record.
    sha256 : str
        Checksum of a file that stands.
    """
    files = files_of(record)
    versions: list[str] = []
    found = files[files["sha256"] == sha256]
    while len(found):
        latest = found.iloc[-1]
        versions.append(str(latest["sha256"]))
        found = files[(files["name"] == latest["name"]) & (files["left_in"] == latest["entered_in"])]
    return tuple(versions)


def compare_with_before(record: Record, versions: Sequence[str], entries: pd.DataFrame) -> Comparison:
    """Return what a file changes of the readings that earlier files of its name brought.

    A reading that stands where it stood with the same text stays, with whatever was decided on it since; so
    does one that was decided on by hand and comes to the same with another text.

    Parameters
    ----------
    record : Record
        An open record.
    versions : sequence of str
        Checksums of the earlier files, see `versions_of`.
    entries : DataFrame
        Columns of `DELIVERED`: what the file brings now.
    """
    before, after = _numbered(_readings_of(record, versions)), _numbered(entries)
    pairs = _paired(before, after)
    matched = before.loc[pairs.to_numpy(dtype=np.int64)].set_axis(pairs.index)
    now = after.loc[pairs.index]
    same = (matched["as_written"] == now["as_written"]) & _same_place(matched, now)
    decided = matched["reading_id"].isin(hand_decisions(record, matched["reading_id"].tolist()).index)
    settled = (matched["status"] == "held") & (now["status"] != "held")
    agrees = decided & ~differ(now, matched, _OUTCOME)
    unchanged = pairs.index[(same & ~(settled & ~decided)) | agrees]
    replaced = pairs.index.difference(unchanged)
    gone = before.index.difference(pd.Index(pairs.to_numpy(dtype=np.int64)))
    added = after.index.difference(pairs.index)
    name = str(entries["file_name"].iloc[0]) if len(entries) else ""
    differences = pd.concat(
        [
            _differences("changed", now.loc[replaced], matched.loc[replaced], name),
            _differences("gone", before.loc[gone], before.loc[gone], name),
            _differences("added", after.loc[added], None, name),
        ],
        ignore_index=True,
    )
    ids = matched.loc[replaced, "reading_id"].astype("int64")
    return Comparison(
        len(pairs) > 0,
        differences.astype(dict(DIFFERENCES)),
        unchanged.to_numpy(dtype=np.int64),
        ids,
        tuple(before.loc[gone, "reading_id"].tolist()),
    )


def _readings_of(record: Record, versions: Sequence[str]) -> pd.DataFrame:
    query = _BEFORE.format(marks=", ".join("?" for _ in versions))
    return frame_of_rows(record.fetch_rows(query, tuple(versions)), _BEFORE_COLUMNS)


def _numbered(readings: pd.DataFrame) -> pd.DataFrame:
    """Return the readings with a number among those of the same station, day, quantity and sample."""
    key = [name for name in _KEY if name != "number"]
    return readings.assign(number=readings.groupby(key, dropna=False, sort=False).cumcount())


def _paired(before: pd.DataFrame, after: pd.DataFrame) -> pd.Series:
    """Return the earlier reading of each entry: the same station, day and quantity, else the same cell."""
    found = _looked_up(before, after, _KEY)
    left = before.index.difference(pd.Index(found.to_numpy(dtype=np.int64)))
    rest = after.index.difference(found.index)
    if not len(found):  # nothing came again: the same cells of another season are no pairs
        waiting = before["station_code"].eq("") | before["taken_on"].isna()
        left = left.intersection(before.index[waiting])
    paired: pd.Series = pd.concat([found, _looked_up(before.loc[left], after.loc[rest], _PLACE)])
    return paired


def _looked_up(before: pd.DataFrame, after: pd.DataFrame, key: list[str]) -> pd.Series:
    known = before.drop_duplicates(key)
    places = known[key].assign(place=known.index)
    wanted = after.drop_duplicates(key)
    found = wanted[key].merge(places, how="left", on=key)["place"].set_axis(wanted.index)
    places_found: pd.Series = found.dropna().astype("int64")
    return places_found


def _same_place(before: pd.DataFrame, after: pd.DataFrame) -> pd.Series:
    same = before["station_code"] == after["station_code"]
    day = (before["taken_on"] == after["taken_on"]) | (before["taken_on"].isna() & after["taken_on"].isna())
    result: pd.Series = same & day
    return result


def _differences(change: str, rows: pd.DataFrame, before: pd.DataFrame | None, name: str) -> pd.DataFrame:
    was = before["as_written"] if before is not None else pd.Series("", index=rows.index, dtype="str")
    return pd.DataFrame(
        {
            "reading_id": before["reading_id"] if before is not None else 0,
            "file_name": name,
            "row": rows["row"],
            "station_code": rows["station_code"],
            "taken_on": rows["taken_on"],
            "quantity": rows["quantity"],
            "before": was,
            "after": "" if change == "gone" else rows["as_written"],
            "change": change,
        },
        index=rows.index,
    )
