"""`station-explorer explore`: the station explorer as a page."""

import argparse

from explorer.command.options import add_page_options, add_record_option, add_write_options, writer_of
from explorer.command.page import open_page

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "open the station explorer in the browser"
DESCRIPTION = (
    "Opens a page with the map of all stations and, for the station that you pick, its clarity, chlorophyll "
    "and nutrients. The page can be reached from this computer only and asks nothing of the internet. It "
    "only reads the record, unless --write lets you mark readings. Ctrl-C stops it."
)
ENDING = (
    "Exit status: 0 when stopped, 2 when an argument, the record or the port is refused, 1 when something "
    "else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_record_option(parser)
    add_page_options(parser)
    add_write_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    writer = writer_of(options)
    return open_page(
        "explore_stations.ipynb",
        options.record,
        options.port,
        browser=not options.no_browser,
        writable=options.write,
        writer=writer,
    )
