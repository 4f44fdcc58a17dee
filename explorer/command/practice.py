"""`station-explorer practice`: the practice day as a page."""

import argparse

from explorer.command.options import add_page_options, add_record_option
from explorer.command.page import open_page

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "open the exercises for new volunteers in the browser"
DESCRIPTION = (
    "Opens a page with exercises: safety, reading the disk, filtering, labels and sheet, keeping samples "
    "cold, a whole visit, and a group that compares its readings. Rules are those of the record's programme "
    "(table [practice] of programme.toml); the record itself is only read. The page can be reached from this "
    "computer only, asks nothing of the internet and stores nothing. Ctrl-C stops it."
)
ENDING = (
    "Exit status: 0 when stopped, 2 when an argument, the record or the port is refused, 1 when something "
    "else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_record_option(parser)
    add_page_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    return open_page("practice_day.ipynb", options.record, options.port, browser=not options.no_browser)
