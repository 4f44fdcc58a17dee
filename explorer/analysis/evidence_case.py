"""One unusual reading with its numbers, and groups of rows that share something with it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.quantities import Quantity

__all__ = ["Case", "Groups"]

Ints = npt.NDArray[np.int64]


class Groups:
    """Rows that share something, found without looking through all.

    Parameters
    ----------
    *keys : array_like, shape (n,)
        What rows of one group have in common.

    Examples
    --------
    >>> groups = Groups(["a", "b", "a"], [1, 1, 1])
    >>> groups.with_row(2).tolist()
    [0, 2]
    """

    def __init__(self, *keys: npt.ArrayLike) -> None:
        number = np.zeros(len(np.asarray(keys[0])), dtype=np.int64)
        for key in keys:
            codes, names = pd.factorize(np.asarray(key))
            number, _ = pd.factorize(number * (len(names) + 1) + codes)
        self.number = number.astype(np.int32)
        self._order = np.argsort(self.number, kind="stable").astype(np.int32)
        self._starts = np.concatenate([[0], np.cumsum(np.bincount(self.number))])

    def with_row(self, row: int) -> Ints:
        """Return all rows of the group that a row belongs to, itself too."""
        group = self.number[row]
        return self._order[self._starts[group] : self._starts[group + 1]].astype(np.int64)


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
