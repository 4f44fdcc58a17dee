"""The command `station-explorer`: its sub-commands, and how each of them is run and ends."""

import argparse
import io
import os
import sys
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from typing import NoReturn

from explorer.command import (
    check_in,
    explore,
    freezer,
    go_back,
    handout,
    history,
    labels,
    lacking,
    meeting,
    new_record,
    practice,
    quality,
    settings,
    summary,
)
from explorer.command.terminal import FAILED, REFUSED, STOPPED, report_of
from explorer.model.errors import ExplorerError, nearest_name

__all__ = ["COMMANDS", "main"]

# A command is a module with SUMMARY, DESCRIPTION, ENDING, add_options(parser) and run(options).
COMMANDS = {
    "explore": explore,
    "check-in": check_in,
    "new-record": new_record,
    "go-back": go_back,
    "history": history,
    "settings": settings,
    "labels": labels,
    "freezer": freezer,
    "lacking": lacking,
    "quality": quality,
    "summary": summary,
    "practice": practice,
    "meeting": meeting,
    "handout": handout,
}


class _Parser(argparse.ArgumentParser):
    """Says in one line what is wrong and where the right words are listed."""

    def error(self, message: str) -> NoReturn:
        self.exit(
            REFUSED, f"{message.removeprefix('argument ')}. `{self.prog} --help` lists what there is.\n"
        )

    def options(self) -> list[str]:
        """Return the long names of all options."""
        return [name for action in self._actions for name in action.option_strings if name.startswith("--")]


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
    parser, commands = _parsers()
    options = _parse(parser, commands, list(sys.argv[1:] if arguments is None else arguments))
    if options.command is None:
        parser.print_help()
        return STOPPED
    try:
        status: int = COMMANDS[options.command].run(options)
    except KeyboardInterrupt:
        return STOPPED
    except BrokenPipeError:  # whoever reads along, as `head` does, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return STOPPED
    except ExplorerError as error:
        from explorer.serve import ServeError

        print(error, file=sys.stderr)
        return FAILED if isinstance(error, ServeError) else REFUSED
    except Exception as error:
        print(report_of(error), file=sys.stderr)
        return FAILED
    return status


def _parsers() -> tuple[_Parser, dict[str, _Parser]]:
    parser = _Parser(
        prog="station-explorer",
        description="Shows the stations of a lake-monitoring programme: their record and their state.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {version('station-explorer')}")
    added = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    commands = {}
    for name, each in COMMANDS.items():
        commands[name] = added.add_parser(
            name, help=each.SUMMARY, description=each.DESCRIPTION, epilog=each.ENDING, allow_abbrev=False
        )
        each.add_options(commands[name])
    return parser, commands


def _parse(parser: _Parser, commands: dict[str, _Parser], given: list[str]) -> argparse.Namespace:
    """Return the options; an unknown word ends the program with its nearest neighbour."""
    word = next((each for each in given if not each.startswith("-")), None)
    if word is not None and word not in commands:
        parser.error(_unknown("command", word, commands))
    options, left_over = parser.parse_known_args(given)
    if left_over and left_over[0].startswith("-"):
        known = [*(commands[word].options() if word else ()), *parser.options()]
        parser.error(_unknown("option", left_over[0], known))
    if left_over:
        parser.error(f'"{left_over[0]}" stands alone. If it is your record, write --record before it')
    return options


def _unknown(kind: str, word: str, known: Iterable[str]) -> str:
    near = nearest_name(word, known)
    return f'There is no {kind} "{word}"' + (f'; "{near}" is the nearest' if near else "")
