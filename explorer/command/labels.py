"""`station-explorer labels`: labels, data sheets, roster and hand-over sheet for planned visits."""

import argparse
from datetime import date
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import open_named, register_of, write_file
from explorer.command.terminal import STOPPED, tell

if TYPE_CHECKING:
    import pandas as pd

    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "month_option", "run"]

SUMMARY = "print labels, data sheets, roster and hand-over sheet for a month or a list of visits"
DESCRIPTION = (
    "Gives every planned visit its sample code and writes what goes along: labels for bottles and filters, "
    "blank data sheets for the boat and as spreadsheets, the roster, and the sheet that hands the samples to "
    "the laboratory. No code is given twice: those given stand in a register beside the record, and the same "
    "visits get the same codes again. The label sheet stands in the programme's settings, under [labels]. "
    "Print labels at their true size, first once on plain paper."
)
ENDING = (
    "Exit status: 0 when written, 2 when an argument, the record, the list of visits or a file is refused, 1 "
    "when something else went wrong."
)


def month_option(text: str) -> tuple[int, int]:
    """Return the year and the month that an option names.

    Raises
    ------
    ArgumentTypeError
        If the text is no month.

    Examples
    --------
    >>> month_option("2025-06")
    (2025, 6)
    """
    try:
        day = date.fromisoformat(f"{text}-01")
    except ValueError as error:
        raise argparse.ArgumentTypeError(f'"{text}" is no month; write it as 2025-06') from error
    return day.year, day.month


def _count_option(text: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise argparse.ArgumentTypeError(f'"{text}" is no whole number of 0 or more')
    return int(text)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "--visits", type=place_option, metavar="FILE",
        help="a list of visits (CSV or workbook): station, date, and if you like time, observers, duplicate "
        "and blank (yes or no); roster.csv of an earlier run, filled in, is one",
    )  # fmt: skip
    which.add_argument(
        "--month", type=month_option, metavar="YYYY-MM", help="the visits that the plan has for this month"
    )
    add_record_option(parser)
    parser.add_argument(
        "--out", type=place_option, metavar="PLACE", required=True,
        help="a folder for all of it, or a name ending in .pdf for the labels alone",
    )  # fmt: skip
    parser.add_argument(
        "--used", type=_count_option, metavar="N", default=0,
        help="labels of the first sheet that are used already",
    )  # fmt: skip
    parser.add_argument(
        "--after", type=_count_option, metavar="SERIAL", default=0,
        help="go on behind this serial number, where labels were made in another way before",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.visit_papers import FILLED_IN, VisitPapers
    from explorer.intake.visits_ahead import give_codes

    today = date.today()
    record = open_named(options.record)
    try:
        visits, register = _visits(record, options, today), register_of(record)
        coded, new = give_codes(record, visits, register, today=today, after=options.after)
        tell(f"Sample codes: {new} new. All that were given stand in {register}; keep it beside the record.")
        papers = VisitPapers(record, coded, made_on=today, used=options.used)
        if "labels.pdf" not in papers.names:
            tell("No visit takes a bottle or a filter: there are no labels.")
        only_labels = options.out.suffix.casefold() == ".pdf"
        wanted = [name for name in papers.names if not only_labels or name == "labels.pdf"]
        made = {name: papers.make(name) for name in wanted}  # all of them before one is written
        for name, content in made.items():
            if only_labels:
                write_file(options.out, content)
            else:
                write_file(options.out / name, content, keep=name in FILLED_IN)
    finally:
        record.close()
    return STOPPED


def _visits(record: "Record", options: argparse.Namespace, today: date) -> "pd.DataFrame":
    """Return the visits that are asked for."""
    from explorer.intake.visits_ahead import listed_visits, month_visits
    from explorer.model.errors import ExplorerError

    if options.month:
        return month_visits(record, *options.month)
    try:
        content = options.visits.read_bytes()
    except OSError as error:
        raise ExplorerError(f"{options.visits} cannot be read: {error.strerror or error}.") from error
    return listed_visits(record, options.visits.name, content, today=today)
