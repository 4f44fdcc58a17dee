"""The series that speaks for each station: its readings by the method used last, month by month."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.season_cube import SeasonCube, season_cube
from explorer.model.calendar import month_of
from explorer.model.programme import Programme
from explorer.model.readings import usable

__all__ = ["NewestSeries", "newest_series"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class NewestSeries:
    """One series a station of one quantity.

    Attributes
    ----------
    stations : ndarray of str, shape (series,)
        Each station once.
    methods : ndarray of str, shape (series,)
        Method of the series; empty where none is stated.
    other_methods : tuple of tuple of str, one a series
        Methods of the station's other series, which are left out.
    years : ndarray of int, shape (years,)
        Season years without a gap.
    numbers : ndarray, shape (series, years, months)
        Monthly values, or the limit where the sign is "<" or ">". [record unit] NaN where nothing was
        measured.
    signs : ndarray of str, shape (series, years, months)
        "=", "<" or ">".
    """

    stations: npt.NDArray[np.str_]
    methods: npt.NDArray[np.str_]
    other_methods: tuple[tuple[str, ...], ...]
    years: npt.NDArray[np.int64]
    numbers: Floats
    signs: npt.NDArray[np.str_]


def newest_series(readings: pd.DataFrame, programme: Programme) -> dict[str, NewestSeries]:
    """Return the newest series of every station by quantity.

    Routine surface readings within the season count, neither held nor rejected. Of a station's series the
    one with the latest season speaks, of equal ones the one with more monthly values.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, in record units, in any order.
    programme : Programme
        Season, quantities, and which methods are comparable.

    Returns
    -------
    dict of str to NewestSeries
        By quantity; only the programme's quantities.

    Examples
    --------
    >>> readings = pd.DataFrame({"station_code": "HM1", "quantity": "secchi_depth", "sign": "=",
    ...     "stratum": "surface", "method": ["disk", "viewer", "viewer"], "value": [3.0, 4.0, 5.0],
    ...     "status": "accepted", "sample_type": "routine",
    ...     "taken_on": pd.to_datetime(["2022-05-10", "2023-06-11", "2024-07-12"])})
    >>> found = newest_series(readings, Programme())["secchi_depth"]
    >>> found.methods.tolist(), found.other_methods, found.years.tolist()
    (['viewer'], (('disk',),), [2022, 2023, 2024])
    """
    season = programme.season
    rows = np.flatnonzero(
        usable(readings).to_numpy()
        & (readings["stratum"].to_numpy(object) == "surface")
        & readings["taken_on"].notna().to_numpy()
    )
    dates = readings["taken_on"].iloc[rows]
    months = month_of(dates)
    years = season.year_of(dates).to_numpy()
    columns = {
        name: readings[name].to_numpy(object)[rows] for name in ("station_code", "method", "value", "sign")
    }
    quantities = readings["quantity"].to_numpy(object)[rows]
    found = {}
    for quantity in programme.quantities:
        some = np.flatnonzero(quantities == quantity)
        if some.size == 0:
            continue
        cube = season_cube(
            columns["station_code"][some],
            columns["method"][some],
            years[some],
            months[some],
            columns["value"][some],
            columns["sign"][some],
            season_months=season.months,
            comparable=programme.comparable_methods,
        )
        if len(cube.stations):
            found[quantity] = _newest(cube)
    return found


def _newest(cube: SeasonCube) -> NewestSeries:
    numbers: Floats = cube.values  # noqa: PD011
    measured = ~np.isnan(numbers)
    last = np.where(measured.any(axis=2), cube.years, -1).max(axis=1)
    order = np.lexsort((cube.methods, -measured.sum(axis=(1, 2)), -last, cube.stations))
    stations = cube.stations[order]
    first = np.flatnonzero(np.append(True, stations[1:] != stations[:-1]))
    chosen = order[first]
    others = np.split(cube.methods[order], first[1:])
    return NewestSeries(
        cube.stations[chosen],
        cube.methods[chosen],
        tuple(tuple(sorted(each[1:].tolist())) for each in others),
        cube.years,
        numbers[chosen],
        cube.signs[chosen],
    )
