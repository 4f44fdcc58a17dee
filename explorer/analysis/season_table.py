"""The season table: what each station's readings of a quantity come to in each season and each year."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.censored import Bools, Floats, Ints, censored_quantile
from explorer.analysis.censored_mean import ros_values
from explorer.analysis.season_cube import comparable_methods
from explorer.model.programme import Programme
from explorer.model.readings import (
    COUNTED,
    READINGS,
    SEASONS,
    check_frame,
    empty_frame,
    reading_interval,
    usable,
)

__all__ = ["FORMULAS", "season_table"]

FORMULAS = 3  # raised with every change of a number or column: stored tables of another version are stale


def season_table(readings: pd.DataFrame, programme: Programme) -> pd.DataFrame:
    """Return the season table of all stations in a frame of readings.

    Routine readings of the surface stratum count, neither held nor rejected. Readings of one day are averaged
    to a visit, visits to a month, months to the season or year: each month weighs the same. Where a quantity
    was measured by more than one method within one season of a station, the method with most visits counts
    alone (of equal ones the latest used, then the first by name): one series is one method, which `method`
    names. Methods that the programme has declared comparable are one, named by the first of them.

    A month with "<" lies between its means with "<" at zero and at the limit, one with ">" between its mean
    at the limit and infinity. The median is the Kaplan-Meier median of the months. The mean takes for each
    "<" the mean of what robust regression on order statistics, over all years of the series, gives behind
    that limit.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, in record units, in any order.
    programme : Programme
        Gives the season's months, which quantities are judged on a logarithmic scale, and which methods are
        comparable.

    Returns
    -------
    DataFrame, one row per station, quantity, window and year with a visit, sorted so
        station_code, quantity (codes); window ("season" or "year"), year (the season's); method (the one that
        counted); visits, months (how many).
        median, mean: NaN where only their intervals are known, median_low to median_high and mean_low to
        mean_high, which may be infinite; both ends are equal where nothing is censored. geometric_mean: NaN
        where a month is not known. minimum, maximum: of single visits, NaN where censoring hides them.
        [record unit, the one of the quantity in `programme.quantities`]
        censored_share: of the visits. [1] log_spread: standard deviation of the natural logarithms of the
        months, NaN under two months of known value. [1]

    Raises
    ------
    ExplorerError
        If a column is missing.

    Examples
    --------
    >>> readings = pd.DataFrame({"station_code": "HM1", "quantity": "secchi_depth", "sign": "=",
    ...     "stratum": "surface", "method": "",
    ...     "taken_on": pd.to_datetime(["2024-05-10", "2024-05-20", "2024-06-11", "2024-07-12"]),
    ...     "value": [2.0, 4.0, 2.0, 1.0], "status": "accepted", "sample_type": "routine"})
    >>> season_table(readings, Programme())[["window", "year", "visits", "months", "median"]].values.tolist()
    [['season', 2024, 4, 3, 2.0], ['year', 2024, 4, 3, 2.0]]
    """
    check_frame(readings, {name: READINGS[name] for name in COUNTED}, "readings")
    dated = readings["taken_on"].notna()
    counted = readings[usable(readings) & (readings["stratum"] == "surface") & dated]
    if counted.empty:
        return empty_frame(SEASONS)
    visits, texts = _visits(counted, programme)
    known = [programme.quantities.get(code) for code in texts["quantity"]]
    on_log_scale = np.array([each is not None and each.log_scale for each in known])[visits["quantity"]]
    inside = np.isin(visits["month"], programme.season_months)
    windows = [
        _units({name: column[rows] for name, column in {**visits, "on_log_scale": on_log_scale}.items()})
        for rows in (inside, np.full(inside.size, True))
    ]
    columns = {name: np.concatenate([window[name] for window in windows]) for name in windows[0]}
    columns["window"] = np.repeat([0, 1], [window["year"].size for window in windows])
    order = np.lexsort([columns[name] for name in ("year", "window", "quantity", "station_code")])
    texts["window"] = ["season", "year"]
    return pd.DataFrame(
        {
            name: pd.Series(
                np.array(texts[name], object)[columns[name][order]]
                if name in texts
                else columns[name][order],
                dtype=kind,
            )
            for name, kind in SEASONS.items()
        }
    )


_Columns = dict[str, npt.NDArray[Any]]


def _visits(readings: pd.DataFrame, programme: Programme) -> tuple[_Columns, dict[str, list[str]]]:
    """Return one row per series and day, and the codes behind the numbers of station, quantity, method."""
    station, stations = pd.factorize(readings["station_code"], sort=True)
    quantity, quantities = pd.factorize(readings["quantity"], sort=True)
    method, written = pd.factorize(readings["method"])
    methods, place = np.unique(comparable_methods(written, programme.comparable_methods), return_inverse=True)
    method = place[method]
    low, high = reading_interval(readings["value"], readings["sign"])
    series = (station * len(quantities) + quantity) * len(methods) + method
    day = readings["taken_on"].to_numpy().astype("datetime64[D]").astype(np.int64)
    key = series * (np.ptp(day) + 1) + day - day.min()
    _, first, group = np.unique(key, return_index=True, return_inverse=True)
    count = np.bincount(group)
    dates = readings["taken_on"].iloc[first]
    visits = {
        "station_code": station[first],
        "quantity": quantity[first],
        "method": method[first],
        "day": day[first],
        "year": programme.season.year_of(dates).to_numpy(),
        "month": dates.dt.month.to_numpy(),
        "low": np.bincount(group, low) / count,
        "high": np.bincount(group, high) / count,
        "value": np.bincount(group, _known_values(low, high, series)) / count,
    }
    return visits, {"station_code": [*stations], "quantity": [*quantities], "method": [*methods]}


def _known_values(low: Floats, high: Floats, series: Ints) -> Floats:
    """Return each reading's value: for "<" the mean of what ROS gives behind that limit, NaN if unknown."""
    if (low == high).all():
        return low
    _, group = np.unique(series, return_inverse=True)
    value = ros_values(low, high, group)
    filled = np.flatnonzero((low < high) & ~np.isnan(value))
    if filled.size:
        order = filled[np.lexsort((high[filled], group[filled]))]
        new = (np.diff(group[order], prepend=-1) != 0) | (np.diff(high[order], prepend=np.nan) != 0)
        behind = np.cumsum(new) - 1
        mean = np.bincount(behind, value[order]) / np.bincount(behind)
        value[order] = np.minimum(mean[behind], high[order])
    return value


