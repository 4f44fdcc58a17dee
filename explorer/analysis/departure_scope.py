"""How far a departure reaches: many waters, the stations of one water, or one station alone."""

from dataclasses import dataclass, fields
from typing import Literal

import numpy as np
import numpy.typing as npt

from explorer.analysis.evidence_odds import SELDOM, SPEAKS, share_odds

__all__ = ["SAME_WAY", "WINDOW_DAYS", "Places", "Reach", "Scope", "reach"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]

Scope = Literal["district", "lake", "station", "unknown"]

WINDOW_DAYS = 4  # a station visited so many days before or after speaks of the same time (common practice)
SAME_WAY = 1.0  # score in the same direction from which a reading counts as departing the same way
MARKS_AT_ONCE = 256  # each may have a thousand stations beside it


@dataclass(frozen=True, slots=True)
class Reach:
    """Who else was measured about the same time, and who departed the same way; shape (marks,) each.

    Attributes
    ----------
    stations, stations_same : ndarray of int
        Other stations of the same water, and those among them that depart the same way.
    waters, waters_same : ndarray of int
        Other waters, and those whose stations together depart the same way.
    happened : ndarray
        Sum of what the other quantities of those visits speak that depart the same way. [log odds]
    """

    stations: Ints
    stations_same: Ints
    waters: Ints
    waters_same: Ints
    happened: Floats

    def of(self, numbers: Ints) -> "Reach":
        """Return the same for some of the marks, by their places."""
        return Reach(*(getattr(self, each.name)[numbers] for each in fields(self)))

    def scope(self, number: int) -> Scope:
        """Return how far a mark's departure reaches.

        Parameters
        ----------
        number : int
            The mark's place.

        Returns
        -------
        {"district", "lake", "station", "unknown"}
            Many waters where it is far from chance that so many depart the same way; else this water where
            half of its other stations do; unknown where nobody else was visited.
        """
        waters, same = int(self.waters[number]), int(self.waters_same[number])
        if waters > 1 and share_odds(same, waters) - SELDOM >= SPEAKS:
            return "district"
        if self.stations[number] and 2 * self.stations_same[number] >= self.stations[number]:
            return "lake"
        return "station" if waters + self.stations[number] else "unknown"


@dataclass(frozen=True, slots=True)
class Places:
    """What, when and where each reading is, shape (n,) each.

    Attributes
    ----------
    score : ndarray
        Signed scores. [1] NaN where not scored.
    quantity, day, station, lake : ndarray of int
        Numbers from 0; `day` counts days from any.
    speaks : ndarray of bool
        Whether a reading may speak for others.
    surprise : ndarray
        What the other quantities of its visit speak for something having happened. [log odds]
    """

    score: Floats
    quantity: Ints
    day: Ints
    station: Ints
    lake: Ints
    speaks: Bools
    surprise: Floats


def reach(rows: Ints, places: Places) -> Reach:
    """Return for some readings who else departs the same way within a few days.

    Of each other station the reading nearest in time counts, of each other water the mean of its stations.

    Parameters
    ----------
    rows : ndarray of int, shape (marks,)
        The readings that are asked about.
    places : Places
        All readings.

    Returns
    -------
    Reach

    Examples
    --------
    >>> score, zero = np.array([4.0, 3.0, 2.0, 0.1]), np.zeros(4)
    >>> places = Places(score, zero.astype(int), np.array([0, 1, 2, 2]), np.arange(4),
    ...                 np.array([0, 0, 1, 2]), np.ones(4, bool), zero)
    >>> found = reach(np.array([0]), places)
    >>> found.stations_same.tolist(), found.waters.tolist(), found.waters_same.tolist()
    ([1], [2], [1])
    """
    usable = np.flatnonzero(places.speaks & ~np.isnan(places.score))
    first_day = places.day.min(initial=0)
    days = int(places.day.max(initial=0) - first_day) + 2 * WINDOW_DAYS + 1
    key = places.quantity.astype(np.int64) * days
    key = key + (places.day - first_day)
    order = usable[np.argsort(key[usable], kind="stable")]
    parts = [
        _part(rows[start : start + MARKS_AT_ONCE], places, key, order)
        for start in range(0, max(rows.size, 1), MARKS_AT_ONCE)
    ]
    return Reach(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def _part(rows: Ints, places: Places, key: Ints, order: Ints) -> tuple[Ints, Ints, Ints, Ints, Floats]:
    mark, other = _nearest(rows, places, key, order)
    along = places.score[other] * np.sign(places.score[rows])[mark]
    own = places.lake[other] == places.lake[rows][mark]
    lakes = int(places.lake.max(initial=0)) + 1
    water, member = np.unique(mark[~own] * lakes + places.lake[other][~own], return_inverse=True)
    mean = np.bincount(member, along[~own], water.size) / np.maximum(
        np.bincount(member, minlength=water.size), 1
    )
    same = along >= SAME_WAY
    return (
        np.bincount(mark[own], minlength=rows.size),
        np.bincount(mark[own & same], minlength=rows.size),
        np.bincount(water // lakes, minlength=rows.size),
        np.bincount((water // lakes)[mean >= SAME_WAY], minlength=rows.size),
        np.bincount(mark[same], places.surprise[other][same], rows.size).astype(np.float64),
    )


def _nearest(rows: Ints, places: Places, key: Ints, order: Ints) -> tuple[Ints, Ints]:
    """Return pairs of a mark and another station's reading of the same quantity, the nearest in time."""
    ordered = key[order]
    first = np.searchsorted(ordered, key[rows] - WINDOW_DAYS)
    size = np.searchsorted(ordered, key[rows] + WINDOW_DAYS, side="right") - first
    mark = np.repeat(np.arange(rows.size), size)
    other = order[np.arange(mark.size) + np.repeat(first - np.cumsum(size) + size, size)]
    elsewhere = places.station[other] != places.station[rows][mark]
    mark, other = mark[elsewhere], other[elsewhere]
    days = np.abs(places.day[other] - places.day[rows][mark])
    nearest = np.lexsort((places.score[other], days, places.station[other], mark))
    mark, other = mark[nearest], other[nearest]
    fresh = np.ones(mark.size, dtype=bool)
    fresh[1:] = (mark[1:] != mark[:-1]) | (places.station[other][1:] != places.station[other][:-1])
    return mark[fresh], other[fresh]
