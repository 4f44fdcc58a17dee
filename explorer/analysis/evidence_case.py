"""One unusual reading with its numbers, and the rows that share something with it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.quantities import Quantity

__all__ = ["Case", "Groups", "group_numbers"]

Ints = npt.NDArray[np.signedinteger]


def group_numbers(*keys: npt.ArrayLike) -> Ints:
    """Return the number of each row's group, counted in the order of their first rows.

    Parameters
    ----------
    *keys : array_like, shape (n,)
        What rows of one group have in common.

    Examples
    --------
    >>> group_numbers(["a", "b", "a"], [1, 1, 2]).tolist()
    [0, 1, 2]
    """
    number: Ints = np.zeros(len(np.asarray(keys[0])), dtype=np.int64)
    for key in keys:
        codes, names = pd.factorize(np.asarray(key))
        number = pd.factorize(number * (len(names) + 1) + codes)[0]
    return number


class Groups:
    """What shares something with some rows that are asked about.

    Only the groups of these are kept: of millions of rows a few thousand are asked about.

    Parameters
    ----------
    asked : ndarray of int, shape (m,)
        Places of the rows that are asked about, ascending.
    *keys : array_like, shape (n,)
        What rows of one group have in common.

    Examples
    --------
    >>> groups = Groups(np.array([2]), ["a", "b", "a"], [1, 1, 1])
    >>> groups.with_row(2).tolist()
    [0, 2]
    """

    def __init__(self, asked: Ints, *keys: npt.ArrayLike) -> None:
        number: Ints = np.zeros(len(np.asarray(keys[0])), dtype=np.int64)
        rows = np.arange(number.size, dtype=np.int32)
        for key in keys:
            number = group_numbers(number, np.asarray(key)[rows])
            wanted = np.zeros(number.max(initial=0) + 1, dtype=bool)
            wanted[number[np.searchsorted(rows, asked)]] = True
            rows, number = rows[wanted[number]], number[wanted[number]]
        self._asked = asked
        self._group = number[np.searchsorted(rows, asked)].astype(np.int32)
        self._rows = rows[np.argsort(number, kind="stable")]
        self._starts = np.concatenate([[0], np.cumsum(np.bincount(number))])

    def with_row(self, row: int) -> Ints:
        """Return all rows of the group that a row belongs to, itself too.

        Raises
        ------
        KeyError
            If the row is none of those that are asked about.
        """
        place = int(np.searchsorted(self._asked, row))
        if place == self._asked.size or self._asked[place] != row:
            raise KeyError(row)
        group = self._group[place]
        return self._rows[self._starts[group] : self._starts[group + 1]].astype(np.int64)


@dataclass(frozen=True, slots=True)
class Case:
    """One unusual reading.

    Attributes
    ----------
    row : int
        Its row among the judged readings.
    quantity : Quantity
        What was measured.
    station : str
        Code of its station.
    value, expected : float
        [record unit]
    sign : int
        -1 for "<", 0 for a measured value, 1 for ">".
    bottom_depth_m : float
        Depth of the water there; NaN where not known. [m]
    way : float
        1 where it is higher than usual, -1 where lower.
    apart, spread : float
        Distance from the usual and standard deviation, of logarithms where `quantity.log_scale`.
    agreement : float
        What the other quantities of the visit, and another observer's reading of the same, speak for the
        water itself being unusual: logarithm of the odds. [1]
    """

    row: int
    quantity: Quantity
    station: str
    value: float
    expected: float
    sign: int
    bottom_depth_m: float
    way: float
    apart: float
    spread: float
    agreement: float = 0.0

    def on_scale(self, value: float) -> float:
        """Return how far another value would lie from the usual, on the scale of the spread."""
        if not self.quantity.log_scale:
            return value - self.expected
        return float(np.log(value / self.expected)) if value > 0 else -np.inf
