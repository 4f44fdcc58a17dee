"""Departures: readings unusual for their month at their station, or beside what was measured with them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd
from pandas.api.extensions import take
from scipy.special import ndtri, stdtr, stdtrit  # type: ignore[import-untyped]

from explorer.analysis.departure_columns import ScoredReadings, visit_scores
from explorer.analysis.departure_companions import Companions, Relations, companions, relations
from explorer.analysis.departure_kept import scored_rows
from explorer.analysis.departure_observers import beside_another
from explorer.analysis.departure_together import departs_together
from explorer.analysis.threads import in_threads, parts
from explorer.model.programme import Programme
from explorer.model.readings import check_frame, empty_frame

__all__ = ["DEPARTURES", "MOST_FREEDOM", "SHARE_BESIDE", "SHARE_MONTH", "Judgement", "departures", "judge"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Signs = npt.NDArray[np.int8]
Bools = npt.NDArray[np.bool_]

# Of the visits without a story at most these shares are marked, together under five of a hundred. [1]
SHARE_MONTH, SHARE_BESIDE = 0.038, 0.01
LEAST_TAIL = 1e-300  # keeps a score finite
# Waters bring more extremes than a normal distribution: tails are at least as heavy as Student's with so many
# degrees (common practice; noise of five degrees then marks about six visits of a hundred).
MOST_FREEDOM = 20.0

DEPARTURES: Mapping[str, str] = {
    "reading_id": "int64",
    "tail_probability": "float64",
    "score": "float64",
    "others": "int64",
    "years": "int64",
    "expected": "float64",
    "low": "float64",
    "high": "float64",
    "spread": "float64",
    "companion": "str",
    "beside": "float64",
    "beside_tail": "float64",
    "direction": "str",
    "by": "str",
    "marked": "bool",
}

_WAYS = ("", "higher", "lower")  # by the sign of a score: 0, 1, -1
_NEEDED = (
    "reading_id", "station_code", "quantity", "taken_on", "stratum", "value", "sign", "status", "sample_type",
    "method",
)  # fmt: skip


def departures(readings: pd.DataFrame, programme: Programme) -> pd.DataFrame:
    """Return how unusual each reading is for its month, and beside the other quantities of its visit.

    A reading is held against the same month and the two beside it in the other years of the same series
    (station, quantity, method, stratum), along the series' trend where there is one, on a logarithmic scale
    for concentrations. At least five other years must speak. A "<" can only be unusually low, and is so only
    if its limit is; a ">" likewise high.

    Where another quantity has gone closely together with it at this station, a reading is also held against
    what that one lets expect: chlorophyll twice too high may be nothing unusual for a July, but is so beside
    clear water. Of such a pair the one farther from its usual is marked.

    A reading that departs less is marked where others depart with it (see `departure_together`).

    Of visits (station and day) without a story at most five in a hundred are marked, however many quantities
    they have.

    Parameters
    ----------
    readings : DataFrame, n rows
        Columns of `READINGS`; whole stations. [record units] Routine readings that are not rejected are
        scored, held ones too; held ones do not speak for others. Profiles are left out.
    programme : Programme
        Season and quantities.

    Returns
    -------
    DataFrame, n rows, same index
        tail_probability: two-sided, for the month [1]; score: the same as a signed normal score [1]; others,
        years: months of other years that speak, and in how many years; expected, low, high: usual value and
        the range in which it would not be marked for its month [record unit]; spread: standard deviation of
        a reading about the usual, of natural logarithms for concentrations, else [record unit]; companion:
        the quantity that goes with it, empty without one; beside: what that one lets expect [record unit];
        beside_tail: two-sided tail probability beside it [1]; direction: "higher", "lower", or empty where
        neither; by: "month" where it is marked for its month by itself, "together" where it is so with others
        of the water, day, batch, season, observer or visit, "observer" beside what somebody else read of the
        same, "beside" beside the companion, else empty; marked. NaN where not scored.

    Raises
    ------
    ExplorerError
        If a column is missing.
    UnknownNameError
        If the programme does not know a quantity.

    References
    ----------
    .. [1] G. K. Smyth, "Linear models and empirical Bayes methods for assessing differential expression in
       microarray experiments," Stat. Appl. Genet. Mol. Biol., vol. 3, article 3, 2004 (a spread from few
       values is drawn towards that of many; from memory).
    .. [2] Z. Šidák, "Rectangular confidence regions for the means of multivariate normal distributions," J.
       Am. Stat. Assoc., vol. 62, pp. 626-633, 1967 (a visit's share from that of its readings).

    Examples
    --------
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2010, 2025)])
    >>> readings = pd.DataFrame({
    ...     "reading_id": range(15), "station_code": "A1", "quantity": "secchi_depth", "taken_on": days,
    ...     "stratum": "surface", "value": [3.0, 3.2, 2.9] * 4 + [3.1, 1.1, 3.0], "sign": "=",
    ...     "status": "accepted", "sample_type": "routine", "method": "",
    ... })
    >>> found = departures(readings, Programme())
    >>> found.loc[found["marked"], ["reading_id", "direction", "others"]].values.tolist()
    [[13, 'lower', 14]]
    """
    check_frame(readings, dict.fromkeys(_NEEDED, ""), "readings")
    rows = scored_rows(readings)
    found = empty_frame(DEPARTURES)
    if rows.size:
        scored = ScoredReadings.of(readings.iloc[rows], programme)
        found = judge(scored).frame(scored, np.arange(rows.size))
    place = np.full(len(readings), -1)
    place[rows] = np.arange(rows.size)
    table = {
        name: take(found[name].values, place, allow_fill=True, fill_value=_NOTHING[kind])
        for name, kind in DEPARTURES.items()
    }
    table["reading_id"] = readings["reading_id"].to_numpy(dtype=np.int64)
    return pd.DataFrame(table, index=readings.index, copy=False)


_NOTHING = {"float64": np.nan, "int64": 0, "str": "", "bool": False}
_BY = ("", "month", "together", "observer", "beside")  # by number
_MONTH, _TOGETHER, _OBSERVER, _BESIDE = range(1, 5)


@dataclass(frozen=True, slots=True)
class Judgement:
    """How unusual readings are, shape (n,) each.

    Attributes
    ----------
    tail, score : ndarray
        Two-sided tail probability for the month, and the same as a signed normal score. [1]
    companion : ndarray of int
        Number of the quantity that goes with it; -1 without one.
    beside_score, beside_tail : ndarray
        The score that the companion lets expect, and the tail probability beside it. [1]
    by : ndarray of int
        What marks it; 0 for nothing.
    way : ndarray of int
        1 where it is higher than usual, or than the companion lets expect; -1 where lower, else 0.
    """

    tail: Floats
    score: Floats
    companion: Ints
    beside_score: Floats
    beside_tail: Floats
    by: Signs
    way: Signs

    def frame(self, scored: ScoredReadings, rows: Ints) -> pd.DataFrame:
        """Return some of the readings as columns of `DEPARTURES`, by their places."""
        expected, spread = scored.expected[rows], scored.spread[rows]
        in_visit = _in_visit(scored.visit, ~np.isnan(self.tail))[rows]
        reach = _quantiles(np.minimum(scored.freedom[rows], MOST_FREEDOM), in_visit) * spread
        log_scale = scored.log_scale[rows]

        def unit(values: Floats) -> Floats:
            return np.exp(values, out=values.copy(), where=log_scale & ~np.isnan(values))

        columns = {
            "reading_id": scored.reading_id[rows],
            "tail_probability": self.tail[rows],
            "score": self.score[rows],
            "others": scored.others[rows],
            "years": scored.years[rows],
            "expected": unit(expected),
            "low": unit(expected - reach),
            "high": unit(expected + reach),
            "spread": spread,
            "companion": _words((*scored.codes, ""), self.companion[rows]),
            "beside": unit(expected + self.beside_score[rows] * spread),
            "beside_tail": self.beside_tail[rows],
            "direction": _words(_WAYS, self.way[rows]),
            "by": _words(_BY, self.by[rows]),
            "marked": self.by[rows] > 0,
        }
        return pd.DataFrame(columns, index=rows, copy=False)


def judge(scored: ScoredReadings) -> Judgement:
    """Return how unusual each scored reading is, see `departures`.

    Parameters
    ----------
    scored : ScoredReadings
        n readings, at least one.

    Returns
    -------
    Judgement

    Examples
    --------
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2010, 2025)])
    >>> readings = pd.DataFrame({
    ...     "reading_id": range(15), "station_code": "A1", "quantity": "secchi_depth", "taken_on": days,
    ...     "stratum": "surface", "value": [3.0, 3.2, 2.9] * 4 + [3.1, 1.1, 3.0], "sign": "=",
    ...     "status": "accepted", "sample_type": "routine", "method": "",
    ... })
    >>> found = judge(ScoredReadings.of(readings, Programme()))
    >>> int(np.argmin(found.tail)), found.way[13].item(), bool(found.by[13] > 0)
    (13, -1, True)
    """
    apart, tail, score = _for_the_month(scored)
    by_visit = visit_scores(scored, score)
    station = np.zeros(len(by_visit), dtype=np.int64)
    station[scored.visit] = scored.station
    gone_along = relations(by_visit, station)
    companion, beside_score, beside_tail, odd = _beside(scored, score, by_visit, station, gone_along)
    together = departs_together(scored, apart, score, gone_along.correlation())
    paired = _in_visit(scored.visit, ~np.isnan(beside_tail))
    by = np.zeros(score.size, dtype=np.int8)
    by[odd & (beside_tail <= _reading_level(SHARE_BESIDE, paired))] = _BESIDE
    by[beside_another(scored, score)] = _OBSERVER
    by[together] = _TOGETHER
    by[tail <= _reading_level(SHARE_MONTH, _in_visit(scored.visit, ~np.isnan(tail)))] = _MONTH
    above = np.where(by == _BESIDE, score - beside_score, score)
    way = np.nan_to_num(np.sign(above)).astype(np.int8)
    return Judgement(tail, score, companion, beside_score, beside_tail, by, way)


def _for_the_month(scored: ScoredReadings) -> tuple[Floats, Floats, Floats]:
    """Return how many spreads each reading lies from the usual, the tail beyond, and its normal score."""
    apart, tail, score = np.empty((3, scored.value.size))

    def work(rows: slice) -> None:
        off = (scored.value[rows] - scored.expected[rows]) / scored.spread[rows]
        off[~scored.known[rows]] = np.nan
        off[scored.sign[rows] * off < 0] = 0.0  # a limit on the far side says nothing
        apart[rows] = off
        tail[rows] = 2.0 * stdtr(np.minimum(scored.freedom[rows], MOST_FREEDOM), -np.abs(off))
        score[rows] = -np.sign(off) * ndtri(np.maximum(tail[rows], LEAST_TAIL) / 2.0)

    in_threads(work, parts(scored.value.size))
    return apart, tail, score


def _words(words: Sequence[str], numbers: Ints) -> pd.api.extensions.ExtensionArray:
    """Return words by their numbers, negative ones from the end, as a column of texts."""
    return pd.Series(words, dtype="str").array.take(numbers)


def _in_visit(visit: Ints, counted: Bools) -> Ints:
    """Return for each reading how many of its visit's readings are counted."""
    return np.bincount(visit[counted], minlength=int(visit.max()) + 1)[visit]


