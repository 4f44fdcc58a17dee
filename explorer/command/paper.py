"""What commands that write pages for paper share: the record they read, the season, where a page goes."""

import argparse
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.terminal import tell
from explorer.model.errors import ExplorerError

if TYPE_CHECKING:
    from explorer.display.paper_tables import PaperPage
    from explorer.records.record import Record

__all__ = [
    "add_season_option",
    "date_option",
    "open_named",
    "register_of",
    "season_of",
    "write_file",
    "write_page",
]


def add_season_option(parser: argparse.ArgumentParser) -> None:
    """Let a command be told which season it speaks of."""
    parser.add_argument(
        "--season", type=_year, metavar="YEAR", help="the season; without it the record's last one"
    )


def _year(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) == 4 and 1900 <= int(text) <= 2200):
        raise argparse.ArgumentTypeError(f'"{text}" is no year; write four digits: 2025')
    return int(text)


def date_option(text: str) -> date:
    """Return the day that an option names.

    Raises
    ------
    ArgumentTypeError
        If the text is no date.

    Examples
    --------
    >>> date_option("2025-06-30").day
    30
    """
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f'"{text}" is no date; write it as 2025-06-30') from error


def open_named(place: Path | None) -> "Record":
    """Open the record that is named, else the one that is opened when none is, and say which.

    Parameters
    ----------
    place : Path or None
        As the option gives it.

    Raises
    ------
    RecordError
        If it is no record.
    """
    from explorer.default_record import default_place, introduce
    from explorer.records.opening import open_record

    where = default_place() if place is None else place
    tell(introduce(where))
    return open_record(where)


def register_of(record: "Record") -> Path:
    """Return where the register of sample codes of a record lies; the demo's lies in the cache folder.

    Parameters
    ----------
    record : Record
        An open record.
    """
    from explorer.demo import demo_folder
    from explorer.intake.label_file import register_beside
    from explorer.records.cache import cache_folder

    place = record.opened_from
    return register_beside(cache_folder() / "demo" if place == demo_folder() else place)


def season_of(record: "Record", year: int | None) -> int:
    """Return the season that is asked for, else the record's last one.

    Parameters
    ----------
    record : Record
        An open record.
    year : int or None
        As the option gives it.

    Raises
    ------
    ExplorerError
        If none is named and the record holds no readings.
    """
    from explorer.intake.season_report import last_season

    found = last_season(record) if year is None else year
    if found is None:
        raise ExplorerError("The record holds no readings. Name the season: --season 2025.")
    return found


def write_page(page: "PaperPage", where: Path, *, made_on: date) -> None:
    """Write a page as a PDF or as a file for spreadsheets, as the file's ending says.

    Parameters
    ----------
    page : PaperPage
        The page.
    where : Path
        Ends in .pdf or .csv.
    made_on : date
        Day of making.

    Raises
    ------
    ExplorerError
        If the ending is another, or the file cannot be written.
    """
    from explorer.display.paper_files import page_csv, page_pdf, table_csv

    makers: dict[str, Callable[[], bytes]] = {
        ".pdf": lambda: page_pdf(page, made_on=made_on),
        ".csv": lambda: table_csv(page.tables[0]) if len(page.tables) == 1 else page_csv(page),
    }
    maker = makers.get(where.suffix.casefold())
    if maker is None:
        raise ExplorerError(f'"{where.name}" ends in neither .pdf nor .csv. Name a file that does.')
    write_file(where, maker())


def write_file(where: Path, content: bytes, *, keep: bool = False, quiet: bool = False) -> bool:
    """Write a file and say so.

    Parameters
    ----------
    where : Path
        The file; its folder is made where it lacks.
    content : bytes
        All of it.
    keep : bool
        Whether a file that is there already stays as it is: somebody may have written into it.
    quiet : bool
        Whether nothing is said of a written file, as of one among many.

    Returns
    -------
    bool
        Whether it was written.

    Raises
    ------
    ExplorerError
        If it cannot be written.
    """
    try:
        where.parent.mkdir(parents=True, exist_ok=True)
        with where.open("xb" if keep else "wb") as file:
            file.write(content)
    except FileExistsError:
        tell(f"{where} is there already and was left as it is: somebody may have filled it in.")
        return False
    except OSError as error:
        raise ExplorerError(
            f"{where} cannot be written: {error.strerror or error}. Close it where it is open, or name "
            "another."
        ) from error
    if not quiet:
        tell(f"Written: {where}")
    return True
