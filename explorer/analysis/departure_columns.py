"""Readings held against the usual, as arrays: by station and visit, on the scale of their spread."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Self
from zlib import compress, decompress

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_kept import (
    KEPT,
    NO_TEXT,
    Kept,
    kept_scores,
    least_spread,
    packed,
    quantity_of,
    scored_rows,
    season_months,
)
from explorer.analysis.text_codes import text_codes
from explorer.model.departure_rows import SCORE_ROWS
from explorer.model.programme import Programme
from explorer.model.readings import STRATA, empty_frame

__all__ = ["MOST_DAYS", "ScoredReadings", "scores_by_quantity", "visit_scores"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]
Bools = npt.NDArray[np.bool_]

MOST_DAYS = 10_000_000  # more than any date's number
SURFACE = STRATA.index("surface")


@dataclass(frozen=True, slots=True)
class ScoredReadings:
    """Readings as arrays of shape (n,); stations, quantities, visits and what is shared count from 0.

    Attributes
    ----------
    reading_id : ndarray of int
        The readings.
    value : ndarray
        Natural logarithm of a concentration or depth, else the value itself; the limit where `sign` is not 0.
    sign : ndarray of int
        -1 for "<", 0 for a measured value, 1 for ">".
    known : ndarray of bool
        False where the scale has no place for it: a concentration ">0", or zeros only.
    speaks : ndarray of bool
        Whether it counts for others: not held.
    log_scale, surface : ndarray of bool
        Whether `value` is a logarithm; whether the reading is of the surface.
    stratum : ndarray of int
        Place in `STRATA`.
    floors : ndarray, shape (quantities,)
        Least spread of each quantity, that of measuring alone.
    day, month : ndarray of int
        Days and months since the start of 1970; of months a season lies in one year of twelve.
    station, lake, quantity, visit : ndarray of int
        A visit is station and day. A station without a water is a water of its own.
    batch, observer, weather : ndarray of int
        What readings have in common; -1 for nothing.
    sample : ndarray of int
        `text_numbers` of the sample's code.
    expected, spread, freedom, others, years : ndarray, shape (n,)
        As of `MonthScores`.
    stations, codes : tuple of str
        Stations and quantities by number.
    """

    reading_id: Ints
    value: Floats
    sign: Ints
    known: Bools
    speaks: Bools
    log_scale: Bools
    surface: Bools
    stratum: Ints
    floors: Floats
    day: Ints
    month: Ints
    station: Ints
    lake: Ints
    quantity: Ints
    visit: Ints
    batch: Ints
    observer: Ints
    weather: Ints
    sample: Ints
    expected: Floats
    spread: Floats
    freedom: Floats
    others: Ints
    years: Ints
    stations: tuple[str, ...]
    codes: tuple[str, ...]

    @classmethod
    def of(cls, readings: pd.DataFrame, programme: Programme) -> Self:
        """Return readings that were chosen by `scored_rows`.

        Parameters
        ----------
        readings : DataFrame
            Columns of `READINGS`, and `weather`; whole stations. Who, where and what else is shared may lack.
        programme : Programme
            Season and quantities.

        Raises
        ------
        UnknownNameError
            If the programme does not know a quantity.
        """
        station, stations = text_codes(readings["station_code"])
        quantity, codes = text_codes(readings["quantity"])
        lake = text_codes(readings["lake_code"])[0] if "lake_code" in readings else station
        quantities = [quantity_of(str(code), programme) for code in codes]
        kept = kept_scores(readings, station, quantity, quantities, programme)
        return cls._numbered(kept, (station, stations), (quantity, codes), lake, programme)

    @classmethod
    def of_kept(cls, rows: pd.DataFrame, lakes: Mapping[str, str], programme: Programme) -> Self:
        """Return the readings that were kept.

        Parameters
        ----------
        rows : DataFrame
            Columns of `SCORE_ROWS`, in any order.
        lakes : mapping of str to str
            Code of each station's water.
        programme : Programme
            Season and quantities.
        """
        kept, sizes = _unpacked(rows["scores"].tolist())
        station, stations = text_codes(rows["station_code"])
        quantity, codes = text_codes(rows["quantity"])
        lake, _ = text_codes([lakes[code] for code in rows["station_code"]])
        station, quantity, lake = (np.repeat(each, sizes) for each in (station, quantity, lake))
        return cls._numbered(kept, (station, stations), (quantity, codes), lake, programme)

    @classmethod
    def _numbered(
        cls,
        kept: Kept,
        station: tuple[Ints, npt.NDArray[np.object_]],
        quantity: tuple[Ints, npt.NDArray[np.object_]],
        lake: Ints,
        programme: Programme,
    ) -> Self:
        """Take out of `kept` what is numbered anew, so that it does not stay in memory beside its numbers."""

        def shared(name: str) -> Ints:
            texts = kept.pop(name)
            return np.where(texts == NO_TEXT, -1, pd.factorize(texts)[0]).astype(np.int32)

        value, day = kept.pop("value"), kept["day"]
        known = np.isfinite(value)
        quantities = [quantity_of(str(code), programme) for code in quantity[1]]
        return cls(
            reading_id=kept["reading_id"],
            value=np.where(known, value, 0.0),
            sign=kept["sign"],
            known=known,
            speaks=kept["speaks"],
            log_scale=np.array([each.log_scale for each in quantities], dtype=bool)[quantity[0]],
            surface=kept["stratum"] == SURFACE,
            stratum=kept["stratum"],
            floors=np.array([least_spread(each) for each in quantities]),
            day=day,
            month=season_months(day, programme).astype(np.int32),
            station=station[0].astype(np.int32),
            lake=lake.astype(np.int32),
            quantity=quantity[0].astype(np.int32),
            visit=pd.factorize(station[0].astype(np.int64) * MOST_DAYS + day)[0].astype(np.int32),
            batch=shared("batch"),
            observer=shared("observer"),
            weather=shared("weather"),
            sample=kept["sample"],
            **{name: kept[name] for name in ("expected", "spread", "freedom", "others", "years")},
            stations=tuple(str(code) for code in station[1]),
            codes=tuple(str(code) for code in quantity[1]),
        )


def _unpacked(scores: Sequence[bytes]) -> tuple[Kept, Ints]:
    """Return what was kept of all as columns, and how many readings stand in each row.

    Everything is unpacked twice, first only to count: so nothing stands in memory beside the columns.
    """
    sizes = np.array([len(decompress(each)) // KEPT.itemsize for each in scores], dtype=np.int64)
    columns = {name: np.empty(sizes.sum(), KEPT[name]) for name in KEPT.names or ()}
    last = np.cumsum(sizes)
    for each, start, end in zip(scores, (last - sizes).tolist(), last.tolist(), strict=True):
        rows = np.frombuffer(decompress(each), KEPT)
        for name, column in columns.items():
            column[start:end] = rows[name]
    return columns, sizes


def scores_by_quantity(readings: pd.DataFrame, programme: Programme) -> pd.DataFrame:
    """Return what their own station says of readings, as it is kept with the record.

    Parameters
    ----------
    readings : DataFrame
        `SCORED_COLUMNS` and `weather`; whole stations, every reading of them.
    programme : Programme
        Season and quantities.

    Returns
    -------
    DataFrame
        Columns of `SCORE_ROWS`, a row for each station and quantity.

    Raises
    ------
    UnknownNameError
        If the programme does not know a quantity.

    Examples
    --------
    >>> from explorer.model.readings import READINGS
    >>> len(scores_by_quantity(empty_frame(READINGS), Programme()))
    0
    """
    chosen = readings.iloc[scored_rows(readings)].reset_index(drop=True)
    if chosen.empty:
        return empty_frame(SCORE_ROWS)
    (station, _), (quantity, codes) = (text_codes(chosen[name]) for name in ("station_code", "quantity"))
    quantities = [quantity_of(str(code), programme) for code in codes]
    kept = packed(kept_scores(chosen, station, quantity, quantities, programme))
    rows = chosen.groupby(["station_code", "quantity"], sort=False).indices
    keys = chosen.iloc[[places[0] for places in rows.values()]][["station_code", "quantity"]]
    scores = [compress(kept[places].tobytes(), level=1) for places in rows.values()]
    return keys.assign(scores=scores).reset_index(drop=True)


def visit_scores(scored: ScoredReadings, score: Floats) -> Floats:
    """Return the score of each quantity on each visit: the mean of its measured surface readings.

    Parameters
    ----------
    scored : ScoredReadings
        Readings; held ones do not count.
    score : ndarray, shape (n,)
        Signed scores. [1]

    Returns
    -------
    ndarray, shape (visits, quantities)
        NaN where there is none. [1]
    """
    use = scored.speaks & scored.surface & (scored.sign == 0) & ~np.isnan(score)
    shape = (int(scored.visit.max()) + 1, len(scored.codes))
    place = np.ravel_multi_index((scored.visit[use], scored.quantity[use]), shape)
    count = np.bincount(place, minlength=shape[0] * shape[1])
    total = np.bincount(place, score[use], shape[0] * shape[1])
    mean: Floats = np.divide(total, count, out=np.full(count.size, np.nan), where=count > 0)
    return mean.reshape(shape)
