"""Dated copies of a record, made before it is changed, and the way back to one of them."""

import contextlib
import re
import secrets
import shutil
import time
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from explorer.model.errors import RecordError, did_you_mean
from explorer.records import schema
from explorer.records.change_entry import begin_change
from explorer.records.connections import being_written, connect, is_locked, transaction
from explorer.records.geopackage import update_extents

__all__ = ["DatedCopy", "copies_folder", "dated_copies", "go_back", "make_dated_copy"]

LONGEST_COPY_S = 3600.0  # [s] what is not complete by then never will be
KEPT_COPIES = 20  # the oldest beyond are removed when a new one is made (common practice)

_NAME = re.compile(r"(\d{4}-\d{2}-\d{2}) (\d{2})-(\d{2})-(\d{2}) version (\d+)\.gpkg")


@dataclass(frozen=True, slots=True)
class DatedCopy:
    """A copy of a record as it once was.

    Attributes
    ----------
    path : Path
        The copy; a record like any other, to be opened and looked at.
    made_at : str
        Local time at which it was made, "2025-11-25 13:37:42".
    version : int
        Version that the record had then.
    """

    path: Path
    made_at: str
    version: int


def copies_folder(record: Path) -> Path:
    """Return the folder beside a record that holds its dated copies.

    Parameters
    ----------
    record : Path
        A record.

    Examples
    --------
    >>> copies_folder(Path("lakes.gpkg")).name
    'lakes copies'
    """
    return record.with_name(f"{record.stem} copies")


def dated_copies(record: Path) -> tuple[DatedCopy, ...]:
    """Return the dated copies of a record, the latest first.

    Parameters
    ----------
    record : Path
        A record.
    """
    folder = copies_folder(record)
    found = [(each, _NAME.fullmatch(each.name)) for each in folder.glob("*.gpkg")] if folder.is_dir() else []
    copies = [
        DatedCopy(path, f"{name[1]} {name[2]}:{name[3]}:{name[4]}", int(name[5]))
        for path, name in found
        if name
    ]
    return tuple(sorted(copies, key=lambda each: (each.made_at, each.version), reverse=True))


def make_dated_copy(record: Path) -> DatedCopy:
    """Copy a record beside itself, whole and while nobody writes to it.

    It is written under another name and moved into place when complete.

    Parameters
    ----------
    record : Path
        A GeoPackage.

    Raises
    ------
    RecordError
        If the copy cannot be made: then nothing must be changed.
    """
    folder, made = copies_folder(record), datetime.now().replace(microsecond=0)
    started = folder / f"{secrets.token_hex(8)}.part"
    engine = connect(record, write=False)
    try:
        folder.mkdir(exist_ok=True)
        with engine.connect() as connection:  # its lock keeps writers out until the copy is complete
            version = int(connection.execute(sa.select(schema.record_info.c.version)).scalar_one())
            shutil.copyfile(record, started)
        copy = folder / f"{made:%Y-%m-%d %H-%M-%S} version {version}.gpkg"
        started.replace(copy)  # one of the same second and version says the same
    except (OSError, sa.exc.DatabaseError) as error:
        reason = error.strerror if isinstance(error, OSError) else error.orig
        if isinstance(reason, BaseException) and is_locked(reason):
            raise being_written(record) from error
        raise RecordError(
            f"No copy of {record} could be made in {folder} ({reason}). Nothing was changed. Check that the "
            "disk is not full and that you may write there."
        ) from error
    finally:
        engine.dispose()
        started.unlink(missing_ok=True)
    _remove_oldest(record)
    return DatedCopy(copy, f"{made:%Y-%m-%d %H:%M:%S}", version)


def _remove_oldest(record: Path) -> None:
    for old in dated_copies(record)[KEPT_COPIES:]:
        old.path.unlink(missing_ok=True)
    for left in copies_folder(record).glob("*.part"):  # of a copy that was killed
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > LONGEST_COPY_S:
                left.unlink()


def go_back(record: Path, copy: str | Path, *, who: str, why: str) -> int:
    """Bring a record back to what it was in one of its dated copies: all of it, or nothing.

    What stands now is copied first. The change is written down, and the version goes on counting.

    Parameters
    ----------
    record : Path
        A GeoPackage that can be read; a destroyed one is replaced by hand, with the copy.
    copy : str or Path
        One of `dated_copies`, by its name or path.
    who, why : str
        As typed.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If there is no such copy, it has another format, or the record cannot be written.
    """
    chosen = _known_copy(record, copy)
    _check_copy(chosen)
    make_dated_copy(record)
    with transaction(record, attached=chosen) as connection:
        version = connection.execute(sa.select(schema.record_info.c.version)).scalar_one()
        tables = [each for each in schema.metadata.sorted_tables if _columns(connection, "main", each)]
        for table in reversed(tables):
            connection.execute(table.delete())
        for table in tables:
            own, of_copy = (_columns(connection, database, table) for database in ("main", "attached"))
            if table in schema.COMPUTED and own != of_copy:
                continue  # it is computed again
            names = ", ".join(f'"{name}"' for name in own)
            connection.exec_driver_sql(
                f"INSERT INTO main.{table.name} ({names}) SELECT {names} FROM attached.{table.name}"
            )
        connection.execute(schema.record_info.update().values(version=version))
        change = begin_change(connection, record, kind="went back", who=who, why=why)
        update_extents(connection)
    return change


def _known_copy(record: Path, copy: str | Path) -> Path:
    copies = {each.path.name: each.path for each in dated_copies(record)}
    name = Path(copy).name
    if name in copies:
        return copies[name]
    question = did_you_mean(name, copies)
    raise RecordError(
        f'There is no copy "{name}" in {copies_folder(record)}.{question} There are {len(copies)}.'
    )


def _columns(connection: sa.Connection, database: str, table: sa.Table) -> set[str]:
    """Return the columns that a table has in a file, none where the file has no such table."""
    query = "SELECT name FROM pragma_table_info(?, ?)"
    return set(connection.exec_driver_sql(query, (table.name, database)).scalars())


def _check_copy(copy: Path) -> None:
    """Refuse a copy that is damaged, also far behind its first page, or has another format."""
    engine = connect(copy, write=False)
    number, damage = 0, ""
    try:
        with engine.connect() as connection:
            number = int(connection.execute(sa.select(schema.record_info.c.format)).scalar_one())
            damage = " ".join(connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one().split())
    except sa.exc.DatabaseError as error:
        damage = str(error.orig)
    finally:
        engine.dispose()
    if damage != "ok":
        raise RecordError(f"{copy} is damaged ({damage}). Nothing was changed; take another copy.")
    if number != schema.FORMAT:
        raise RecordError(
            f"{copy} has format {number}, and the record format {schema.FORMAT}. Nothing was changed. Open "
            "the copy by its own name, or put it in the record's place by hand."
        )
