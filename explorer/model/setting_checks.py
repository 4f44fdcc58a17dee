"""Checks that the tables of a programme's settings share; all that is wrong is named at once."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, ParamSpec, TypeVar

from explorer.model.errors import ProgrammeError, did_you_mean

__all__ = [
    "Mistakes",
    "Wrong",
    "check_keys",
    "checked_count",
    "checked_flag",
    "checked_number",
    "checked_text",
    "checked_texts",
    "checked_word",
]

Wrong = Callable[[str, str], ProgrammeError]  # makes the error for a key and what is wrong with it

Given = ParamSpec("Given")
Read = TypeVar("Read")


class Mistakes:
    """What is wrong in some settings, gathered part by part.

    Parameters
    ----------
    known : iterable of str
        Sentences that say what is wrong already.

    Examples
    --------
    >>> mistakes = Mistakes()
    >>> for key in ("a", "b"):
    ...     with mistakes.gathered():
    ...         raise ProgrammeError(f"{key} is wrong.")
    >>> mistakes.refuse()
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: a is wrong.
    b is wrong.
    """

    def __init__(self, known: Iterable[str] = ()) -> None:
        self._sentences: list[str] = list(known)

    @contextmanager
    def gathered(self) -> Iterator[None]:
        """Keep a mistake that is raised inside, and go on behind it."""
        try:
            yield
        except ProgrammeError as mistake:
            sentences = str(mistake).splitlines()
            self._sentences += [each for each in sentences if each not in self._sentences]

    def read(self, reader: Callable[Given, Read], *args: Given.args, **kwargs: Given.kwargs) -> Read:
        """Return what a reader makes of a setting; what stands for one that is wrong goes nowhere.

        Parameters
        ----------
        reader : callable
            Raises a `ProgrammeError` where the setting is wrong: it is kept, and `refuse` will raise.
        *args, **kwargs
            What it takes.
        """
        made: list[Read] = []
        with self.gathered():
            made.append(reader(*args, **kwargs))
        return made[0] if made else None  # type: ignore[return-value]

    def refuse(self) -> None:
        """Raise one error that names all mistakes, where there are any."""
        if self._sentences:
            raise ProgrammeError("\n".join(self._sentences))


def check_keys(table: Mapping[str, Any], keys: Iterable[str], what: str, wrong: Wrong) -> None:
    """Refuse keys that a table does not have.

    Parameters
    ----------
    table : mapping
        The table as written.
    keys : iterable of str
        Those that it may have.
    what : str
        What the table is called in the message.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        With the nearest key.

    Examples
    --------
    >>> check_keys({"moths": [5]}, ["months"], "a plan", lambda key, what: ProgrammeError(what))
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: a plan has no such key. Did you mean "months"? It has months.
    """
    known, mistakes = tuple(keys), Mistakes()
    for key in table:
        with mistakes.gathered():
            if key not in known:
                raise wrong(
                    key, f"{what} has no such key.{did_you_mean(key, known)} It has {', '.join(known)}."
                )
    mistakes.refuse()


def checked_word(table: Mapping[str, Any], key: str, usual: str, known: Iterable[str], wrong: Wrong) -> str:
    """Return a word from a list, the usual one where the table does not have it.

    Parameters
    ----------
    table, key, usual : mapping, str, str
        The table, the key, and what stands where it is left out.
    known : iterable of str
        The words.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        With the nearest word.

    Examples
    --------
    >>> checked_word({}, "page", "a4", ("a4", "letter"), lambda key, what: ProgrammeError(what))
    'a4'
    """
    word, words = table.get(key, usual), tuple(known)
    if not isinstance(word, str) or word not in words:
        listed = ", ".join(f'"{each}"' for each in words)
        raise wrong(key, f"found {word!r}.{did_you_mean(str(word), words)} Write one of {listed}.")
    return str(word)


def checked_count(
    table: Mapping[str, Any], key: str, usual: int, bounds: tuple[int, int], wrong: Wrong
) -> int:
    """Return a whole number within bounds.

    Parameters
    ----------
    table, key, usual : mapping, str, int
        The table, the key, and what stands where it is left out.
    bounds : tuple of int
        Least and most.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        If it is none.

    Examples
    --------
    >>> checked_count({"rows": 7}, "rows", 1, (1, 50), lambda key, what: ProgrammeError(what))
    7
    """
    value = table.get(key, usual)
    least, most = bounds
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise wrong(key, f"found {value!r}. Write a whole number from {least} to {most}.")
    return value


def checked_number(
    table: Mapping[str, Any], key: str, usual: float, bounds: tuple[float, float], wrong: Wrong
) -> float:
    """Return a number within bounds.

    Parameters
    ----------
    table, key, usual : mapping, str, float
        The table, the key, and what stands where it is left out. [unit of the key]
    bounds : tuple of float
        Least and most. [unit of the key]
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        If it is none.

    Examples
    --------
    >>> checked_number({}, "percent", 5, (0, 100), lambda key, what: ProgrammeError(what))
    5.0
    """
    value = table.get(key, usual)
    least, most = bounds
    if not isinstance(value, int | float) or isinstance(value, bool) or not least <= value <= most:
        raise wrong(key, f"found {value!r}. Write a number from {least:g} to {most:g}.")
    return float(value)


def checked_flag(table: Mapping[str, Any], key: str, usual: bool, wrong: Wrong) -> bool:
    """Return true or false.

    Parameters
    ----------
    table, key, usual : mapping, str, bool
        The table, the key, and what stands where it is left out.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        If it is neither.

    Examples
    --------
    >>> checked_flag({"viewer": True}, "viewer", False, lambda key, what: ProgrammeError(what))
    True
    """
    value = table.get(key, usual)
    if not isinstance(value, bool):
        raise wrong(key, f"found {value!r}. Write true or false.")
    return value


def checked_text(table: Mapping[str, Any], key: str, wrong: Wrong) -> str:
    """Return a text, an empty one where the table does not have it.

    Parameters
    ----------
    table, key : mapping, str
        The table and the key.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        If it is none.

    Examples
    --------
    >>> checked_text({"name": "Silica"}, "name", lambda key, what: ProgrammeError(what))
    'Silica'
    """
    value = table.get(key, "")
    if not isinstance(value, str):
        raise wrong(key, f"found {value!r}. Write a text in quotes.")
    return value


def checked_texts(table: Mapping[str, Any], key: str, wrong: Wrong) -> tuple[str, ...]:
    """Return a list of texts, an empty one where the table does not have it.

    Parameters
    ----------
    table, key : mapping, str
        The table and the key.
    wrong : callable
        Makes the error.

    Raises
    ------
    ProgrammeError
        If it is none; one text alone is no list.

    Examples
    --------
    >>> checked_texts({"names": ["silica"]}, "names", lambda key, what: ProgrammeError(what))
    ('silica',)
    """
    value = table.get(key, [])
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise wrong(key, f'found {value!r}. Write a list of texts: ["one", "another"].')
    return tuple(value)
