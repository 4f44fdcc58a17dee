"""How sure a class is: the spread of a station's months, a value's error, each class's share, and a word."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from scipy.special import stdtr  # type: ignore[import-untyped]

from explorer.analysis.censored import Floats
from explorer.model.classes import Limits

__all__ = ["METHOD_SPREADS", "class_shares", "log_error", "pooled_spread", "sureness_word"]

# Standard deviation of a reading's natural logarithm that comes from measuring alone: no series is taken as
# surer than its method. Two field duplicates agree within 25 % nineteen times of twenty (limit of the
# California measurement quality objectives, table A1): 0.25 / (1.96 * sqrt(2)) = 0.09. A disk reading lies
# within 10 % of the truth as often (common practice, as for checks of the marked line): 0.10 / 1.96 = 0.05.
DUPLICATE_SPREAD = 0.09  # [1]
METHOD_SPREADS: Mapping[str, float] = {"secchi_depth": 0.05, "transparency_tube": 0.05}

# A median of normal values varies more than their mean: variances as pi to 2 for many values (A. Stuart and
# J. K. Ord, Kendall's Advanced Theory of Statistics, vol. 1, section 10.11, from memory); less for few.
MEDIAN_WIDENING = np.sqrt(np.pi / 2.0)  # [1]

# M. D. Mastrandrea and others, Guidance Note for Lead Authors of the IPCC Fifth Assessment Report on
# Consistent Treatment of Uncertainties, IPCC, 2010, table 1 with its additional terms (from memory).
LIKELY = 0.66
_WORDS = (
    (0.99, "virtually_certain"),
    (0.95, "extremely_likely"),
    (0.90, "very_likely"),
    (LIKELY, "likely"),
    (0.50, "more_likely_than_not"),
    (0.33, "about_as_likely_as_not"),
)
FEW_VISITS = 5  # the programme's rule: fewer visits never make a class surer than "likely"


def pooled_spread(
    log_spread: npt.ArrayLike, months: npt.ArrayLike, group: npt.ArrayLike
) -> tuple[Floats, Floats]:
    """Return the spread within a season, pooled over all seasons of each group, and its degrees of freedom.

    Parameters
    ----------
    log_spread : array_like, shape (n,)
        Standard deviation of the natural logarithms of each season's months. [1] NaN where not known.
    months : array_like of int, shape (n,)
        Months of each season.
    group : array_like of int, shape (n,)
        Group of each season, numbered from 0.

    Returns
    -------
    spread, freedom : ndarray, shape (groups,)
        Both NaN where no season has a spread.

    Examples
    --------
    >>> spread, freedom = pooled_spread([0.3, 0.5, float("nan")], [3, 3, 1], [0, 0, 1])
    >>> spread.round(3).tolist(), freedom.tolist()
    ([0.412, nan], [4.0, nan])
    """
    groups = int(np.max(group, initial=-1)) + 1
    known = ~np.isnan(np.asarray(log_spread, dtype=np.float64))
    spread, number = np.asarray(log_spread, float)[known], np.asarray(group)[known]
    weight = np.asarray(months)[known] - 1.0
    freedom: Floats = np.bincount(number, weight, groups).astype(np.float64)
    freedom[freedom == 0] = np.nan
    return np.sqrt(np.bincount(number, weight * spread**2, groups) / freedom), freedom


def log_error(
    limits: Limits, spread: Floats, months: npt.NDArray[np.int64], seasons: npt.NDArray[np.int64]
) -> Floats:
    """Return the standard error of the logarithm of a season's or period's value.

    Parameters
    ----------
    limits : Limits
        Says of what quantity and which statistic the value is.
    spread : ndarray, shape (n,)
        Of the months' logarithms, from `pooled_spread`. [1] Never taken as less than that of the method.
    months : ndarray of int, shape (n,)
        Months behind each value, of all its seasons together.
    seasons : ndarray of int, shape (n,)
        Seasons behind each value.

    Returns
    -------
    ndarray, shape (n,)
        [1] NaN where the spread is not known, and for a maximum or minimum.

    References
    ----------
    .. [1] A log-normal variable has the coefficient of variation sqrt(exp(s**2) - 1): R. O. Gilbert,
       Statistical Methods for Environmental Pollution Monitoring, 1987, chapter 12 (from memory).

    Examples
    --------
    >>> spread, months, seasons = np.array([0.8]), np.array([4]), np.array([1])
    >>> for statistic in ("geometric_mean", "mean", "median", "maximum"):
    ...     limits = Limits("total_phosphorus", statistic, "season", (12.0,), "worse")
    ...     print(statistic, log_error(limits, spread, months, seasons).round(3).tolist())
    geometric_mean [0.4]
    mean [0.473]
    median [0.501]
    maximum [nan]
    """
    of_one = np.maximum(spread, METHOD_SPREADS.get(limits.quantity, DUPLICATE_SPREAD))
    if limits.statistic == "mean":
        with np.errstate(over="ignore"):  # an endless error leaves half to either end
            of_one = np.sqrt(np.expm1(of_one**2))
    elif limits.statistic == "median":  # of the seasons' medians: each of the two steps widens it
        of_one = of_one * _median_widening(months / seasons) * _median_widening(seasons)
    elif limits.statistic != "geometric_mean":
        of_one = np.full(np.shape(spread), np.nan)
    error: Floats = of_one / np.sqrt(months)
    return error


def _median_widening(count: npt.NDArray[np.number]) -> Floats:
    """Return how much more a median varies than a mean; of one or two values it is their mean."""
    return np.where(count > 2, MEDIAN_WIDENING, 1.0)


def class_shares(
    central: npt.ArrayLike, error: Floats, freedom: Floats, limits: Limits, higher_is_worse: bool
) -> Floats:
    """Return the share of each class, given the t-distribution of a central value's logarithm.

    Parameters
    ----------
    central : array_like, shape (n,)
        Season's or period's value; zero and infinity are allowed, a negative one counts as zero.
        [record unit]
    error : ndarray, shape (n,)
        From `log_error`. [1]
    freedom : ndarray, shape (n,)
        From `pooled_spread`. [1]
    limits : Limits
        Where the classes meet.
    higher_is_worse : bool
        Direction of the quantity.

    Returns
    -------
    ndarray, shape (n, classes)
        Each row sums to 1. [1] NaN where value or error is not known.

    Examples
    --------
    >>> limits = Limits("total_phosphorus", "mean", "season", (12.0, 24.0), "worse")
    >>> class_shares([20.0], np.array([0.2]), np.array([8.0]), limits, True).round(2).tolist()
    [[0.02, 0.79, 0.19]]
    """
    sign = 1.0 if higher_is_worse else -1.0
    with np.errstate(divide="ignore"):
        place = sign * np.log(np.maximum(np.asarray(central, dtype=np.float64), 0.0))
    steps = sign * np.log(np.asarray(limits.upper))
    better = stdtr(freedom[:, None], (steps[None, :] - place[:, None]) / error[:, None])
    shares: Floats = np.diff(better, axis=1, prepend=0.0, append=1.0)
    return shares


def sureness_word(share: float, visits: int) -> str:
    """Return the code of the word for how sure a class is.

    Parameters
    ----------
    share : float
        Share of the class. [1]
    visits : int
        Visits behind it: under five it is never called surer than "likely".

    Returns
    -------
    str
        Code in the group "sureness" of the sentences; "cannot_tell" where the share is NaN.

    Examples
    --------
    >>> sureness_word(0.97, 30), sureness_word(0.97, 4), sureness_word(0.4, 30)
    ('extremely_likely', 'likely', 'about_as_likely_as_not')
    """
    if np.isnan(share):
        return "cannot_tell"
    if visits < FEW_VISITS:
        share = min(share, LIKELY)
    return next((word for least, word in _WORDS if share >= least), "unlikely")
