"""Readings of many series in one array of years and months, cut where a method breaks."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["SeasonCube", "comparable_methods", "season_cube"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeasonCube:
    """Monthly values of many series.

    Attributes
    ----------
    stations, methods : ndarray of str, shape (series,)
        What each series is: one station, one method (or several that are declared comparable).
    years : ndarray of int, shape (years,)
        Season years, without a gap.
    months : tuple of int
        Months of the season, 1 to 12, in order.
    values : ndarray, shape (series, years, months)
        Monthly values, or the limit where the sign is "<" or ">". [record unit] NaN where nothing was
        measured.
    signs : ndarray of str, shape (series, years, months)
        "=", "<" or ">"; "=" where nothing was measured.
    """

    stations: npt.NDArray[np.str_]
    methods: npt.NDArray[np.str_]
    years: npt.NDArray[np.int64]
    months: tuple[int, ...]
    values: Floats
    signs: npt.NDArray[np.str_]


def comparable_methods(
    methods: npt.ArrayLike, comparable: Iterable[Iterable[str]] = ()
) -> npt.NDArray[np.str_]:
    """Return each method's name, one and the same for methods that are declared comparable.

    Parameters
    ----------
    methods : array_like of str, shape (n,)
        Method of each reading, with its correction and laboratory.
    comparable : iterable of iterables of str
        Groups of methods between which a series goes on. Groups that share a method are one.

    Returns
    -------
    ndarray of str, shape (n,)
        The group's first name by the alphabet, or the method itself.

    Examples
    --------
    >>> comparable_methods(["lab B", "lab A", "probe"], [("lab A", "lab B")]).tolist()
    ['lab A', 'lab A', 'probe']
    """
    groups: list[set[str]] = []
    for names in comparable:
        joined = set(names)
        apart = [group for group in groups if not group & joined]
        groups = [*apart, joined.union(*(group for group in groups if group & joined))]
    first = {name: min(group) for group in groups for name in group}
    names, place = np.unique(np.asarray(methods, dtype=np.str_), return_inverse=True)
    return np.array([first.get(name, name) for name in names.tolist()], dtype=np.str_)[place]


def season_cube(
    stations: npt.ArrayLike,
    methods: npt.ArrayLike,
    years: npt.ArrayLike,
    months: npt.ArrayLike,
    values: npt.ArrayLike,
    signs: npt.ArrayLike,
    *,
    season_months: Sequence[int],
    comparable: Iterable[Iterable[str]] = (),
) -> SeasonCube:
    """Return the readings of one quantity as monthly values of series that no break runs through.

    Several readings of a month give their median. Where the middle lies between two readings of which one
    is a limit, half of a limit is no number: the one that carries the limit stands, of two "<" the higher,
    of two ">" the lower.

    Parameters
    ----------
    stations, methods : array_like of str, shape (n,)
        Station and method of each reading. Readings of one station by methods that are not declared
        comparable become series of their own.
    years, months : array_like of int, shape (n,)
        Season year (`Season.year_of`) and calendar month; readings outside the season are left out.
    values : array_like, shape (n,)
        Values, or limits. [record unit] NaN is left out.
    signs : array_like of str, shape (n,)
        "=", "<" or ">".
    season_months : sequence of int
        Months of the season, in order.
    comparable : iterable of iterables of str
        As for `comparable_methods`.

    Returns
    -------
    SeasonCube
        Series in the order of station, then method; without readings an empty one.

    References
    ----------
    .. [1] One value per season and year before a seasonal Kendall test: Hirsch, Slack and Smith 1982.

    Examples
    --------
    >>> cube = season_cube(
    ...     ["A1"] * 4, ["old", "old", "old", "new"], [2001, 2001, 2003, 2003], [5, 5, 6, 6],
    ...     [1.0, 3.0, 4.0, 9.0], ["=", "=", "<", "="], season_months=(5, 6),
    ... )
    >>> cube.methods.tolist(), cube.years.tolist(), cube.values[1].tolist()
    (['new', 'old'], [2001, 2002, 2003], [[2.0, nan], [nan, nan], [nan, 4.0]])
    """
    order = {month: place for place, month in enumerate(season_months)}
    month = np.asarray(months, dtype=np.int64)
    place = np.array([order.get(each, -1) for each in range(13)])[month]
    number, sign = np.asarray(values, dtype=np.float64), np.asarray(signs, dtype=np.str_)
    kept = (place >= 0) & ~np.isnan(number)
    names = np.asarray(stations, dtype=np.str_)[kept]
    by_method = comparable_methods(np.asarray(methods, dtype=np.str_)[kept], comparable)
    year = np.asarray(years, dtype=np.int64)[kept]
    keys, series = _series(names, by_method)
    span = np.arange(year.min(), year.max() + 1) if year.size else np.arange(0)
    shape = (len(keys), len(span), len(season_months))
    cell = np.ravel_multi_index((series, year - span[:1].sum(), place[kept]), shape) if year.size else series
    filled, middle, middle_sign = _cell_medians(cell, number[kept], sign[kept])
    cube, marks = np.full(shape, np.nan), np.full(shape, "=", dtype="<U1")
    cube.flat[filled], marks.flat[filled] = middle, middle_sign
    return SeasonCube(keys[:, 0], keys[:, 1], span, tuple(season_months), cube, marks)


def _series(
    stations: npt.NDArray[np.str_], methods: npt.NDArray[np.str_]
) -> tuple[npt.NDArray[np.str_], npt.NDArray[np.int64]]:
    """Return the pairs of station and method that occur, in order, and each reading's pair."""
    station_names, station = np.unique(stations, return_inverse=True)
    method_names, method = np.unique(methods, return_inverse=True)
    pairs, series = np.unique(station * max(len(method_names), 1) + method, return_inverse=True)
    which = np.divmod(pairs, max(len(method_names), 1))
    keys = np.stack([station_names[which[0]], method_names[which[1]]], axis=1)
    return keys, series


def _cell_medians(
    cell: npt.NDArray[np.int64], value: Floats, sign: npt.NDArray[np.str_]
) -> tuple[npt.NDArray[np.int64], Floats, npt.NDArray[np.str_]]:
    """Return the cells that hold readings, with the median and its sign for each."""
    kind = np.select([sign == "<", sign == ">"], [-1, 1], default=0)
    order = np.lexsort((kind, value, cell))
    cell, value, kind = cell[order], value[order], kind[order]
    filled, start, count = np.unique(cell, return_index=True, return_counts=True)
    low, high = start + (count - 1) // 2, start + count // 2
    numbers = (kind[low] == 0) & (kind[high] == 0)
    upper = ((kind[low] == 0) & (kind[high] != 0)) | ((kind[low] == -1) & (kind[high] == -1))
    chosen = np.where(upper, high, low)
    middle = np.where(numbers, (value[low] + value[high]) / 2.0, value[chosen])
    marks = np.array(["<", "=", ">"])[np.where(numbers, 0, kind[chosen]) + 1]
    return filled, middle, marks
