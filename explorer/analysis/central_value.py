"""The middle value of one quantity at one station over a period of whole seasons."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.model.calendar import Period

__all__ = ["CentralValue", "central_values"]


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
