"""The depth profiles of a station: one day's plots with their sentences, and one quantity on all days."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.profiles import PROFILE_QUANTITIES, profile_days, profile_values
from explorer.display.axes import Axis, round_ticks
from explorer.display.choice import Choice
from explorer.display.numbers import date_text, length_text, number_text, reading_text
from explorer.display.profile_seasons import ProfileSeasons, build_profile_seasons
from explorer.display.profile_words import profile_sentences
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.units import FOOT_M
from explorer.model.words import say

__all__ = ["ProfileDay", "ProfilePage", "ProfilePlot", "build_profile_page"]

MOST_ABOVE_THE_DEEPEST = 1.03  # [1] the depth axis ends a little below the deepest reading


@dataclass(frozen=True, slots=True)
class ProfilePlot:
    """One quantity against depth.

    Attributes
    ----------
    title : str
        Its name with its unit.
    said : str
        What the plot shows, in one sentence.
    across : tuple of float
        Place of every reading from the plot's left edge. [1]
    down : tuple of float
        Place of every reading from the plot's upper edge. [1]
    below : tuple of bool
        Whether a reading only lies below its place.
    ticks : tuple of (float, str)
        Place and label of the ticks from the left edge.
    mark : float
        Place of the programme's mark from the left edge; [1] NaN without one.
    mark_label : str
        What that mark is called.
    """

    title: str
    said: str
    across: tuple[float, ...]
    down: tuple[float, ...]
    below: tuple[bool, ...]
    ticks: tuple[tuple[float, str], ...]
    mark: float
    mark_label: str


@dataclass(frozen=True, slots=True)
class ProfileDay:
    """One day's profile.

    Attributes
    ----------
    visit_id : int
        The visit.
    sentences : tuple of str
        Thermocline, oxygen, saturation, what else to mind.
    plots : tuple of ProfilePlot
        One for each quantity that was read or computed.
    depth_title : str
        What the depth axis is called.
    depth_ticks : tuple of (float, str)
        Place and label from the upper edge.
    layer_down, oxygen_down : float
        Place of the thermocline, and of where oxygen falls below the mark, from the upper edge; [1] NaN
        without one.
    layer_label : str
        What the thermocline is called.
    caption : str
        What the table shows.
    columns : tuple of str
        Headings of the table.
    rows : tuple of tuple of str
        The readings by depth, as text.
    """

    visit_id: int
    sentences: tuple[str, ...]
    plots: tuple[ProfilePlot, ...]
    depth_title: str
    depth_ticks: tuple[tuple[float, str], ...]
    layer_down: float
    oxygen_down: float
    layer_label: str
    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


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
        code for code in PROFILE_QUANTITIES if any(_was_read(values, code) for values in by_visit.values())
    ]
    shown = visit_id if visit_id in by_visit else int(days["visit_id"].iloc[-1])
    of_day = days[days["visit_id"] == shown].iloc[0]
    quantities = [programme.quantities[code] for code in codes]
    code = quantity if quantity in codes else codes[0]
    return ProfilePage(
        days=_day_entries(days, choice),
        quantities=tuple((each.name, each.code) for each in quantities),
        day=_day(of_day, by_visit[shown], history, quantities, choice, programme, remarks.get(shown, "")),
        seasons=build_profile_seasons(days, by_visit, programme.quantities[code], choice, programme, shown),
        message="",
    )


def _was_read(values: pd.DataFrame, code: str) -> bool:
    return bool(values[code].notna().any() or values[f"{code}_limit"].notna().any())


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
            "deepest": length_text(deepest, choice.length_unit),
        }
        code = "profile.day_entry_timed" if timed else "profile.day_entry"
        entries.append((say(code, values, choice.language), visit))
    return tuple(reversed(entries))


def _day(
    of_day: pd.Series,
    values: pd.DataFrame,
    history: StationHistory,
    quantities: Sequence[Quantity],
    choice: Choice,
    programme: Programme,
    remark: str,
) -> ProfileDay:
    shown = [each for each in quantities if _was_read(values, each.code)]
    unit_m = FOOT_M if choice.length_unit == "ft" else 1.0
    depth = values.index.to_numpy() / unit_m
    axis = Axis(0.0, float(depth.max()) * MOST_ABOVE_THE_DEEPEST, log=False, downward=False)
    date = date_text(np.datetime64(of_day["taken_on"]), choice.language)
    said = profile_sentences(values, history, choice, programme, int(of_day["visit_id"]), remark)

    def down(depth_m: float) -> float:
        return float(axis.place(depth_m / unit_m))

    return ProfileDay(
        visit_id=int(of_day["visit_id"]),
        sentences=said.sentences,
        plots=tuple(_plot(values, each, axis.place(depth), choice, programme, date) for each in shown),
        depth_title=say("profile.depth", {"unit": choice.length_unit}, choice.language),
        depth_ticks=_ticks(axis, 0),
        layer_down=down(said.thermocline.depth_m),
        oxygen_down=down(said.oxygen.depth_m),
        layer_label=say("profile.layer", language=choice.language),
        caption=say("profile.table_caption", {"date": date}, choice.language),
        columns=(say("profile.column_depth", language=choice.language), *(_title(each) for each in shown)),
        rows=_rows(values, shown, choice),
    )


def _title(quantity: Quantity) -> str:
    code = "profile.no_unit" if quantity.unit == quantity.name else "profile.title"
    return say(code, {"quantity": quantity.name, "unit": quantity.unit})


def _ticks(axis: Axis, decimals: int) -> tuple[tuple[float, str], ...]:
    ticks = round_ticks(axis.low, axis.high, log=False)
    fine = max(decimals, 1 if any(tick % 1 for tick in ticks) else 0)
    places = axis.place(ticks).tolist()
    return tuple((place, number_text(tick, fine)) for place, tick in zip(places, ticks, strict=True))


def _plot(
    values: pd.DataFrame, quantity: Quantity, downs: object, choice: Choice, programme: Programme, date: str
) -> ProfilePlot:
    read, limit = values[quantity.code], values[f"{quantity.code}_limit"]
    number = read.fillna(limit)
    known = number.notna().to_numpy()
    mark = programme.oxygen_mark_mg_per_l if quantity.code == "dissolved_oxygen" else float("nan")
    low, high = float(np.nanmin(number)), float(np.nanmax([number.max(), mark]))
    if quantity.code == "ph":
        axis = Axis(np.floor(low * 2 - 0.2) / 2, np.ceil(high * 2 + 0.2) / 2, log=False, downward=False)
    else:
        axis = Axis(min(0.0, low), max(high * 1.08, low + 1.0), log=False, downward=False)
    ends = [
        reading_text(number[known].iloc[end], "=", quantity, choice.length_unit, choice.language)
        for end in (0, -1)
    ]
    said = {
        "quantity": quantity.name, "date": date, "top": ends[0], "bottom": ends[1],
        "deepest": length_text(float(values.index[known][-1]), choice.length_unit),
    }  # fmt: skip
    return ProfilePlot(
        title=_title(quantity),
        said=say("profile.picture", said, choice.language),
        across=tuple(axis.place(number[known]).tolist()),
        down=tuple(np.asarray(downs)[known].tolist()),
        below=tuple(read[known].isna().tolist()),
        ticks=_ticks(axis, 0),
        mark=float(axis.place(mark)),
        mark_label=""
        if np.isnan(mark)
        else reading_text(mark, "=", quantity, choice.length_unit, choice.language),
    )


def _rows(
    values: pd.DataFrame, quantities: Sequence[Quantity], choice: Choice
) -> tuple[tuple[str, ...], ...]:
    rows = []
    for depth, row in values.iterrows():
        cells = [length_text(float(str(depth)), choice.length_unit)]
        for quantity in quantities:
            read, limit = row[quantity.code], row[f"{quantity.code}_limit"]
            number, sign = (read, "=") if not np.isnan(read) else (limit, "<")
            text = (
                say("profile.not_read", language=choice.language)
                if np.isnan(number)
                else reading_text(number, sign, quantity, choice.length_unit, choice.language)
            )
            if quantity.code == "oxygen_saturation" and row["saturation_computed"]:
                text = say("profile.computed_mark", {"value": text}, choice.language)
            cells.append(text)
        rows.append(tuple(cells))
    return tuple(rows)
