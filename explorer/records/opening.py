"""Opens a record: a GeoPackage, a folder of texts, or one long CSV file."""

from pathlib import Path

from explorer.model.errors import RecordBusyError, RecordError, did_you_mean
from explorer.records.geopackage import is_geopackage
from explorer.records.record import Record

__all__ = ["open_record"]


def open_record(where: str | Path) -> Record:
    """Open a record file, a folder of CSV and GeoJSON files, or one long CSV file.

    Parameters
    ----------
    where : str or Path
        A GeoPackage made by the explorer; a folder; or a CSV file with the column names of the Water
        Quality Exchange or the explorer's own. Folder and CSV are read into a record in the user's cache
        folder, keyed by their content.

    Returns
    -------
    Record
        Open for reading.

    Raises
    ------
    RecordError
        If it is none of these, holds columns that cannot be read, or was written by a newer version. One
        message with file, row, column, what was found and the cure.

    Examples
    --------
    >>> open_record("recrod.gpkg")
    Traceback (most recent call last):
    explorer.model.errors.RecordError: There is no recrod.gpkg. ...
    """
    try:
        path = Path(where).expanduser()
        if not str(where).strip():
            raise RecordError("No name was given. Name a record, a folder or a CSV file.")
        if not path.exists():
            raise _no_such_place(path)
        if path.is_dir() or (path.suffix.casefold() == ".csv" and path.is_file()):
            return _open_texts(path)
        if path.is_file() and is_geopackage(path):
            return Record(path, path.name)
    except (OSError, ValueError, RuntimeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise RecordError(
            f"{where} cannot be read: {reason}. Check the name, and that you may read it."
        ) from error
    raise RecordError(
        f"{path} is no record: it is neither a GeoPackage, nor a CSV file, nor a folder of CSV and GeoJSON "
        "files. Name one of these."
    )


def _open_texts(path: Path) -> Record:
    """Open the record built from texts; one that a failing disk spoilt is built again."""
    from explorer.records.cache import build_record

    built = build_record(path)
    title = path.name or str(path)
    try:
        return Record(built, title, path)
    except RecordBusyError:
        raise
    except RecordError:
        built.unlink(missing_ok=True)
        return Record(build_record(path), title, path)


def _no_such_place(path: Path) -> RecordError:
    beside = [each.name for each in path.parent.iterdir()] if path.parent.is_dir() else []
    question = did_you_mean(path.name, beside)
    return RecordError(f"There is no {path}.{question} Name a record, a folder or a CSV file.")
