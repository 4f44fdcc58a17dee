"""A record in one file, made from a folder of texts or from one table: it takes changes, the texts do not."""

import os
import secrets
from collections.abc import Callable
from pathlib import Path

from explorer.model.errors import RecordError
from explorer.records.connections import check_writable_place
from explorer.records.folder import read_folder
from explorer.records.folder_texts import collect_texts
from explorer.records.ledger import create_record, enter

__all__ = ["make_record"]


def make_record(
    source: Path, out: Path, *, who: str, settle: Callable[[str, str, list[str]], object] | None = None
) -> Path:
    """Make a GeoPackage from a folder of CSV and GeoJSON files, or from one CSV file.

    It is written under another name and moved into place when complete.

    Parameters
    ----------
    source : Path
        Folder or CSV file.
    out : Path
        File to make; must not exist. The ending .gpkg is added where it is missing.
    who : str
        As typed.
    settle : callable, optional
        Raises where settings cannot be used: called with their text, their file's name and the codes of the
        stations.

    Returns
    -------
    Path
        The record.

    Raises
    ------
    RecordError
        If the texts cannot be read as a record, something is there already, or nothing can be written there.
    """
    path = out if out.suffix.casefold() == ".gpkg" else out.with_name(f"{out.name}.gpkg")
    if not source.exists():
        raise RecordError(f"There is no {source}. Name a folder, or a CSV file.")
    if path.exists():
        raise RecordError(f"{path} is already there. Choose another name; nothing is overwritten.")
    check_writable_place(path)
    started = path.with_name(f"{path.stem}.{secrets.token_hex(4)}.part")
    try:
        folder = read_folder(collect_texts(source))
        if settle is not None:
            settle(folder.settings, "programme.toml", [each.code for each in folder.arrival.stations])
        create_record(started, folder.settings, folder.programme.quantities.values())
        enter(started, folder.arrival, kind="import", who=who, why=f"Made from {source.name}")
        if path.exists():
            raise RecordError(f"{path} is there meanwhile. Choose another name; nothing is overwritten.")
        os.replace(started, path)
    except OSError as error:
        raise RecordError(f"{error.filename or path} cannot be read or written: {error.strerror}.") from error
    finally:
        for left in path.parent.glob(f"{started.name}*"):
            left.unlink(missing_ok=True)
    return path
