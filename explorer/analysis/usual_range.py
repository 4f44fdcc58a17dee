"""The usual range of a quantity by month at one station: what the same time of year has brought before."""

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.censored import CensoredQuantile, Floats, censored_quantile
from explorer.model.calendar import Season, month_of
from explorer.model.quantities import Quantity
from explorer.model.readings import reading_interval

__all__ = ["usual_columns", "usual_range"]

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
        Usable surface readings of one quantity at one station, columns of `READINGS`. [record unit]
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


def usual_columns(
    readings: pd.DataFrame, quantity: Quantity, season: Season
) -> dict[str, npt.NDArray[np.float64 | np.int64]]:
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


def _limits(found: CensoredQuantile) -> Floats:
    return np.where(np.isfinite(found.high), found.high, found.low)


def _logs(values: Floats) -> Floats:
    logs: Floats = np.log(values, out=np.full(values.size, -np.inf), where=values > 0)
    return logs
