"""Options that several commands share."""

import argparse
import os
from pathlib import Path

__all__ = ["add_page_options", "add_record_option", "place_option"]


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


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError(f'"{text}" is no port; write a number from 1024 to 65535')
    return int(text)
