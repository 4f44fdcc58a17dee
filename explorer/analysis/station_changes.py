"""Before and after a date at one station: the season medians of each quantity's newest series."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.change import change_at
from explorer.analysis.newest_series import newest_series
from explorer.analysis.recensored import Recensored, recensored
from explorer.analysis.trend import values_by_test
from explorer.model.changes import Change
from explorer.model.programme import Programme

__all__ = ["StationChange", "station_changes"]


@dataclass(frozen=True, slots=True)
class StationChange:
    """How one quantity differs after a date, and what of it was left out.

    Attributes
    ----------
    quantity : str
        In what.
    other_methods : tuple of str
        Methods of the station's other series, which are left out.
    change : Change
        The comparison.
    """

    quantity: str
    other_methods: tuple[str, ...]
    change: Change


def station_changes(
    readings: pd.DataFrame, date: np.datetime64, programme: Programme
) -> tuple[StationChange, ...]:
    """Return how each quantity at a station differs after a date.

    No break of method is compared across: the series that was used last speaks, as in a trend.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, one station, in record units.
    date : datetime64
        Local date, from outside the readings.
    programme : Programme
        Season, quantities, months that make a season count, and which methods are comparable.

    Returns
    -------
    tuple of StationChange
        In the order of the programme's quantities; those without a reading are missing.

    Examples
    --------
    >>> days = [f"{year}-{month:02d}-15" for year in range(2001, 2011) for month in (5, 6, 7)]
    >>> readings = pd.DataFrame({"station_code": "HM1", "quantity": "secchi_depth", "sign": "=",
    ...     "stratum": "surface", "method": "", "status": "accepted", "sample_type": "routine",
    ...     "taken_on": pd.to_datetime(days), "value": [2.0, 2.1, 2.2] * 5 + [4.0, 4.1, 4.2] * 5})
    >>> [found] = station_changes(readings, np.datetime64("2006-01-01"), Programme())
    >>> found.quantity, found.change.verdict, round(found.change.difference, 9)
    ('secchi_depth', 'higher', 2.0)
    """
    found = []
    for quantity, series in newest_series(readings, programme).items():
        held = recensored(series.numbers, series.signs)
        (_, medians) = values_by_test(held, programme.minimum_months)[1]
        numbers, signs = _with_signs(medians[0, :, 0], held)
        change = change_at(date, series.years, numbers, programme.season, signs=signs)
        found.append(StationChange(quantity, series.other_methods[0], change))
    return tuple(found)


def _with_signs(
    medians: npt.NDArray[np.float64], held: Recensored
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.str_]]:
    """Return medians of held values as numbers or limits with their signs again."""
    below, above = float(held.below[0]), float(held.above[0])
    if below > above:  # no order is left of the whole series
        return np.where(np.isnan(medians), np.nan, below), np.full(medians.shape, "<")
    signs = np.where(medians < below, "<", np.where(medians > above, ">", "="))
    return np.where(signs == "<", below, np.where(signs == ">", above, medians)), signs
