"""How the numbers of a table are written."""

from collections.abc import Iterable

from explorer.records.cells import decimals_written

__all__ = ["decimal_mark"]

CLEAR_MAJORITY = 4  # times as many commas as points, or the other way round, show how decimals are written


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
    points, commas = decimals_written(texts)
    if points > CLEAR_MAJORITY * commas:
        return "."
    return "," if commas > CLEAR_MAJORITY * points else ""
