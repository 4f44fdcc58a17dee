"""Marks a reading: accepted with a remark, or waiting for the answer to a question that stands beside it."""

from pathlib import Path

from explorer.model.errors import known
from explorer.model.origins import MARKS
from explorer.records.corrections import WITH_A_REMARK, mark
from explorer.records.record import Record

__all__ = ["mark_reading"]


def mark_reading(record: Record | Path, reading_id: int, decided: str, *, who: str, remark: str) -> int:
    """Decide on a reading: one transaction that puts a new row in the place of the old one.

    The reading is accepted with the remark, or it waits and is left out of all values meanwhile. What it
    waits for stands beside it: the code of the question to the laboratory or of the wish to measure again,
    whose words are those of a problem; or, where it is only held, the remark. The remark itself is what the
    record's history says of the change in every case.

    Parameters
    ----------
    record : Record or Path
        A GeoPackage.
    reading_id : int
        The reading as it stands now.
    decided : str
        One of `MARKS`.
    who, remark : str
        As typed; neither may be empty.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If name or remark is empty, the reading has no value and is to be accepted, somebody changed it
        meanwhile, or the record takes no changes.
    UnknownNameError
        If there is no such mark.
    """
    known(dict.fromkeys(MARKS), decided, "mark")
    status = WITH_A_REMARK if decided == "accept" else "held"
    question = decided if decided in ("ask_the_laboratory", "measure_again") else ""
    return mark(record, reading_id, status, who=who, why=remark, question=question)
