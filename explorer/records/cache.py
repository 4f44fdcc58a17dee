"""Records built from folders of texts, kept in the user's cache folder under the checksum of the texts."""

import contextlib
import hashlib
import os
import secrets
from importlib.metadata import version as software_version
from pathlib import Path

import platformdirs

from explorer.model.errors import RecordError
from explorer.records import schema
from explorer.records.connections import lies_on_network_drive
from explorer.records.folder import read_folder
from explorer.records.folder_texts import FolderTexts, collect_texts
from explorer.records.ledger import create_record, enter

__all__ = ["CACHE_VARIABLE", "build_record", "cache_folder", "place_of"]

CACHE_VARIABLE = "STATION_EXPLORER_CACHE"
READING = 2  # raised with every change in how texts are read, so that no record built before is used
KEPT_RECORDS = 30  # the least recently opened ones beyond are removed (common practice)


def cache_folder() -> Path:
    """Return the folder that holds records built from texts, made if need be.

    Raises
    ------
    RecordError
        If it cannot be made.
    """
    named = os.environ.get(CACHE_VARIABLE, "")
    folder = Path(named) if named else platformdirs.user_cache_path("station-explorer")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _unwritable(folder, error) from error
    return folder


def _unwritable(folder: Path, reason: object) -> RecordError:
    return RecordError(
        f"The record of a folder is built in {folder}, and nothing can be written there ({reason}). "
        f"Set {CACHE_VARIABLE} to a folder on a disk of this computer that you may write in."
    )


def _key(texts: FolderTexts) -> str:
    digest = hashlib.sha256(f"{software_version('station-explorer')} {schema.FORMAT} {READING}".encode())
    named = [(name, b"") for name in (*texts.not_read, *texts.passed_over)]
    for name, content in [*sorted(texts.files.items()), *named]:
        for part in (name.encode("utf-8", "surrogatepass"), content):
            digest.update(len(part).to_bytes(8, "big"))
            digest.update(part)
    return digest.hexdigest()[:24]


def place_of(path: Path) -> Path:
    """Return where the record of a folder or of one CSV file lies, or would lie.

    Parameters
    ----------
    path : Path
        Folder of CSV and GeoJSON files, or one CSV file.

    Raises
    ------
    OSError
        If a file of the folder cannot be read.
    """
    return cache_folder() / f"{_key(collect_texts(path))}.gpkg"


def build_record(path: Path) -> Path:
    """Return the record of a folder or of one CSV file, built now or found as built before.

    It is written under a name of its own and moved into place when complete: two people who open the
    same folder at once do not disturb each other, and a crash leaves no half record.

    Parameters
    ----------
    path : Path
        Folder of CSV and GeoJSON files, or one CSV file.

    Returns
    -------
    Path
        A GeoPackage in the cache folder.

    Raises
    ------
    RecordError
        If the texts cannot be read as a record, with every problem; or if the cache cannot be written.
    OSError
        If a file of the folder cannot be read.
    """
    texts = collect_texts(path)
    built = cache_folder() / f"{_key(texts)}.gpkg"
    if built.exists():
        with contextlib.suppress(OSError):
            os.utime(built)
        return built
    folder = read_folder(texts)
    if lies_on_network_drive(built):
        raise _unwritable(built.parent, "it is a network drive")
    started = built.with_name(f"{built.stem}.{os.getpid()}.{secrets.token_hex(4)}.part")
    try:
        create_record(started, folder.settings, folder.programme.quantities.values())
        enter(started, folder.arrival, kind="import", who="", why=f"Opened {texts.name}")
        os.replace(started, built)
    except (OSError, RecordError) as error:
        if not built.exists():  # another process may have put the same record there meanwhile
            raise _unwritable(built.parent, error) from error
    finally:
        for left in built.parent.glob(f"{started.name}*"):
            left.unlink(missing_ok=True)
    _remove_oldest(built.parent)
    return built


def _remove_oldest(folder: Path) -> None:
    with contextlib.suppress(OSError):
        by_age = sorted(folder.glob("*.gpkg"), key=lambda each: each.stat().st_mtime, reverse=True)
        for old in by_age[KEPT_RECORDS:]:
            old.unlink(missing_ok=True)
