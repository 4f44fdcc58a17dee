"""Options that several commands share."""

import argparse
import os
from pathlib import Path

from explorer.model.errors import ExplorerError

__all__ = ["add_page_options", "add_record_option", "add_write_options", "place_option", "writer_of"]


def place_option(text: str) -> Path:
    """Return the file or folder that an option names.

    Raises
    ------
    ArgumentTypeError
        If the text is empty.

    Examples
    --------
    >>> place_option("lakes.gpkg").name
    'lakes.gpkg'
    """
    if not text.strip():
        raise argparse.ArgumentTypeError("it is empty; write the name of a file or folder")
    return Path(os.path.expanduser(text))


def add_record_option(parser: argparse.ArgumentParser) -> None:
    """Let a command be told which record to open."""
    parser.add_argument(
        "--record",
        type=place_option,
        metavar="R",
        help="the record: a GeoPackage of the explorer, a folder of CSV and GeoJSON files, or one long CSV "
        "file; without it the one that the environment variable STATION_EXPLORER_RECORD names, else the demo",
    )


def add_page_options(parser: argparse.ArgumentParser) -> None:
    """Let a command that opens a page be told where, and whether to open a browser."""
    parser.add_argument(
        "--port", type=_port, metavar="N", help="port of the page; without it the first free one from 8630"
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="only print the page's address, open no browser"
    )


def add_write_options(parser: argparse.ArgumentParser) -> None:
    """Let a command that opens a page be told that the page may write, and who writes."""
    parser.add_argument(
        "--write",
        action="store_true",
        help="let the page write into the record, a GeoPackage; needs --as. The page's address then holds a "
        "token: whoever has it can write. On a computer that several people use at once, add --no-browser",
    )
    parser.add_argument(
        "--as", dest="writer", default="", metavar="NAME", help="who writes; kept with every change as typed"
    )


def writer_of(options: argparse.Namespace) -> str:
    """Return who writes, empty for a page that only reads.

    Raises
    ------
    ExplorerError
        If --write stands without --as, or --as without --write.
    """
    writer = " ".join(str(options.writer).split())
    if options.write and not writer:
        raise ExplorerError("--write needs --as NAME: every change is kept with the name of who made it.")
    if writer and not options.write:
        raise ExplorerError("--as NAME is for writing only. Add --write, or leave --as out.")
    return writer


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError(f'"{text}" is no port; write a number from 1024 to 65535')
    return int(text)
