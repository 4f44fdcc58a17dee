"""`station-explorer handout`: what a lake association takes home, for one lake or for all."""

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import add_season_option, open_named, write_file
from explorer.command.terminal import STOPPED, count_of, progress_bar, tell
from explorer.model.errors import ExplorerError

if TYPE_CHECKING:
    from explorer.display.meeting import MeetingRecord

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "write a lake's hand-out, or its meeting as slides"
DESCRIPTION = (
    "Writes the five steps of a lake's meeting for paper: two pages (.pdf) or one file for the browser "
    "(.html) that asks nothing of the internet; with --slides a page a step for a projector. --all writes "
    "all three for every lake of the record into a folder. Words, numbers and pictures are the same in all "
    "of them. No observer is named. Only reads the record."
)
ENDING = (
    "Exit status: 0 when written, 2 when an argument, the record, the lake or the file is refused, 1 when "
    "something else went wrong."
)
FORMS = {(".pdf", False): "handout", (".pdf", True): "slides", (".html", False): "html"}


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "--lake", metavar="NAME", help="the lake, by its name, the beginning of it, or its code"
    )
    which.add_argument("--all", action="store_true", help="every lake of the record")
    parser.add_argument(
        "--out", type=place_option, metavar="FILE", required=True,
        help="a name ending in .pdf or .html; with --all a folder",
    )  # fmt: skip
    parser.add_argument("--slides", action="store_true", help="the steps as pages for a projector (.pdf)")
    add_season_option(parser)
    add_record_option(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.meeting import MeetingRecord

    form = FORMS.get((options.out.suffix.casefold(), options.slides))
    if not options.all and form is None:
        endings = ".pdf" if options.slides else ".pdf or .html"
        raise ExplorerError(f'"{options.out.name}" does not end in {endings}. Name a file that does.')
    if options.all and options.slides:
        raise ExplorerError("--all writes the slides, too: leave --slides out.")
    record = open_named(options.record)
    try:
        lakes = MeetingRecord(record, progress_bar("Seasons"), options.season)
        if options.all:
            _write_all(lakes, options.out)
        else:
            from explorer.display.handout import handout_file

            meeting = lakes.meeting(lakes.find(options.lake), date.today())
            write_file(options.out, handout_file(meeting, str(form))[1])
    finally:
        record.close()
    return STOPPED


def _write_all(lakes: "MeetingRecord", folder: Path) -> None:
    from explorer.display.handout import HANDOUT_KINDS, handout_file

    if folder.exists() and not folder.is_dir():
        raise ExplorerError(f"{folder} is a file. With --all name a folder.")
    found = lakes.lakes()
    show = progress_bar("Hand-outs")
    for number, lake in enumerate(found, 1):
        meeting = lakes.meeting(lake, date.today())
        for kind in HANDOUT_KINDS:
            name, content = handout_file(meeting, kind)
            write_file(folder / name, content, quiet=True)
        show(number, len(found))
    tell(f"Written: hand-outs and slides of {count_of(len(found), 'water')} in {folder}")
