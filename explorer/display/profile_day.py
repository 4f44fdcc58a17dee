"""One day's depth profile: its plots, its sentences and its table."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.display.axes import Axis, round_ticks
from explorer.display.choice import Choice
from explorer.display.numbers import date_text, length_text, number_text, reading_text
from explorer.display.profile_words import profile_sentences
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.units import FOOT_M
from explorer.model.words import say

__all__ = ["ProfileDay", "ProfilePlot", "build_profile_day", "was_read"]

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


def was_read(values: pd.DataFrame, code: str) -> bool:
    """Return whether a profile holds a quantity.

    Parameters
    ----------
    values : DataFrame
        From `profile_values`.
    code : str
        Code of the quantity.
    """
    return bool(values[code].notna().any() or values[f"{code}_limit"].notna().any())


def build_profile_day(
    of_day: pd.Series,
    values: pd.DataFrame,
    history: StationHistory,
    quantities: Sequence[Quantity],
    choice: Choice,
    programme: Programme,
    remark: str,
) -> ProfileDay:
    """Return one day's profile.

    Parameters
    ----------
    of_day : Series
        The visit: visit_id and taken_on, as in `profile_days`.
    values : DataFrame
        From `profile_values`.
    history : StationHistory
        The station, its water and its readings.
    quantities : sequence of Quantity
        What was read here on any day.
    choice : Choice
        Units and language.
    programme : Programme
        Marks and names of the quantities.
    remark : str
        What the sheet says of the visit, empty for nothing.
    """
    shown = [each for each in quantities if was_read(values, each.code)]
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
        depth_ticks=_ticks(axis, 0, choice.language),
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


def _ticks(axis: Axis, decimals: int, language: str) -> tuple[tuple[float, str], ...]:
    ticks = round_ticks(axis.low, axis.high, log=False)
    fine = max(decimals, 1 if any(tick % 1 for tick in ticks) else 0)
    places = axis.place(ticks).tolist()
    return tuple(
        (place, number_text(tick, fine, language)) for place, tick in zip(places, ticks, strict=True)
    )


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
        "deepest": length_text(float(values.index[known][-1]), choice.length_unit, choice.language),
    }  # fmt: skip
    return ProfilePlot(
        title=_title(quantity),
        said=say("profile.picture", said, choice.language),
        across=tuple(axis.place(number[known]).tolist()),
        down=tuple(np.asarray(downs)[known].tolist()),
        below=tuple(read[known].isna().tolist()),
        ticks=_ticks(axis, 0, choice.language),
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
        cells = [length_text(float(str(depth)), choice.length_unit, choice.language)]
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
