"""Before and after a date that the reader enters: season medians, their difference, and how sure it is.

The date must come from outside the readings (a treatment, a dam, a sewer): a date picked because the picture
steps there finds a difference wherever it looks.
"""

from math import comb

import numpy as np
import numpy.typing as npt

from explorer.analysis.rank_sum import rank_sum_p, shift_limits
from explorer.analysis.recensored import MOST_CENSORED_SLOPE, MOST_CENSORED_TREND, recensored
from explorer.analysis.season_medians import lag1_correlation
from explorer.analysis.series_arrays import checked_series
from explorer.model.calendar import Season
from explorer.model.changes import Change

__all__ = ["change_at", "seasons_around"]

Floats = npt.NDArray[np.float64]

LEVEL = 0.05  # [1] level of the rank-sum test
LEAST_SEASONS = 3  # on either side


def seasons_around(
    years: npt.ArrayLike, date: np.datetime64, season: Season
) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
    """Return which seasons ended before a date and which began on it or after it.

    Parameters
    ----------
    years : array_like of int, shape (n,)
        Season years.
    date : datetime64
        Local date. A season that it falls into is neither before nor after.
    season : Season
        The programme's season.

    Returns
    -------
    before, after : ndarray of bool, shape (n,)

    Examples
    --------
    >>> season = Season((5, 6, 7, 8, 9))
    >>> before, after = seasons_around([2009, 2010, 2011], np.datetime64("2010-06-15"), season)
    >>> before.tolist(), after.tolist()
    ([True, False, False], [False, False, True])
    """
    day = np.asarray(date, dtype="datetime64[D]")
    bounds = [season.bounds(year) for year in np.asarray(years).tolist()]
    starts = np.array([start for start, _ in bounds], dtype="datetime64[D]")
    ends = np.array([end for _, end in bounds], dtype="datetime64[D]")
    return ends <= day, starts >= day


def change_at(
    date: np.datetime64,
    years: npt.ArrayLike,
    medians: npt.ArrayLike,
    season: Season,
    *,
    signs: npt.ArrayLike | None = None,
) -> Change:
    """Return how the season medians after a date differ from those before it.

    Parameters
    ----------
    date : datetime64
        Local date, from outside the readings.
    years : array_like of int, shape (n,)
        Season years, rising.
    medians : array_like, shape (n,)
        Season medians of one series without a break of method, or the limit where the sign is "<" or ">".
        [record unit] NaN for a season that does not count.
    season : Season
        The programme's season.
    signs : array_like of str, shape (n,), optional
        "=", "<" or ">"; all "=" when left out. All seasons are held to the highest limit.

    Returns
    -------
    Change
        The verdict is "cannot_tell_yet" where so few seasons could not reach p = 0.05 however they lay.

    Raises
    ------
    ValueError
        If the shapes do not fit, a value is infinite, a sign is unknown or the years do not rise.

    References
    ----------
    .. [1] Helsel et al. 2020, chapters 5 (rank-sum, Hodges-Lehmann) and 12 (step trends).

    Examples
    --------
    >>> medians = [30.0, 28, 33, 31, 29, 18, 20, 17, 19]
    >>> season = Season((5, 6, 7, 8, 9))
    >>> change = change_at(np.datetime64("2006-03-01"), range(2001, 2010), medians, season)
    >>> change.verdict, change.difference, change.difference_low, change.difference_high
    ('lower', -11.5, -14.0, -9.0)
    """
    marks = None if signs is None else np.asarray(signs)[None, :, None]
    number, sign, times = checked_series(np.asarray(medians, dtype=np.float64)[None, :, None], marks, years)
    sides = seasons_around(times, date, season)
    either = (sides[0] | sides[1])[None, :, None]
    held = recensored(np.where(either, number, np.nan), sign)
    values, share = held.numbers[0, :, 0], float(held.censored_share[0])
    first, second = (values[side & ~np.isnan(values)] for side in sides)
    p = difference = low = high = float("nan")
    if min(len(first), len(second)) >= LEAST_SEASONS and share <= MOST_CENSORED_TREND:
        p = rank_sum_p(first, second)
        if share <= MOST_CENSORED_SLOPE:
            difference, low, high = shift_limits(first, second)
    middles = [float(np.median(side)) if len(side) else float("nan") for side in (first, second)]
    about = values - np.where(sides[1], middles[1], middles[0])
    return Change(
        before=len(first),
        after=len(second),
        median_before=middles[0],
        median_after=middles[1],
        difference=difference,
        difference_low=low,
        difference_high=high,
        percent=100.0 * difference / middles[0] if middles[0] > 0 else float("nan"),
        p=p,
        lag1=float(lag1_correlation(about[None], times)[0]),
        verdict=_verdict(first, second, p),
    )


def _verdict(first: Floats, second: Floats, p: float) -> str:
    """Return the code of the words; the direction is the side that wins more pairs."""
    if min(len(first), len(second)) < LEAST_SEASONS:
        return "too_few_seasons"
    if np.isnan(p):
        return "beyond_limit"
    if p <= LEVEL:
        return "higher" if np.sign(second[:, None] - first[None, :]).sum() > 0 else "lower"
    surest = 2.0 / comb(len(first) + len(second), len(first))
    return "no_difference_found" if surest <= LEVEL else "cannot_tell_yet"
