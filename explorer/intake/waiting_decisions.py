"""Decides on a reading that waits: it is corrected, accepted with a remark, or rejected."""

from explorer.model.errors import RecordError, known
from explorer.records.corrections import WITH_A_REMARK, correct, mark
from explorer.records.record import Record

__all__ = ["DECISIONS", "decide_on"]

DECISIONS = ("value", "taken_on", "station_code", "accept", "reject")


def decide_on(record: Record, reading_id: int, decision: str, new: str, *, who: str, why: str) -> int:
    """Decide on a reading that waits, in one transaction that puts a new row in its place.

    Parameters
    ----------
    record : Record
        A GeoPackage.
    reading_id : int
        The reading as it stands now.
    decision : str
        One of `DECISIONS`; the first three correct something, and the reading is then accepted with a remark.
    new : str
        What is to stand instead: a number in the record's unit, or "<" or ">" and the limit; a date as ISO
        text; the code of a station. Not looked at where nothing is corrected.
    who, why : str
        As typed; neither may be empty.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If what is to stand cannot, somebody changed the reading meanwhile, or the record takes no changes.
    UnknownNameError
        If there is no such decision or station.
    """
    known(dict.fromkeys(DECISIONS), decision, "decision")
    if decision == "accept":
        return mark(record, reading_id, WITH_A_REMARK, who=who, why=why)
    if decision == "reject":
        return mark(record, reading_id, "rejected", who=who, why=why)
    text = new.strip()
    if not text:
        raise RecordError("What is to stand instead is missing. Write it, or accept or reject the reading.")
    if decision != "value":
        return correct(record, reading_id, {decision: text}, who=who, why=why)
    sign = text[0] if text[0] in "<>" else "="
    number = text.lstrip("<>").strip().replace(",", ".")
    return correct(record, reading_id, {"value": number, "sign": sign}, who=who, why=why)
