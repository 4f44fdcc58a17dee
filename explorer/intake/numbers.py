"""Numbers in cells, as the records read them, up to the largest that any quantity could have."""

import re
from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from explorer.records.cells import Column, Texts, read_numbers

__all__ = ["LARGEST_NUMBER", "decimal_mark", "read_measured_numbers"]

LARGEST_NUMBER = 1e15  # in any unit; what is larger is no measurement, and conversions would overflow
CLEAR_MAJORITY = 4  # times as many commas as points, or the other way round, show how decimals are written

_POINT = re.compile(r"[<>≤≥=\s]*[+-]?\d*\.\d+(e[+-]?\d+)?", re.IGNORECASE)
_COMMA = re.compile(r"[<>≤≥=\s]*[+-]?(0?,\d+|\d+,(\d{1,2}|\d{4,})|\d{4,},\d+)", re.IGNORECASE)


def read_measured_numbers(texts: Column, decimal: str = "") -> tuple[npt.NDArray[np.float64], Texts, Texts]:
    """Return the number, the sign and the problem of every cell; a number that nothing has is none.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written.
    decimal : {".", ",", ""}
        The mark before decimals in this table.

    Returns
    -------
    value, sign, problem : ndarray, shape (n,)
        As in `explorer.records.cells.read_numbers`.

    Examples
    --------
    >>> [part.tolist() for part in read_measured_numbers(["<5", "1e308"])]
    [[5.0, nan], ['<', '='], ['', 'not_a_number']]
    """
    value, sign, problem = read_numbers(texts, decimal)
    beyond = np.abs(value) > LARGEST_NUMBER
    return np.where(beyond, np.nan, value), sign, np.where(beyond, "not_a_number", problem)


def decimal_mark(texts: Iterable[str]) -> str:
    """Return the mark before decimals that a clear majority of different numbers has, "" where none has.

    Parameters
    ----------
    texts : iterable of str
        Cells of columns of numbers. "1,250" alone tells nothing, "1,25" and "0,125" do.

    Examples
    --------
    >>> decimal_mark(["1,5", "2,5", "3,5", "4,5", "5,5", "0.35"]), decimal_mark(["1,5", "0.35"])
    (',', '')
    """
    different = set(texts)
    points = sum(1 for text in different if "." in text and _POINT.fullmatch(text))
    commas = sum(1 for text in different if "," in text and _COMMA.fullmatch(text))
    if points > CLEAR_MAJORITY * commas:
        return "."
    return "," if commas > CLEAR_MAJORITY * points else ""
