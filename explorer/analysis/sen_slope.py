"""Sen's slope over pairs within a season, and its limits by interpolated ranks, for many series at once."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.analysis.order_statistics import at_ranks
from explorer.analysis.tail_probability import normal_quantile

__all__ = ["LIMITS_CONFIDENCE", "SenSlopes", "sen_slopes", "within_season_slopes"]

Floats = npt.NDArray[np.float64]

LIMITS_CONFIDENCE = 0.90  # [1] two-sided, the confidence of Gilbert's example


@dataclass(frozen=True, slots=True)
class SenSlopes:
    """Slopes and their limits.

    Attributes
    ----------
    slope, low, high : ndarray, shape (series,)
        Median slope and its limits. [value unit per time unit] NaN without a pair; a limit is NaN where the
        pairs are too few for it.
    pairs : ndarray of int, shape (series,)
        Pairs of values behind each slope.
    """

    slope: Floats
    low: Floats
    high: Floats
    pairs: npt.NDArray[np.int64]


def within_season_slopes(
    values: npt.ArrayLike, times: npt.ArrayLike | None = None
) -> tuple[Floats, npt.NDArray[np.int64]]:
    """Return the slopes between all pairs of years within each season.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Values. NaN where nothing was measured.
    times : array_like, shape (years,), optional
        Times in rising order, 0, 1, 2 ... when left out. Two values at one time make no slope.

    Returns
    -------
    slopes : ndarray, shape (series, years * (years - 1) / 2 * seasons)
        Slopes, the shortest lag first; NaN for pairs that make none. [value unit per time unit]
    pairs : ndarray of int, shape (series,)
        Slopes that are not NaN.

    References
    ----------
    .. [1] P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau," J. Am. Statist.
       Assoc., vol. 63, pp. 1379-1389, 1968; within seasons: Hirsch, Slack and Smith 1982, equation 12.

    Examples
    --------
    >>> slopes, pairs = within_season_slopes([[[1.0], [3.0], [4.0]]])
    >>> slopes.tolist(), pairs.tolist()
    ([[2.0, 1.0, 1.5]], [3])
    """
    number = np.asarray(values, dtype=np.float64)
    series, years, seasons = number.shape
    time = np.arange(years, dtype=np.float64) if times is None else np.asarray(times, dtype=np.float64)
    slopes = np.empty((series, years * (years - 1) // 2 * seasons))
    start = 0
    for lag in range(1, years):
        step = time[lag:] - time[:-lag]
        rise = number[:, lag:] - number[:, :-lag]
        rise /= np.where(step > 0, step, np.nan)[:, None]
        stop = start + (years - lag) * seasons
        slopes[:, start:stop] = rise.reshape(series, stop - start)
        start = stop
    return slopes, (~np.isnan(slopes)).sum(axis=1)


def sen_slopes(
    values: npt.ArrayLike,
    variance: npt.ArrayLike,
    times: npt.ArrayLike | None = None,
    *,
    confidence: float = LIMITS_CONFIDENCE,
) -> SenSlopes:
    """Return Sen's slope and its limits.

    The limits lie at the ranks (N - C)/2 and (N + C)/2 + 1 of the N ordered slopes, between two of them by
    interpolation, with C the normal quantile times the square root of the variance of S. Given the variance
    of the test, slope and test cannot contradict one another by more than the continuity correction.
    Routines that round these ranks give other limits on the same data.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Values. NaN where nothing was measured.
    variance : array_like, shape (series,)
        Variance of Kendall's S that gave the p. [1]
    times : array_like, shape (years,), optional
        Times in rising order, 0, 1, 2 ... when left out.
    confidence : float
        Two-sided confidence of the limits. [1]

    Returns
    -------
    SenSlopes

    Raises
    ------
    ValueError
        If the confidence is not between 0 and 1.

    References
    ----------
    .. [1] Sen 1968; R. O. Gilbert, Statistical Methods for Environmental Pollution Monitoring, Van Nostrand
       Reinhold, 1987, section 16.4.2.

    Examples
    --------
    >>> sodium_ppm = [56.0, 53, 51, 55, 52, 60, 62, 59, 61, 63]
    >>> year = [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3]
    >>> found = sen_slopes([[[ppm] for ppm in sodium_ppm]], [125.0], year, confidence=0.95)
    >>> [round(float(each[0]), 4) for each in (found.low, found.slope, found.high)]
    [0.3992, 1.3333, 2.3333]
    """
    slopes, pairs = within_season_slopes(values, times)
    reach = normal_quantile(1.0 - confidence) * np.sqrt(np.asarray(variance, dtype=np.float64))
    ranks = np.array([(pairs + 1) / 2.0, (pairs - reach) / 2.0, (pairs + reach) / 2.0 + 1.0])
    slope, low, high = at_ranks(slopes, ranks, pairs)
    return SenSlopes(slope, low, high, pairs)
