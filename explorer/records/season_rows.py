"""A season's readings with all that a report on their quality asks, the changes behind them, codes in use."""

from collections.abc import Iterator, Mapping

import numpy as np
import pandas as pd

from explorer.model.readings import READINGS
from explorer.records.record import Record
from explorer.records.record_info import sound
from explorer.records.row_frames import frame_of_rows

__all__ = ["CHANGES", "CORRECTIONS", "SEASON_ROWS", "season_changes", "season_corrections", "season_rows",
           "used_sample_codes", "waiting_without_season"]  # fmt: skip

# A reading with what only its report needs.
SEASON_ROWS: Mapping[str, str] = {
    **READINGS,
    "analysed_on": "datetime64[ms]",
    "reason": "str",  # words code of the problem that holds it, or the remark
    "sha256": "str",  # of its file
}
CHANGES: Mapping[str, str] = {
    "change_id": "int64",
    "kind": "str",
    "who": "str",  # as typed
    "made_at": "str",
    "why": "str",
    "software": "str",
    "readings": "int64",  # of the season that came with it
}
CORRECTIONS: Mapping[str, str] = {
    "made_at": "str",
    "who": "str",
    "why": "str",
    "station_code": "str",
    "quantity": "str",
    "taken_on": "str",
    "old_value": "float64",
    "old_sign": "str",
    "old_status": "str",
    "new_value": "float64",
    "new_sign": "str",
    "new_status": "str",
}

_COLUMNS = {
    "reading_id": "r.reading_id", "station_code": "s.code", "lake_code": "l.code", "quantity": "q.code",
    "method": "m.code", "batch": "COALESCE(b.code, '')", "observer": "COALESCE(v.observer, '')",
    "file_name": "f.name", "sha256": "f.sha256",
}  # fmt: skip
_ROWS = f"""
SELECT {", ".join(_COLUMNS.get(name, f'r."{name}"') for name in SEASON_ROWS)}
FROM readings r
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
JOIN lakes l ON l.lake_id = s.lake_id AND l.left_in IS NULL
JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN methods m ON m.method_id = r.method_id
LEFT JOIN batches b ON b.batch_id = r.batch_id
LEFT JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
JOIN files f ON f.file_id = r.file_id
WHERE r.left_in IS NULL AND r.taken_on >= ? AND r.taken_on < ?
ORDER BY s.code, q.code, r.taken_on, r.reading_id
"""
_CHANGES = """
SELECT c.change_id, c.kind, c.who, c.at, c.why, c.software, COUNT(*)
FROM readings r JOIN changes c ON c.change_id = r.entered_in
WHERE r.taken_on >= ? AND r.taken_on < ?
GROUP BY c.change_id ORDER BY c.change_id
"""
_CORRECTIONS = """
SELECT c.at, c.who, c.why, s.code, q.code, COALESCE(n.taken_on, o.taken_on),
       o.value, o.sign, o.status, n.value, n.sign, n.status
FROM readings n
JOIN readings o ON o.reading_id = n.replaces
JOIN changes c ON c.change_id = n.entered_in
JOIN stations s ON s.station_id = n.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = n.quantity_id
WHERE (n.taken_on >= ? AND n.taken_on < ?) OR (o.taken_on >= ? AND o.taken_on < ?)
ORDER BY c.change_id, s.code, q.code, n.reading_id
"""
_USED = """
SELECT sample_code FROM readings WHERE sample_code LIKE ? UNION
SELECT parent_sample FROM readings WHERE parent_sample LIKE ?
"""


def season_rows(record: Record, first: np.datetime64, after: np.datetime64) -> pd.DataFrame:
    """Return the current readings of some days, with analysis date and the reason of each status.

    Parameters
    ----------
    record : Record
        An open record.
    first, after : datetime64
        First day, and the first day that is left out.

    Returns
    -------
    DataFrame
        Columns of `SEASON_ROWS`; blanks, duplicates, held and rejected rows too.
    """
    return _frame(record, _ROWS, (str(first), str(after)), SEASON_ROWS)


def season_changes(record: Record, first: np.datetime64, after: np.datetime64) -> pd.DataFrame:
    """Return the changes by which the readings of some days entered, one row each.

    Parameters
    ----------
    record : Record
        An open record.
    first, after : datetime64
        First day, and the first day that is left out.

    Returns
    -------
    DataFrame
        Columns of `CHANGES`.
    """
    return _frame(record, _CHANGES, (str(first), str(after)), CHANGES)


def season_corrections(record: Record, first: np.datetime64, after: np.datetime64) -> pd.DataFrame:
    """Return every reading of some days that replaced another: who, when, why, and what stood before.

    Parameters
    ----------
    record : Record
        An open record.
    first, after : datetime64
        First day, and the first day that is left out.

    Returns
    -------
    DataFrame
        Columns of `CORRECTIONS`, in the order in which they were made.
    """
    return _frame(record, _CORRECTIONS, (str(first), str(after)) * 2, CORRECTIONS)


def waiting_without_season(record: Record) -> int:
    """Return how many readings wait without a date, a station or a quantity: no season's table counts them.

    Parameters
    ----------
    record : Record
        An open record.
    """
    query = (
        "SELECT COUNT(*) FROM readings WHERE left_in IS NULL "
        "AND (taken_on IS NULL OR station_id IS NULL OR quantity_id IS NULL)"
    )
    return int(record.fetch_rows(query)[0][0])


def used_sample_codes(record: Record, year: int) -> Iterator[str]:
    """Yield the sample codes of a year that the record holds or once held, with or without container.

    Parameters
    ----------
    record : Record
        An open record.
    year : int
        Year with four digits; codes begin with its last two.
    """
    start = f"{year % 100:02d}%"
    for (code,) in record.fetch_rows(_USED, (start, start)):
        yield str(code)


def _frame(record: Record, query: str, values: tuple[str, ...], columns: Mapping[str, str]) -> pd.DataFrame:
    rows = record.fetch_rows(query, values)
    with sound(record.path):
        return frame_of_rows(rows, columns)
