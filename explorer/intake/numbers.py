"""How the numbers of a table are written."""

import re
from collections.abc import Iterable

__all__ = ["decimal_mark"]

CLEAR_MAJORITY = 4  # times as many commas as points, or the other way round, show how decimals are written

_POINT = re.compile(r"[<>≤≥=\s]*[+-]?\d*\.\d+(e[+-]?\d+)?", re.IGNORECASE)
_COMMA = re.compile(r"[<>≤≥=\s]*[+-]?(0?,\d+|\d+,(\d{1,2}|\d{4,})|\d{4,},\d+)", re.IGNORECASE)


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
