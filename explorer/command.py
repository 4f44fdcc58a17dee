"""The command `station-explorer`: its arguments, and what it says in the terminal."""

import argparse
import io
import os
import signal
import sys
import tempfile
import traceback
import webbrowser
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import NoReturn

import platformdirs

from explorer.model.errors import ExplorerError, nearest_name

__all__ = ["main"]

# Exit statuses
STOPPED = 0  # stopped by Ctrl-C, by closing the terminal or by a signal; or only help was asked for
FAILED = 1  # something went wrong in the program or in its server
REFUSED = 2  # a wrong argument, a record that cannot be opened, a port that is taken

_COMMANDS = ("explore",)
_OPTIONS = ("--record", "--port", "--no-browser", "--help", "--version")


class _Parser(argparse.ArgumentParser):
    """Says in one line what is wrong and where the right words are listed."""

    def error(self, message: str) -> NoReturn:
        self.exit(
            REFUSED, f"{message.removeprefix('argument ')}. `{self.prog} --help` lists what there is.\n"
        )


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError(f'"{text}" is no port; write a number from 1024 to 65535')
    return int(text)


def _place(text: str) -> Path:
    if not text.strip():
        raise argparse.ArgumentTypeError("it is empty; write the name of a file or folder")
    return Path(os.path.expanduser(text))


def _parser() -> _Parser:
    parser = _Parser(
        prog="station-explorer",
        description="Shows the stations of a lake-monitoring programme: their record and their state.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {version('station-explorer')}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    explore = commands.add_parser(
        "explore",
        help="open the station explorer in the browser",
        description="Opens a page with the map of all stations and, for the station that you pick, its "
        "clarity, chlorophyll and nutrients. The page can be reached from this computer only and asks "
        "nothing of the internet. It only reads the record. Ctrl-C stops it.",
        epilog="Exit status: 0 when stopped, 2 when an argument, the record or the port is refused, 1 when "
        "something else went wrong.",
        allow_abbrev=False,
    )
    explore.add_argument(
        "--record",
        type=_place,
        metavar="R",
        help="the record: a GeoPackage of the explorer, a folder of CSV and GeoJSON files, or one long CSV "
        "file; without it the one that the environment variable STATION_EXPLORER_RECORD names, else the demo",
    )
    explore.add_argument(
        "--port", type=_port, metavar="N", help="port of the page; without it the first free one from 8630"
    )
    explore.add_argument(
        "--no-browser", action="store_true", help="only print the page's address, open no browser"
    )
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status.

    Parameters
    ----------
    arguments : sequence of str, optional
        What stands after the command's name; taken from the command line when left out.

    Examples
    --------
    >>> main(["--version"])
    Traceback (most recent call last):
    SystemExit: 0
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a letter that the terminal lacks stops nothing
    parser = _parser()
    options = _parse(parser, list(sys.argv[1:] if arguments is None else arguments))
    if options.command is None:
        parser.print_help()
        return STOPPED
    try:
        return _explore(options.record, options.port, browser=not options.no_browser)
    except KeyboardInterrupt:
        return STOPPED
    except ExplorerError as error:
        from explorer.serve import ServeError

        print(error, file=sys.stderr)
        return FAILED if isinstance(error, ServeError) else REFUSED
    except Exception as error:
        print(_report_of(error), file=sys.stderr)
        return FAILED


def _parse(parser: _Parser, given: list[str]) -> argparse.Namespace:
    """Return the options; an unknown word ends the program with its nearest neighbour."""
    word = next((each for each in given if not each.startswith("-")), None)
    if word is not None and word not in _COMMANDS:
        parser.error(_unknown("command", word, _COMMANDS))
    options, left_over = parser.parse_known_args(given)
    if left_over and left_over[0].startswith("-"):
        parser.error(_unknown("option", left_over[0], _OPTIONS))
    if left_over:
        parser.error(f'"{left_over[0]}" stands alone. If it is your record, write --record before it')
    return options


def _unknown(kind: str, word: str, known: Iterable[str]) -> str:
    near = nearest_name(word, known)
    return f'There is no {kind} "{word}"' + (f'; "{near}" is the nearest' if near else "")


def _explore(record: Path | None, port: int | None, *, browser: bool) -> int:
    from explorer.analysis.class_schemes import programme_schemes
    from explorer.default_record import default_place, introduce
    from explorer.demo import notebooks_folder
    from explorer.ports import choose_port
    from explorer.records.record import open_record
    from explorer.serve import served_page

    _stop_at_signals()
    place = default_place() if record is None else record
    _say(introduce(place))
    opened = open_record(place)
    programme_schemes(opened.settings, "programme.toml", opened.programme.quantities)  # refuses a wrong rule
    waters, stations = len(opened.lakes()), len(opened.station_list())
    _say(f"{_count(waters, 'water')}, {_count(stations, 'station')}.", *opened.messages)
    opened.close()
    port = choose_port(port)
    _say("The page is starting …")
    notebook = notebooks_folder() / "explore_stations.ipynb"
    with served_page(notebook, place, port, _log_file(f"page-{port}")) as page:
        _say(
            f"The page is at {page.address} and can be reached from this computer only.",
            "Press Ctrl-C here to stop it.",
        )
        if browser and not _open_browser(page.address):
            _say("No browser was found: open that address in one yourself.")
        page.wait()
    return STOPPED


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _say(*lines: str) -> None:
    for line in lines:
        print(line, flush=True)


def _stop_at_signals() -> None:
    """Let Ctrl-C, a closed terminal and a request to end stop the page once; more of them change nothing."""
    names = [name for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)]
    numbers = [
        number for name in names if signal.getsignal(number := getattr(signal, name)) != signal.SIG_IGN
    ]

    def stop(number: int, frame: object) -> NoReturn:
        for each in numbers:
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    for number in numbers:
        signal.signal(number, stop)


def _open_browser(address: str) -> bool:
    """Open the address in a window; a browser that would take over the terminal is not opened."""
    if sys.platform.startswith("linux") and not {"DISPLAY", "WAYLAND_DISPLAY", "BROWSER"} & os.environ.keys():
        return False
    try:
        return webbrowser.open(address)
    except webbrowser.Error:
        return False


def _log_file(name: str) -> Path:
    """Return a file for what is written for whoever mends the program; its folder exists."""
    try:
        folder = platformdirs.user_log_path("station-explorer", appauthor=False, ensure_exists=True)
    except OSError:
        folder = Path(tempfile.gettempdir())
    return folder / f"{name}.log"


def _report_of(error: Exception) -> str:
    path = _log_file("command")
    path.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    return (
        f"Something went wrong in the station explorer itself ({type(error).__name__}). Nothing in the "
        f"record was changed. What happened is written in {path}; send it to whoever looks after the program."
    )


if __name__ == "__main__":
    sys.exit(main())
