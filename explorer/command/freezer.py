"""`station-explorer freezer`: what lies in the freezer, by the days that it has left."""

import argparse
from datetime import date
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import date_option, open_named, register_of, write_page
from explorer.command.terminal import STOPPED, tell

if TYPE_CHECKING:
    import pandas as pd

    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "list bottles and filters in the freezer, by the days that they have left"
DESCRIPTION = (
    "Lists what lies in the freezer, least days left first, and writes the sheet that hands it to the "
    "laboratory. Only published limits are used, and those of the programme's quality plan, which stand in "
    "its settings under [quality]; where there is none, nothing is said. Only reads the record."
)
ENDING = (
    "Exit status: 0 when listed, 2 when an argument, the record or a file is refused, 1 when something else "
    "went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument(
        "--log", type=place_option, metavar="FILE", action="append",
        help="a freezer log (CSV or workbook), may be given again; without it the logs in the record",
    )  # fmt: skip
    add_record_option(parser)
    parser.add_argument("--day", type=date_option, metavar="DATE", help="as of this day; without it today")
    parser.add_argument(
        "--out", type=place_option, metavar="FILE",
        help="a name ending in .pdf or .csv; without it the list is printed here",
    )  # fmt: skip
    parser.add_argument(
        "--hand-over", type=place_option, metavar="FILE",
        help="a name ending in .pdf or .csv for the sheet that hands the samples to the laboratory",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.paper_files import page_text
    from explorer.display.season_papers import freezer_pages
    from explorer.intake.label_file import given_codes

    today = options.day or date.today()
    record = open_named(options.record)
    try:
        given = given_codes(register_of(record))
        page, hand_over = freezer_pages(record, given, today, _containers(record, options))
        if options.hand_over is not None:
            write_page(hand_over, options.hand_over, made_on=today)
        if options.out is None:
            tell(page_text(page))
        else:
            write_page(page, options.out, made_on=today)
    finally:
        record.close()
    return STOPPED


def _containers(record: "Record", options: argparse.Namespace) -> "pd.DataFrame | None":
    """Return the rows of the freezer logs that are named, None where none is."""
    import pandas as pd

    from explorer.intake.own_headings import heading_names
    from explorer.intake.reading import read_file
    from explorer.model.errors import ExplorerError
    from explorer.model.problems import describe_problems

    if not options.log:
        return None
    frames = []
    for place in options.log:
        try:
            content = place.read_bytes()
        except OSError as error:
            raise ExplorerError(f"{place} cannot be read: {error.strerror or error}.") from error
        names = heading_names(record.programme.headings, record.programme.quantities)
        found = read_file(place.name, content, names=names, kind="freezer_log")
        if not found.tables:
            raise ExplorerError(describe_problems(found.problems))
        tell(*(str(problem) for problem in found.problems if problem.severity != "note"))
        frames += [table.containers for table in found.tables]
    return pd.concat(frames, ignore_index=True)
