"""How well each reading fits the other quantities of its visit, as they have gone together at its station."""

from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement

import numpy as np
import numpy.typing as npt
from scipy.special import stdtr  # type: ignore[import-untyped]

__all__ = ["Companions", "Relations", "companions", "relations"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]

FEWEST_VISITS = 20  # other visits with both quantities
LEAST_SHARE = 0.25  # [1] share of a quantity's variance that its companion accounts for
STRONGEST_SCORE = 3.0  # a score beyond speaks as this: one strange visit makes no relation


@dataclass(frozen=True, slots=True)
class Relations:
    """How the scores of two quantities have gone together at each station.

    Attributes
    ----------
    visits : ndarray, shape (stations, quantities, quantities)
        Visits with both.
    squares : ndarray, same shape
        Sum of squares of the first quantity's scores on these visits.
    products : ndarray, same shape
        Sum of products of both scores.
    """

    visits: Floats
    squares: Floats
    products: Floats

    def correlation(self) -> Floats:
        """Return the correlation of each pair, 0 where fewer than twenty visits have both. [1]"""
        below = np.sqrt(self.squares * np.swapaxes(self.squares, 1, 2))
        enough = (self.visits >= FEWEST_VISITS) & (below > 0)
        return np.divide(self.products, below, out=np.zeros_like(below), where=enough)


@dataclass(frozen=True, slots=True)
class Companions:
    """What the closest companion among the other quantities of the visit says of each score.

    Attributes
    ----------
    quantity : ndarray of int, shape (visits, quantities)
        The companion; -1 where none goes with the quantity closely enough.
    expected : ndarray, shape (visits, quantities)
        The score that the companion lets expect. [1] NaN without one.
    tail : ndarray, shape (visits, quantities)
        Two-sided tail probability of the score beside it. [1] NaN without one.
    """

    quantity: Ints
    expected: Floats
    tail: Floats


def relations(scores: Floats, station: Ints) -> Relations:
    """Return how the scores of each two quantities have gone together at each station.

    Parameters
    ----------
    scores : ndarray, shape (visits, quantities)
        Signed scores for the month. [1] NaN where a quantity was not scored.
    station : ndarray of int, shape (visits,)
        Number of each visit's station, from 0.

    Returns
    -------
    Relations

    Examples
    --------
    >>> score = np.random.default_rng(1).normal(size=(40, 1))
    >>> found = relations(np.hstack([score, -score]), np.zeros(40, int))
    >>> found.correlation()[0].round(2).tolist()
    [[1.0, -1.0], [-1.0, 1.0]]
    """
    clipped = np.clip(scores, -STRONGEST_SCORE, STRONGEST_SCORE)
    shape = (int(station.max(initial=-1)) + 1, scores.shape[1], scores.shape[1])
    found = Relations(np.zeros(shape), np.zeros(shape), np.zeros(shape))
    for first, second in combinations_with_replacement(range(shape[1]), 2):
        rows = np.flatnonzero(~np.isnan(clipped[:, first] + clipped[:, second]))
        if not rows.size:
            continue
        where, one, other = station[rows], clipped[rows, first], clipped[rows, second]
        for pair, square in (((first, second), one), ((second, first), other)):
            found.visits[:, *pair] = np.bincount(where, minlength=shape[0])
            found.squares[:, *pair] = np.bincount(where, square**2, shape[0])
            found.products[:, *pair] = np.bincount(where, one * other, shape[0])
    return found


def companions(scores: Floats, station: Ints, found: Relations) -> Companions:
    """Return for each score the closest companion on its visit and how well the two fit.

    The relation is a line through the usual of both, from the station's other visits; a visit never speaks
    for itself.

    Parameters
    ----------
    scores : ndarray, shape (visits, quantities)
        Signed scores for the month. [1] NaN where a quantity was not scored.
    station : ndarray of int, shape (visits,)
        Number of each visit's station, from 0.
    found : Relations
        Of the same scores.

    Returns
    -------
    Companions

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> score = rng.normal(size=(60, 1))
    >>> pair = np.hstack([score, -score + rng.normal(0, 0.3, (60, 1))])
    >>> pair[0] = [2.0, 2.0]
    >>> where = np.zeros(60, int)
    >>> fit = companions(pair, where, relations(pair, where))
    >>> fit.quantity[0].tolist(), fit.expected[0].round().tolist(), (fit.tail[0] < 1e-6).tolist()
    ([1, 0], [-2.0, -2.0], [True, True])
    """
    clipped = np.clip(scores, -STRONGEST_SCORE, STRONGEST_SCORE)
    shape = scores.shape
    closest = np.full(shape, LEAST_SHARE)
    best = Companions(np.full(shape, -1, dtype=np.int16), np.full(shape, np.nan), np.full(shape, np.nan))
    for first, second in combinations(range(shape[1]), 2):
        rows = np.flatnonzero(~np.isnan(clipped[:, first] + clipped[:, second]))
        if not rows.size:
            continue
        where, one, other = station[rows], clipped[rows, first], clipped[rows, second]
        visits = found.visits[where, first, second] - 1.0
        squares = found.squares[where, first, second] - one**2, found.squares[where, second, first] - other**2
        both = found.products[where, first, second] - one * other
        below = squares[0] * squares[1]
        share = np.divide(both**2, below, out=np.zeros(rows.size), where=below > 0)
        close = (visits >= FEWEST_VISITS) & (share > LEAST_SHARE) & (share < 1.0)
        for (of, beside), (own, its) in (((first, second), squares), ((second, first), squares[::-1])):
            chosen = np.flatnonzero(close & (share > closest[rows, of]))
            at, freedom = rows[chosen], visits[chosen] - 1.0
            score = scores[at, beside]
            slope = both[chosen] / its[chosen]
            left = own[chosen] - slope * both[chosen]
            error = np.sqrt(left / freedom * (1.0 + score**2 / its[chosen]))
            closest[at, of] = share[chosen]
            best.quantity[at, of] = beside
            best.expected[at, of] = slope * score
            best.tail[at, of] = 2.0 * stdtr(freedom, -np.abs(scores[at, of] - slope * score) / error)
    return best
