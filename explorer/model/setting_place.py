"""Where a setting stands in its TOML file: the error for a key names file, line and key."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from explorer.model.errors import ProgrammeError

__all__ = ["SettingPlace", "line_of_key", "read_tables"]

Path = tuple[str | int, ...]  # names of tables and keys; a number for one of several tables of a name

_NAME = r'(?:"(?:[^"\\]|\\.)*"|\'[^\']*\'|[A-Za-z0-9_-]+)'
_NAMES = rf"{_NAME}(?:\s*\.\s*{_NAME})*"
_LINE = re.compile(rf"\s*(?:(\[\[?)\s*({_NAMES})\s*\]|({_NAMES})\s*=)")
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)")


class SettingPlace:
    """A table of settings in its file: makes the error for one of its keys.

    Parameters
    ----------
    text : str
        The whole file's text; without it no line is named.
    file_name : str
        Its name for messages.

    Examples
    --------
    >>> plan = SettingPlace("[plan]\\n[plan.stations]\\nA1 = { months = [13] }", "own.toml").inside("plan")
    >>> str(plan.inside("stations", "A1")("months", "found [13]."))
    'own.toml, line 3, "months": found [13].'
    """

    def __init__(self, text: str = "", file_name: str = "programme.toml") -> None:
        self.file_name = file_name
        self._lines = {path: line for line, path in reversed(list(_paths(text)))}
        self._path: Path = ()

    def inside(self, *names: str | int) -> "SettingPlace":
        """Return the place of a table in this one, by its names; one of several by its number.

        Parameters
        ----------
        *names : str or int
            From here inwards.
        """
        inner = SettingPlace("", self.file_name)
        inner._lines, inner._path = self._lines, (*self._path, *names)
        return inner

    def __call__(self, key: str, what: str) -> ProgrammeError:
        """Return the error for a key of this table.

        Parameters
        ----------
        key : str
            The key, empty for the table itself. One that is missing is sought where its table begins.
        what : str
            What is wrong with it, and what to do.
        """
        path = (*self._path, key) if key else self._path
        starts = (path[:end] for end in range(len(path), 0, -1))
        line = next((self._lines[each] for each in starts if each in self._lines), 0)
        names = [name for name in path if isinstance(name, str)]
        place = f'line {line}, "{names[-1]}"' if line else f'"{".".join(names)}"'
        return ProgrammeError(f"{self.file_name}, {place}: {what}")


def line_of_key(text: str, key: str) -> int:
    """Return the first line on which a key or a table of some name stands in a TOML text, 0 where none does.

    Parameters
    ----------
    text : str
        The file's text.
    key : str
        Key or table name, its last part.

    Examples
    --------
    >>> line_of_key('name = "A"\\nseason_months = [5]', "season_months")
    2
    """
    return next((line for line, path in _paths(text) if path[-1] == key), 0)


def _paths(text: str) -> Iterator[tuple[int, Path]]:
    """Yield the line of every table and key, with its path."""
    table: Path = ()
    counts: dict[Path, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        found = _LINE.match(line)
        if found is None:
            continue
        opening, heading, key = found.groups()
        names: Path = tuple(each.strip("\"'") for each in re.findall(_NAME, heading or key))
        if opening:
            table = names
            if opening == "[[":
                yield number, table
                counts[names] = counts.get(names, -1) + 1
                table = (*names, counts[names])
            yield number, table
        else:
            yield number, (*table, *names)


def read_tables(text: str, file_name: str) -> tuple[Mapping[str, Any], tuple[str, ...]]:
    """Return the tables of a TOML text, and a sentence for every line that is no TOML.

    A line that is wrong by itself is left out, with the table around it, so that what stands behind it is
    read; where a bracket or a quotation mark does not close, nothing behind it can be.

    Parameters
    ----------
    text : str
        Content of the file.
    file_name : str
        Its name for messages.

    Examples
    --------
    >>> read_tables("name = Lakes\\ncontact = me\\ntrend_years = 9", "own.toml")[0]
    {'trend_years': 9}
    """
    lines, mistakes, broken = text.splitlines(), [], set()
    tables = {number: path[0] for number, path in _paths(text) if len(path) > 1}
    while True:
        try:
            found = tomllib.loads("\n".join(lines))
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            mistakes.append(f"{file_name} cannot be read as TOML: {error}. Correct that line.")
            number = int(at[1]) if (at := _AT_LINE.search(str(error))) else 0
            if not number or not _stands_alone(lines[number - 1], str(error)):
                return {}, tuple(mistakes)
            broken.add(tables.get(number))
            lines[number - 1] = ""
        else:
            return {key: value for key, value in found.items() if key not in broken}, tuple(mistakes)


def _stands_alone(line: str, error: str) -> bool:
    """Return whether a line is a key of its own whose mistake says nothing of other lines."""
    found = _LINE.match(line)
    closes = all(line.count(one) == line.count(other) for one, other in ("[]", "{}"))
    quotes = not (line.count('"') % 2 or line.count("'") % 2) or error.startswith("Illegal character '\\n'")
    if found is None or found[1] or not closes or not quotes:
        return False
    try:
        tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return True
    return error.startswith("Cannot overwrite")
