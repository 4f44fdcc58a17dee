"""`station-explorer history`: a record's changes, its files as they came, and any state that it once had."""

import argparse
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import open_named, write_file
from explorer.command.terminal import STOPPED, tell
from explorer.model.errors import ExplorerError

if TYPE_CHECKING:
    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "list a record's changes, and take out a file as it came or a station as it stood"
DESCRIPTION = (
    "Nothing in a record is overwritten. Without further options its changes and the files that came in are "
    "listed: who, when, why, with what software. --reading shows how one reading came to stand as it does, "
    "with file, sheet, row and column; --file gives a file's bytes back exactly as they came; --station with "
    "--at gives a station's readings as the record held them then. Only reads the record."
)
ENDING = (
    "Exit status: 0 when done, 2 when an argument, the record or the file is refused, 1 when something else "
    "went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_record_option(parser)
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--reading", type=int, metavar="N", help="one reading, by its number in the record")
    which.add_argument(
        "--file", metavar="NAME", help="a file that came in, by its name or the start of its checksum"
    )
    which.add_argument("--station", metavar="CODE", help="a station's readings; needs --at")
    parser.add_argument("--at", type=int, metavar="CHANGE", help="as they stood after this change")
    parser.add_argument(
        "--out", type=place_option, metavar="FILE", help="where the file, or the readings as CSV, go"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.history_page import states_csv
    from explorer.records.past import readings_at

    if (options.station is None) != (options.at is None):
        raise ExplorerError("--station and --at go together: --station HM1 --at 3.")
    if options.out is None and (options.file or options.station):
        raise ExplorerError("Where to? Name a file: --out FILE.")
    record = open_named(options.record)
    try:
        if options.reading is not None:
            _tell_reading(record, options.reading)
        elif options.file is not None:
            write_file(options.out, _content(record, options.file))
        elif options.station is not None:
            if not 0 <= options.at <= record.version():
                raise ExplorerError(
                    f"The record has seen {record.version()} changes; there is no {options.at}."
                )
            readings = readings_at(record, options.at, options.station)
            write_file(options.out, states_csv(readings))
        else:
            _tell_changes(record)
    finally:
        record.close()
    return STOPPED


def _tell_changes(record: "Record") -> None:
    from explorer.display.history_page import change_table, file_table
    from explorer.display.paper_files import page_text
    from explorer.display.paper_tables import PaperPage
    from explorer.records.past import changes_of, files_of, readings_by_change

    language = record.programme.office_language
    changes = change_table(changes_of(record), readings_by_change(record), language)
    tables = (changes, file_table(files_of(record), language))
    tell(page_text(PaperPage(record.title, (), tables, language=language)))


def _tell_reading(record: "Record", number: int) -> None:
    from explorer.display.history_page import state_table
    from explorer.display.paper_files import page_text
    from explorer.display.paper_tables import PaperPage
    from explorer.records.past import reading_history
    from explorer.records.reason_problems import ReasonProblems

    programme = record.programme
    states, problem_of = reading_history(record, number), ReasonProblems(record)
    table = state_table(states, programme.quantities, programme.office_language, problem_of)
    tell(page_text(PaperPage(record.title, (), (table,), language=programme.office_language), whole=True))


def _content(record: "Record", name: str) -> bytes:
    """Return the bytes of a file; of several with one name those of the latest."""
    from explorer.model.errors import did_you_mean
    from explorer.records.past import file_content, files_of

    files = files_of(record)
    found = files[(files["name"] == name) | files["sha256"].str.startswith(name)]
    if found.empty:
        question = did_you_mean(name, files["name"])
        raise ExplorerError(f'No file "{name}" came into the record.{question} history lists them.')
    return file_content(record, str(found["sha256"].iloc[-1]))
