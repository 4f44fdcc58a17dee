"""How far each reading lies from the same month's readings of other years: level, spread, values behind them.

Works on plain arrays of many series at once. Each series becomes a row of months. What speaks for a month is
the same month and its two neighbours in all other years, each about its own usual level.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr  # type: ignore[import-untyped]

from explorer.analysis.departure_levels import trend_levels
from explorer.analysis.departure_others import MONTHS, OtherYears
from explorer.analysis.order_statistics import row_medians
from explorer.analysis.threads import in_threads

__all__ = ["FEWEST_YEARS", "MonthScores", "month_scores"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

FEWEST_YEARS = 5  # other years without which nothing is usual; common practice, as for the usual range
CELLS_AT_ONCE = 120_000  # months of all series worked at once: what fits into a processor's own memory
SET_ASIDE = 3.1  # robust spreads beyond which a reading does not speak for others
MAD_TO_SPREAD = 1.4826  # standard deviation over median absolute deviation of normal values
ROUNDS = 2  # of filling in what lies beyond a limit; a third changes spreads by one in a hundred
MOSTLY = 0.5  # share of values beyond a limit above which the limit itself stands for them ...
LIMIT_SPREAD = 0.35  # ... with at least this spread of logarithms (common practice: about a third)


@dataclass(frozen=True, slots=True)
class MonthScores:
    """What the other years say of each reading.

    Attributes
    ----------
    expected, spread : ndarray, shape (n,)
        Usual value and standard deviation of one reading about it, on the scale of the values. NaN where
        fewer than five other years speak.
    freedom : ndarray, shape (n,)
        Degrees of freedom of the spread.
    others, years : ndarray of int, shape (n,)
        Months of other years that speak, and in how many years they lie.
    """

    expected: Floats
    spread: Floats
    freedom: Floats
    others: Ints
    years: Ints


def month_scores(
    value: npt.ArrayLike,
    sign: npt.ArrayLike,
    series: npt.ArrayLike,
    month: npt.ArrayLike,
    speaks: npt.ArrayLike,
    floor: npt.ArrayLike,
    log_scale: npt.ArrayLike,
) -> MonthScores:
    """Return level and spread of each reading's month in the other years of its series.

    A value beyond a limit speaks as what is to be expected of it there, given level and spread [1]_. Readings
    more than about three robust spreads off do not speak for others: one strange year does not hide the
    next.

    Parameters
    ----------
    value : array_like, shape (n,)
        Readings, on a logarithmic scale for concentrations; the limit where `sign` is not 0.
    sign : array_like of int, shape (n,)
        -1 for "<", 0 for a measured value, 1 for ">".
    series : array_like of int, shape (n,)
        Number of each reading's series, from 0.
    month : array_like of int, shape (n,)
        Months since any January.
    speaks : array_like of bool, shape (n,)
        Whether the reading counts for others.
    floor : array_like, shape (n,)
        Least spread, that of measuring alone.
    log_scale : array_like of bool, shape (n,)
        Whether the value is a logarithm.

    Returns
    -------
    MonthScores

    References
    ----------
    .. [1] M. Aitkin, "A note on the regression analysis of censored data," Technometrics, vol. 23,
       pp. 161-163, 1981 (expectation and maximisation; from memory).

    Examples
    --------
    >>> noise = 0.2 * np.sin(np.arange(100.0) ** 2) * 2**0.5
    >>> month = np.arange(20).repeat(5) * 12 + np.tile([4, 5, 6, 7, 8], 20)
    >>> zeros, ones = np.zeros(100, int), np.ones(100, bool)
    >>> scores = month_scores(noise, zeros, zeros, month, ones, np.full(100, 0.05), ones)
    >>> float(scores.spread[50].round(1)), scores.others[50].item(), scores.years[50].item()
    (0.2, 38, 19)
    """
    number, place, when = (np.asarray(each) for each in (value, series, month))
    shape = number.shape
    columns = [np.asarray(each) for each in (number, sign, place, when, speaks, floor, log_scale)]
    found = MonthScores(
        *(np.full(shape, np.nan) for _ in range(3)), *(np.zeros(shape, dtype=np.int64) for _ in range(2))
    )
    order = np.argsort(place, kind="stable")

    def work(rows: slice) -> None:
        some = order[rows]
        part = _block(*(each[some] for each in columns))
        for each in fields(found):
            getattr(found, each.name)[some] = getattr(part, each.name)

    in_threads(work, _blocks(place[order], when[order]))
    return found


def _blocks(series: Ints, month: Ints) -> Iterator[slice]:
    """Yield runs of whole series, so few that their months fit into memory whatever dates were written."""
    starts = np.append(np.flatnonzero(np.diff(series, prepend=-1)), series.size)
    waiting = [(0, len(starts) - 1)] if series.size else []
    while waiting:
        first, last = waiting.pop()
        rows = slice(int(starts[first]), int(starts[last]))
        years = month[rows].max() // MONTHS - month[rows].min() // MONTHS + 1
        if last - first > 1 and (last - first) * years * MONTHS > CELLS_AT_ONCE:
            middle = (first + last) // 2
            waiting += [(first, middle), (middle, last)]
        else:
            yield rows


def _block(
    value: Floats, sign: Ints, series: Ints, month: Ints, speaks: Bools, floor: Floats, log_scale: Bools
) -> MonthScores:
    number = np.cumsum(np.diff(series, prepend=series[0]) != 0)
    year, column, columns = _calendar(month)
    shape = (int(number[-1]) + 1, int(year.max()) + 1, columns)
    cell = (number * shape[1] + year) * columns + column
    levels, mostly = _levels(value, sign, number, cell, speaks, shape)
    rest = value - levels.ravel()[cell]
    middle, scale = _robust_middles(rest, cell, speaks, shape)
    speaks = speaks & ~(np.abs(rest - middle) > SET_ASIDE * scale[number])
    least = np.where(mostly[number] & log_scale, np.maximum(floor, LIMIT_SPREAD), floor)
    guess = (sign != 0) & ~mostly[number]
    others = OtherYears.of(cell, speaks, shape)
    filled, variance = _filled_in(rest, sign, guess, middle, np.fmax(scale[number], floor))
    for more in reversed(range(ROUNDS if guess.any() else 1)):
        expected, spread = (each.ravel()[cell] for each in others.speak(filled, variance))
        spread = np.maximum(spread, least)
        if more:
            filled, variance = _filled_in(rest, sign, guess, expected, spread)
    freedom = others.freedom.ravel()[cell]
    of_years = others.years.ravel()[cell].astype(np.int64)
    enough = (of_years >= FEWEST_YEARS) & (freedom > 0)
    return MonthScores(
        np.where(enough, expected + levels.ravel()[cell], np.nan),
        np.where(enough, spread, np.nan),
        np.where(enough, freedom, np.nan),
        others.months.ravel()[cell].astype(np.int64),
        of_years,
    )


def _calendar(month: Ints) -> tuple[Ints, Ints, int]:
    """Return the year and the column of each month, from 0, and how many columns a year has.

    A month in which nothing was ever measured has no column, but for one after each run of months.
    """
    year, of_year = np.divmod(month, MONTHS)
    used = np.bincount(of_year, minlength=MONTHS) > 0
    kept = used | np.roll(used, 1)
    return year - year.min(), (np.cumsum(kept) - 1)[of_year], int(kept.sum())


def _levels(
    value: Floats, sign: Ints, number: Ints, cell: Ints, speaks: Bools, shape: tuple[int, int, int]
) -> tuple[Floats, Bools]:
    """Return each month's level along its series' trend, and which series lie mostly beyond a limit.

    All values of a series are held to its highest "<" and its lowest ">": a falling limit is no trend.
    """
    below, above = np.full(shape[0], -np.inf), np.full(shape[0], np.inf)
    np.maximum.at(below, number[speaks & (sign < 0)], value[speaks & (sign < 0)])
    np.minimum.at(above, number[speaks & (sign > 0)], value[speaks & (sign > 0)])
    held = np.clip(value, below[number], np.maximum(above, below)[number])
    beyond = speaks & (sign != 0)
    tied = beyond | (speaks & ((value < below[number]) | (value > above[number])))
    count = np.bincount(number, speaks, shape[0])
    levels = trend_levels(_cell_means(held, cell, speaks, shape))
    levels[np.bincount(number, tied, shape[0]) > MOSTLY * count] = 0.0
    mostly = np.bincount(number, beyond, shape[0]) > MOSTLY * count
    return levels, mostly


def _cell_means(value: Floats, cell: Ints, speaks: Bools, shape: tuple[int, int, int]) -> Floats:
    """Return the mean of each month of each year, NaN without a reading."""
    cells = shape[0] * shape[1] * shape[2]
    count = np.bincount(cell, speaks, cells)
    total = np.bincount(cell, np.where(speaks, value, 0.0), cells)
    mean: Floats = np.divide(total, count, out=np.full(cells, np.nan), where=count > 0)
    return mean.reshape(shape)


def _robust_middles(
    rest: Floats, cell: Ints, speaks: Bools, shape: tuple[int, int, int]
) -> tuple[Floats, Floats]:
    """Return the middle of each reading's month and a robust spread about it of each series.

    The spread is that of the half which lies wider: values at a limit crowd the other half.
    """
    cube = _cell_means(rest, cell, speaks, shape)
    months = row_medians(np.swapaxes(cube, 1, 2))
    off = (cube - months[:, None, :]).reshape(shape[0], -1)
    halves = [row_medians(np.where(side * off > 0, np.abs(off), np.nan)) for side in (-1.0, 1.0)]
    values, middles = (~np.isnan(off)).sum(axis=1), (~np.isnan(months)).sum(axis=1)
    fewness = np.sqrt(values / np.maximum(values - middles, 1))  # medians lie nearer to few values
    middle = np.repeat(months[:, None, :], shape[1], axis=1).ravel()[cell]
    return np.where(np.isnan(middle), rest, middle), MAD_TO_SPREAD * fewness * np.fmax(*halves)


def _filled_in(
    rest: Floats, sign: Ints, guess: Bools, expected: Floats, spread: Floats
) -> tuple[Floats, Floats]:
    """Return values with those beyond a limit at what is to be expected of them there, and their variance."""
    at = sign[guess] * (rest[guess] - expected[guess]) / spread[guess]  # how far out the limit lies
    share = np.maximum(ndtr(-at), 1e-12)  # of values that lie beyond it
    hazard = np.exp(-0.5 * at**2) / np.sqrt(2.0 * np.pi) / share
    filled, variance = rest.copy(), np.zeros_like(rest)
    filled[guess] = expected[guess] + sign[guess] * spread[guess] * hazard
    variance[guess] = spread[guess] ** 2 * np.clip(1.0 + at * hazard - hazard**2, 0.0, 1.0)
    return filled, variance
