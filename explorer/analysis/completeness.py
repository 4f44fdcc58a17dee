"""What a season brought against what was planned: visits and values per station and month."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from explorer.model.calendar import Season
from explorer.model.plan import StationPlan
from explorer.model.readings import usable

__all__ = ["compared_visits", "completeness_percent", "usual_plan"]

USUAL_SHARE = 0.5  # of a station's visits on which a quantity was measured, to be taken as planned


def usual_plan(readings: pd.DataFrame, year: int, season: Season) -> dict[str, StationPlan]:
    """Return the plan that a programme without a written one seems to follow.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, of the season of that year and the one before at least.
    year : int
        Year of the season.
    season : Season
        Gives the months.

    Returns
    -------
    dict of str to StationPlan
        By code, the stations that were visited in this season or the one before: one visit in each of the
        season's months, measuring what was measured on half of those visits or more.
    """
    routine = _at_the_surface(readings)
    years = season.year_of(routine["taken_on"])
    near = routine[years.between(year - 1, year).to_numpy()]
    visits = near.groupby("station_code")["taken_on"].nunique()
    measured = near.groupby(["station_code", "quantity"])["taken_on"].nunique()
    share = measured / visits.reindex(measured.index, level="station_code")
    plan: dict[str, list[str]] = {}
    for station, quantity in share[share >= USUAL_SHARE].index:
        plan.setdefault(station, []).append(quantity)
    return {station: StationPlan(season.months, 1, tuple(codes)) for station, codes in plan.items()}


def compared_visits(plan: Mapping[str, StationPlan], readings: pd.DataFrame) -> pd.DataFrame:
    """Return for every planned station, month and quantity what was planned and what there is.

    Parameters
    ----------
    plan : mapping of str to StationPlan
        By station code.
    readings : DataFrame
        Columns of `READINGS`, of one season's year.

    Returns
    -------
    DataFrame, one row a station, month and quantity
        station_code, month, quantity; planned; visited: days of that month on which the station was visited
        for anything; measured: days with a reading of the quantity that counts; waiting: further days on
        which one is held or was rejected.
    """
    rows = [
        (station, month, quantity, each.visits_a_month)
        for station, each in plan.items()
        for month in each.months
        for quantity in each.quantities
    ]
    planned = pd.DataFrame(rows, columns=["station_code", "month", "quantity", "planned"])
    routine = _at_the_surface(readings)
    routine = routine.assign(month=routine["taken_on"].dt.month.astype("int64"))
    counts = usable(routine).to_numpy()
    place, keys = ["station_code", "month"], ["station_code", "month", "quantity"]
    visited = routine.groupby(place)["taken_on"].nunique().rename("visited")
    measured = routine[counts].groupby(keys)["taken_on"].nunique().rename("measured")
    touched = routine.groupby(keys)["taken_on"].nunique().rename("touched")
    found = planned.join(visited, on=place).join(measured, on=keys).join(touched, on=keys)
    filled = found.fillna({"visited": 0, "measured": 0, "touched": 0})
    filled = filled.assign(waiting=filled["touched"] - filled["measured"]).drop(columns="touched")
    kinds = dict.fromkeys(("month", "planned", "visited", "measured", "waiting"), "int64")
    return filled.astype({**kinds, "station_code": "str", "quantity": "str"})


def completeness_percent(planned: pd.Series, found: pd.Series) -> float:
    """Return how much of what was planned there is; more than planned in one month makes up for no other.

    Parameters
    ----------
    planned, found : Series of int, shape (n,)
        Visits or values planned, and those that there are. [1]

    Returns
    -------
    float
        Valid results in percent of those planned. [%] NaN where nothing was planned.

    References
    ----------
    .. [1] US EPA, "Guidance for quality assurance project plans", EPA/240/R-02/009 (QA/G-5), 2002:
       completeness (from memory).

    Examples
    --------
    >>> completeness_percent(pd.Series([1, 1, 2]), pd.Series([1, 3, 1]))
    75.0
    """
    total = int(planned.sum())
    return 100.0 * float(np.minimum(planned, found).sum()) / total if total else float("nan")


def _at_the_surface(readings: pd.DataFrame) -> pd.DataFrame:
    kinds, strata = readings["sample_type"], readings["stratum"]
    return readings[((kinds == "routine") & (strata == "surface")).to_numpy()]
