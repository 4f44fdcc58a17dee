"""The axes of a panel: values in display units and dates as places between its edges."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.display.numbers import number_text

__all__ = ["LIMITS_UP_TO", "Axis", "build_axis", "decimal_years", "round_ticks", "year_ticks"]

DAYS_IN_A_YEAR = 366.0  # so that 31 December stays left of 1 January, leap year or not
LIMITS_UP_TO = 2.0  # [1] of the largest value: on equal steps, limits far beyond would squeeze the readings
LEAST_TICK_DISTANCE = 0.13  # [1] of the panel's height, so that labels do not touch


@dataclass(frozen=True, slots=True)
class Axis:
    """A vertical axis.

    Attributes
    ----------
    low, high : float
        Values at its two ends. [display unit]
    log : bool
        Whether equal ratios are equal distances.
    downward : bool
        Whether values grow from the top down, as a depth does.
    ticks : tuple of (float, str)
        Place and label of each tick.
    """

    low: float
    high: float
    log: bool
    downward: bool
    ticks: tuple[tuple[float, str], ...] = ()

    def place(self, values: npt.ArrayLike) -> npt.NDArray[np.float64]:
        """Return where values lie: 0 at the panel's lower edge, 1 at its upper edge.

        Parameters
        ----------
        values : array_like, shape (n,)
            Values; what lies beyond an end is drawn at that end. [display unit]

        Returns
        -------
        ndarray, shape (n,)
            Places. [1] NaN stays NaN.

        Examples
        --------
        >>> Axis(0.0, 8.0, False, True).place([0.0, 2.0]).tolist()
        [1.0, 0.75]
        """
        number = np.clip(np.asarray(values, dtype=np.float64), self.low, self.high)
        if self.log:
            share = np.log(number / self.low) / np.log(self.high / self.low)
        else:
            share = (number - self.low) / (self.high - self.low)
        return np.asarray(1 - share if self.downward else share)

    def value_at(self, place: float) -> float:
        """Return the value at a place between the panel's edges. [display unit]

        Examples
        --------
        >>> Axis(1.0, 100.0, True, False).value_at(0.5)
        10.0
        """
        share = 1 - place if self.downward else place
        if self.log:
            return float(self.low * (self.high / self.low) ** share)
        return float(self.low + (self.high - self.low) * share)


def round_ticks(low: float, high: float, *, log: bool, most: int = 5) -> list[float]:
    """Return round numbers between two ends.

    Parameters
    ----------
    low, high : float
        The ends; above 0 for a logarithmic scale. [any unit]
    log : bool
        Powers of ten, with their double and fivefold where there are few; else equal steps of 1, 2 or 5.
    most : int
        Ticks at most, about.

    Examples
    --------
    >>> round_ticks(0.0, 6.4, log=False)
    [0.0, 2.0, 4.0, 6.0]
    >>> round_ticks(0.8, 120.0, log=True)
    [1.0, 3.0, 10.0, 30.0, 100.0]
    """
    if log:
        decades = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
        for factors in ((1, 2, 5), (1, 3), (1,)):
            found = [factor * 10.0**decade for decade in decades for factor in factors]
            found = [value for value in found if low <= value <= high]
            if len(found) <= most:
                return found
        return found
    rough = (high - low) / most
    power = 10.0 ** np.floor(np.log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough)
    first = np.ceil(low / step)
    return [float(round(index * step, 10)) for index in np.arange(first, np.floor(high / step) + 1)]


def build_axis(
    values: npt.ArrayLike,
    limits: Sequence[float],
    *,
    log: bool,
    downward: bool,
    decimals: int,
    language: str = "en",
) -> Axis:
    """Return an axis that holds all values and shows the class limits about them.

    Parameters
    ----------
    values : array_like, shape (n,)
        What is drawn; NaN is passed over. [display unit]
    limits : sequence of float
        Class limits, may be empty. With equal ratios all are shown, with equal steps those that are less
        than twice the largest value. [display unit]
    log, downward : bool
        As in `Axis`; values of zero and below lie at the lower end of a logarithmic axis.
    decimals : int
        Digits of a tick's label, where it is round.
    language : str
        Language whose decimal mark a label takes.

    Examples
    --------
    >>> axis = build_axis([3.0, 40.0], [2.6, 7.3, 56.0], log=True, downward=False, decimals=1)
    >>> [label for _, label in axis.ticks]
    ['2.6', '7.3', '56']
    """
    number = np.asarray(values, dtype=np.float64)
    number = number[np.isfinite(number)]
    if not log and number.size:
        limits = [limit for limit in limits if limit <= LIMITS_UP_TO * number.max()]
    shown = np.concatenate([number, np.asarray(limits, dtype=np.float64)])
    if log:
        shown = shown[shown > 0]
        shown = shown if shown.size else np.array([1.0, 10.0])
        low = min([shown.min() * 0.8, *(limit * 0.5 for limit in limits)])
        high = max([shown.max() * 1.25, *(limit * 1.6 for limit in limits)])
    else:
        shown = shown if shown.size else np.array([0.0, 1.0])
        low = min(0.0, shown.min() * 1.05)
        high = max(shown.max() * 1.08, low + 1e-6)
    ticks = list(limits) if log and len(limits) else round_ticks(low, high, log=log)
    bare = Axis(float(low), float(high), log, downward)
    return Axis(bare.low, bare.high, log, downward, _spaced(bare, ticks, decimals, language))


def _spaced(
    axis: Axis, ticks: Sequence[float], decimals: int, language: str
) -> tuple[tuple[float, str], ...]:
    kept: list[tuple[float, str]] = []
    for tick, place in zip(ticks, axis.place(ticks).round(6).tolist(), strict=True):
        if all(abs(place - other) >= LEAST_TICK_DISTANCE for other, _ in kept):
            fewest = 0 if decimals == 1 and round(tick, 1).is_integer() else decimals
            kept.append((place, number_text(tick, fewest, language)))
    return tuple(kept)


def year_ticks(first_year: int, last_year: int, most: int = 7) -> tuple[int, ...]:
    """Return round years from the first to the last, both included when there are few.

    Parameters
    ----------
    first_year, last_year : int
        Years that are shown.
    most : int
        Ticks at most.

    Examples
    --------
    >>> year_ticks(2006, 2025)
    (2010, 2015, 2020, 2025)
    """
    span = last_year - first_year + 1
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100) if span / step <= most or step == 100)
    return tuple(year for year in range(first_year, last_year + 1) if year % step == 0)


def decimal_years(dates: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Return dates as decimal years: the year and the share of it that has passed.

    Parameters
    ----------
    dates : array_like of datetime64, shape (n,)
        Local dates.

    Examples
    --------
    >>> decimal_years(np.array(["2024-07-02"], dtype="datetime64[D]")).tolist()
    [2024.5]
    """
    days = np.asarray(dates, dtype="datetime64[D]")
    years = days.astype("datetime64[Y]")
    return np.asarray(
        years.astype(np.int64)
        + 1970
        + (days - years.astype("datetime64[D]")).astype(np.int64) / DAYS_IN_A_YEAR
    )
