"""What happened to a record and to one of its readings: who changed what, when and why."""

from dataclasses import dataclass

from explorer.model.problems import Source

__all__ = ["ReadingState", "RecordChange"]


@dataclass(frozen=True, slots=True)
class RecordChange:
    """One change of a record; its number is the version that the record had after it.

    Attributes
    ----------
    change_id : int
        Number of the change, 1 for the first.
    kind : str
        "import", "check-in", "correction", "mark", "settings" or "went back".
    who : str
        Name as typed; nobody has checked it.
    at : str
        Local time with its offset, ISO 8601.
    why : str
        Reason as typed.
    software, settings_hash : str
        What wrote it, and the checksum of the settings that held then.

    Examples
    --------
    >>> RecordChange(2, "correction", "M. Oak", "2025-10-01T09:00:00+02:00", "Typed wrongly", "", "").kind
    'correction'
    """

    change_id: int
    kind: str
    who: str
    at: str
    why: str
    software: str
    settings_hash: str


@dataclass(frozen=True, slots=True)
class ReadingState:
    """A reading as it stood between two changes.

    Attributes
    ----------
    reading_id : int
        Id of this state; every correction or mark gives a new one.
    change : RecordChange
        The change that brought it.
    left_in : int or None
        Number of the change that replaced it, None for the one that stands now.
    station_code, quantity : str
        What was measured where; empty where it is not known yet.
    taken_on : str
        Local date, ISO 8601; empty where none could be read.
    value : float
        In the record's unit, NaN where none could be read.
    sign, status, reason, as_written : str
        Sign, status, the code or remark behind the status, and the text in the file.
    source : Source
        File, sheet, row and column that it came from.
    """

    reading_id: int
    change: RecordChange
    left_in: int | None
    station_code: str
    quantity: str
    taken_on: str
    value: float
    sign: str
    status: str
    reason: str
    as_written: str
    source: Source
