"""Cells of text → numbers with their sign, words, yes or no; what cannot be read is named, not guessed.

Every function takes a whole column and returns, beside the values, a problem code for each cell ("" where
it was read). Cells repeat a lot, so each different text is read once.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

import numpy as np
import numpy.typing as npt

__all__ = ["EMPTY_MARKS", "LARGEST_NUMBER", "UNMEASURED", "Column", "Texts", "decimals_written", "is_empty",
           "read_each", "read_flags", "read_numbers", "read_words"]  # fmt: skip

LARGEST_NUMBER = 1e15  # in any unit; what is larger is no measurement, and sums of it would overflow

Texts = npt.NDArray[np.object_]
Column = Sequence[str] | Texts
Value = TypeVar("Value")

# What statistics software and volunteers write into a cell that holds nothing (common practice).
EMPTY_MARKS = frozenset(("", "na", "n/a", "nan", "null", "-", "--", "–", "—"))

# Words for "the laboratory could not measure it" and the limit that they speak of. Sentences from the list
# ResultDetectionCondition of the Water Quality Exchange (WQX 3.0); short forms are common practice.
UNMEASURED: Mapping[str, str] = {
    **dict.fromkeys(
        ("nd", "n.d.", "bdl", "<mdl", "<dl", "<lod", "not detected", "not detected at detection limit",
         "below detection limit", "below detection", "below method detection limit",
         "below daily detection limit", "below long-term blank-basd dt limit",
         "below sample-specific detect limit", "below system detection limit"), "detection"),
    **dict.fromkeys(
        ("brl", "bql", "<rl", "<ql", "<loq", "<pql", "trace", "below reporting limit",
         "not detected at reporting limit", "present below quantification limit", "detected not quantified",
         "between inst detect and quant limit"), "reporting"),
    **dict.fromkeys(("above operating range", "present above quantification limit"), "upper"),
}  # fmt: skip

_SIGNS = {"<": "<", "<=": "<", "≤": "<", ">": ">", ">=": ">", "≥": ">", "=": "=", "": "="}
_PLAIN = re.compile(r"(<=|>=|[<>≤≥=]?)\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)")
_TWO_MARKS = re.compile(r"([<>≤≥]?=?)\s*([+-]?\d{1,3}(?:([.,])\d{3})+([.,])\d+)")
_POINT = re.compile(r"[<>≤≥=\s]*[+-]?\d*\.\d+(e[+-]?\d+)?", re.IGNORECASE)
_COMMA = re.compile(r"[<>≤≥=\s]*[+-]?(0?,\d+|\d+,(\d{1,2}|\d{4,})|\d{4,},\d+)", re.IGNORECASE)
_THREE_DIGITS = {mark: re.compile(rf"[^\d.,]*[1-9]\d{{0,2}}({re.escape(mark)}\d{{3}})+") for mark in ".,"}


def read_each(texts: Column, read: Callable[[str], Value]) -> list[Value]:
    """Return what a function makes of every text; each different text is read once.

    Examples
    --------
    >>> read_each(["a", "b", "a"], str.upper)
    ['A', 'B', 'A']
    """
    known = {text: read(text) for text in set(texts)}
    return [known[text] for text in texts]


def is_empty(text: str) -> bool:
    """Return whether a cell holds nothing.

    Examples
    --------
    >>> is_empty("NA"), is_empty("0")
    (True, False)
    """
    return text.strip().casefold() in EMPTY_MARKS


def _number(text: str, decimal: str) -> tuple[float, str, str]:
    if is_empty(text):
        return float("nan"), "=", ""
    both = _TWO_MARKS.fullmatch(text)
    if both and both[3] != both[4]:  # "1.234,5": each mark can mean only one thing
        text = text.replace(both[3], "").replace(both[4], ".")
    else:
        mark = "," if "," in text else "."
        if _THREE_DIGITS[mark].fullmatch(text) and decimal != mark and (mark == "," or decimal):
            return float("nan"), "=", "thousands_or_decimals"
        text = text.replace(",", ".", 1)
    found = _PLAIN.fullmatch(text)
    number = float(found[2]) if found else float("nan")
    if not found or not abs(number) <= LARGEST_NUMBER:
        return float("nan"), "=", "not_a_number"
    return number, _SIGNS[found[1]], ""


def read_numbers(texts: Column, decimal: str = "") -> tuple[npt.NDArray[np.float64], Texts, Texts]:
    """Return the number, the sign and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "<5", "> 2.4", "12,1".
    decimal : {".", ",", ""}
        The mark before decimals in this table, "" where it does not tell.

    Returns
    -------
    value : ndarray of float, shape (n,)
        NaN where nothing is written, nothing can be read, or nothing is so large.
    sign : ndarray of str, shape (n,)
        "=", "<" or ">".
    problem : ndarray of str, shape (n,)
        "", "not_a_number" or "thousands_or_decimals".

    Examples
    --------
    >>> value, sign, problem = read_numbers(["<5", "> 2.4", "12,1", "1e308", ""])
    >>> value.tolist(), sign.tolist(), problem.tolist()
    ([5.0, 2.4, 12.1, nan, nan], ['<', '>', '=', '=', '='], ['', '', '', 'not_a_number', ''])
    """
    rows = read_each(texts, lambda text: _number(text, decimal))
    return (
        np.array([row[0] for row in rows], np.float64),
        np.array([row[1] for row in rows], object),
        np.array([row[2] for row in rows], object),
    )


def decimals_written(texts: Iterable[str]) -> tuple[int, int]:
    """Return how many different numbers show that a point, and how many that a comma, stands before decimals.

    Parameters
    ----------
    texts : iterable of str
        Cells. "1,250" alone tells nothing, "1,25" and "0,125" do.

    Examples
    --------
    >>> decimals_written(["1,5", "1,250", "0.35", "0.35"])
    (1, 1)
    """
    different = set(texts)
    points = sum(1 for text in different if "." in text and _POINT.fullmatch(text))
    commas = sum(1 for text in different if "," in text and _COMMA.fullmatch(text))
    return points, commas


def read_words(texts: Column, known: Sequence[str], usual: str) -> tuple[Texts, Texts]:
    """Return each cell as one of the known words, the usual one where it is empty, and the problem.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written; case and underscores do not matter.
    known : sequence of str
        The words.
    usual : str
        What an empty cell means, and what stands where none is read.

    Examples
    --------
    >>> [part.tolist() for part in read_words(["Bottom", "", "deep"], ("surface", "bottom"), "surface")]
    [['bottom', 'surface', 'surface'], ['', '', 'unknown_word']]
    """
    by_folded = {word.casefold(): word for word in known}

    def read(text: str) -> tuple[str, str]:
        folded = " ".join(text.replace("_", " ").casefold().split())
        if not folded:
            return usual, ""
        return (by_folded[folded], "") if folded in by_folded else (usual, "unknown_word")

    pairs = read_each(texts, read)
    return np.array([pair[0] for pair in pairs], object), np.array([pair[1] for pair in pairs], object)


# English, and as spreadsheets and volunteers write where German, French, Spanish or Italian is spoken.
_YES = frozenset(
    ("yes", "y", "true", "1", "x", "✓", "✔", "ja", "j", "wahr", "oui", "vrai", "sí", "si", "sì", "vero")
)
_NO = frozenset(("no", "n", "false", "0", "nein", "falsch", "non", "faux", "falso", *EMPTY_MARKS))


def read_flags(texts: Column) -> tuple[npt.NDArray[np.bool_], Texts]:
    """Return yes or no for every cell, no where it is empty, and the problem.

    Examples
    --------
    >>> [part.tolist() for part in read_flags(["yes", "nein", "", "maybe"])]
    [[True, False, False, False], ['', '', '', 'not_yes_or_no']]
    """

    def read(text: str) -> tuple[bool, str]:
        folded = text.casefold()
        return folded in _YES, "" if folded in _YES or folded in _NO else "not_yes_or_no"

    pairs = read_each(texts, read)
    return np.array([pair[0] for pair in pairs], bool), np.array([pair[1] for pair in pairs], object)
