"""What the other years say of a month: level and spread, with the month's own year left out."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt

__all__ = ["MONTHS", "OtherYears"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

MONTHS = 12
NEIGHBOURS_WEIGH = 2.0  # the level of the months beside counts as so many values of the month itself
SERIES_WEIGHS = 10.0  # the spread of the whole series counts as so many values of the three months


@dataclass(frozen=True, slots=True)
class OtherYears:
    """Sums over the other years of each month and of the two beside it.

    Each month of a year counts once, however many readings it has. A month's own year is left out: itself and
    the two months beside it, across New Year too.

    Attributes
    ----------
    months, years : ndarray, shape (series, years, months)
        Months of other years that speak, and in how many years.
    freedom : ndarray, shape (series, years, months)
        Degrees of freedom of the spread.
    """

    months: Floats
    years: Floats
    freedom: Floats
    _cell: Ints
    _weight: Floats
    _readings: Floats
    _counts: tuple[Floats, Floats, Floats]  # of the month itself, the one before, the one after

    @classmethod
    def of(cls, cell: Ints, speaks: Bools, shape: tuple[int, int, int]) -> Self:
        """Return the counts; `speak` fills in values.

        Parameters
        ----------
        cell : ndarray of int, shape (n,)
            Each reading's place in a flat array of `shape`.
        speaks : ndarray of bool, shape (n,)
            Whether it counts for others.
        shape : tuple of int
            Series, years, months of the year: all twelve, or those asked for with a gap after each run.
        """
        weight = speaks.astype(np.float64)
        cells = shape[0] * shape[1] * shape[2]
        readings = np.bincount(cell, weight, cells).astype(np.float64).reshape(shape)
        there = (readings > 0).astype(np.float64)
        counts = _of_others(there)
        near = (there + _moved(there, -1) + _moved(there, 1) > 0).astype(np.float64)
        freedom = sum(np.maximum(each - 1.0, 0.0) for each in counts)
        whole = np.maximum(there.sum(axis=1) - 1.0, 0.0).sum(axis=1)[:, None, None]
        return cls(
            months=counts[0] + counts[1] + counts[2],
            years=near.sum(axis=1, keepdims=True) - near,
            freedom=freedom + np.minimum(whole, SERIES_WEIGHS),
            _cell=cell,
            _weight=weight,
            _readings=readings,
            _counts=counts,
        )

    def speak(self, value: Floats, variance: Floats) -> tuple[Floats, Floats]:
        """Return what is to be expected in each month, and the spread of a new reading about it.

        The level is the mean of the month in the other years, drawn a little towards the months beside it.
        The spread is that of the three months, each about its own mean, drawn towards that of the whole
        series; it is widened by what the level itself is unsure.

        Parameters
        ----------
        value, variance : ndarray, shape (n,)
            Readings, and the variance of those that are only known as beyond a limit.

        Returns
        -------
        expected, spread : ndarray, shape (series, years, months)
            0 where nothing speaks.
        """
        mean = self._mean(value)
        square = self._mean(value**2 + variance)
        values, squares = _of_others(mean), _of_others(square)
        here, before, after = self._counts
        beside = before + after
        weigh = np.where(beside > 0, NEIGHBOURS_WEIGH, 0.0)
        around = _divided(values[1] + values[2], beside)
        level = here + weigh
        expected = _divided(values[0] + weigh * around, level)
        left = self._series_squares(mean, square)
        for one, two, count in zip(values, squares, self._counts, strict=True):
            left = left + np.maximum(two - _divided(one**2, count), 0.0)
        spread2 = _divided(left, self.freedom)
        return expected, np.sqrt(spread2 * (1.0 + _divided(np.ones_like(level), level)))

    def _mean(self, value: Floats) -> Floats:
        total: Floats = np.bincount(self._cell, self._weight * value, self._readings.size).astype(np.float64)
        return _divided(total.reshape(self._readings.shape), self._readings)

    def _series_squares(self, mean: Floats, square: Floats) -> Floats:
        """Return the squares that the spread of the whole series adds."""
        count = (self._readings > 0).sum(axis=1).astype(np.float64)
        left = np.maximum(square.sum(axis=1) - _divided(mean.sum(axis=1) ** 2, count), 0.0).sum(axis=1)
        freedom = np.maximum(count - 1.0, 0.0).sum(axis=1)
        squares: Floats = _divided(left, freedom) * np.minimum(freedom, SERIES_WEIGHS)
        return squares[:, None, None]


def _of_others(own: Floats) -> tuple[Floats, Floats, Floats]:
    """Return sums over the other years: of the month itself, of the month before, of the month after."""
    total = own.sum(axis=1, keepdims=True)
    others = total - own
    before, after = _moved(others, -1), _moved(others, 1)
    before[:, 0, 0], after[:, -1, -1] = total[:, 0, -1], total[:, 0, 0]  # beyond both ends all years speak
    return others, before, after


def _moved(own: Floats, by: int) -> Floats:
    """Return the value of the month so many later, 0 beyond either end."""
    flat = own.reshape(len(own), -1)
    moved = np.zeros_like(flat)
    if by > 0:
        moved[:, :-by] = flat[:, by:]
    else:
        moved[:, -by:] = flat[:, :by]
    return moved.reshape(own.shape)


def _divided(above: Floats, below: Floats) -> Floats:
    quotient: Floats = above / np.where(below > 0, below, np.inf)
    return quotient
