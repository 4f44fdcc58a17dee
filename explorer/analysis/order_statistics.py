"""Values at ranks of many rows at once, without sorting more of a row than the ranks ask for."""

from math import ceil, floor, prod

import numpy as np
import numpy.typing as npt

__all__ = ["at_ranks", "row_medians"]

Floats = npt.NDArray[np.float64]


def at_ranks(rows: Floats, ranks: Floats, count: npt.NDArray[np.int64]) -> Floats:
    """Return each row's values at ranks between whole ranks, by linear interpolation.

    Parameters
    ----------
    rows : ndarray, shape (n, m)
        Values in any order; NaN does not count. [any unit] The order within a row is changed in place.
    ranks : ndarray, shape (k, n)
        Ranks from 1 to the row's count; need not be whole. [1]
    count : ndarray of int, shape (n,)
        Values in each row that are not NaN.

    Returns
    -------
    ndarray, shape (k, n)
        NaN where the rank lies outside 1 to `count`.

    Examples
    --------
    >>> at_ranks(np.array([[40.0, np.nan, 10.0, 20.0]]), np.array([[2.25], [4.0]]), np.array([3])).tolist()
    [[25.0], [nan]]
    """
    inside = (ranks >= 1.0) & (ranks <= count)
    if not inside.any():
        return np.full(ranks.shape, np.nan)
    asked = ranks[inside]
    _put_in_order(rows, floor(asked.min()) - 1, ceil(asked.max()) - 1)
    within = np.where(inside, ranks, asked[0])
    whole = np.floor(within).astype(np.int64)
    row = np.arange(len(rows))
    lower = rows[row, whole - 1]
    upper = rows[row, np.ceil(within).astype(np.int64) - 1]
    return np.where(inside, lower + (within - whole) * (upper - lower), np.nan)


def row_medians(values: npt.ArrayLike) -> Floats:
    """Return the median along the last axis, leaving out NaN.

    Parameters
    ----------
    values : array_like, shape (..., n)
        Values. [any unit]

    Returns
    -------
    ndarray, shape (...)
        NaN where a row has nothing else.

    Examples
    --------
    >>> row_medians([[3.0, np.nan, 1.0, 2.0], [np.nan] * 4]).tolist()
    [2.0, nan]
    """
    number = np.array(values, dtype=np.float64)
    *shape, width = number.shape
    rows = number.reshape(prod(shape), width)
    count = (~np.isnan(rows)).sum(axis=1)
    medians: Floats = at_ranks(rows, (count[None] + 1) / 2.0, count)[0]
    return medians.reshape(shape)


def _put_in_order(rows: Floats, first: int, last: int) -> None:
    """Put the values of the places from first to last where they belong; the rest need not be sorted."""
    rows.partition(last, axis=1)
    rows[:, : last + 1].partition(first, axis=1)
    rows[:, first : last + 1].sort(axis=1)
