"""All scored readings of a record with what was found of them, and who shares what with whom."""

from functools import cached_property
from typing import Any, Self

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_columns import MOST_DAYS, ScoredReadings, visit_scores
from explorer.analysis.departure_companions import relations
from explorer.analysis.departure_others import MONTHS
from explorer.analysis.departure_scope import Places
from explorer.analysis.departures import judge
from explorer.analysis.evidence_case import Groups, group_numbers
from explorer.analysis.evidence_odds import surprise_odds

__all__ = ["JudgedReadings"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]


class JudgedReadings:
    """What lines of evidence ask of all readings of a record.

    Parameters
    ----------
    scored : ScoredReadings
        n readings.
    score : ndarray, shape (n,)
        Signed scores. [1] NaN where not scored.
    way : ndarray of int, shape (n,)
        1 where higher than usual, -1 where lower, else 0.
    marks : DataFrame
        Columns of `DEPARTURES` for those that are marked; the index is their place among the readings.

    Attributes
    ----------
    scored, score, way
        As above; all arrays follow the order of the scored readings.
    marks : dict
        Those that are marked: by their places, what `DEPARTURES` says of each.
    apart : ndarray, shape (n,)
        Distance from the usual, on the scale of the spread.
    speaks : ndarray of bool, shape (n,)
        Scored and not held.
    by_visit : ndarray, shape (visits, quantities)
        Scores of measured surface readings.
    surprise : ndarray, shape (visits, quantities)
        What each of them speaks for something having happened. [log odds]
    correlation : ndarray, shape (stations, quantities, quantities)
        Of the scores of two quantities. [1]
    """

    def __init__(
        self, scored: ScoredReadings, score: Floats, way: npt.NDArray[np.int8], marks: pd.DataFrame
    ) -> None:
        self.scored, self.score, self.way = scored, score, way
        rows = marks.to_dict("records")
        self.marks: dict[int, dict[str, Any]] = dict(zip(marks.index.tolist(), rows, strict=True))  # type: ignore[arg-type]
        self.apart: Floats = scored.value - scored.expected
        self.speaks: Bools = scored.speaks & ~np.isnan(self.score)
        self.by_visit = visit_scores(scored, self.score)
        station = np.zeros(len(self.by_visit), dtype=np.int64)
        station[scored.visit] = scored.station
        self.correlation = relations(self.by_visit, station).correlation()
        self.surprise = surprise_odds(self.by_visit)
        self._order = np.argsort(scored.reading_id).astype(np.int32)

    @classmethod
    def of(cls, scored: ScoredReadings) -> Self:
        """Return readings with what is judged of them beside each other."""
        found = judge(scored)
        return cls(scored, found.score, found.way, found.frame(scored, np.flatnonzero(found.by)))

    def rows_of(self, reading_ids: npt.ArrayLike) -> Ints:
        """Return the places of some of the readings among all."""
        wanted = np.asarray(reading_ids, dtype=np.int64)
        place = np.searchsorted(self.scored.reading_id, wanted, sorter=self._order)
        return self._order[place].astype(np.int64)

    def usual(self, rows: Ints) -> Floats:
        """Return what is to be expected of some of the readings. [record unit]"""
        expected = self.scored.expected[rows]
        return np.exp(expected, out=expected.copy(), where=self.scored.log_scale[rows])

    def places(self) -> Places:
        """Return what, when and where each reading is, for asking how far a departure reaches."""
        scored = self.scored
        visit, quantity = scored.visit, scored.quantity
        surprise = self.surprise.sum(axis=1)[visit] - self.surprise[visit, quantity]
        speaks = self.speaks & scored.surface
        return Places(self.score, quantity, scored.day, scored.station, scored.lake, speaks, surprise)

    @cached_property
    def _asked(self) -> Ints:
        """The marks, and what else was read of their waters on the day: lines of evidence ask about these."""
        marks = np.array(sorted(self.marks), dtype=np.int64)
        day = self.scored.lake.astype(np.int64) * MOST_DAYS + self.scored.day
        return np.flatnonzero(pd.Series(day).isin(day[marks]).to_numpy())

    @cached_property
    def of_visit(self) -> Groups:
        """Readings of the same visit."""
        return Groups(self._asked, self.scored.visit)

    @cached_property
    def of_batch(self) -> Groups:
        """Readings of the same quantity in the same batch."""
        return Groups(self._asked, self.scored.batch, self.scored.quantity)

    @cached_property
    def of_season(self) -> Groups:
        """Readings of the same quantity, stratum and season at the same station."""
        scored = self.scored
        return Groups(self._asked, scored.station, scored.quantity, scored.stratum, scored.month // MONTHS)

    @cached_property
    def of_sheet(self) -> Groups:
        """Readings of the same quantity by the same observer at the same water that day."""
        scored = self.scored
        return Groups(self._asked, scored.lake, scored.day, scored.observer, scored.quantity)

    @cached_property
    def of_lake_day(self) -> Groups:
        """Readings of the same quantity at the same water that day."""
        return Groups(self._asked, self.scored.lake, self.scored.day, self.scored.quantity)

    @cached_property
    def of_value(self) -> Groups:
        """Readings of the same quantity with the same value."""
        return Groups(self._asked, self.scored.quantity, self.scored.value)

    @cached_property
    def of_weather(self) -> Groups:
        """Readings of the same quantity with the same weather."""
        return Groups(self._asked, self.scored.weather, self.scored.quantity)

    @cached_property
    def of_weather_here(self) -> Groups:
        """Readings of the same quantity with the same weather at the same station."""
        return Groups(self._asked, self.scored.weather, self.scored.quantity, self.scored.station)

    @cached_property
    def of_reading(self) -> Groups:
        """Readings of the same quantity and stratum on the same visit."""
        return Groups(self._asked, self.scored.visit, self.scored.quantity, self.scored.stratum)

    def differences_of(self, row: int) -> tuple[float, Floats]:
        """Return by how much a reading differs from what others read of the same, and its observer's all do.

        Of the same visit, quantity and stratum, less the mean of the others; on the scale of the spread. NaN,
        and none, where nobody else read the same.
        """
        key = int(self.scored.observer[row]) * len(self.scored.codes) + int(self.scored.quantity[row])
        own, all_own = self._shared_differences
        return own.get(row, float("nan")), all_own.get(key, np.empty(0))

    @cached_property
    def _shared_differences(self) -> tuple[dict[int, float], dict[int, Floats]]:
        """The difference of each shared reading, and the differences of each observer and quantity."""
        scored = self.scored
        rows = np.flatnonzero((scored.sign == 0) & (scored.observer >= 0))
        of_visit = scored.visit[rows] * np.int64(len(scored.codes)) + scored.quantity[rows]
        rows = rows[np.bincount(of_visit)[of_visit] > 1]
        value, observer, quantity = (each[rows] for each in (scored.value, scored.observer, scored.quantity))
        reading = group_numbers(scored.visit[rows], quantity, scored.stratum[rows])
        mine = group_numbers(reading, observer)
        sums, counts = (
            np.bincount(reading, weights)[reading] - np.bincount(mine, weights)[mine]
            for weights in (value, np.ones(rows.size))
        )
        some = np.flatnonzero(counts > 0)
        difference = value[some] - sums[some] / counts[some]
        who = observer[some] * len(scored.codes) + quantity[some]
        return (
            dict(zip(rows[some].tolist(), difference.tolist(), strict=True)),
            {key: difference[who == key] for key in np.unique(who).tolist()},
        )
