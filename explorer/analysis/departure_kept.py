"""What its own station says of each reading: rows of numbers that are kept with the record.

It stays the same while other stations change. What is unusual is asked of the rows of all stations together.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.certainty import DUPLICATE_SPREAD, METHOD_SPREADS
from explorer.analysis.departure_scores import month_scores
from explorer.analysis.text_codes import text_codes
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, find_quantity
from explorer.model.readings import STRATA

__all__ = [
    "KEPT",
    "NO_TEXT",
    "SCORED_COLUMNS",
    "SCORE_FORMULAS",
    "Kept",
    "kept_scores",
    "least_spread",
    "packed",
    "quantity_of",
    "scored_rows",
    "season_months",
    "text_numbers",
]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
Kept = dict[str, npt.NDArray[Any]]

SCORE_FORMULAS = 1  # raised with every change of `KEPT`, or of what is computed for it
NO_TEXT = 0

# Those of `READINGS` that scores are made from; of the visit's sheet comes `weather` beside them.
SCORED_COLUMNS = (
    "reading_id", "station_code", "lake_code", "quantity", "taken_on", "stratum", "value", "sign", "status",
    "visit_id", "sample_code", "sample_type", "method", "batch", "observer",
)  # fmt: skip

# A scored reading without its station and quantity. Texts stand as their `text_numbers`; the value is NaN
# where the scale has no place for it.
KEPT = np.dtype([
    ("reading_id", "<i8"), ("day", "<i4"), ("value", "<f8"), ("sign", "i1"), ("stratum", "i1"),
    ("speaks", "?"), ("batch", "<i8"), ("observer", "<i8"), ("weather", "<i8"), ("sample", "<i8"),
    ("expected", "<f8"), ("spread", "<f8"), ("freedom", "<f8"), ("others", "<i4"), ("years", "<i4"),
])  # fmt: skip


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


def text_numbers(texts: npt.ArrayLike) -> Ints:
    """Return a number for each text, the same wherever the text is found; 0 for an empty one.

    Parameters
    ----------
    texts : array_like of str, shape (n,)

    Examples
    --------
    >>> first, second, none = text_numbers(["B7", "B8", ""])
    >>> bool(first == text_numbers(["B7"])[0] != second), int(none)
    (True, 0)
    """
    codes, names = text_codes(texts)
    numbers = pd.util.hash_array(names, categorize=False).view(np.int64)
    numbers[names == ""] = NO_TEXT
    return numbers[codes]


def kept_scores(
    readings: pd.DataFrame,
    station: Ints,
    quantity: Ints,
    quantities: Sequence[Quantity],
    programme: Programme,
) -> Kept:
    """Return level and spread of each reading's month in the other years, with what is asked about it later.

    Parameters
    ----------
    readings : DataFrame, n rows
        Chosen by `scored_rows`; `SCORED_COLUMNS` and `weather`, of which those on sample, batch, observer and
        weather may lack. Whole stations.
    station, quantity : ndarray of int, shape (n,)
        Number of each reading's station and quantity, from 0.
    quantities : sequence of Quantity
        By their numbers.
    programme : Programme
        Season.

    Returns
    -------
    dict of str to ndarray, shape (n,)
        By the names of `KEPT`.

    Examples
    --------
    >>> readings = pd.DataFrame({
    ...     "reading_id": range(10), "station_code": "A1", "quantity": "secchi_depth", "method": "",
    ...     "taken_on": pd.to_datetime([f"{year}-07-15" for year in range(2010, 2020)]), "status": "accepted",
    ...     "stratum": "surface", "value": [2.0, 2.2] * 5, "sign": "=", "observer": "V1",
    ... })
    >>> one, programme = np.zeros(10, dtype=np.int64), Programme()
    >>> kept = kept_scores(readings, one, one, [quantity_of("secchi_depth", programme)], programme)
    >>> kept["others"][3].item(), kept["years"][3].item()
    (9, 9)
    """
    method, _ = text_codes(readings["method"])
    stratum, strata = text_codes(readings["stratum"])
    number = station
    for codes in (quantity, method, stratum):
        number = number * (codes.max(initial=0) + 1) + codes
    series = pd.factorize(number)[0]
    log_scale = np.array([each.log_scale for each in quantities])[quantity]
    sign = readings["sign"].to_numpy(dtype=object)
    beyond = (sign == ">").astype(np.int64) - (sign == "<")
    value, side = _on_scale(readings["value"].to_numpy(dtype=np.float64), beyond, log_scale, series)
    known = np.isfinite(value)
    day = readings["taken_on"].to_numpy().astype("datetime64[D]").astype(np.int64)
    speaks = ~_is(readings, "status", "held") & known
    months = month_scores(
        np.where(known, value, 0.0),
        side,
        series,
        season_months(day, programme),
        speaks,
        np.array([least_spread(each) for each in quantities])[quantity],
        log_scale,
    )
    places = np.array([STRATA.index(each) if each in STRATA else len(STRATA) for each in strata], np.int64)
    nothing = np.full(len(readings), NO_TEXT)
    texts = {
        name: text_numbers(readings[column].to_numpy(dtype=object)) if column in readings else nothing
        for name, column in _TEXTS.items()
    }
    return {
        "reading_id": readings["reading_id"].to_numpy(dtype=np.int64),
        "day": day,
        "value": np.where(known, value, np.nan),
        "sign": side,
        "stratum": places[stratum],
        "speaks": speaks,
        **texts,
        **{name: getattr(months, name) for name in ("expected", "spread", "freedom", "others", "years")},
    }


def packed(kept: Kept) -> npt.NDArray[np.void]:
    """Return what `kept_scores` gives as rows of numbers.

    Parameters
    ----------
    kept : dict of str to ndarray, shape (n,)
        By the names of `KEPT`.

    Returns
    -------
    ndarray of `KEPT`, shape (n,)

    Examples
    --------
    >>> packed({"reading_id": np.array([7, 9]), "value": np.array([1.5, 0.7])})["value"].tolist()
    [1.5, 0.7]
    """
    rows = np.zeros(len(kept["reading_id"]), dtype=KEPT)
    for name, column in kept.items():
        rows[name] = column
    return rows


_TEXTS = {"batch": "batch", "observer": "observer", "weather": "weather", "sample": "sample_code"}


def season_months(day: Ints, programme: Programme) -> Ints:
    """Return the months since the start of 1970, counted so that a season lies in one year of twelve.

    Parameters
    ----------
    day : ndarray of int, shape (n,)
        Days since the start of 1970.
    programme : Programme
        Says with which month a season's year begins.

    Examples
    --------
    >>> season_months(np.array([0, 31]), Programme()).tolist()
    [0, 1]
    """
    months: Ints = day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64)
    return months - (programme.season.first_month_of_year - 1)


def quantity_of(code: str, programme: Programme) -> Quantity:
    """Return a quantity of the programme.

    Parameters
    ----------
    code : str
        Its code.
    programme : Programme
        Its own quantities come first.

    Raises
    ------
    UnknownNameError
        If the programme does not know it.

    Examples
    --------
    >>> quantity_of("secchi_depth", Programme()).unit
    'm'
    """
    return programme.quantities.get(code) or find_quantity(code, programme.quantities)


def least_spread(quantity: Quantity) -> float:
    """Return what measuring alone spreads: of logarithms, else one step of the last digit shown.

    Parameters
    ----------
    quantity : Quantity
        What was measured.

    Examples
    --------
    >>> least_spread(quantity_of("secchi_depth", Programme()))
    0.05
    """
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
