"""The record's past: its changes, how a reading came to stand as it does, and any state it once had."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from explorer.model.errors import RecordError
from explorer.model.problems import Source
from explorer.model.record_changes import ReadingState, RecordChange
from explorer.records.reading_rows import CodeBook, readings_of
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = [
    "FILES",
    "changes_of",
    "file_content",
    "files_of",
    "reading_history",
    "readings_at",
    "readings_by_change",
]

FILES: Mapping[str, str] = {
    "name": "str",
    "sha256": "str",
    "bytes": "int64",
    "entered_in": "int64",
    "left_in": "int64",  # 0 where it stands
}

_CHANGES = "SELECT change_id, kind, who, at, why, software, settings_hash FROM changes ORDER BY change_id"
# A reading, what it replaced and what replaced it, along the whole chain.
_CHAIN = """
WITH RECURSIVE
  before(id, replaces) AS (
    SELECT reading_id, replaces FROM readings WHERE reading_id = ?
    UNION SELECT r.reading_id, r.replaces FROM readings r JOIN before ON r.reading_id = before.replaces),
  after(id, left_in) AS (
    SELECT reading_id, left_in FROM readings WHERE reading_id = ?
    UNION SELECT r.reading_id, r.left_in FROM after
      JOIN readings r ON r.entered_in = after.left_in AND r.replaces = after.id)
SELECT r.reading_id, r.entered_in, r.left_in, s.code, q.code, r.taken_on, r.value, r.sign, r.status, r.reason,
       r.as_written, f.name, f.sha256, r.sheet, r."row", r."column"
FROM readings r
LEFT JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN files f ON f.file_id = r.file_id
WHERE r.reading_id IN (SELECT id FROM before UNION SELECT id FROM after)
ORDER BY r.entered_in
"""


def changes_of(record: Record) -> tuple[RecordChange, ...]:
    """Return every change that a record has seen, the first one first.

    Parameters
    ----------
    record : Record
        An open record.
    """
    return tuple(RecordChange(*row) for row in record.fetch_rows(_CHANGES))


def readings_by_change(record: Record) -> dict[int, int]:
    """Return how many readings entered a record with each change.

    Parameters
    ----------
    record : Record
        An open record.
    """
    query = "SELECT entered_in, COUNT(*) FROM readings GROUP BY entered_in"
    return {int(change): int(count) for change, count in record.fetch_rows(query)}


def files_of(record: Record) -> pd.DataFrame:
    """Return the files that came into a record, those too in whose place another stands now.

    Parameters
    ----------
    record : Record
        An open record.

    Returns
    -------
    DataFrame
        Columns of `FILES`, the first one first.
    """
    has_left = any(row[1] == "left_in" for row in record.fetch_rows("PRAGMA table_info(files)"))
    left = "COALESCE(left_in, 0)" if has_left else "0"
    query = f"SELECT name, sha256, LENGTH(content), entered_in, {left} FROM files ORDER BY file_id"
    return frame_of_rows(record.fetch_rows(query), FILES)


def reading_history(record: Record, reading_id: int) -> tuple[ReadingState, ...]:
    """Return all states of a reading, the first one first, whichever of them is named.

    Parameters
    ----------
    record : Record
        An open record.
    reading_id : int
        Id of any of its states.

    Raises
    ------
    RecordError
        If the record holds no such reading.
    """
    by_number = {change.change_id: change for change in changes_of(record)}
    rows = record.fetch_rows(_CHAIN, (int(reading_id), int(reading_id)))
    if not rows:
        raise RecordError(f"The record has no reading number {reading_id}. Look the reading up again.")
    return tuple(_state(row, by_number) for row in rows)


def _state(row: tuple[object, ...], changes: Mapping[int, RecordChange]) -> ReadingState:
    number, entered, left, station, quantity, day, value, sign, status, reason, text, *source = row
    return ReadingState(
        int(str(number)),
        changes[int(str(entered))],
        None if left is None else int(str(left)),
        str(station or ""),
        str(quantity or ""),
        str(day or ""),
        np.nan if value is None else float(str(value)),
        str(sign),
        str(status),
        str(reason),
        str(text),
        Source(*source),  # type: ignore[arg-type]
    )


def readings_at(record: Record, change_id: int, station_code: str) -> pd.DataFrame:
    """Return a station's dated readings as the record held them after a change.

    Parameters
    ----------
    record : Record
        An open record.
    change_id : int
        Number of the change, see `changes_of`; the record's version then.
    station_code : str
        Code of the station.

    Returns
    -------
    DataFrame
        Columns of `READINGS`.

    Raises
    ------
    UnknownNameError
        If the record holds no such station.
    """
    station = record.station(station_code)
    number = record.fetch_rows(
        "SELECT station_id FROM stations WHERE left_in IS NULL AND code = ?", (station.code,)
    )[0][0]
    codes = CodeBook(record.fetch_rows).at_version(record.version())
    return readings_of(
        record.fetch_rows, {number: (station.code, station.lake_code)}, codes, after=int(change_id)
    )


def file_content(record: Record, sha256: str) -> bytes:
    """Return the bytes of a file that came into the record, exactly as they came.

    Parameters
    ----------
    record : Record
        An open record.
    sha256 : str
        Checksum, as in a reading's source.

    Raises
    ------
    RecordError
        If the record holds no such file.
    """
    rows = record.fetch_rows("SELECT content FROM files WHERE sha256 = ?", (sha256,))
    if not rows:
        raise RecordError(
            f'The record holds no file with the checksum "{sha256}". Look at the reading again.'
        )
    return bytes(rows[0][0])
