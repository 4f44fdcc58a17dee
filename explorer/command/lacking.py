"""`station-explorer lacking`: what a season still lacks."""

import argparse
from datetime import date

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import add_season_option, open_named, season_of, write_page
from explorer.command.terminal import STOPPED, tell

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "list what a season still lacks, by station and month"
DESCRIPTION = (
    "Lists every visit and every result that was planned for a season and is not in the record. The plan "
    "stands in the programme's settings, under [plan]. Only reads the record."
)
ENDING = (
    "Exit status: 0 when listed, 2 when an argument, the record or the file is refused, 1 when something "
    "else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_season_option(parser)
    add_record_option(parser)
    parser.add_argument(
        "--out", type=place_option, metavar="FILE",
        help="a name ending in .pdf or .csv; without it the list is printed here",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.paper_files import page_text
    from explorer.display.season_papers import lacking_page

    record = open_named(options.record)
    try:
        page = lacking_page(record, season_of(record, options.season), date.today())
    finally:
        record.close()
    if options.out is None:
        tell(page_text(page))
    else:
        write_page(page, options.out, made_on=date.today())
    return STOPPED
