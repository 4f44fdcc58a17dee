"""The depth profiles of a station: the days to pick from, one day, and one quantity on all days."""

from dataclasses import dataclass

import pandas as pd

from explorer.analysis.profiles import PROFILE_QUANTITIES, profile_days, profile_values
from explorer.display.choice import Choice
from explorer.display.numbers import date_text, length_text
from explorer.display.profile_day import ProfileDay, build_profile_day, was_read
from explorer.display.profile_seasons import ProfileSeasons, build_profile_seasons
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["ProfilePage", "build_profile_page"]


@dataclass(frozen=True, slots=True)
class ProfilePage:
    """All profiles of a station.

    Attributes
    ----------
    days : tuple of (str, int)
        What each day is called and its visit, the latest first.
    quantities : tuple of (str, str)
        Name and code of the quantities that can be shown on all days.
    day : ProfileDay or None
        The picked day; None where there is no profile.
    seasons : ProfileSeasons or None
        The picked quantity on all days.
    message : str
        Why nothing is shown, empty where something is.
    """

    days: tuple[tuple[str, int], ...]
    quantities: tuple[tuple[str, str], ...]
    day: ProfileDay | None
    seasons: ProfileSeasons | None
    message: str


def build_profile_page(
    history: StationHistory,
    choice: Choice,
    programme: Programme,
    remarks: dict[int, str],
    visit_id: int = 0,
    quantity: str = "",
) -> ProfilePage:
    """Return the depth profiles of a station.

    Parameters
    ----------
    history : StationHistory
        The station, its water and its readings.
    choice : Choice
        Period, units and language.
    programme : Programme
        Marks, season and names of the quantities.
    remarks : dict of int to str
        What the sheets say of a visit, by visit id; the probe's check in air stands there.
    visit_id : int
        The visit to show; the latest where it has no profile.
    quantity : str
        The quantity to show on all days; the first that was read where this one was not.

    Returns
    -------
    ProfilePage
    """
    days = profile_days(history.readings)
    if days.empty:
        return ProfilePage((), (), None, None, say("profile.none", language=choice.language))
    altitude = history.lake.altitude_m
    visits = days["visit_id"].tolist()
    rows = history.readings[history.readings["visit_id"].isin(visits)].groupby("visit_id")
    by_visit = {int(visit): profile_values(rows.get_group(visit), altitude) for visit in visits}
    codes = [
        code for code in PROFILE_QUANTITIES if any(was_read(values, code) for values in by_visit.values())
    ]
    shown = visit_id if visit_id in by_visit else int(days["visit_id"].iloc[-1])
    of_day = days[days["visit_id"] == shown].iloc[0]
    quantities = [programme.quantities[code] for code in codes]
    code = quantity if quantity in codes else codes[0]
    remark = remarks.get(shown, "")
    return ProfilePage(
        days=_day_entries(days, choice),
        quantities=tuple((each.name, each.code) for each in quantities),
        day=build_profile_day(of_day, by_visit[shown], history, quantities, choice, programme, remark),
        seasons=build_profile_seasons(days, by_visit, programme.quantities[code], choice, programme, shown),
        message="",
    )


def _day_entries(days: pd.DataFrame, choice: Choice) -> tuple[tuple[str, int], ...]:
    entries = []
    twice = days["taken_on"].duplicated(keep=False).tolist()
    columns = (days[name].tolist() for name in ("taken_time", "depths", "deepest_m", "visit_id"))
    dates = days["taken_on"].to_numpy()
    for timed, date, time, depths, deepest, visit in zip(twice, dates, *columns, strict=True):
        values = {
            "date": date_text(date, choice.language),
            "time": time or str(visit),
            "depths": depths,
            "deepest": length_text(deepest, choice.length_unit, choice.language),
        }
        code = "profile.day_entry_timed" if timed else "profile.day_entry"
        entries.append((say(code, values, choice.language), visit))
    return tuple(reversed(entries))
