"""The file of the sample codes that were given: a small CSV beside the record, written whole or not."""

import csv
import io
import os
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import fields
from pathlib import Path

from explorer.intake.label_register import GivenCode, LabelRegister
from explorer.intake.sample_codes import read_sample_codes
from explorer.model.errors import ExplorerError

__all__ = ["given_codes", "open_register", "register_beside"]

ENDING = ".labels.csv"
LOCK_WAIT_S = 10.0

_HEADINGS = tuple(each.name for each in fields(GivenCode))


def register_beside(record: Path) -> Path:
    """Return the register that belongs to a record: a file of its name, beside it.

    Parameters
    ----------
    record : Path
        GeoPackage, folder or CSV file.

    Examples
    --------
    >>> register_beside(Path("county.gpkg")).name
    'county.gpkg.labels.csv'
    """
    place = record.resolve()
    return place.with_name(place.name + ENDING)


def given_codes(path: Path) -> tuple[GivenCode, ...]:
    """Return the codes of a register, only to look at them.

    Parameters
    ----------
    path : Path
        The file; it may lack.

    Raises
    ------
    ExplorerError
        If it cannot be read.
    """
    return tuple(_read(path))


@contextmanager
def open_register(path: Path) -> Iterator[LabelRegister]:
    """Open a register for giving codes; what was given is on the disk when the block ends.

    Parameters
    ----------
    path : Path
        The file; it is made where it lacks.

    Raises
    ------
    ExplorerError
        If somebody else is giving codes just now, or the file cannot be read or written.
    """
    with _alone(path):
        before = _read(path)
        register = LabelRegister(before)
        yield register
        if register.given != before:
            _write(path, register.given)


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Hold a file beside the register while codes are given."""
    lock = path.with_name(path.name + ".lock")
    until = time.monotonic() + LOCK_WAIT_S
    while True:
        try:
            os.close(os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            break
        except FileExistsError as error:
            if time.monotonic() > until:
                raise ExplorerError(
                    f"Somebody else is giving sample codes just now: {lock} is there. Try again; if nobody "
                    "is, remove that file."
                ) from error
            time.sleep(0.05)
        except OSError as error:
            raise _unwritable(path, error) from error
    try:
        yield
    finally:
        with suppress(FileNotFoundError):
            lock.unlink()


def _read(path: Path) -> list[GivenCode]:
    try:
        text = path.read_text(encoding="utf-8-sig") if path.exists() else ""
    except (OSError, UnicodeDecodeError) as error:
        raise ExplorerError(f"{path} cannot be read: {error}. Put back a copy of it from before.") from error
    rows = list(csv.reader(io.StringIO(text)))
    if not rows:
        return []
    if tuple(rows[0]) != _HEADINGS or any(len(row) != len(_HEADINGS) for row in rows):
        raise ExplorerError(
            f"{path} is no register of sample codes any more: its columns are {', '.join(_HEADINGS)}. Put "
            "back a copy of it from before; without it a code could be given twice."
        )
    wrong = [row[0] for row in rows[1:] if read_sample_codes([row[0]]).problem[0] or not row[0]]
    if wrong:
        raise ExplorerError(
            f'{path}: "{wrong[0]}" is no sample code ({len(wrong)} in all). Put back a copy from before.'
        )
    return [GivenCode(*row) for row in rows[1:]]


def _write(path: Path, given: Iterable[GivenCode]) -> None:
    """Write the whole register under another name and move it into place: a crash leaves the old one."""
    out = io.StringIO()
    rows = [_HEADINGS, *(tuple(getattr(each, name) for name in _HEADINGS) for each in given)]
    csv.writer(out, lineterminator="\n").writerows(rows)
    beside = path.with_name(path.name + ".new")
    try:
        with beside.open("w", encoding="utf-8", newline="") as file:
            file.write(out.getvalue())
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        raise _unwritable(path, error) from error


def _unwritable(path: Path, error: OSError) -> ExplorerError:
    return ExplorerError(
        f"The register of sample codes {path} cannot be written: {error.strerror or error}. It stands beside "
        "the record so that no code is given twice; let yourself write there."
    )
