"""`station-explorer go-back`: the record as it was in one of its dated copies."""

import argparse
import getpass

from explorer.command.options import place_option
from explorer.command.terminal import STOPPED, count_of, tell

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "list a record's dated copies, or bring it back to one of them"
DESCRIPTION = (
    "Before every check-in a dated copy of the record is made beside it. Without --to they are listed; with "
    "it the record becomes again what it was then. What stands in it now is copied before, so that this can "
    "be taken back as well, and the change is written down."
)
ENDING = (
    "Exit status: 0 when listed or done, 2 when an argument, the record or the copy is refused, 1 when "
    "something else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument("--record", type=place_option, required=True, metavar="R", help="the record")
    parser.add_argument("--to", metavar="COPY", help="name of the copy, as listed")
    parser.add_argument(
        "--as", dest="who", metavar="NAME", help="who does it; without it the name of this computer's account"
    )
    parser.add_argument("--why", default="", metavar="TEXT", help="kept with the change")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.records.copies import copies_folder, dated_copies, go_back
    from explorer.records.opening import open_record

    record = open_record(options.record)
    path, version = record.path, record.version()
    record.check_writable()
    record.close()
    if options.to is None:
        copies = dated_copies(path)
        lie = (
            f"{len(copies)} of its dated copies lie in" if len(copies) != 1 else "1 dated copy of it lies in"
        )
        where = f"{lie} {copies_folder(path)}:" if copies else "No dated copy was made yet."
        tell(f"{path} has seen {count_of(version, 'change')}. {where}", *(each.path.name for each in copies))
        return STOPPED
    why = options.why.strip() or f"Back to {options.to}"
    change = go_back(path, options.to, who=options.who or getpass.getuser(), why=why)
    tell(f"{path} stands again as in {options.to}; this is change {change}.")
    return STOPPED
