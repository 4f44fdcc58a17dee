"""Connects to a record safely: locks that hold, crashes rolled back, one transaction or nothing."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from explorer.model.errors import RecordBusyError, RecordError

__all__ = [
    "being_written",
    "check_writable_place",
    "connect",
    "is_locked",
    "lies_on_network_drive",
    "transaction",
]

BUSY_TIMEOUT_S = 10.0  # [s] how long a writer waits for another one

# File systems on which SQLite's locks cannot be trusted (sqlite.org, "How To Corrupt An SQLite Database
# File", section 2.1); a folder copied to a cloud service cannot be told from any other.
NETWORK_FILE_SYSTEMS = (
    "nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "9p", "fuse.sshfs", "fuse.rclone", "davfs",
)  # fmt: skip

_MOUNTS = Path("/proc/self/mounts")


def check_writable_place(path: Path) -> None:
    """Refuse to write where the file system's locks cannot be trusted.

    Parameters
    ----------
    path : Path
        A record, existing or not.

    Raises
    ------
    RecordError
        If the path lies on a network file system.
    """
    if lies_on_network_drive(path):
        raise RecordError(
            f"{path} lies on a network drive, where two people writing at once can destroy a "
            "record. Copy it to a disk of this computer, work there, and copy it back when it is closed."
        )


def lies_on_network_drive(path: Path) -> bool:
    """Return whether a path lies on a file system of another computer, as far as this one can tell.

    Parameters
    ----------
    path : Path
        A file, existing or not.

    Examples
    --------
    >>> lies_on_network_drive(Path("/proc"))
    False
    """
    return _file_system(path.resolve()) in NETWORK_FILE_SYSTEMS


def _file_system(path: Path) -> str:
    if not _MOUNTS.is_file():
        return ""
    found, best = "", -1
    for line in _MOUNTS.read_text(encoding="utf-8", errors="replace").splitlines():
        parts = line.split()
        place = Path(parts[1].replace("\\040", " "))
        if path.is_relative_to(place) and len(place.parts) > best:
            found, best = parts[2], len(place.parts)
    return found


def is_locked(error: BaseException | None) -> bool:
    """Return whether an error says that another connection kept the file locked.

    Parameters
    ----------
    error : BaseException or None
        As the driver raised it.
    """
    if not isinstance(error, sqlite3.Error):
        return False
    primary = getattr(error, "sqlite_errorcode", 0) & 0xFF  # extended codes say more in the higher bits
    return primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def being_written(path: Path) -> RecordBusyError:
    """Return the error for a record that cannot be read because somebody is writing to it.

    Parameters
    ----------
    path : Path
        A record.
    """
    return RecordBusyError(f"Somebody is writing to {path} just now. Try again in a minute.")


def connect(path: Path, *, write: bool, attached: Path | None = None) -> sa.Engine:
    """Return an engine on an existing file.

    Reading opens the file read-only. If a crash left a journal behind, the file is opened for writing
    once before, which rolls the broken transaction back. Writing begins every transaction IMMEDIATE and
    waits ten seconds for another writer.

    Parameters
    ----------
    path : Path
        A GeoPackage.
    write : bool
        Whether transactions may change it.
    attached : Path, optional
        Another file that is only read, under the name "attached".

    Raises
    ------
    RecordError
        If a broken transaction cannot be rolled back for lack of rights, or the place cannot be written to.
    """
    if write:
        check_writable_place(path)
    elif path.with_name(path.name + "-journal").exists():
        _recover(path)
    mode = "rw" if write else "ro"

    def creator() -> sqlite3.Connection:
        raw = sqlite3.connect(
            f"{path.resolve().as_uri()}?mode={mode}",
            uri=True,
            timeout=BUSY_TIMEOUT_S,
            isolation_level=None,
            check_same_thread=False,
        )
        if write:  # a GIS may have left the file in the other mode, whose extra files get lost in copies
            raw.execute("PRAGMA journal_mode = DELETE")
        if attached is not None:
            raw.execute("ATTACH DATABASE ? AS attached", (f"{attached.resolve().as_uri()}?mode=ro",))
        return raw

    engine = sa.create_engine(
        "sqlite://", creator=creator, poolclass=sa.pool.NullPool if write else sa.pool.StaticPool
    )

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


def _recover(path: Path) -> None:
    try:
        raw = sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=BUSY_TIMEOUT_S)
        try:
            raw.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        finally:
            raw.close()
    except sqlite3.Error as error:
        if is_locked(error):
            raise being_written(path) from error
        raise RecordError(
            f"{path} was left in the middle of a change, and this account may not put it right ({error}). "
            "Open it once with an account that may write in its folder."
        ) from error


@contextmanager
def transaction(path: Path, attached: Path | None = None) -> Iterator[sa.Connection]:
    """Open one transaction that changes a record: all of it lands, or nothing.

    Parameters
    ----------
    path : Path
        A record.
    attached : Path, optional
        Another record that is read in it, under the name "attached".

    Yields
    ------
    Connection
        Already in the transaction; committed at the end, rolled back on any error.

    Raises
    ------
    RecordError
        If somebody else keeps the record locked, the disk is full, or the file is damaged.
    """
    engine = connect(path, write=True, attached=attached)
    try:
        with engine.begin() as connection:
            yield connection
    except sa.exc.DatabaseError as error:
        raise _failed(path, error) from error
    finally:
        engine.dispose()


def _failed(path: Path, error: sa.exc.DatabaseError) -> RecordError:
    said = str(error.orig)
    if is_locked(error.orig):
        return RecordBusyError(
            f"Somebody else is writing to {path} just now, so nothing of yours was written. Try again "
            "in a minute."
        )
    if isinstance(error, sa.exc.IntegrityError):
        return RecordError(
            f"{path} already holds what was to be added ({said}). Nothing was changed; open the record again "
            "and see what came in meanwhile."
        )
    return RecordError(
        f"{path} cannot be written ({said}). Nothing was changed. Check that it is there, that the disk is "
        "not full and that you may write there."
    )
