"""The seasonal Kendall test for many series at once: score, variance between seasons, whether they agree.

With d the sign of the difference of two years in one season (zero for a tie and where either is missing) and
r = half the sum of d over all other years (a value's rank less the mean rank; zero where missing), the
covariance of two seasons by Hirsch & Slack 1984 is (K + 4 sum r_g r_h - n (n_g + 1)(n_h + 1)) / 3 with full
ranks, that is (K + 4 sum r_g r_h) / 3 with centred ones. Summed over all pairs of seasons it needs only the
sums of d and r over the seasons; for a season with itself it is the usual variance corrected for ties.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.analysis.tail_probability import chi_square_tail

__all__ = ["KendallScores", "kendall_by_season", "kendall_scores", "seasons_differ_p", "standard_score"]

Floats = npt.NDArray[np.float64]

SEASONS_IN_INT16 = 180  # its square, and its product with as many years, fit into 16 bits


@dataclass(frozen=True, slots=True)
class KendallScores:
    """Kendall's S and its variance.

    Attributes
    ----------
    statistic_s : ndarray
        Rising pairs less falling pairs. [1]
    variance : ndarray, same shape
        Variance of S without a trend. [1] Zero where no pair differs.
    """

    statistic_s: Floats
    variance: Floats


def kendall_scores(values: npt.ArrayLike) -> KendallScores:
    """Return S over all seasons and its variance with the covariance between seasons.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Values in the order of the years. NaN where nothing was measured: such a pair scores nothing.

    Returns
    -------
    KendallScores
        Shape (series,). With one season this is the Mann-Kendall test corrected for ties.

    References
    ----------
    .. [1] R. M. Hirsch, J. R. Slack and R. A. Smith, "Techniques of trend analysis for monthly water quality
       data," Water Resour. Res., vol. 18, no. 1, pp. 107-121, 1982.
    .. [2] R. M. Hirsch and J. R. Slack, "A nonparametric trend test for seasonal data with serial
       dependence," Water Resour. Res., vol. 20, no. 6, pp. 727-732, 1984.

    Examples
    --------
    >>> scores = kendall_scores([[[1.0, 5.0], [2.0, 5.0], [4.0, float("nan")], [3.0, 6.0]]])
    >>> scores.statistic_s.tolist(), scores.variance.round(4).tolist()
    ([6.0], [16.6667])
    """
    return _scores(np.ascontiguousarray(np.moveaxis(np.asarray(values), 0, -1)))


def kendall_by_season(values: npt.ArrayLike) -> KendallScores:
    """Return S and its variance for each season alone.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Values in the order of the years. NaN where nothing was measured.

    Returns
    -------
    KendallScores
        Shape (series, seasons). The sums over the seasons are S and variance of the test for seasons that
        do not depend on one another.

    References
    ----------
    .. [1] Hirsch, Slack and Smith 1982, equations 1 to 6.

    Examples
    --------
    >>> scores = kendall_by_season([[[1.0, 5.0], [2.0, 5.0], [4.0, float("nan")], [3.0, 6.0]]])
    >>> scores.statistic_s.tolist(), scores.variance.round(4).tolist()
    ([[4.0, 2.0]], [[8.6667, 2.6667]])
    """
    number = np.asarray(values)
    series, years, seasons = number.shape
    alone = np.ascontiguousarray(number.transpose(1, 0, 2)).reshape(years, 1, series * seasons)
    scores = _scores(alone)
    shape = (series, seasons)
    return KendallScores(scores.statistic_s.reshape(shape), scores.variance.reshape(shape))


def _scores(by_year: npt.NDArray[np.floating]) -> KendallScores:
    """Score an array of shape (years, seasons, series), the layout in which every step is contiguous."""
    years, seasons, series = by_year.shape
    whole: type[np.int16 | np.int64] = (
        np.int16 if seasons <= SEASONS_IN_INT16 and years <= SEASONS_IN_INT16 else np.int64
    )
    statistic = np.zeros(series, dtype=np.int64)
    squares = np.zeros(series, dtype=np.int64)
    twice_rank = np.zeros((years, series), dtype=whole)
    for lag in range(1, years):
        later, earlier = by_year[lag:], by_year[:-lag]
        sign = (later > earlier).view(np.int8)
        sign -= (later < earlier).view(np.int8)
        pair: npt.NDArray[np.int64] = sign[:, 0].astype(whole) if seasons == 1 else sign.sum(1, dtype=whole)
        twice_rank[lag:] += pair
        twice_rank[:-lag] -= pair
        statistic += pair.sum(axis=0, dtype=np.int32)
        squares += (pair * pair).sum(axis=0, dtype=np.int32)
    ranks = twice_rank.astype(np.float64)
    return KendallScores(statistic.astype(np.float64), (squares + (ranks * ranks).sum(axis=0)) / 3.0)


def standard_score(statistic_s: npt.ArrayLike, variance: npt.ArrayLike) -> Floats:
    """Return the standard score of S with continuity correction.

    Parameters
    ----------
    statistic_s, variance : array_like, shape (...)
        S and its variance. [1]

    Returns
    -------
    ndarray, shape (...)
        z, one step of S nearer to zero. [1] Zero where the variance is zero: nothing differs. NaN where S
        is NaN.

    References
    ----------
    .. [1] Hirsch, Slack and Smith 1982, equation 7.

    Examples
    --------
    >>> standard_score([25.0, -25.0, 0.0], [125.0, 125.0, 0.0]).round(6).tolist()
    [2.146625, -2.146625, 0.0]
    """
    score = np.asarray(statistic_s, dtype=np.float64)
    spread = np.sqrt(np.asarray(variance, dtype=np.float64))
    nearer = np.sign(score) * np.maximum(np.abs(score) - 1.0, 0.0)
    return nearer / np.where(spread > 0, spread, 1.0)


def seasons_differ_p(by_season: KendallScores) -> Floats:
    """Return the p of the hypothesis that all seasons share one trend.

    When it is small, one word for all seasons hides trends that differ or oppose one another. The seasons
    are taken to be independent; where they move together the p is on the large side.

    Parameters
    ----------
    by_season : KendallScores
        Shape (series, seasons), from `kendall_by_season`.

    Returns
    -------
    ndarray, shape (series,)
        p. [1] NaN with fewer than two seasons in which values differ.

    References
    ----------
    .. [1] G. Van Belle and J. P. Hughes, "Nonparametric tests for trend in water quality," Water Resour.
       Res., vol. 20, no. 1, pp. 127-136, 1984.

    Examples
    --------
    >>> scores = kendall_by_season([[[year, -year] for year in range(10)]])
    >>> bool(seasons_differ_p(scores)[0] < 1e-6)
    True
    """
    varies = by_season.variance > 0
    z = by_season.statistic_s / np.sqrt(np.where(varies, by_season.variance, 1.0))
    seasons = varies.sum(axis=-1)
    total = (z * z).sum(axis=-1)
    trend = z.sum(axis=-1) ** 2 / np.maximum(seasons, 1)
    return chi_square_tail(np.maximum(total - trend, 0.0), seasons - 1)
