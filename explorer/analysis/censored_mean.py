"""Robust regression on order statistics: what values behind a "<" come to on average, group by group."""

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri  # type: ignore[import-untyped]

from explorer.analysis.censored import Bools, Floats, Ints

__all__ = ["ros_values"]

ROS_FEWEST_VALUES = 10  # the programme's rule: fewer values give an interval instead of a mean
ROS_LARGEST_CENSORED_SHARE = 0.8  # [1] Helsel 2012, table 6.11 (from memory)
ROS_FEWEST_MEASURED = 3  # a line through two points has no scatter to judge it by


def ros_values(low: npt.ArrayLike, high: npt.ArrayLike, group: npt.ArrayLike) -> Floats:
    """Return the values with robust regression on order statistics in the place of every "<".

    In each group the logarithms of the measured values are regressed on the normal scores of their plotting
    positions; a "<" takes the value of that line at its own position. Values behind the same limit are
    interchangeable, and one may come to lie above its limit: a known property of the method.

    Parameters
    ----------
    low, high : array_like, shape (n,)
        Ends of each value's interval. [any unit]
    group : array_like of int, shape (n,)
        Group of each value, numbered from 0 without gaps.

    Returns
    -------
    ndarray, shape (n,)
        Measured values as they are. NaN for ">", for a "<" whose limit lies above all measured values, and
        for every "<" of a group with under ten values, under three measured ones, more than 80 % censored,
        or a measured value that is not above zero.

    References
    ----------
    .. [1] D. R. Helsel and T. A. Cohn, "Estimation of descriptive statistics for multiply censored water
       quality data," Water Resour. Res., vol. 24, no. 12, pp. 1997-2004, 1988.
    .. [2] R. M. Hirsch and J. R. Stedinger, "Plotting positions for historical floods and their precision,"
       Water Resour. Res., vol. 23, no. 4, pp. 715-727, 1987.

    Examples
    --------
    >>> high = [1.0, 1.0, 1.2, 1.5, 1.9, 2.4, 3.0, 3.8, 4.7, 6.0]
    >>> low = [0.0, 0.0, *high[2:]]
    >>> ros_values(low, high, [0] * 10)[:3].round(2).tolist()
    [0.55, 0.78, 1.2]
    """
    lower, upper = np.asarray(low, float), np.asarray(high, float)
    number = np.asarray(group, np.int64)
    measured = lower == upper
    result = np.where(measured, lower, np.nan)
    if number.size == 0:
        return result
    count = int(number.max()) + 1
    greatest, least = np.full(count, -np.inf), np.full(count, np.inf)
    np.maximum.at(greatest, number[measured], lower[measured])
    np.minimum.at(least, number[measured], lower[measured])
    counts = measured | (np.isfinite(upper) & (upper <= greatest[number]))
    all_of = np.bincount(number, counts, count)
    measured_of = np.bincount(number, measured, count)
    fit = (all_of >= ROS_FEWEST_VALUES) & (measured_of >= ROS_FEWEST_MEASURED) & (measured_of < all_of)
    fit &= (all_of - measured_of <= ROS_LARGEST_CENSORED_SHARE * all_of) & (least > 0)
    rows = np.flatnonzero(counts & fit[number])
    rows = rows[np.lexsort((measured[rows], upper[rows], number[rows]))]
    group_of = (np.cumsum(fit) - 1)[number[rows]]
    score = ndtri(_plotting_positions(upper[rows], measured[rows], group_of))
    line = _fitted_lines(score, upper[rows], measured[rows], group_of)
    result[rows] = np.where(measured[rows], upper[rows], line)
    return result


def _plotting_positions(value: Floats, measured: Bools, group: Ints) -> Floats:
    """Return the plotting position of each value; sorted by group, value, "<" before measured."""
    new_group = np.diff(group, prepend=-1) != 0
    same_limit = np.concatenate(([False], ~measured[:-1] & (np.diff(value) == 0)))
    opens = new_group | (~measured & ~same_limit)  # each limit opens a stretch up to the next limit
    stretch = np.cumsum(opens) - 1
    first = np.flatnonzero(opens)
    group_of = group[first]
    above = np.bincount(stretch, measured)  # measured values in the stretch
    behind = np.bincount(stretch, ~measured)  # values behind its limit
    below = first - np.flatnonzero(new_group)[group_of] + behind
    step = np.log(np.maximum(below, 1.0) / (above + np.maximum(below, 1.0)))
    passed = np.cumsum(step)
    last = np.flatnonzero(np.diff(group_of, append=-1))
    before = passed - step
    share = np.where(below > 0, np.exp(passed[last][group_of] - before), 0.0)  # cumulated share at the limit
    following = np.where(np.isin(np.arange(first.size), last), 1.0, np.roll(share, -1))
    rank = np.arange(value.size) - first[stretch] + 1.0
    rank_measured = rank - behind[stretch]
    over = (following - share)[stretch] * rank_measured / (above[stretch] + 1.0)
    position: Floats = np.where(
        measured, share[stretch] + over, share[stretch] * rank / (behind[stretch] + 1.0)
    )
    return position


def _fitted_lines(score: Floats, value: Floats, measured: Bools, group: Ints) -> Floats:
    """Return the value of each group's log-normal line at each score, fitted to the measured values."""
    weight, logs = measured.astype(float), np.log(value)
    count = np.bincount(group, weight)
    mean_score = np.bincount(group, weight * score) / count
    mean_log = np.bincount(group, weight * logs) / count
    apart = score - mean_score[group]
    slope = np.bincount(group, weight * apart * logs) / np.bincount(group, weight * apart**2)
    line: Floats = np.exp(mean_log[group] + slope[group] * apart)
    return line
