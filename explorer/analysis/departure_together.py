"""Readings that depart together with others, each too little by itself.

A flood, a bloom, a batch gone wrong or a new observer moves many readings the same way. Each is asked
together with its peers: the mean of their scores, held against how much such means vary of themselves.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.analysis.departure_columns import ScoredReadings, visit_scores
from explorer.analysis.departure_scope import WINDOW_DAYS

__all__ = ["departs_together"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]

# Chosen by simulation on districts without a story, where these marks add a few of a thousand visits.
LEAST_TOGETHER = 3.8  # standard deviations of a mean of so many scores
LEAST_SCORE = 1.8  # what a reading must depart by itself
STRONGEST = 8.0  # a score beyond speaks as this
STRONGEST_PAIR = 3.0  # the same where it is asked how readings go together
MOST_ALIKE = 0.95  # [1] correlation beyond which peers would count as one reading
GOES_ALONG = 0.4  # [1] correlation from which another quantity of the visit is a peer
ENOUGH = 100_000  # readings that tell how alike peers are
MONTHS = 12


@dataclass(frozen=True, slots=True)
class _Peers:
    """Sum and number of the scores of peers, and where each reading finds its own."""

    total: Floats
    count: Floats
    place: tuple[Ints, ...]

    def of(self, rows: Ints) -> tuple[Floats, Floats]:
        own = tuple(each[rows] for each in self.place)
        return self.total[own], np.round(self.count[own])


def departs_together(scored: ScoredReadings, apart: Floats, score: Floats, correlation: Floats) -> Bools:
    """Return which readings depart so far together with their peers as chance hardly brings.

    Peers are, each kind by itself: the same quantity at other waters within a few days; at other stations of
    the water; in the same batch; in the same season at the station; by the same observer; and the quantities
    of the same visit that have gone along with it at the station.

    Parameters
    ----------
    scored : ScoredReadings
        n readings.
    apart : ndarray, shape (n,)
        Distance from the usual in spreads. [1] NaN where not scored.
    score : ndarray, shape (n,)
        Signed normal scores. [1]
    correlation : ndarray, shape (stations, quantities, quantities)
        Of the scores of two quantities on the same visits of a station. [1]

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> import pandas as pd
    >>> from explorer.model.programme import Programme
    >>> readings = pd.DataFrame({
    ...     "reading_id": range(1000), "station_code": list("ABCDE") * 200, "quantity": "secchi_depth",
    ...     "stratum": "surface", "method": "",
    ...     "taken_on": np.datetime64("2000-01-01", "D") + 10 * np.arange(200).repeat(5),
    ...     "value": 2.0, "sign": "=", "status": "accepted",
    ... })
    >>> scored = ScoredReadings.of(readings, Programme())
    >>> apart = np.append(np.random.default_rng(1).normal(size=995), np.full(5, 2.5))
    >>> none = np.zeros((5, 1, 1))
    >>> found = departs_together(scored, apart, apart, none)
    >>> int(found[:995].sum()), int(found[995:].sum())
    (0, 5)
    """
    own = np.clip(apart, -STRONGEST, STRONGEST)
    asked = np.flatnonzero((np.abs(score) > LEAST_SCORE) & scored.surface)
    usual = np.flatnonzero(scored.surface & ~np.isnan(own))
    usual = usual[:: usual.size // ENOUGH + 1]
    found = np.zeros(own.size, dtype=bool)
    for peers in (*_of_visits(scored, own, correlation), *_of_readings(scored, own)):
        alike = _alike(own[usual], *peers.of(usual), scored.quantity[usual], len(scored.codes))
        total, count = peers.of(asked)
        size = count + 1.0
        spread = np.sqrt(alike[scored.quantity[asked]] * (1.0 - 1.0 / size) + 1.0 / size)
        far = np.abs(own[asked] + total) / size > LEAST_TOGETHER * spread
        found[asked] |= far & (count > 0) & (np.sign(total) == np.sign(own[asked]))
    return found


def _alike(own: Floats, total: Floats, count: Floats, quantity: Ints, quantities: int) -> Floats:
    """Return how much a score and those of its peers are alike to begin with, for each quantity. [1]"""
    some = count > 0
    own, quantity, mean = own[some], quantity[some], total[some] / count[some]
    pair = np.clip(own, -STRONGEST_PAIR, STRONGEST_PAIR) * np.clip(mean, -STRONGEST_PAIR, STRONGEST_PAIR)
    number = np.bincount(quantity, minlength=quantities)
    alike = np.bincount(quantity, pair, quantities) / np.maximum(number, 1)
    return np.clip(alike, 0.0, MOST_ALIKE)


def _of_visits(scored: ScoredReadings, own: Floats, correlation: Floats) -> Iterator[_Peers]:
    """Yield peers that are found by station, water and day, from one score a visit and quantity."""
    by_visit = visit_scores(scored, own)
    there = (~np.isnan(by_visit)).astype(np.float64)
    value = np.nan_to_num(by_visit)
    station, lake, day, year = (np.zeros(len(value), dtype=np.int64) for _ in range(4))
    for of_visit, of_reading in (
        (station, scored.station),
        (lake, scored.lake),
        (day, scored.day - scored.day.min()),
        (year, scored.month // MONTHS),
    ):
        of_visit[scored.visit] = of_reading
    cell = (scored.visit, scored.quantity)

    def peers(total: Floats, count: Floats) -> _Peers:
        return _Peers(total, count, cell)

    span = int(day.max()) + 2 * WINDOW_DAYS + 1
    district, water = (_within_days(key, value, there) for key in (day, lake * span + day))
    yield peers(district[0] - water[0], district[1] - water[1])
    yield peers(water[0] - value, water[1] - there)
    season = station * int(year.max() - year.min() + 1) + year - year.min()
    yield peers(*(_sums(season, each)[season] - each for each in (value, there)))
    yield peers(*_going_along(correlation, station, value, there))


def _going_along(correlation: Floats, station: Ints, value: Floats, there: Floats) -> tuple[Floats, Floats]:
    """Return sums over the other quantities of each visit, turned over where they go the other way."""
    way = np.where(np.abs(correlation) > GOES_ALONG, np.sign(correlation), 0.0)
    total, count = np.zeros(value.shape), np.zeros(value.shape)
    for first, second in zip(*np.nonzero(np.any(way, axis=0)), strict=True):
        if first != second:
            of_visit = way[station, first, second]
            total[:, first] += of_visit * value[:, second]
            count[:, first] += np.abs(of_visit) * there[:, second]
    return total, count


def _within_days(key: Ints, value: Floats, there: Floats) -> tuple[Floats, Floats]:
    """Return sums over the visits whose key lies within a few days of each visit's, itself among them."""
    keys, place = np.unique(key, return_inverse=True)
    first = np.searchsorted(keys, keys - WINDOW_DAYS)
    last = np.searchsorted(keys, keys + WINDOW_DAYS, side="right")

    def within(each: Floats) -> Floats:
        running = np.zeros((len(keys) + 1, each.shape[1]))
        np.cumsum(_sums(place, each), axis=0, out=running[1:])
        return (running[last] - running[first])[place]

    return within(value), within(there)


def _sums(group: Ints, value: Floats) -> Floats:
    """Return the sums of the columns over the rows of each group."""
    return np.column_stack([np.bincount(group, column) for column in value.T])


def _of_readings(scored: ScoredReadings, own: Floats) -> Iterator[_Peers]:
    """Yield peers of the same batch, and those by the same observer where no bottle is involved."""
    speaks = scored.speaks & scored.surface & ~np.isnan(own)
    for group, counts in (
        (scored.batch, speaks & (scored.batch >= 0)),
        (scored.observer, speaks & (scored.observer >= 0) & (scored.batch < 0)),
    ):
        if not counts.any():
            continue
        key = np.where(counts, group * len(scored.codes) + scored.quantity, 0)
        value, there = np.where(counts, own, 0.0), counts.astype(np.float64)
        total, count = (np.bincount(key, each)[key] - each for each in (value, there))
        rows = np.arange(own.size)
        yield _Peers(np.where(counts, total, 0.0), np.where(counts, count, 0.0), (rows,))
