"""`station-explorer settings`: what a record's programme has decided, shown or put in anew."""

import argparse
import getpass

from explorer.command.options import place_option
from explorer.command.terminal import STOPPED, tell
from explorer.model.errors import ExplorerError

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "show a record's settings, or put others in their place"
DESCRIPTION = (
    "A record carries its programme's settings: season, plan, names of headings, checks, quality limits, "
    "class rules. Without --from they are printed, to be written into a file and changed there; with it that "
    "file takes their place, unless something in it is wrong: then every mistake is named and nothing "
    "changes. A dated copy of the record is made before."
)
ENDING = (
    "Exit status: 0 when printed or changed, 2 when an argument, the record or a setting is refused, 1 when "
    "something else went wrong."
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    parser.add_argument("--record", type=place_option, required=True, metavar="R", help="the record")
    parser.add_argument("--from", dest="source", type=place_option, metavar="FILE", help="the new settings")
    parser.add_argument(
        "--as", dest="who", metavar="NAME", help="who does it; without it the name of this computer's account"
    )
    parser.add_argument("--why", default="", metavar="TEXT", help="kept with the change")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.intake.refresh import refresh_if_possible
    from explorer.intake.settled_settings import settled_settings
    from explorer.records.opening import open_record
    from explorer.records.settings_entry import change_settings

    record = open_record(options.record)
    try:
        if options.source is None:
            tell(record.settings)
            return STOPPED
        try:
            text = options.source.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise ExplorerError(f"{options.source} cannot be read as UTF-8 text: {error}.") from error
        name = options.source.name
        settled_settings(text, name, [each.code for each in record.station_list()])
        who, why = options.who or getpass.getuser(), options.why.strip() or f"Settings of {name}"
        change = change_settings(record, text, who=who, why=why)
    finally:
        record.close()
    changed = open_record(options.record)
    try:
        refresh_if_possible(changed)
    finally:
        changed.close()
    tell(f"{options.record} carries the settings of {name} since change {change}.")
    return STOPPED