def _units(visits: _Columns) -> _Columns:
    """Return one row per unit: a station, a quantity and a year."""
    if visits["year"].size == 0:
        return {name: visits["year"] for name in SEASONS if name != "window"}
    columns = (visits["station_code"], visits["quantity"], visits["year"] - visits["year"].min())
    spans = tuple(int(column.max()) + 1 for column in columns)
    unit = np.unique(np.ravel_multi_index(columns, spans), return_inverse=True)[1]
    kept = _of_chosen_method(unit, visits)
    unit, visits = unit[kept], {name: column[kept] for name, column in visits.items()}
    count, first = np.bincount(unit), np.unique(unit, return_index=True)[1]
    month_keys, month = np.unique(unit * 12 + visits["month"] - 1, return_inverse=True)
    of_unit = month_keys // 12
    months, visits_of_month = np.bincount(of_unit), np.bincount(month)
    low, high, value = (
        np.bincount(month, visits[name]) / visits_of_month for name in ("low", "high", "value")
    )
    median = censored_quantile(low, high, of_unit)
    mean_low, mean, mean_high = (np.bincount(of_unit, each) / months for each in (low, value, high))
    return {
        **{name: visits[name][first] for name in ("station_code", "quantity", "year", "method")},
        "visits": count,
        "months": months,
        "median": median.value,
        "median_low": median.low,
        "median_high": median.high,
        "mean": mean,
        "mean_low": mean_low,
        "mean_high": mean_high,
        **_on_log_scale(value, of_unit, visits["on_log_scale"][first]),
        "minimum": _certain(np.minimum, visits, unit),
        "maximum": _certain(np.maximum, visits, unit),
        "censored_share": np.bincount(unit, visits["low"] < visits["high"]) / count,
    }


def _of_chosen_method(unit: Ints, visits: _Columns) -> Bools:
    """Return which visits belong to the method that counts in their unit."""
    methods = int(visits["method"].max()) + 1
    pairs, pair = np.unique(unit * methods + visits["method"], return_inverse=True)
    latest = np.zeros(pairs.size, np.int64)
    np.maximum.at(latest, pair, visits["day"])
    order = np.lexsort((pairs, -latest, -np.bincount(pair), pairs // methods))
    best = order[np.flatnonzero(np.diff(pairs[order] // methods, prepend=-1))]
    return np.isin(pair, best)


def _certain(extreme: np.ufunc, visits: _Columns, unit: Ints) -> Floats:
    """Return the smallest or largest visit of each unit, NaN where a censored one might pass it."""
    order = np.argsort(unit, kind="stable")
    start = np.flatnonzero(np.diff(unit[order], prepend=-1))
    low, high = (extreme.reduceat(visits[name][order], start) for name in ("low", "high"))
    return np.where(low == high, low, np.nan)


def _on_log_scale(value: Floats, unit: Ints, wanted: Bools) -> dict[str, Floats]:
    """Return geometric mean and spread of the months' logarithms, NaN for quantities not judged so."""
    known, size = value > 0, wanted.size
    logs, unit_of = np.log(value[known]), unit[known]
    count, months = np.bincount(unit_of, minlength=size), np.bincount(unit, minlength=size)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.bincount(unit_of, logs, size) / count
        squares = np.bincount(unit_of, (logs - mean[unit_of]) ** 2, size)
        spread = np.sqrt(squares / (count - 1))
    return {
        "geometric_mean": np.where(wanted & (count == months), np.exp(mean), np.nan),
        "log_spread": np.where(wanted & (count > 1), spread, np.nan),
    }
