"""Readings of a period that do not speak for the class, counted by the reason."""

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from explorer.analysis.season_cube import comparable_methods
from explorer.display.judged_readings import months_of_window
from explorer.display.judged_seasons import JudgedPeriod
from explorer.model.calendar import Period
from explorer.model.classes import ClassScheme
from explorer.model.programme import Programme

__all__ = ["LeftOut", "readings_left_out"]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """How many readings there are, and how many of them are left out and why.

    Attributes
    ----------
    readings : int
        All readings of the period.
    reasons : tuple of (str, int)
        Words code of the reason and number of readings, each reading under its first reason only; reasons
        without a reading are missing.
    """

    readings: int
    reasons: tuple[tuple[str, int], ...]

    @property
    def count(self) -> int:
        """Readings that are left out."""
        return sum(number for _, number in self.reasons)


def readings_left_out(
    readings: pd.DataFrame,
    judged: Mapping[str, JudgedPeriod],
    period: Period,
    scheme: ClassScheme,
    programme: Programme,
) -> LeftOut:
    """Return how many readings are left out of a period.

    Parameters
    ----------
    readings : DataFrame
        All readings of one station, columns of `READINGS`.
    judged : mapping of str to JudgedPeriod
        Its judged seasons by quantity: only these quantities' readings are looked at. Empty where the scheme
        does not apply: then all are, and no season is asked for.
    period : Period
        Seasons that are meant.
    scheme, programme : ClassScheme, Programme
        Say which months count.

    Returns
    -------
    LeftOut

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> readings = pd.DataFrame({"quantity": "secchi_depth", "value": [2.0, 3.0, 9.0], "method": "",
    ...     "status": ["accepted", "accepted", "held"], "sample_type": "routine", "stratum": "surface",
    ...     "taken_on": pd.to_datetime(["2024-04-30", "2024-05-02", "2024-06-02"])})
    >>> nothing = {"secchi_depth": JudgedPeriod(3.0, 3.0, 3.0, ())}
    >>> scheme = schemes()["carlson_simpson_1996"]
    >>> readings_left_out(readings, nothing, Period(2024, 2024), scheme, Programme())
    LeftOut(readings=3, reasons=(('held', 1), ('outside', 1), ('short', 1)))
    """
    years = programme.season.year_of(readings["taken_on"])
    wanted = period.contains(years) & (readings["quantity"].isin(list(judged)) | (not judged))
    own = readings[wanted].assign(year=years[wanted]).reset_index(drop=True)
    own["method"] = comparable_methods(own["method"], programme.comparable_methods)
    checks = {
        "rejected": own["status"] == "rejected",
        "held": own["status"] == "held",
        "checks": own["sample_type"] != "routine",
        "deeper": own["stratum"] != "surface",
        "no_value": own["value"].isna(),
    }
    left = pd.Series("", index=own.index, dtype=object)
    for reason, applies in checks.items():
        left[applies & (left == "")] = reason
    for code, found in judged.items():
        month = own["taken_on"].dt.month
        open_ = (own["quantity"] == code) & (left == "")
        left[open_ & ~month.isin(months_of_window(code, scheme, programme))] = "outside"
        visits = {season.year: season.visits for season in found.seasons if season.counts}
        left[open_ & (left == "") & ~own["year"].isin(list(visits))] = "short"
        for year, count in visits.items():
            season = own[open_ & (left == "") & (own["year"] == year)]
            left[season.index[season["method"] != _method_that_counts(season, count)]] = "method"
    reasons = (*checks, "outside", "short", "method")
    counts = left.value_counts()
    return LeftOut(len(own), tuple((reason, int(counts[reason])) for reason in reasons if reason in counts))


def _method_that_counts(season: pd.DataFrame, visits: int) -> str:
    """Return the method that the season table counted: the latest used of those with so many visits."""
    days = season.groupby("method")["taken_on"].agg(["nunique", "max"])
    fitting = days[days["nunique"] == visits]
    return str(fitting["max"].idxmax()) if len(fitting) else ""