def _reading_level(share: float, readings: Ints) -> Floats:
    """Return the tail below which a reading is marked, so that such a share of visits with so many is."""
    level: Floats = 1.0 - (1.0 - share) ** (1.0 / np.maximum(readings, 1.0))
    return level


def _quantiles(freedom: Floats, readings: Ints) -> Floats:
    """Return Student's quantiles beyond which a reading is marked, each pair computed once."""
    known = np.where(np.isnan(freedom), 0.0, freedom).astype(np.int64)
    freedoms, counts = np.arange(known.max(initial=0) + 1), np.arange(readings.max(initial=0) + 1)
    table = stdtrit(freedoms[:, None], 1.0 - _reading_level(SHARE_MONTH, counts) / 2.0)
    quantile: Floats = np.where(np.isnan(freedom), np.nan, table[known, readings])
    return quantile


def _beside(
    scored: ScoredReadings, score: Floats, by_visit: Floats, station: Ints, found: Relations
) -> tuple[Ints, Floats, Floats, Bools]:
    """Return each reading's companion, the score that it lets expect, the tail, and who is the odd one."""
    fit: Companions = companions(by_visit, station, found)
    cell = (scored.visit, scored.quantity)
    single = scored.surface & (scored.sign == 0) & ~np.isnan(score) & scored.speaks
    companion = np.where(single, fit.quantity[cell], -1)
    expected = np.where(single, fit.expected[cell], np.nan)
    tail = np.where(single, fit.tail[cell], np.nan)
    odd = np.abs(score) >= np.abs(by_visit[scored.visit, companion])
    return companion, expected, tail, odd & (companion >= 0)
