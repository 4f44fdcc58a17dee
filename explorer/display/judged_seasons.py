"""The seasons behind a class, one by one, and what they come to together: read off the season table."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.censored import Floats
from explorer.analysis.classes import period_classes, season_classes
from explorer.model.calendar import Period
from explorer.model.classes import ClassScheme, Limits
from explorer.model.places import WaterKind
from explorer.model.programme import Programme

__all__ = ["JudgedPeriod", "JudgedSeason", "judged_period"]

NOT_COUNTED = ("too_few_visits", "year_needed", "no_readings")


@dataclass(frozen=True, slots=True)
class JudgedSeason:
    """One season of one quantity at one station.

    Attributes
    ----------
    year : int
        The season's year.
    visits, months : int
        Visits, and different months among them.
    value : float
        What is held against the limits, NaN where only an interval is known. [record unit]
    low, high : float
        Its interval; both the value where nothing is open. [record unit]
    class_name : str
        Its class, empty without one.
    counts : bool
        Whether it has the visits that a class takes.
    """

    year: int
    visits: int
    months: int
    value: float
    low: float
    high: float
    class_name: str
    counts: bool


@dataclass(frozen=True, slots=True)
class JudgedPeriod:
    """The seasons of a period by one quantity, and their value together.

    Attributes
    ----------
    value : float
        What the class of the period was read from, NaN where only an interval is known. [record unit]
    low, high : float
        Its interval, NaN where no season counts. [record unit]
    seasons : tuple of JudgedSeason
        By year.
    """

    value: float
    low: float
    high: float
    seasons: tuple[JudgedSeason, ...]


def judged_period(
    seasons: pd.DataFrame,
    quantity: str,
    period: Period,
    scheme: ClassScheme,
    programme: Programme,
    kind: WaterKind,
) -> JudgedPeriod:
    """Return the seasons that a scheme judges by one quantity.

    Parameters
    ----------
    seasons : DataFrame
        Rows of one station, columns of `SEASONS`.
    quantity : str
        Code of a quantity that the scheme judges.
    period : Period
        Seasons that are wanted.
    scheme, programme : ClassScheme, Programme
        Limits, and what a season needs in order to count.
    kind : {"lake", "reservoir", "pond", "stream"}
        Kind of the water.

    Returns
    -------
    JudgedPeriod

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> table = pd.DataFrame({
    ...     "station_code": "HM1", "quantity": "secchi_depth", "window": "season", "year": [2023, 2024],
    ...     "visits": [5, 2], "months": [5, 2], "median": [3.0, 3.4], "median_low": [3.0, 3.4],
    ...     "median_high": [3.0, 3.4], "log_spread": 0.1})
    >>> scheme = schemes()["carlson_simpson_1996"]
    >>> found = judged_period(table, "secchi_depth", Period(2023, 2024), scheme, Programme(), "pond")
    >>> found.value, [(each.year, each.class_name, each.counts) for each in found.seasons]
    (3.0, [(2023, 'mesotrophic', True), (2024, '', False)])
    """
    limits = scheme.limits[quantity]
    own = seasons[seasons["quantity"] == quantity]
    rows = own[(own["window"] == limits.window) & period.contains(own["year"])].sort_values("year")
    if rows.empty:
        return JudgedPeriod(np.nan, np.nan, np.nan, ())
    kinds = pd.Series({str(rows["station_code"].iloc[0]): str(kind)})
    judged = season_classes(own, scheme, programme, kinds).set_index("year").reindex(rows["year"])
    columns = [
        f"{limits.statistic}{end}" if f"{limits.statistic}{end}" in rows else limits.statistic
        for end in ("", "_low", "_high")
    ]
    counts = ~judged["missing"].isin(NOT_COUNTED).to_numpy()
    value, low, high = rows[columns].to_numpy(dtype=np.float64).T
    found = period_classes(own, period, scheme, programme, kinds).iloc[0]
    return JudgedPeriod(
        value=float(found["central"]),
        low=_together(low[counts], limits) if counts.any() else np.nan,
        high=_together(high[counts], limits) if counts.any() else np.nan,
        seasons=tuple(
            JudgedSeason(*each)
            for each in zip(
                rows["year"].tolist(), rows["visits"].tolist(), rows["months"].tolist(), value.tolist(),
                low.tolist(), high.tolist(), judged["label"].tolist(), counts.tolist(), strict=True,
            )
        ),
    )  # fmt: skip


def _together(values: Floats, limits: Limits) -> float:
    """Return the value of several seasons, as it is judged."""
    if limits.statistic == "geometric_mean":
        return float(np.exp(np.log(values).mean()))
    return float(np.median(values) if limits.statistic == "median" else np.mean(values))
