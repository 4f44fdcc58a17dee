"""`station-explorer meeting`: a lake association's meeting as a page."""

import argparse
from urllib.parse import urlencode

from explorer.command.options import add_page_options, add_record_option
from explorer.command.page import open_page

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "open a lake association's meeting in the browser"
DESCRIPTION = (
    "Opens a page for a hall: one lake in five steps, by arrow keys, a clicker or buttons, each one plain "
    "sentence with its picture and how sure it is; cards for the questions that are asked; and a hand-out to "
    "save. No observer and no other lake's class is shown. The page can be reached from this computer only, "
    "asks nothing of the internet and only reads the record. Ctrl-C stops it."
)
ENDING = (
    "Exit status: 0 when stopped, 2 when an argument, the record, the lake or the port is refused, 1 when "
    "something else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument(
        "--lake",
        default="",
        metavar="NAME",
        help="the lake, by its name, the beginning of it, or its code; without it pick one",
    )
    add_record_option(parser)
    add_page_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.default_record import default_place
    from explorer.display.lake_names import find_lake
    from explorer.display.meeting import check_cards
    from explorer.records.opening import open_record

    record = open_record(options.record or default_place())
    try:
        check_cards(record)
        code = find_lake(record, options.lake).code if options.lake.strip() else ""
    finally:
        record.close()
    return open_page(
        "lake_meeting.ipynb",
        options.record,
        options.port,
        browser=not options.no_browser,
        fragment=urlencode({"lake": code}) if code else "",
    )
