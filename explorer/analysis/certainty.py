"""How sure a class is: the spread of a station's own months, an interval, each class's share, and a word."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from scipy.special import stdtr, stdtrit  # type: ignore[import-untyped]

from explorer.analysis.censored import Floats
from explorer.model.classes import Limits, Statistic

__all__ = ["METHOD_SPREADS", "central_interval", "class_shares", "pooled_spread", "sureness_word"]

# Standard deviation of a reading's natural logarithm that comes from measuring alone: no series is taken as
# surer than its method. Two field duplicates agree within 25 % nineteen times of twenty (limit of the
# California measurement quality objectives, table A1): 0.25 / (1.96 * sqrt(2)) = 0.09. A disk reading is
# taken as good to 10 % in the same sense (common practice: checks of the marked line allow 10 %).
DUPLICATE_SPREAD = 0.09  # [1]
METHOD_SPREADS: Mapping[str, float] = {"secchi_depth": 0.05, "transparency_tube": 0.05}

# A median of normal values varies more than their mean: variances as pi to 2 for many values (A. Stuart and
# J. K. Ord, Kendall's Advanced Theory of Statistics, vol. 1, section 10.11, from memory); less for few.
MEDIAN_WIDENING = np.sqrt(np.pi / 2.0)  # [1]
_WIDENING: Mapping[Statistic, float] = {"median": MEDIAN_WIDENING, "mean": 1.0, "geometric_mean": 1.0}

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


def _standard_error(quantity: str, statistic: Statistic, spread: Floats, months: npt.ArrayLike) -> Floats:
    floor = METHOD_SPREADS.get(quantity, DUPLICATE_SPREAD)
    widening = _WIDENING.get(statistic, np.nan)
    error: Floats = widening * np.maximum(spread, floor) / np.sqrt(np.asarray(months, float))
    return error


def central_interval(
    central: npt.ArrayLike, spread: Floats, freedom: Floats, months: npt.ArrayLike, limits: Limits,
    share: float = 0.9,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return the t-interval, on a logarithmic scale, around central values.

    Parameters
    ----------
    central : array_like, shape (n,)
        Season's or period's value. [record unit]
    spread, freedom : ndarray, shape (n,)
        From `pooled_spread`. [1]
    months : array_like of int, shape (n,)
        Months behind each value.
    limits : Limits
        Says of what quantity and which statistic it is.
    share : float
        How often the interval shall hold the true value. [1]

    Returns
    -------
    low, high : ndarray, shape (n,)
        [record unit] NaN where the spread is not known, and for a maximum or minimum.

    Examples
    --------
    >>> limits = Limits("total_phosphorus", "mean", "season", (12.0,), "worse")
    >>> low, high = central_interval([20.0], np.array([0.4]), np.array([8.0]), [4], limits)
    >>> low.round(1).tolist(), high.round(1).tolist()
    ([13.8], [29.0])
    """
    half = stdtrit(freedom, 0.5 + share / 2.0)
    half = half * _standard_error(limits.quantity, limits.statistic, spread, months)
    value = np.asarray(central, dtype=np.float64)
    return value * np.exp(-half), value * np.exp(half)


def class_shares(
    central: npt.ArrayLike, spread: Floats, freedom: Floats, months: npt.ArrayLike, limits: Limits,
    higher_is_worse: bool,
) -> Floats:  # fmt: skip
    """Return the share of each class, given the t-distribution of a central value's logarithm.

    Parameters
    ----------
    central : array_like, shape (n,)
        Season's or period's value; zero and infinity are allowed. [record unit]
    spread, freedom : ndarray, shape (n,)
        From `pooled_spread`. [1]
    months : array_like of int, shape (n,)
        Months behind each value.
    limits : Limits
        Where the classes meet.
    higher_is_worse : bool
        Direction of the quantity.

    Returns
    -------
    ndarray, shape (n, classes)
        Each row sums to 1. [1] NaN where value or spread is not known, and for a maximum or minimum.

    Examples
    --------
    >>> limits = Limits("total_phosphorus", "mean", "season", (12.0, 24.0), "worse")
    >>> class_shares([20.0], np.array([0.4]), np.array([8.0]), [4], limits, True).round(2).tolist()
    [[0.02, 0.79, 0.19]]
    """
    sign = 1.0 if higher_is_worse else -1.0
    error = _standard_error(limits.quantity, limits.statistic, spread, months)
    with np.errstate(divide="ignore"):
        place = sign * np.log(np.asarray(central, dtype=np.float64))
        steps = sign * np.log(np.asarray(limits.upper))
    better = stdtr(freedom[:, None], (steps[None, :] - place[:, None]) / error[:, None])
    unknown = np.isnan(place) | np.isnan(error)
    edge = np.where(unknown, np.nan, 0.0)[:, None]
    shares: Floats = np.diff(np.concatenate([edge, better, edge + 1.0], axis=1), axis=1)
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
