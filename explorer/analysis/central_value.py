"""The middle value of one quantity at one station over a period of whole seasons."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.calendar import Period

__all__ = ["CentralValue", "SeasonMedians", "central_values", "season_medians"]


@dataclass(frozen=True, slots=True)
class CentralValue:
    """The middle of a period's seasons.

    Attributes
    ----------
    low, high : float
        Lowest and highest number that it may be: equal where it is known, apart where "<" or ">" leave it
        open, NaN without a visit. [record unit]
    visits : int
        Visits of all the period's seasons.
    months : int
        Different months of the season with most.
    """

    low: float
    high: float
    visits: int
    months: int


@dataclass(frozen=True, slots=True)
class SeasonMedians:
    """The middle value of each season of one quantity at one station.

    Attributes
    ----------
    years : ndarray of int, shape (n,)
        Seasons with a value, rising.
    values : ndarray, shape (n,)
        Their medians; between its ends where "<" or ">" leave one open. [record unit]
    """

    years: npt.NDArray[np.int64]
    values: npt.NDArray[np.float64]

    @classmethod
    def none(cls) -> "SeasonMedians":
        """Return those of no season."""
        return cls(np.array([], dtype=np.int64), np.array([]))


NOTHING = CentralValue(float("nan"), float("nan"), 0, 0)


def central_values(seasons: pd.DataFrame, period: Period) -> dict[str, CentralValue]:
    """Return the median of the season medians of every quantity of one station.

    Parameters
    ----------
    seasons : DataFrame
        Rows of one station, columns of `SEASONS`. [record unit]
    period : Period
        Seasons that count, however few their visits.

    Returns
    -------
    dict of str to CentralValue
        By quantity code; a quantity without a visit in the period is missing.

    Examples
    --------
    >>> seasons = pd.DataFrame({"quantity": "secchi_depth", "window": "season", "year": [2023, 2024, 2025],
    ...     "visits": 4, "months": [3, 4, 4], "median_low": [2.0, 3.0, 5.0], "median_high": [2.0, 3.0, 5.0]})
    >>> central_values(seasons, Period(2023, 2025))["secchi_depth"]
    CentralValue(low=3.0, high=3.0, visits=12, months=4)
    """
    in_season = seasons["window"].to_numpy(object) == "season"
    rows = np.flatnonzero(in_season & period.contains(seasons["year"]))
    names = ("median_low", "median_high", "visits", "months")
    quantity, *columns = (seasons[name].to_numpy()[rows] for name in ("quantity", *names))
    found = {}
    for code in dict.fromkeys(quantity.tolist()):
        low, high, visits, months = (column[quantity == code] for column in columns)
        found[code] = CentralValue(
            float(np.median(low)), float(np.median(high)), int(visits.sum()), int(months.max())
        )
    return found


def season_medians(seasons: pd.DataFrame, quantity: str) -> SeasonMedians:
    """Return the medians of one quantity at one station, season by season.

    Parameters
    ----------
    seasons : DataFrame
        Rows of one station, columns of `SEASONS`. [record unit]
    quantity : str
        Code.

    Examples
    --------
    >>> seasons = pd.DataFrame({"quantity": "secchi_depth", "window": "season", "year": [2025, 2024],
    ...     "median_low": [2.0, 3.0], "median_high": [2.0, 4.0]})
    >>> season_medians(seasons, "secchi_depth").values.tolist()
    [3.5, 2.0]
    """
    own, in_season = (
        seasons[name].to_numpy(object) == value
        for name, value in (("quantity", quantity), ("window", "season"))
    )
    rows = np.flatnonzero(own & in_season)
    years, low, high = (seasons[name].to_numpy()[rows] for name in ("year", "median_low", "median_high"))
    middles = (low + high) / 2
    known = np.flatnonzero(np.isfinite(middles))
    order = known[np.argsort(years[known])]
    return SeasonMedians(years[order].astype(np.int64), middles[order])
