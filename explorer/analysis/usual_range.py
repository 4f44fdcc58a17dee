"""The usual range of a quantity by month at one station: what the same time of year has brought before."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.censored import CensoredQuantile, Floats, censored_quantile
from explorer.analysis.season_cube import comparable_methods
from explorer.model.calendar import Season, month_of
from explorer.model.quantities import Quantity
from explorer.model.readings import reading_interval

__all__ = ["UsualRange", "usual_by_method", "usual_columns", "usual_range"]

Columns = dict[str, npt.NDArray[np.float64 | np.int64]]
UsualRange = tuple[npt.NDArray[np.int64], Columns]  # season years, and the range that speaks of them

LOWER_SHARE, UPPER_SHARE = 0.1, 0.9  # [1] common practice: the middle four fifths
FEWEST_YEARS = 5  # common practice, as for departures: fewer years have no "usual"
NEIGHBOURS = 1  # months before and after that speak for a month, too


def usual_range(readings: pd.DataFrame, quantity: Quantity, season: Season) -> pd.DataFrame:
    """Return the range from the 10 % to the 90 % quantile of each season month's readings.

    A month's readings are those of the same month and its two neighbours, in all years. Quantiles are those
    of `explorer.analysis.censored.censored_quantile`. Where one lies beyond what could be measured, the limit
    stands for it: the range ends where measuring ends.

    Parameters
    ----------
    readings : DataFrame
        Usable surface readings of one quantity at one station, by one method or several that are comparable:
        columns of `READINGS`. [record unit]
    quantity : Quantity
        Says whether the middle between two readings is taken on a logarithmic scale.
    season : Season
        The months for which a range is wanted.

    Returns
    -------
    DataFrame, one row a season month, in the season's order
        Columns month, low, middle (the median), high [record unit], years (different season years with a
        reading). low, middle and high are NaN where the readings come from fewer than five years.

    Examples
    --------
    >>> from explorer.model.quantities import find_quantity
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2015, 2025)])
    >>> readings = pd.DataFrame({"taken_on": days, "value": np.arange(1.0, 11.0), "sign": "="})
    >>> usual_range(readings, find_quantity("secchi_depth"), Season((7, 8, 9))).round(2).values.tolist()
    [[7.0, 1.41, 5.48, 9.49, 10.0], [8.0, 1.41, 5.48, 9.49, 10.0], [9.0, nan, nan, nan, 0.0]]
    """
    return pd.DataFrame(usual_columns(readings, quantity, season))


def usual_columns(readings: pd.DataFrame, quantity: Quantity, season: Season) -> Columns:
    """Return the columns of `usual_range`, which a click takes without the table around them.

    Parameters
    ----------
    readings, quantity, season : as for `usual_range`

    Returns
    -------
    dict of str to ndarray, shape (months of the season,)
        month, low, middle, high [record unit], years.

    Examples
    --------
    >>> from explorer.model.quantities import find_quantity
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2015, 2025)])
    >>> readings = pd.DataFrame({"taken_on": days, "value": np.arange(1.0, 11.0), "sign": "="})
    >>> found = usual_columns(readings, find_quantity("secchi_depth"), Season((7, 8, 9)))
    >>> found["years"].tolist(), found["high"].round(2).tolist()
    ([10, 10, 0], [9.49, 9.49, nan])
    """
    low, high = reading_interval(readings["value"], readings["sign"])
    calendar = month_of(readings["taken_on"])
    year = season.year_of(readings["taken_on"]).to_numpy()
    months = np.asarray(season.months)
    speaks = (calendar[None, :] - months[:, None] + NEIGHBOURS) % 12 <= 2 * NEIGHBOURS
    years = np.array([np.unique(year[row]).size for row in speaks])
    enough = years >= FEWEST_YEARS
    group, reading = np.nonzero(speaks[enough])
    on_log_scale = quantity.log_scale and bool((high > 0).all())
    ends = (_logs(low), _logs(high)) if on_log_scale else (low, high)
    shares = np.array([[LOWER_SHARE], [0.5], [UPPER_SHARE]])
    found = censored_quantile(ends[0][reading], ends[1][reading], group, shares)
    known = ~np.isnan(found.value)
    filled = np.where(known, found.value, _limits(found))
    # A limit that stands for one quantile may lie past the estimate of the next one: they are kept in order.
    upward, downward = np.maximum.accumulate(filled), np.minimum.accumulate(filled[::-1])[::-1]
    values = np.where(known[-1], downward, upward)
    columns = np.full((len(shares), months.size), np.nan)
    columns[:, enough] = np.exp(values) if on_log_scale else values
    named = dict(zip(("low", "middle", "high"), columns, strict=True))
    return {"month": months, **named, "years": years}


def usual_by_method(
    readings: pd.DataFrame,
    quantity: Quantity,
    season: Season,
    years: tuple[int, int],
    comparable: Iterable[Iterable[str]] = (),
) -> tuple[UsualRange, ...]:
    """Return the usual range of each method beside the years of which it speaks.

    A range mixed of two methods would hold neither's readings. Each year takes the range of the method that
    was used most often in it, of equal ones the one used last; a year without readings that of the year
    before it, or of the first.

    Parameters
    ----------
    readings : DataFrame
        As for `usual_range`, with the column method.
    quantity, season : as for `usual_range`
    years : tuple of int
        First and last year that is asked for.
    comparable : iterable of iterables of str
        Methods that the programme has declared comparable: they count as one.

    Returns
    -------
    tuple of (years, columns)
        Season years, and the columns of `usual_columns`; together all years that were asked for, each once.

    Examples
    --------
    >>> from explorer.model.quantities import find_quantity
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2015, 2025)])
    >>> readings = pd.DataFrame({"taken_on": days, "value": [2.0] * 5 + [3.0] * 5, "sign": "=",
    ...                          "method": ["disk"] * 5 + ["viewer"] * 5})
    >>> found = usual_by_method(readings, find_quantity("secchi_depth"), Season((7,)), (2015, 2024))
    >>> [(of.tolist()[0], of.size, columns["middle"].round(3).tolist()) for of, columns in found]
    [(2015, 5, [2.0]), (2020, 5, [3.0])]
    """
    every = np.arange(years[0], years[1] + 1)
    written = readings["method"].to_numpy(object)
    if not written.size or (written == written[0]).all():
        return ((every, usual_columns(readings, quantity, season)),)
    by_date = np.argsort(readings["taken_on"].to_numpy(), kind="stable")[::-1]
    newest_first = pd.factorize(comparable_methods(written, comparable)[by_date])
    method, names = np.empty(written.size, dtype=np.int64), newest_first[1]
    method[by_date] = newest_first[0]
    used = np.zeros((every.size, names.size), dtype=np.int64)
    of_year = season.year_of(readings["taken_on"]).to_numpy() - every[0]
    inside = (of_year >= 0) & (of_year < every.size)
    np.add.at(used, (of_year[inside], method[inside]), 1)
    measured = used.any(axis=1)
    nearest = np.maximum.accumulate(np.where(measured, np.arange(every.size), measured.argmax()))
    most = used.argmax(axis=1)[nearest]
    return tuple(
        (every[most == number], usual_columns(readings[method == number], quantity, season))
        for number in np.unique(most)[::-1].tolist()
    )


def _limits(found: CensoredQuantile) -> Floats:
    return np.where(np.isfinite(found.high), found.high, found.low)


def _logs(values: Floats) -> Floats:
    logs: Floats = np.log(values, out=np.full(values.size, -np.inf), where=values > 0)
    return logs
