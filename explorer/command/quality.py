"""`station-explorer quality`: a season's quality report."""

import argparse
from datetime import date

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import add_season_option, open_named, season_of, write_page
from explorer.command.terminal import STOPPED

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "write a season's quality report"
DESCRIPTION = (
    "Writes how complete a season is against the plan, how its duplicates agree, whether its blanks are "
    "clear, which samples waited too long, what was held, rejected and corrected, and who reviewed it. Plan "
    "and limits stand in the programme's settings, under [plan] and [quality]. Only reads the record."
)
ENDING = (
    "Exit status: 0 when written, 2 when an argument, the record or the file is refused or the season holds "
    "nothing, 1 when something else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_season_option(parser)
    add_record_option(parser)
    parser.add_argument(
        "--out", type=place_option, metavar="FILE", required=True,
        help="a name ending in .pdf for the report, or in .csv for its numbers",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.season_papers import quality_page

    record = open_named(options.record)
    try:
        page = quality_page(record, season_of(record, options.season), date.today())
    finally:
        record.close()
    write_page(page, options.out, made_on=date.today())
    return STOPPED
