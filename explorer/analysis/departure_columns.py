"""Readings held against the usual, as arrays: by series and visit, on the scale of their spread."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.certainty import DUPLICATE_SPREAD, METHOD_SPREADS
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, find_quantity

__all__ = ["ScoredReadings", "scored_rows", "visit_scores"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

MOST_DAYS = 10_000_000  # more than any date's number


def scored_rows(readings: pd.DataFrame) -> Ints:
    """Return the rows that are held against the usual: routine, dated, with a value, not rejected.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`. Profiles are left out: a probe's depths differ from day to day.

    Returns
    -------
    ndarray of int
        Positions of rows.

    Examples
    --------
    >>> from explorer.model.readings import READINGS, empty_frame
    >>> scored_rows(empty_frame(READINGS)).size
    0
    """
    chosen = (
        _is(readings, "sample_type", "routine")
        & ~_is(readings, "status", "rejected")
        & ~_is(readings, "stratum", "profile")
        & readings["value"].notna().to_numpy()
        & readings["taken_on"].notna().to_numpy()
    )
    return np.flatnonzero(chosen)


def _is(readings: pd.DataFrame, column: str, text: str) -> Bools:
    same: Bools = readings[column].to_numpy(dtype=object) == text  # three times as fast as text columns
    return same


@dataclass(frozen=True, slots=True)
class ScoredReadings:
    """Readings as arrays of shape (n,); numbers of stations, quantities, series and visits count from 0.

    Attributes
    ----------
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
    floor : ndarray
        Least spread, that of measuring alone.
    month : ndarray of int
        Months since the start of 1970, counted so that a season lies in one year of twelve.
    station, quantity, series, visit : ndarray of int
        A series is station, quantity, method and stratum; a visit is station and day.
    codes : tuple of str
        Quantities by number.
    """

    value: Floats
    sign: Ints
    known: Bools
    speaks: Bools
    log_scale: Bools
    surface: Bools
    floor: Floats
    month: Ints
    station: Ints
    quantity: Ints
    series: Ints
    visit: Ints
    codes: tuple[str, ...]

    @classmethod
    def of(cls, readings: pd.DataFrame, programme: Programme) -> "ScoredReadings":
        """Return the arrays of readings that were chosen by `scored_rows`.

        Parameters
        ----------
        readings : DataFrame
            Columns of `READINGS`.
        programme : Programme
            Season and quantities.

        Raises
        ------
        UnknownNameError
            If the programme does not know a quantity.
        """
        station, _ = pd.factorize(readings["station_code"])
        quantity, codes = pd.factorize(readings["quantity"])
        method, methods = pd.factorize(readings["method"])
        stratum, strata = pd.factorize(readings["stratum"])
        quantities = [_quantity(str(code), programme) for code in codes]
        number = ((station * len(codes) + quantity) * len(methods) + method) * len(strata) + stratum
        series, _ = pd.factorize(number)
        day = readings["taken_on"].to_numpy().astype("datetime64[D]")
        visit, _ = pd.factorize(station * MOST_DAYS + day.astype(np.int64))
        log_scale = np.array([each.log_scale for each in quantities])[quantity]
        signs = _is(readings, "sign", ">").astype(np.int64) - _is(readings, "sign", "<")
        value, sign = _on_scale(readings["value"].to_numpy(dtype=np.float64), signs, log_scale, series)
        known = np.isfinite(value)
        return cls(
            value=np.where(known, value, 0.0),
            sign=sign,
            known=known,
            speaks=~_is(readings, "status", "held") & known,
            log_scale=log_scale,
            surface=_is(readings, "stratum", "surface"),
            floor=np.array([_least_spread(each) for each in quantities])[quantity],
            month=day.astype("datetime64[M]").astype(np.int64) - (programme.season.first_month_of_year - 1),
            station=station,
            quantity=quantity,
            series=series,
            visit=visit,
            codes=tuple(str(code) for code in codes),
        )


def _quantity(code: str, programme: Programme) -> Quantity:
    return programme.quantities.get(code) or find_quantity(code, programme.quantities)


def _least_spread(quantity: Quantity) -> float:
    """Return what measuring alone spreads: of logarithms, else one step of the last digit shown."""
    if quantity.log_scale:
        return METHOD_SPREADS.get(quantity.code, DUPLICATE_SPREAD)
    return 10.0**-quantity.decimals


def _on_scale(value: Floats, sign: Ints, log_scale: Bools, series: Ints) -> tuple[Floats, Ints]:
    """Return values on the scale of their spread; on a logarithmic one, zero is below the least number."""
    nothing = log_scale & (value <= 0)
    some = log_scale & ~nothing
    least = np.full(int(series.max()) + 1, np.inf)
    np.minimum.at(least, series[some], value[some])
    number = np.where(nothing, least[series], value)
    np.log(number, out=number, where=log_scale)
    return np.where(nothing & (sign > 0), np.inf, number), np.where(nothing, -1, sign)


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
