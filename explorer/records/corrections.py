"""Corrects readings and decides on held ones: a new row each, the old one kept with the change it left in."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import sqlalchemy as sa

from explorer.model.errors import RecordError, known
from explorer.model.readings import ENTRIES, SAMPLE_TYPES, SIGNS, STATUSES, STRATA
from explorer.records import schema
from explorer.records.change_entry import begin_change, forget_summaries, in_portions
from explorer.records.connections import transaction
from explorer.records.ids import file_ids_by_checksum
from explorer.records.migration import bring_up_to_date
from explorer.records.reading_entry import enter_readings
from explorer.records.record import Record
from explorer.records.standing_rows import standing_entries
from explorer.records.text_decoding import clean_text

__all__ = ["CORRECTABLE", "correct", "mark", "said_by", "writable_path"]

WITH_A_REMARK = "accepted with a remark"
LONGEST_SAID = 500  # characters of a name or a reason

# What of a reading can be corrected; file, sheet, row, column and the text as written stay what they were.
CORRECTABLE = (
    "station_code", "quantity", "taken_on", "taken_time", "depth_m", "stratum", "value", "sign",
    "detection_limit", "reporting_limit", "qualifier", "estimated", "status", "method", "batch",
    "analysed_on", "sample_code", "sample_type", "parent_sample", "observer", "volume_filtered_ml",
)  # fmt: skip
_WORDS: Mapping[str, Sequence[str]] = {
    "sign": SIGNS, "stratum": STRATA, "status": STATUSES, "sample_type": SAMPLE_TYPES,
}  # fmt: skip


def correct(record: Record | Path, reading_id: int, new: Mapping[str, object], *, who: str, why: str) -> int:
    """Correct one reading: a new row with who, when and why; the old row stays in the record's past.

    Parameters
    ----------
    record : Record or Path
        A GeoPackage.
    reading_id : int
        The reading as it stands now.
    new : mapping of str to object
        What is to stand from now on, by the names of `CORRECTABLE`; in record units, dates as ISO text or
        date, None for a number that is not known. Without a status the reading is then accepted with a
        remark, and the remark is the reason.
    who, why : str
        As typed; neither may be empty.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If a value cannot be, somebody changed the reading meanwhile, or the record cannot be written.
    UnknownNameError
        If a name, a station or a quantity is not known.
    """
    path, author, reason = writable_path(record), *said_by(who, why)
    bring_up_to_date(path)
    with transaction(path) as connection:
        old = standing_entries(connection, [reading_id])
        given = {name: _value_of(name, value) for name, value in new.items()}
        changed = old.assign(**{"status": WITH_A_REMARK, "reason": reason, **given}).astype(dict(ENTRIES))
        _check_values(changed)
        return _replace(connection, path, changed, kind="correction", who=author, why=reason)


def mark(
    record: Record | Path,
    reading_ids: int | Sequence[int],
    status: str,
    *,
    who: str,
    why: str,
    question: str = "",
) -> int:
    """Decide on readings: hold them, accept them, accept them with a remark, or reject them.

    Parameters
    ----------
    record : Record or Path
        A GeoPackage.
    reading_ids : int or sequence of int
        Readings as they stand now; all are marked in one change.
    status : str
        One of `explorer.model.readings.STATUSES`.
    who, why : str
        As typed; neither may be empty. The reason stands beside the reading as its remark.
    question : str
        Words code of a problem that stands beside the reading instead, empty for none.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If a reading without a value is to be accepted, somebody changed one meanwhile, or the record cannot
        be written.
    """
    path, author, reason = writable_path(record), *said_by(who, why)
    bring_up_to_date(path)
    ids = [reading_ids] if isinstance(reading_ids, int | np.integer) else list(reading_ids)
    if not ids:
        raise RecordError("No reading was named. Name at least one; nothing was changed.")
    with transaction(path) as connection:
        old = standing_entries(connection, ids)
        changed = old.assign(
            status=_value_of("status", status),
            reason="" if status == "accepted" else question or reason,
        )
        changed = changed.astype(dict(ENTRIES))
        _check_values(changed)
        return _replace(connection, path, changed, kind="mark", who=author, why=reason)


def writable_path(record: Record | Path) -> Path:
    """Return the file of a record that can be changed.

    Parameters
    ----------
    record : Record or Path
        An open record, or where it lies.

    Raises
    ------
    RecordError
        If it was read from a folder or a CSV file: what is written into those is not kept.
    """
    if not isinstance(record, Record):
        return record
    record.check_writable()
    return record.path


def said_by(who: str, why: str) -> tuple[str, str]:
    """Return name and reason on one line each, without control characters.

    Parameters
    ----------
    who, why : str
        As typed.

    Raises
    ------
    RecordError
        If one of them is empty.

    Examples
    --------
    >>> said_by(" M. Oak ", "Typed\\nwrongly")
    ('M. Oak', 'Typed wrongly')
    """
    author, reason = (" ".join(clean_text(text).split())[:LONGEST_SAID] for text in (who, why))
    if not author or not reason:
        lacking = "who changes it" if not author else "why"
        raise RecordError(f"A change of the record says who, and why; {lacking} is missing. Write it down.")
    return author, reason


def _value_of(name: str, value: object) -> Any:
    """Return what is to stand in a column, checked as far as one cell can be."""
    known(dict.fromkeys(CORRECTABLE), name, "column", "of a reading that can be corrected")
    kind = ENTRIES[name]
    if kind == "float64":
        try:
            number = float("nan") if value is None or value == "" else float(str(value))
        except ValueError:
            number = float("inf")
        if np.isinf(number):
            raise RecordError(f'"{name}": {value!r} is not a number. Write one in the record\'s unit.')
        return number
    if kind.startswith("datetime64"):
        return _day(name, value)
    if kind == "bool":
        return bool(value)
    text = " ".join(clean_text(str(value or "")).split())[:LONGEST_SAID]
    if name in _WORDS:
        known(dict.fromkeys(_WORDS[name]), text, name.replace("_", " "))
    return text


def _day(name: str, value: object) -> np.datetime64:
    if value is None or value == "":
        return np.datetime64("NaT", "ms")
    try:
        day = value if isinstance(value, date) else date.fromisoformat(str(value)[:10])
    except ValueError as error:
        raise RecordError(f'"{name}": "{value}" is not a date. Write it as 2025-07-31.') from error
    return np.datetime64(day.isoformat()[:10], "ms")


def _check_values(entries: pd.DataFrame) -> None:
    """Refuse an accepted reading that has no value or no date: it would count as something it is not."""
    waits = entries["status"].isin(["held", "rejected"])
    for name, what in (("value", "value"), ("taken_on", "date"), ("station_code", "station"),
                       ("quantity", "quantity")):  # fmt: skip
        lacking = entries[~waits & (entries[name].isna() | (entries[name] == ""))]
        if len(lacking):
            first = lacking.iloc[0]
            where = f'"{first["as_written"]}", {first["file_name"]}, row {first["row"]}'
            raise RecordError(
                f"Reading {lacking.index[0]} ({where}) has no {what} ({len(lacking)} in all). Correct the "
                f"{what} first, or reject the reading; nothing was changed."
            )


def _replace(
    connection: sa.Connection, path: Path, changed: pd.DataFrame, *, kind: str, who: str, why: str
) -> int:
    """Enter rows in the place of the readings whose ids are their index."""
    change = begin_change(connection, path, kind=kind, who=who, why=why)
    readings = schema.readings
    replaced = pd.Series(changed.index, index=changed.index)
    before: set[int] = set()
    for some in in_portions(replaced.tolist()):
        chosen = readings.c.reading_id.in_(some)
        before |= set(connection.execute(sa.select(readings.c.station_id).where(chosen)).scalars()) - {None}
        connection.execute(readings.update().where(chosen).values(left_in=change))
    file_ids = file_ids_by_checksum(connection)
    touched = enter_readings(connection, changed, file_ids, change, replaces=replaced)
    forget_summaries(connection, before | set(touched))
    return change
