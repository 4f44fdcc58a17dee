"""`station-explorer new-record`: a record in one file, made from a folder or a table of texts."""

import argparse
import getpass

from explorer.command.options import place_option
from explorer.command.terminal import STOPPED, count_of, tell

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "make a record in one file from a folder or a CSV file"
DESCRIPTION = (
    "Reads a folder of CSV and GeoJSON files, or one CSV file, and writes a GeoPackage that takes check-ins. "
    "A folder with the lists of lakes and stations alone is enough to begin with. Nothing is overwritten."
)
ENDING = (
    "Exit status: 0 when made, 2 when an argument or a file is refused, 1 when something else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument(
        "--from", dest="source", type=place_option, required=True, metavar="FOLDER", help="folder or CSV file"
    )
    parser.add_argument("--out", type=place_option, required=True, metavar="FILE", help="the record to make")
    parser.add_argument(
        "--as",
        dest="who",
        metavar="NAME",
        help="who makes it; without it the name of this computer's account",
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.intake.refresh import refresh_if_possible
    from explorer.intake.settled_settings import settled_settings
    from explorer.records.new_record import make_record
    from explorer.records.opening import open_record

    made = make_record(
        options.source, options.out, who=options.who or getpass.getuser(), settle=settled_settings
    )
    record = open_record(made)
    try:
        refresh_if_possible(record)
        waters, stations = len(record.lakes()), len(record.station_list())
        tell(*record.messages)
        tell(f"{made}: {count_of(waters, 'water')}, {count_of(stations, 'station')}.")
    finally:
        record.close()
    return STOPPED
