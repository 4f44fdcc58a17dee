"""Readings that depart together with others, each too little by itself.

A flood, a bloom, a batch gone wrong or a new observer moves many readings the same way. Each is asked
together with its peers: the mean of their scores, held against how much such means vary of themselves.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt

from explorer.analysis.departure_columns import ScoredReadings, visit_scores
from explorer.analysis.departure_others import MONTHS
from explorer.analysis.departure_scope import WINDOW_DAYS

__all__ = ["departs_together"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]
_Peers = Callable[[Ints], tuple[Floats, Floats]]  # sum and number of the scores of some readings' peers

# Chosen by simulation on districts without a story, where these marks add a few of a thousand visits.
LEAST_TOGETHER = 3.8  # standard deviations of a mean of so many scores
LEAST_SCORE = 1.8  # what a reading must depart by itself
STRONGEST = 8.0  # a score beyond speaks as this
STRONGEST_PAIR = 3.0  # the same where it is asked how readings go together
MOST_ALIKE = 0.95  # [1] correlation beyond which peers would count as one reading
GOES_ALONG = 0.4  # [1] correlation from which another quantity of the visit is a peer
ENOUGH = 100_000  # readings that tell how alike peers are


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
    visits = _Visits.of(scored, own)
    for quantity in range(len(scored.codes)):  # one by one: all at once would take several times the memory
        here, known = (rows[scored.quantity[rows] == quantity] for rows in (asked, usual))
        for peers in (*visits.peers(quantity, correlation), *_of_readings(scored, own, quantity)):
            alike = _alike(own[known], *peers(known))
            total, count = peers(here)
            size = count + 1.0
            spread = np.sqrt(alike * (1.0 - 1.0 / size) + 1.0 / size)
            far = np.abs(own[here] + total) / size > LEAST_TOGETHER * spread
            found[here] |= far & (count > 0) & (np.sign(total) == np.sign(own[here]))
    return found


def _alike(own: Floats, total: Floats, count: Floats) -> float:
    """Return how much a score and those of its peers are alike to begin with. [1]"""
    some = count > 0
    own, mean = own[some], total[some] / count[some]
    pair = np.clip(own, -STRONGEST_PAIR, STRONGEST_PAIR) * np.clip(mean, -STRONGEST_PAIR, STRONGEST_PAIR)
    return float(np.clip(pair.sum() / max(pair.size, 1), 0.0, MOST_ALIKE))


@dataclass(frozen=True, slots=True)
class _Visits:
    """One score a visit and quantity, and by what visits find their peers; shape (visits,) each.

    Attributes
    ----------
    visit : ndarray of int, shape (n,)
        Of each reading.
    score : ndarray, shape (visits, quantities)
        NaN where there is none. [1]
    station, season : ndarray of int
        A season is one of a station.
    district, water : _Window
        Visits within a few days of each, of all waters and of its own.
    """

    visit: Ints
    score: Floats
    station: Ints
    season: Ints
    district: "_Window"
    water: "_Window"

    @classmethod
    def of(cls, scored: ScoredReadings, own: Floats) -> Self:
        score = visit_scores(scored, own)
        station, lake, day, year = (np.zeros(len(score), dtype=np.int64) for _ in range(4))
        for of_visit, of_reading in (
            (station, scored.station),
            (lake, scored.lake),
            (day, scored.day - scored.day.min()),
            (year, scored.month // MONTHS),
        ):
            of_visit[scored.visit] = of_reading
        span = int(day.max()) + 2 * WINDOW_DAYS + 1
        season = station * int(year.max() - year.min() + 1) + year - year.min()
        return cls(scored.visit, score, station, season, _Window.of(day), _Window.of(lake * span + day))

    def peers(self, quantity: int, correlation: Floats) -> Iterator[_Peers]:
        """Yield the peers of one quantity that are found by station, water and day."""
        own, there = self._of(quantity)
        water = [self.water.sums(each) for each in (own, there)]
        district = [self.district.sums(each) for each in (own, there)]
        yield self._at_visits(district[0] - water[0], district[1] - water[1])
        yield self._at_visits(water[0] - own, water[1] - there)
        yield self._at_visits(*(np.bincount(self.season, each)[self.season] - each for each in (own, there)))
        yield self._at_visits(*self._going_along(quantity, correlation))

    def _of(self, quantity: int) -> tuple[Floats, Floats]:
        """Return the scores of a quantity, 0 where there is none, and 1 where there is one."""
        score = self.score[:, quantity]
        return np.nan_to_num(score), (~np.isnan(score)).astype(np.float64)

    def _going_along(self, quantity: int, correlation: Floats) -> tuple[Floats, Floats]:
        """Return sums over the other quantities of each visit, turned over where they go the other way."""
        own = correlation[:, quantity]
        way = np.where(np.abs(own) > GOES_ALONG, np.sign(own), 0.0)
        total, count = np.zeros(self.station.size), np.zeros(self.station.size)
        for other in np.flatnonzero(way.any(axis=0)).tolist():
            if other != quantity:
                score, there = self._of(other)
                of_visit = way[self.station, other]
                total += of_visit * score
                count += np.abs(of_visit) * there
        return total, count

    def _at_visits(self, total: Floats, count: Floats) -> _Peers:
        def of(rows: Ints) -> tuple[Floats, Floats]:
            own = self.visit[rows]
            return total[own], np.round(count[own])

        return of


@dataclass(frozen=True, slots=True)
class _Window:
    """Which visits lie within a few days of each.

    Attributes
    ----------
    place : ndarray of int, shape (visits,)
        Each visit's day among those with a visit.
    first, last : ndarray of int, shape (days,)
        The first of the days within a few of each, and the one after the last.
    """

    place: Ints
    first: Ints
    last: Ints

    @classmethod
    def of(cls, day: Ints) -> Self:
        days, place = np.unique(day, return_inverse=True)
        first = np.searchsorted(days, days - WINDOW_DAYS)
        return cls(place, first, np.searchsorted(days, days + WINDOW_DAYS, side="right"))

    def sums(self, value: Floats) -> Floats:
        """Return the sum over the visits within a few days of each visit, itself among them."""
        running = np.zeros(self.first.size + 1)
        np.cumsum(np.bincount(self.place, value), out=running[1:])
        sums: Floats = (running[self.last] - running[self.first])[self.place]
        return sums


def _of_readings(scored: ScoredReadings, own: Floats, quantity: int) -> Iterator[_Peers]:
    """Yield peers of the same batch, and those by the same observer where no bottle is involved."""
    speaks = scored.speaks & scored.surface & (scored.quantity == quantity) & ~np.isnan(own)
    yield _of_group(scored.batch, speaks & (scored.batch >= 0), own)
    yield _of_group(scored.observer, speaks & (scored.observer >= 0) & (scored.batch < 0), own)


def _of_group(group: Ints, counts: Bools, own: Floats) -> _Peers:
    """Return the others of each reading's group, nothing for a reading that does not count."""
    total = np.bincount(group[counts], own[counts], minlength=1)
    number = np.bincount(group[counts], minlength=1)

    def of(rows: Ints) -> tuple[Floats, Floats]:
        some = counts[rows]
        place = np.where(some, group[rows], 0)
        return np.where(some, total[place] - own[rows], 0.0), np.where(some, number[place] - 1.0, 0.0)

    return of
