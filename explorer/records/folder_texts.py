"""The texts of a folder that is to be read as a record, or of one CSV file; only what is read is opened."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from explorer.records.written import columns_file_of

__all__ = ["COLUMNS_ENDING", "READINGS_FOLDER", "FolderTexts", "collect_texts"]

READINGS_FOLDER = "readings"
COLUMNS_ENDING = ".columns.toml"
READ_ENDINGS = (".csv", ".geojson", ".toml")
SILENT_ENDINGS = (".md", ".txt", ".rst", ".py", ".ipynb", "")  # texts for people: no word about them


@dataclass(frozen=True, slots=True)
class FolderTexts:
    """The texts of a folder, as bytes.

    Attributes
    ----------
    name : str
        What the folder or file is called in messages.
    files : mapping of str to bytes
        Content by name; a file in a folder one level down is called "folder/file".
    not_read : tuple of str
        Names of files of another kind.
    passed_over : tuple of str
        Folders whose tables are not the record's: there is one called "readings" beside them.
    """

    name: str
    files: Mapping[str, bytes]
    not_read: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()


def collect_texts(path: Path) -> FolderTexts:
    """Return the texts of a folder and of its folders one level down, or of one CSV file.

    A CSV file alone comes with the columns file beside it. Hidden files and texts for people are left out.
    Where one of the inner folders is called "readings", the others are passed over.

    Parameters
    ----------
    path : Path
        Folder or file.

    Raises
    ------
    OSError
        If one cannot be read.
    """
    if not path.is_dir():
        beside = [path, path.with_name(columns_file_of(path.name))]
        return FolderTexts(path.name, {each.name: each.read_bytes() for each in beside if each.is_file()})
    inside = list(_visible(path))
    folders = [each for each in inside if each.is_dir()]
    chosen = [each for each in folders if each.name.casefold() == READINGS_FOLDER] or folders
    found = [each for each in inside if each.is_file()]
    found += [file for folder in chosen for file in _visible(folder) if file.is_file()]
    names = {file.relative_to(path).as_posix(): file for file in found}
    return FolderTexts(
        path.resolve().name or str(path),
        {name: file.read_bytes() for name, file in names.items() if _ending(file) in READ_ENDINGS},
        tuple(name for name, file in names.items() if _ending(file) not in (*READ_ENDINGS, *SILENT_ENDINGS)),
        tuple(each.name for each in folders if each not in chosen and any(each.glob("*.csv"))),
    )


def _visible(folder: Path) -> Iterator[Path]:
    return (each for each in sorted(folder.iterdir()) if not each.name.startswith((".", "~$")))


def _ending(file: Path) -> str:
    return file.suffix.casefold()
