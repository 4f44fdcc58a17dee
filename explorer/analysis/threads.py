"""Work on parts of large arrays, two parts at a time."""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

__all__ = ["in_threads", "parts"]

Part = TypeVar("Part")

WORKERS = 2  # more hold each other up: numpy lets go of the interpreter within a step, not between two steps
ROWS_AT_ONCE = 50_000  # what fits into a processor's own memory


def in_threads(work: Callable[[Part], None], over: Iterable[Part]) -> None:
    """Do work on each part; a part's work must not touch what another's does.

    Parameters
    ----------
    work : callable
        Takes a part, writes into arrays of its own rows.
    over : iterable
        Parts, such as slices of rows.

    Raises
    ------
    Exception
        What work on a part raised.

    Examples
    --------
    >>> import numpy as np
    >>> square = np.zeros(3)
    >>> def work(rows: slice) -> None:
    ...     square[rows] = np.arange(3.0)[rows] ** 2
    >>> in_threads(work, [slice(0, 2), slice(2, 3)])
    >>> square.tolist()
    [0.0, 1.0, 4.0]
    """
    with ThreadPoolExecutor(WORKERS) as pool:
        for _ in pool.map(work, over):
            pass


def parts(rows: int) -> list[slice]:
    """Return slices that together are so many rows.

    Parameters
    ----------
    rows : int
        Number of rows.

    Examples
    --------
    >>> parts(120_000)
    [slice(0, 50000, None), slice(50000, 100000, None), slice(100000, 120000, None)]
    """
    return [slice(first, min(first + ROWS_AT_ONCE, rows)) for first in range(0, rows, ROWS_AT_ONCE)]
