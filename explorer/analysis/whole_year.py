"""Whether a year was visited all year, so that a limit for means over the year may be held against it."""

import numpy as np
import numpy.typing as npt

from explorer.analysis.censored import Bools, Ints
from explorer.model.programme import Programme

__all__ = ["covers_year", "months_beside", "season_fills_year"]

MONTHS_OF_A_YEAR = 12


def season_fills_year(programme: Programme) -> bool:
    """Return whether a season leaves too little of the year outside to show that all of it was visited.

    Parameters
    ----------
    programme : Programme
        Gives the season and the fewest months.

    Returns
    -------
    bool
        If so, a year counts for a mean over the year where all but the fewest months were visited; if not,
        where so many were visited outside the season (both common practice).

    Examples
    --------
    >>> season_fills_year(Programme()), season_fills_year(Programme(season_months=tuple(range(1, 13))))
    (False, True)
    """
    return MONTHS_OF_A_YEAR - len(programme.season_months) < programme.minimum_months


def covers_year(months: Ints, months_inside: Ints, programme: Programme) -> Bools:
    """Return which years were visited all year.

    Parameters
    ----------
    months, months_inside : ndarray of int, shape (n,)
        Different months visited in each year, and in the season of it.
    programme : Programme
        Gives the season and the fewest months.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> covers_year(np.array([8, 7]), np.array([5, 5]), Programme()).tolist()
    [True, False]
    """
    if season_fills_year(programme):
        return np.asarray(months >= MONTHS_OF_A_YEAR - programme.minimum_months)
    return np.asarray(months - months_inside >= programme.minimum_months)


def months_beside(wanted: tuple[Ints, Ints], known: tuple[Ints, Ints], months: npt.NDArray[np.int64]) -> Ints:
    """Return the months known for each wanted station and year, 0 where none.

    Parameters
    ----------
    wanted, known : pair of ndarray of int, shape (n,), (m,)
        Station and year; each known pair stands once.
    months : ndarray of int, shape (m,)
        Months of each known pair.

    Returns
    -------
    ndarray of int, shape (n,)

    Examples
    --------
    >>> two, one = np.array([0, 1]), np.array([1])
    >>> months_beside((two, np.array([2024, 2024])), (one, np.array([2024])), np.array([5])).tolist()
    [0, 5]
    """
    span = max(int(each.max(initial=0)) for each in (wanted[1], known[1])) + 1
    key, asked = known[0] * span + known[1], wanted[0] * span + wanted[1]
    order = np.argsort(key)
    place = np.searchsorted(key[order], asked)
    found = np.append(key[order], -1)[place] == asked
    return np.where(found, np.append(months[order], 0)[place], 0)
