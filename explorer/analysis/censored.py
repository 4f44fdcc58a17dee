"""Medians and other quantiles of values partly known only as "below" or "above" a limit, group by group.

Every value is an interval, as `explorer.model.readings.reading_interval` gives it: both ends equal where it
was measured, zero to the limit for "<", the limit to infinity for ">". None is replaced by half its limit.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["CensoredQuantile", "censored_quantile", "plain_quantile"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

SAME_SHARE = 1e-9  # a cumulated share this near to the wanted one is taken as equal to it


@dataclass(frozen=True, slots=True)
class CensoredQuantile:
    """A quantile of each group and the interval in which it lies whatever the unknown values were.

    Attributes
    ----------
    value : ndarray, shape (groups,) or (shares, groups)
        Kaplan-Meier estimate; NaN where it lies beyond what could be measured. [unit of the values]
    low, high : ndarray, shape as `value`
        Smallest and largest possible quantile; equal to `value` where nothing is censored.
    """

    value: Floats
    low: Floats
    high: Floats


def censored_quantile(
    low: npt.ArrayLike, high: npt.ArrayLike, group: npt.ArrayLike, share: npt.ArrayLike = 0.5
) -> CensoredQuantile:
    """Return a quantile, usually the median, of each group of partly censored values.

    Where the cumulated share is exactly the wanted one over a stretch (F = 0.5 for the median), the middle of
    the stretch is taken, as in the usual median of an even number of values. Libraries differ here.

    Parameters
    ----------
    low, high : array_like, shape (n,)
        Ends of each value's interval. [any unit]
    group : array_like of int, shape (n,)
        Group of each value, numbered from 0 without gaps.
    share : array_like, shape (), (groups,) or (shares, 1)
        Share of values at or below the quantile, above 0 and below 1; several for every group stand in a
        column. [1]

    Returns
    -------
    CensoredQuantile
        Arrays of shape (groups,), of several shares (shares, groups). In a group with both "<" and ">" the
        estimate is given only where the interval has no width.

    References
    ----------
    .. [1] D. R. Helsel, Statistics for Censored Environmental Data Using Minitab and R, 2nd ed., Wiley, 2012,
       chapter 6: Kaplan-Meier on flipped values.
    .. [2] R. J. Hyndman and Y. Fan, "Sample quantiles in statistical packages," Am. Stat., vol. 50, no. 4,
       pp. 361-365, 1996, definition 2.

    Examples
    --------
    >>> found = censored_quantile([0.0, 2.0, 3.0], [1.0, 2.0, 3.0], [0, 0, 0])  # <1, 2, 3
    >>> found.value.tolist(), found.low.tolist(), found.high.tolist()
    ([2.0], [2.0], [2.0])
    >>> found = censored_quantile([0.0, 0.0, 3.0], [5.0, 5.0, 3.0], [0, 0, 0])  # <5, <5, 3
    >>> found.value.tolist(), found.low.tolist(), found.high.tolist()
    ([3.0], [0.0], [5.0])
    >>> censored_quantile([0.0, 2.0, 3.0], [1.0, 2.0, 3.0], [0, 0, 0], [[0.5], [0.9]]).value.tolist()
    [[2.0], [3.0]]
    """
    lower, upper = np.asarray(low, float), np.asarray(high, float)
    number = np.asarray(group, np.int64)
    lowest = plain_quantile(lower, number, share)
    size, open_above = lowest.shape[-1], np.isposinf(upper)
    asked = np.broadcast_to(np.asarray(share, float), lowest.shape)
    has_above = np.bincount(number, open_above, size) > 0
    has_below = np.bincount(number, (lower < upper) & ~open_above, size) > 0
    highest, value = lowest.copy(), lowest.copy()
    unsure = has_below | has_above
    rows, group_of = _part(unsure, number)
    highest[..., unsure] = plain_quantile(upper[rows], group_of, asked[..., unsure])
    value[..., unsure] = np.nan
    one_sided = has_below != has_above
    rows, group_of = _part(one_sided, number)
    flip = np.where(has_above, -1.0, 1.0)  # values known as "above" are "below" ones with their sign changed
    limit = np.where(open_above[rows], -lower[rows], flip[number[rows]] * upper[rows])
    wanted = np.where(has_above, 1.0 - asked, asked)[..., one_sided]
    found = _kaplan_meier(limit, lower[rows] == upper[rows], group_of, wanted)
    value[..., one_sided] = flip[one_sided] * found
    value = np.clip(value, lowest, highest)
    return CensoredQuantile(np.where(lowest == highest, lowest, value), lowest, highest)


def _part(wanted: Bools, group: Ints) -> tuple[Bools, Ints]:
    """Return the rows of the wanted groups and those groups' numbers, counted afresh."""
    rows = wanted[group]
    return rows, (np.cumsum(wanted) - 1)[group[rows]]


