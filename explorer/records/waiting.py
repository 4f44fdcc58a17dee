"""The readings of a record that wait for an answer, those without a station or a date among them."""

import pandas as pd

from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["WAITING", "waiting_count", "waiting_readings"]

WAITING = {
    "reading_id": "int64", "station_code": "str", "quantity": "str",
    "taken_on": "datetime64[ms]", "value": "float64", "sign": "str", "as_written": "str", "reason": "str",
    "sample_code": "str", "file_name": "str", "sha256": "str", "sheet": "str", "row": "int64",
    "column": "str",
}  # fmt: skip

_WAITING = """
FROM readings r
JOIN files f ON f.file_id = r.file_id
LEFT JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
WHERE r.left_in IS NULL AND r.status = 'held'
"""
_COLUMNS = """
SELECT r.reading_id, s.code, q.code, r.taken_on, r.value, r.sign, r.as_written, r.reason, r.sample_code,
       f.name, f.sha256, r.sheet, r."row", r."column"
"""
_NEWEST_FIRST = ' ORDER BY r.entered_in DESC, f.name, r.sheet, r."row", r."column" LIMIT ?'


def waiting_count(record: Record) -> int:
    """Return how many readings of a record wait for an answer."""
    return int(record.fetch_rows(f"SELECT count(*) {_WAITING}")[0][0])


def waiting_readings(record: Record, most: int) -> pd.DataFrame:
    """Return readings that wait for an answer, those that came last first.

    Parameters
    ----------
    record : Record
        An open record.
    most : int
        How many at most.

    Returns
    -------
    DataFrame
        Columns of `WAITING`; station and quantity are empty where the file does not tell.
    """
    return frame_of_rows(record.fetch_rows(_COLUMNS + _WAITING + _NEWEST_FIRST, (most,)), WAITING)
