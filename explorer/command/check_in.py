"""`station-explorer check-in`: sheets and laboratory files into the record, without a screen."""

import argparse
import getpass
import os
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.options import add_page_options, place_option
from explorer.command.page import open_page
from explorer.command.terminal import REFUSED, STOPPED, tell
from explorer.model.errors import ExplorerError
from explorer.model.words import say

if TYPE_CHECKING:
    from explorer.model.check_in import CheckIn
    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SOMETHING_WAITS", "SUMMARY", "add_options", "run"]

SUMMARY = "check data sheets, freezer logs, laboratory and probe files in, with or without a page"
DESCRIPTION = (
    "Reads the files together, reconciles sheets, bottles, filters and results by their codes, looks with "
    "every check, and takes all of it into the record in one change, or nothing. What waits for an answer is "
    "kept with its reason. A dated copy of the record is made before. The same file twice changes nothing; a "
    "corrected file of the same name shows what differs, and the results of its samples follow. Without "
    "files it opens the desk, a page that does the same and decides on what waits; its address holds a "
    "token, and whoever has it can write. Ctrl-C stops it."
)
ENDING = (
    "Exit status: 0 when all was taken, 1 when something is held or was not taken, 2 when a file, an "
    "argument or the record cannot be read."
)
SOMETHING_WAITS = 1


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument(
        "files", nargs="*", type=place_option, metavar="FILE",
        help="CSV files and workbooks, or folders of them; none opens the page",
    )  # fmt: skip
    parser.add_argument(
        "--record", type=place_option, metavar="R",
        help="the record: a GeoPackage of the explorer, with --dry-run also a folder or a CSV file; without "
        "it that of the environment variable STATION_EXPLORER_RECORD, with --dry-run else the demo",
    )  # fmt: skip
    parser.add_argument("--dry-run", action="store_true", help="only look; nothing is changed")
    parser.add_argument(
        "--problems", type=place_option, metavar="FILE", help="write every doubt into this CSV file"
    )
    parser.add_argument(
        "--as",
        dest="who",
        metavar="NAME",
        help="who checks in; without it the name of this computer's account",
    )
    parser.add_argument("--remark", default="", metavar="TEXT", help="kept with the change")
    add_page_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    if not options.files:
        return _open_desk(options)
    from explorer.display.check_in_lines import problems_csv
    from explorer.intake.check_in import accept, check_in
    from explorer.records.copies import dated_copies

    files = _contents(options.files)
    record = _opened(options.record, dry=options.dry_run)
    try:
        checked = check_in(files, record, progress=_progress)
        _report(checked)
        if options.problems is not None:
            _write(options.problems, problems_csv(checked.problems))
        if any(each.state == "unread" for each in checked.files):
            tell(say("intake.unread_refused"))
            return REFUSED
        if checked.brings_nothing:
            tell(say("intake.nothing_to_take"))
        elif options.dry_run:
            tell(say("intake.looked_only"))
        else:
            who = options.who or getpass.getuser()
            tell("Writing …")
            change = accept(record, checked, who=who, remark=options.remark)
            copy = dated_copies(record.path)[0].path
            values = {"record": record.path.name, "change": change, "who": who, "copy": copy}
            tell(say("intake.landed", values))
            _refresh(record.path)
    finally:
        record.close()
    return STOPPED if checked.is_clean else SOMETHING_WAITS


def _open_desk(options: argparse.Namespace) -> int:
    """Open the desk as a page; with --dry-run it only looks."""
    if options.problems is not None or options.remark:
        raise ExplorerError("--problems and --remark go with files. Name the files, or leave both out.")
    if not options.dry_run:
        _check_named(options.record)
    return open_page(
        "check_in.ipynb",
        options.record,
        options.port,
        browser=not options.no_browser,
        writable=not options.dry_run,
        writer=options.who or "",
    )


def _contents(places: list[Path]) -> list[tuple[str, bytes]]:
    """Return name and bytes of every file; folders stand for the files in them."""
    found: list[tuple[str, bytes]] = []
    wrong: list[str] = []
    for place in places:
        try:
            inside = sorted(each for each in place.iterdir() if each.is_file()) if place.is_dir() else [place]
        except OSError as error:
            wrong.append(f"{place} cannot be opened: {error.strerror}.")
            continue
        own = [each for each in inside if not each.name.startswith((".", "~$"))]
        if not own:
            wrong.append(f"{place} holds no file to check in.")
        for each in own:
            try:
                found.append((each.name, each.read_bytes()))
            except OSError as error:
                wrong.append(f"{each} cannot be read: {error.strerror}.")
    if wrong:
        raise ExplorerError(
            "\n".join((*wrong, "Check the names, close what is open elsewhere, and try again."))
        )
    return found


def _check_named(place: Path | None) -> None:
    """Refuse a check-in for which nobody has named a record."""
    from explorer.default_record import RECORD_VARIABLE

    if place is None and not os.environ.get(RECORD_VARIABLE, "").strip():
        raise ExplorerError(
            "Into which record? Name it with --record, or only look with --dry-run. A new one is made with "
            "station-explorer new-record --from FOLDER --out lakes.gpkg"
        )


def _opened(place: Path | None, *, dry: bool) -> "Record":
    """Return the record; one that is to be changed must be named and be one file."""
    from explorer.default_record import default_place, introduce
    from explorer.records.opening import open_record

    if not dry:
        _check_named(place)
    chosen = default_place() if place is None else place
    tell(introduce(chosen))
    record = open_record(chosen)
    if not dry:
        try:
            record.check_writable()
        except ExplorerError:
            record.close()
            raise
    return record


def _progress(name: str, done: int, of: int) -> None:
    tell(f"Reading {name} ({done + 1} of {of}) …" if name else "Looking at it beside the record …")


def _report(checked: "CheckIn") -> None:
    from explorer.display.check_in_lines import check_in_lines, difference_lines, problem_lines

    told = problem_lines(checked.problems)
    tell(*told)
    if len(told) < len(checked.problems):
        tell(say("intake.problems_more"))
    differences = difference_lines(checked)
    if differences:
        tell(say("intake.differences"), *differences)
    tell(*check_in_lines(checked))


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        raise ExplorerError(
            f"{path} cannot be written: {error.strerror}. Name another file; nothing was changed."
        ) from error


def _refresh(path: Path) -> None:
    """Compute the season tables of the stations that the change touched."""
    from explorer.intake.refresh import refresh_if_possible
    from explorer.records.opening import open_record

    tell("Bringing the season tables up to date …")
    record = open_record(path)
    try:
        refresh_if_possible(record)
    finally:
        record.close()
