"""Which record is opened when none is named: the environment's, else the demo."""

import os
from pathlib import Path

from explorer.demo import demo_folder
from explorer.records.opening import open_record
from explorer.records.record import Record

__all__ = [
    "ONLY_READS_VARIABLE",
    "RECORD_VARIABLE",
    "WRITER_VARIABLE",
    "default_place",
    "default_record",
    "default_writer",
    "introduce",
    "only_reads",
]

RECORD_VARIABLE = "STATION_EXPLORER_RECORD"  # environment variable that names a record
ONLY_READS_VARIABLE = "STATION_EXPLORER_ONLY_READS"  # set for a page whose address holds no token
WRITER_VARIABLE = "STATION_EXPLORER_WRITER"  # set by a command that was told who writes


def default_place() -> Path:
    """Return where the record lies that is opened when none is named.

    Returns
    -------
    Path
        What the environment variable STATION_EXPLORER_RECORD names, or the folder of the demo where it
        is not set or empty.

    Examples
    --------
    >>> default_place() == demo_folder() or RECORD_VARIABLE in os.environ
    True
    """
    named = os.environ.get(RECORD_VARIABLE, "").strip()
    return Path(os.path.expanduser(named)) if named else demo_folder()


def default_record() -> Record:
    """Open the record that the environment names, else the demo.

    Raises
    ------
    ExplorerError
        If what the environment names is no record.
    """
    return open_record(default_place())


def default_writer() -> str:
    """Return who may write into the record, as typed when the page was started; empty: nobody.

    Examples
    --------
    >>> default_writer() == os.environ.get(WRITER_VARIABLE, "")
    True
    """
    return os.environ.get(WRITER_VARIABLE, "")


def only_reads() -> bool:
    """Return whether this is a page that was started without leave to write.

    Examples
    --------
    >>> only_reads() == bool(os.environ.get(ONLY_READS_VARIABLE))
    True
    """
    return bool(os.environ.get(ONLY_READS_VARIABLE))


def introduce(place: Path) -> str:
    """Return one line that says which record this is, and that it is the demo if it is.

    Parameters
    ----------
    place : Path
        A record, a folder or a CSV file.

    Examples
    --------
    >>> introduce(Path("county.gpkg"))
    'Record: county.gpkg'
    >>> introduce(demo_folder())
    'Record: the demo, an invented lake district. Nothing in it was measured.'
    """
    if place == demo_folder():
        return "Record: the demo, an invented lake district. Nothing in it was measured."
    return f"Record: {place}"
