"""Readings that lie far from what another observer read of the same, and observers who do so by habit."""

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_columns import ScoredReadings
from explorer.analysis.departure_scores import MAD_TO_SPREAD

__all__ = ["beside_another"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]

FEWEST_PAIRS = 10  # differences of two observers, of one quantity
LEAST_BESIDE = 4.0  # robust spreads of such differences
LEAST_BESIDE_SCORE = 1.0  # and it is the one farther from its usual, by so much at least
FEWEST_VISITS = 10  # shared ones that make a habit of an observer's differences
LEAST_HABIT = 4.0  # standard errors of their mean ...
MOSTLY = 0.5  # share of it that a reading must show which stands for it
LEAST_HABIT_SIZE = 2.0  # ... and spreads of measuring alone


def beside_another(scored: ScoredReadings, score: Floats) -> Bools:
    """Return which readings lie far from what another observer read of the same on the same visit.

    Of the two, the one farther from its usual. Differences are held against those of all observers of the
    record. Where those of one observer are small but the same on many visits, the latest reading that shows
    it stands for the habit.

    Parameters
    ----------
    scored : ScoredReadings
        n readings.
    score : ndarray, shape (n,)
        Signed normal scores. [1] NaN where not scored.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> from explorer.model.programme import Programme
    >>> readings = pd.DataFrame({
    ...     "reading_id": range(24), "station_code": "A", "quantity": "secchi_depth", "method": "",
    ...     "stratum": "surface",
    ...     "taken_on": np.datetime64("2020-01-01", "D") + 30 * np.arange(12).repeat(2), "sign": "=",
    ...     "value": [2.0, 2.1] * 11 + [2.0, 4.0], "status": "accepted", "observer": ["V1", "V2"] * 12,
    ... })
    >>> scored = ScoredReadings.of(readings, Programme())
    >>> score = np.append(np.zeros(23), 2.0)
    >>> np.flatnonzero(beside_another(scored, score)).tolist()
    [23]
    """
    found = np.zeros(score.size, dtype=bool)
    use = scored.speaks & scored.surface & (scored.sign == 0) & (scored.observer >= 0) & (scored.batch < 0)
    rows = np.flatnonzero(use & ~np.isnan(score))
    key = scored.visit[rows] * len(scored.codes) + scored.quantity[rows]
    several = np.bincount(key)[key] > 1 if rows.size else np.zeros(0, dtype=bool)
    rows, key = rows[several], key[several]
    if not rows.size:
        return found
    same = pd.factorize(key)[0]
    mine = pd.factorize(same * (int(scored.observer.max()) + 1) + scored.observer[rows])[0]

    def of_others(value: Floats) -> Floats:
        others = np.bincount(same, value)[same] - np.bincount(mine, value)[mine]
        return others.astype(np.float64)

    count = of_others(np.ones(rows.size))
    value, its = (
        np.divide(of_others(each[rows]), count, out=np.full(rows.size, np.nan), where=count > 0)
        for each in (scored.value, score)
    )
    difference = scored.value[rows] - value
    for code in np.unique(scored.quantity[rows]):
        pairs = np.flatnonzero((scored.quantity[rows] == code) & ~np.isnan(difference))
        if pairs.size < FEWEST_PAIRS:
            continue
        spread = max(
            MAD_TO_SPREAD * float(np.median(np.abs(difference[pairs]))),
            float(scored.floors[code]),
        )
        own, apart = rows[pairs], difference[pairs]
        odd = np.abs(score[own]) > np.maximum(np.abs(its[pairs]), LEAST_BESIDE_SCORE)
        found[own] = odd & (np.abs(apart) > LEAST_BESIDE * spread)
        found[own[_habits(scored, own, apart, score[own], its[pairs])]] = True
    return found


def _habits(scored: ScoredReadings, rows: Ints, apart: Floats, score: Floats, its: Floats) -> list[int]:
    """Return the latest reading of each observer who reads differently from others by habit, by its place."""
    latest = []
    for observer in np.unique(scored.observer[rows]):
        own = np.flatnonzero(scored.observer[rows] == observer)
        if own.size < FEWEST_VISITS:
            continue
        mean, floor = float(apart[own].mean()), float(scored.floors[scored.quantity[rows[own[0]]]])
        error = max(float(apart[own].std(ddof=1)), floor) / np.sqrt(own.size)
        clear = abs(mean) > max(LEAST_HABIT * error, LEAST_HABIT_SIZE * floor)
        if clear and abs(score[own].mean()) > abs(its[own].mean()):
            shown = own[(apart[own] / mean > MOSTLY) & (score[own] * mean > 0)]
            order = np.lexsort((scored.reading_id[rows[shown]], scored.day[rows[shown]]))
            latest += shown[order[-1:]].tolist()
    return latest
