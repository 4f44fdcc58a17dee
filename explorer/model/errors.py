"""The errors that the explorer raises on purpose, and the nearest known name for an unknown one."""

import difflib
from collections.abc import Iterable, Mapping
from typing import TypeVar

__all__ = [
    "ExplorerError",
    "ProgrammeError",
    "RecordBusyError",
    "RecordError",
    "UnknownNameError",
    "did_you_mean",
    "known",
    "nearest_name",
    "unknown_name",
]


_Value = TypeVar("_Value")


class ExplorerError(Exception):
    """Something the reader can put right; its text says what was found, where, and the cure.

    A notebook shows that text alone, without the lines of code that led there.
    """

    def _render_traceback_(self) -> list[str]:
        return [str(self)]


class RecordError(ExplorerError):
    """A file or folder that cannot be opened, read or written as a record."""


class RecordBusyError(RecordError):
    """A record that somebody else is writing just now: the same works in a moment."""


class ProgrammeError(ExplorerError):
    """A settings or class scheme file with a wrong key or value."""


class UnknownNameError(ExplorerError, KeyError):
    """A name that the record, the programme or a list does not hold."""

    def __str__(self) -> str:
        return str(self.args[0])


def nearest_name(name: str, known: Iterable[str]) -> str:
    """Return the known name that is spelt most like the given one.

    Parameters
    ----------
    name : str
        What was written.
    known : iterable of str
        The names that would have been right.

    Returns
    -------
    str
        The nearest name, empty when none is near.

    Examples
    --------
    >>> nearest_name("chlorophyl a", ["chlorophyll a", "total phosphorus"])
    'chlorophyll a'
    """
    by_folded = {each.casefold(): each for each in known}
    found = difflib.get_close_matches(name.casefold(), by_folded, n=1, cutoff=0.5)
    return by_folded[found[0]] if found else ""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Return the question for the nearest known name, to stand behind a sentence; empty where none is near.

    Parameters
    ----------
    name : str
        The name as given.
    known : iterable of str
        The names that there are.

    Examples
    --------
    >>> did_you_mean("B7", ["A1", "B1"])
    ' Did you mean "B1"?'
    """
    near = nearest_name(name, known)
    return f' Did you mean "{near}"?' if near else ""


def unknown_name(kind: str, name: str, known: Iterable[str], where: str) -> UnknownNameError:
    """Return the error for a name that is not known, with its neighbour and the count of the known.

    Parameters
    ----------
    kind : str
        What the name should have named: "station", "quantity".
    name : str
        What was written.
    known : iterable of str
        The names that would have been right.
    where : str
        Where they stand: "in the record".

    Examples
    --------
    >>> str(unknown_name("station", "B7", ["A1", "B1"], "in the record"))
    'No station "B7" in the record. Did you mean "B1"? There are 2: A1, B1.'
    """
    names = sorted(known)
    shown = ", ".join(names[:8]) + (" …" if len(names) > 8 else ".")
    listing = f" There are {len(names)}: {shown}" if names else " There are none."
    return UnknownNameError(f'No {kind} "{name}" {where}.{did_you_mean(name, names)}{listing}')


def known(by_name: Mapping[str, _Value], name: str, kind: str, where: str = "here") -> _Value:
    """Return the value of a name, or say which names there are.

    Parameters
    ----------
    by_name : mapping
        Values by name.
    name : str
        The name that is wanted.
    kind : str
        What the name names.
    where : str
        Where the names stand.

    Raises
    ------
    UnknownNameError
        If there is no such name; the message names the nearest.

    Examples
    --------
    >>> known({"m": 1.0}, "m", "unit")
    1.0
    """
    if name not in by_name:
        raise unknown_name(kind, name, by_name, where)
    return by_name[name]