def plain_quantile(values: npt.ArrayLike, group: npt.ArrayLike, share: npt.ArrayLike = 0.5) -> Floats:
    """Return a quantile of each group of values that are all known, by the convention of `censored_quantile`.

    Parameters
    ----------
    values : array_like, shape (n,)
        [any unit] Infinity is allowed, NaN is not.
    group : array_like of int, shape (n,)
        Group of each value, numbered from 0 without gaps.
    share : array_like, shape (), (groups,) or (shares, 1)
        Share of values at or below the quantile, above 0 and below 1; several for every group stand in a
        column. [1]

    Returns
    -------
    ndarray, shape (groups,), of several shares (shares, groups)

    Examples
    --------
    >>> plain_quantile([1.0, 2.0, 9.0, 4.0, 6.0], [0, 0, 0, 1, 1]).tolist()
    [2.0, 5.0]
    """
    value, number = np.asarray(values, float), np.asarray(group, np.int64)
    size = np.bincount(number)
    ordered: Floats = value[_order_in_groups(value, number)]
    wanted = np.asarray(share, float) * size
    whole = np.rint(wanted)
    on_step = np.abs(wanted - whole) < SAME_SHARE * size
    first = np.cumsum(size) - size + np.where(on_step, whole, np.ceil(wanted)).astype(np.int64) - 1
    middle: Floats = (ordered[first] + ordered[first + on_step]) / 2.0
    return middle


def _order_in_groups(value: Floats, group: Ints) -> Ints:
    """Return the order by group, then value: np.lexsort without its slow stable sorting of floats."""
    return _grouped(np.argsort(value), group)


def _grouped(by_value: Ints, group: Ints) -> Ints:
    """Return an order by group that keeps another order within each group."""
    rank = np.empty(group.size, np.int64)
    rank[by_value] = np.arange(group.size)
    order: Ints = by_value[np.sort(group * group.size + rank) % max(group.size, 1)]
    return order


def _kaplan_meier(limit: Floats, measured: Bools, group: Ints, share: Floats) -> Floats:
    """Return the quantiles of left-censored values, one a share; every group has at least one value."""
    order = _grouped(
        np.lexsort((measured, limit)), group
    )  # a "<" stands before a measured value equal to its limit
    limit, measured, group = limit[order], measured[order], group[order]
    size = np.bincount(group, minlength=share.shape[-1])
    start = np.cumsum(size) - size
    at_most = np.arange(group.size) - start[group] + 1.0  # values and limits at or below this one
    step = np.zeros(group.size)
    np.log((at_most - 1.0) / at_most, out=step, where=measured & (at_most > 1.0))
    passed = np.cumsum(step)
    at_end = passed[start + size - 1]
    event = np.flatnonzero(measured)
    at, to = limit[event], group[event]
    cumulated = np.exp(at_end[to] - passed[event])  # F at the value
    before = cumulated * (1.0 - 1.0 / at_most[event])  # F just below the value
    quantile = np.full(share.shape, np.nan)
    for wanted, row in zip(np.atleast_2d(share), np.atleast_2d(quantile), strict=True):
        enough = np.flatnonzero(cumulated >= wanted[to] - SAME_SHARE)
        groups, first = np.unique(to[enough], return_index=True)
        chosen = enough[first]
        tied = cumulated[chosen] <= wanted[groups] + SAME_SHARE
        found = np.where(tied, (at[chosen] + at[np.minimum(chosen + 1, at.size - 1)]) / 2.0, at[chosen])
        row[groups] = np.where(before[chosen] >= wanted[groups] - SAME_SHARE, np.nan, found)
    return quantile
