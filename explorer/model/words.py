"""Whole sentences by code, one file per language; numbers are formatted before they come here."""

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from explorer.model.errors import UnknownNameError, unknown_name

__all__ = ["FULL_LANGUAGE", "has_all_words", "has_words", "join_words", "languages", "say", "word_codes"]

FULL_LANGUAGE = "en"  # has every sentence; a language that lacks one borrows it from here

_FOLDER = Path(__file__).parent / "languages"


@cache
def _known(language: str) -> dict[str, str]:
    """Return a language's sentences, with those of the full language for what it lacks."""
    return {**_words(FULL_LANGUAGE), **_words(language)}


@cache
def _words(language: str) -> dict[str, str]:
    path = _FOLDER / f"{language}.toml"
    if not path.is_file():
        raise unknown_name("language", language, languages(), "among the languages")
    flat: dict[str, str] = {}
    with path.open("rb") as file:
        for group, entries in tomllib.load(file).items():
            flat.update({f"{group}.{code}": sentence for code, sentence in entries.items()})
    return flat


def languages() -> tuple[str, ...]:
    """Return the languages that have a file of sentences.

    Examples
    --------
    >>> "en" in languages()
    True
    """
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


@cache
def has_all_words(language: str) -> bool:
    """Return whether a language has every sentence of its own.

    Examples
    --------
    >>> has_all_words("en"), has_all_words("de")
    (True, False)
    """
    return _words(FULL_LANGUAGE).keys() <= _words(language).keys()


def has_words(code: str, language: str = FULL_LANGUAGE) -> bool:
    """Return whether a sentence stands in a language's own file.

    Examples
    --------
    >>> has_words("caution.swimming"), has_words("caution.swiming")
    (True, False)
    """
    return code in _words(language)


@cache
def word_codes(language: str = "en") -> tuple[str, ...]:
    """Return the sentence codes that stand in a language's own file, as "group.code".

    Examples
    --------
    >>> "caution.swimming" in word_codes()
    True
    """
    return tuple(sorted(_words(language)))


def say(code: str, values: Mapping[str, object] | None = None, language: str = "en") -> str:
    """Return the sentence of a code with its values filled in.

    Parameters
    ----------
    code : str
        "group.code" of the sentence.
    values : mapping, optional
        What stands in its braces; numbers come as text, already rounded.
    language : str
        Two-letter name of the language file.

    Returns
    -------
    str
        The sentence, in English where the language lacks it. A value is inserted as it is: whoever makes HTML
        of it escapes it.

    Raises
    ------
    UnknownNameError
        If the language has no such sentence, or the sentence wants a value that was not given.

    Examples
    --------
    >>> say("water.stream")
    'stream'
    """
    words = _known(language)
    if code not in words:
        raise unknown_name("sentence", code, words, f'in the language "{language}"')
    try:
        return words[code].format_map(values or {})
    except KeyError as missing:
        raise UnknownNameError(f'The sentence "{code}" needs a value for {missing}.') from missing


def join_words(parts: list[str], language: str = "en") -> str:
    """Return a list as running text: "May, June and July".

    Examples
    --------
    >>> join_words(["May", "June", "July"])
    'May, June and July'
    """
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + f" {say('join.and', language=language)} {parts[-1]}"
