"""What a record says of itself: its format, its settings, and what was held or noted on the way in."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from struct import error as StructError

from shapely.errors import ShapelyError

from explorer.model.errors import ProgrammeError, RecordBusyError, RecordError
from explorer.model.problems import Problem, Source
from explorer.model.programme import Programme
from explorer.model.programme_text import read_programme
from explorer.records import schema
from explorer.records.reading_rows import RowSource

__all__ = ["RecordInfo", "fetch_info", "fetch_problems", "sound"]


@dataclass(frozen=True, slots=True)
class RecordInfo:
    """The settings that a record carries.

    Attributes
    ----------
    settings : str
        The programme's TOML.
    settings_hash : str
        Its short checksum.
    programme : Programme
        The settings, read.
    """

    settings: str
    settings_hash: str
    programme: Programme


@contextmanager
def sound(path: Path) -> Iterator[None]:
    """Turn whatever a damaged or foreign file makes of its rows into one kind message.

    Parameters
    ----------
    path : Path
        The file, for the message.

    Raises
    ------
    RecordError
        If what is done inside cannot make sense of the rows.
    """
    try:
        yield
    except (ValueError, TypeError, LookupError, AttributeError, StructError, ShapelyError) as error:
        raise RecordError(
            f"{path} is damaged, or another program changed it: {error}. Open a copy of it from before."
        ) from error


def fetch_info(fetch: RowSource, path: Path) -> RecordInfo:
    """Return the settings of a record.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    path : Path
        The file, for messages.

    Raises
    ------
    RecordError
        If the file is no record, or was written by a newer version.
    """
    try:
        number, settings, settings_hash = fetch("SELECT format, settings, settings_hash FROM record_info")[0]
    except RecordBusyError:
        raise
    except (RecordError, LookupError, ValueError) as error:
        raise RecordError(
            f"{path} is no record of the station explorer: its table of settings cannot be read (it is "
            "another program's file, or damaged). Open a record, a folder of CSV and GeoJSON files, or a CSV "
            "file."
        ) from error
    with sound(path):
        if int(number) > schema.FORMAT:
            raise RecordError(
                f"{path} was written by a newer version of the station explorer (format {number}; this one "
                f"reads up to {schema.FORMAT}). Install the newer version; the file was not changed."
            )
        try:
            programme = read_programme(settings, f"{path.name}, settings")
        except ProgrammeError as error:
            raise RecordError(str(error)) from error
    return RecordInfo(settings, settings_hash, programme)


def fetch_problems(fetch: RowSource, kind: str = "") -> tuple[Problem, ...]:
    """Return what was held or noted when readings came in, alike cells together.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    kind : str
        Of changes of this kind only; of all when left out.
    """
    rows = fetch(
        'SELECT p.code, p.severity, p.file_name, p.sha256, p.sheet, p."row", p."column", p.found, p.details '
        "FROM problems p JOIN changes c ON c.change_id = p.entered_in "
        "WHERE p.left_in IS NULL AND ? IN ('', c.kind) ORDER BY p.problem_id",
        (kind,),
    )
    return tuple(
        Problem(code, severity, Source(*source), found, json.loads(details))
        for code, severity, *source, found, details in rows
    )
