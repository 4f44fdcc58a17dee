"""What goes together, visit by visit: chlorophyll against phosphorus, clarity against chlorophyll."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.pairs import chlorophyll_of_equal_index, clarity_of_equal_index, visit_pairs
from explorer.display.axes import Axis, round_ticks
from explorer.display.choice import Choice
from explorer.display.numbers import (
    date_text,
    display_factor,
    display_unit,
    number_text,
    period_text,
    reading_text,
)
from explorer.display.station_words import name_in_sentence
from explorer.display.together import CHLOROPHYLL, together_lines
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["RelationPage", "RelationPlot", "RelationPoint", "build_relation_page"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RelationPoint:
    """One visit's two readings.

    Attributes
    ----------
    day : str
        Date of the visit, ISO 8601.
    across, up : float
        Place from the left and from the lower edge. [1]
    turn : float or None
        None where both were measured; else the turn of a triangle that points to where the value lies,
        clockwise from pointing down. [deg]
    inside : bool
        Whether it lies in the picked period; all do when none is picked.
    readings : tuple of (str, str)
        Name and words of both readings.
    """

    day: str
    across: float
    up: float
    turn: float | None
    inside: bool
    readings: tuple[tuple[str, str], tuple[str, str]]


@dataclass(frozen=True, slots=True)
class RelationPlot:
    """One quantity against another, both on scales of equal ratios.

    Attributes
    ----------
    title : str
        What stands against what.
    across_title, up_title : str
        Names of the axes with their units.
    across_ticks, up_ticks : tuple of (float, str)
        Place from the left and from the lower edge, and label.
    line : tuple of (float, float)
        Places of the line on which Carlson's two indices are equal; empty where it lies beside the plot.
    points : tuple of RelationPoint
        The visits.
    """

    title: str
    across_title: str
    up_title: str
    across_ticks: tuple[tuple[float, str], ...]
    up_ticks: tuple[tuple[float, str], ...]
    line: tuple[tuple[float, float], ...]
    points: tuple[RelationPoint, ...]


@dataclass(frozen=True, slots=True)
class RelationPage:
    """What goes together at a station.

    Attributes
    ----------
    plots : tuple of RelationPlot
        Those that have at least one visit.
    days : tuple of (str, str)
        Words and date of every visit on the plots, the latest first.
    days_title : str
        What the words of a visit tell, in their order.
    lines_title : str
        What the lines are about.
    lines : tuple of str
        Carlson's indices and relations in plain words; empty where they are not known.
    message : str
        Why there is no plot, empty where there is one.
    """

    plots: tuple[RelationPlot, ...]
    days: tuple[tuple[str, str], ...]
    days_title: str
    lines_title: str
    lines: tuple[str, ...]
    message: str


def build_relation_page(
    history: StationHistory, seasons: pd.DataFrame, choice: Choice, programme: Programme
) -> RelationPage:
    """Return what goes together at a station.

    Parameters
    ----------
    history : StationHistory
        The station, its water and its readings.
    seasons : DataFrame
        Its season table, columns of `SEASONS`.
    choice : Choice
        Period, units and language.
    programme : Programme
        Names of the quantities, the season, and the step between two indices.

    Returns
    -------
    RelationPage
    """
    readings = history.readings
    counts = {code: int((readings["quantity"] == code).sum()) for code in CHLOROPHYLL}
    chlorophyll = programme.quantities[max(CHLOROPHYLL, key=lambda code: counts[code])]
    clarity, phosphorus = (programme.quantities[code] for code in ("secchi_depth", "total_phosphorus"))
    wanted: tuple[tuple[Quantity, Quantity, Callable[[Floats], Floats]], ...] = (
        (phosphorus, chlorophyll, chlorophyll_of_equal_index),
        (chlorophyll, clarity, clarity_of_equal_index),
    )
    plots = []
    for across, up, equal_index in wanted:
        pairs = visit_pairs(readings, across.code, up.code)
        if len(pairs):
            equal = equal_index if history.lake.kind != "stream" else None
            plots.append(_plot(pairs, across, up, equal, choice, programme))
    language = choice.language
    shown = {name: None for plot in plots for point in plot.points for name, _ in point.readings}
    names = [name for each in (phosphorus, chlorophyll, clarity) if (name := name_in_sentence(each)) in shown]
    period = period_text(choice.period, programme.season, language)
    return RelationPage(
        plots=tuple(plots),
        days=_days(plots, names, language),
        days_title=say("relation_page.visits", {"quantities": ", ".join(names)}, language),
        lines_title=say("relation_page.lines", {"period": period}, language),
        lines=() if history.lake.kind == "stream" else tuple(together_lines(seasons, choice, programme)),
        message="" if plots else say("relation_page.none", language=language),
    )


def _plot(
    pairs: pd.DataFrame,
    across: Quantity,
    up: Quantity,
    equal_index: Callable[[Floats], Floats] | None,
    choice: Choice,
    programme: Programme,
) -> RelationPlot:
    language = choice.language
    factors = [display_factor(each, choice.length_unit) for each in (across, up)]
    axes = [
        _axis(pairs[name].to_numpy() * factor, downward=quantity.unit == "m")
        for name, factor, quantity in zip(("first", "second"), factors, (across, up), strict=True)
    ]
    places = [
        axis.place(pairs[name] * factor)
        for name, factor, axis in zip(("first", "second"), factors, axes, strict=True)
    ]
    inside = choice.period.contains(programme.season.year_of(pairs["taken_on"])) | (not choice.picked)
    texts = [
        [
            (
                name_in_sentence(quantity),
                reading_text(value, sign, quantity, choice.length_unit, language),
            )
            for value, sign in zip(pairs[name], pairs[f"{name}_sign"], strict=True)
        ]
        for name, quantity in (("first", across), ("second", up))
    ]
    signs = [pairs[f"{name}_sign"].tolist() for name in ("first", "second")]
    turns = [_turn(*both, downward=axes[1].downward) for both in zip(*signs, strict=True)]
    days = pairs["taken_on"].to_numpy().astype("datetime64[D]").astype(str).tolist()
    columns = (days, *(each.tolist() for each in places), turns, inside.tolist(), zip(*texts, strict=True))
    points = tuple(RelationPoint(*row) for row in zip(*columns, strict=True))
    names = {"across": name_in_sentence(across), "up": up.name}
    return RelationPlot(
        title=say("relation_page.title", names, language),
        across_title=_axis_title(across, choice),
        up_title=_axis_title(up, choice),
        across_ticks=_ticks(axes[0], choice.language),
        up_ticks=_ticks(axes[1], choice.language),
        line=_line(equal_index, axes, factors) if equal_index else (),
        points=points,
    )


def _turn(across_sign: str, up_sign: str, *, downward: bool) -> float | None:
    """Return where the value may lie from a limit's place: a turn clockwise from pointing down. [deg]"""
    if across_sign == up_sign == "=":
        return None
    right = {"<": -1, "=": 0, ">": 1}[across_sign]
    down = {"<": 1, "=": 0, ">": -1}[up_sign] * (-1 if downward else 1)
    return float(np.degrees(np.arctan2(-right, down)) % 360)


def _axis_title(quantity: Quantity, choice: Choice) -> str:
    values = {"quantity": quantity.name, "unit": display_unit(quantity, choice.length_unit)}
    code = "axis_downward" if quantity.unit == "m" else "axis"
    return say(f"relation_page.{code}", values, choice.language)


def _axis(values: Floats, *, downward: bool) -> Axis:
    return Axis(float(values.min()) * 0.8, float(values.max()) * 1.25, log=True, downward=downward)


def _ticks(axis: Axis, language: str) -> tuple[tuple[float, str], ...]:
    ticks = round_ticks(axis.low, axis.high, log=True)
    places = axis.place(ticks).tolist()
    return tuple(
        (place, number_text(tick, 0 if tick >= 1 else 1, language))
        for place, tick in zip(places, ticks, strict=True)
    )


def _line(
    equal_index: Callable[[Floats], Floats], axes: Sequence[Axis], factors: Sequence[float]
) -> tuple[tuple[float, float], ...]:
    """Return the part of the line of equal indices that lies in the plot; it is straight there."""
    across = np.geomspace(axes[0].low, axes[0].high, 200)
    up = equal_index(across / factors[0]) * factors[1]
    inside = np.flatnonzero((up >= axes[1].low) & (up <= axes[1].high))
    if inside.size < 2:
        return ()
    ends = inside[[0, -1]]
    x, y = axes[0].place(across[ends]).tolist(), axes[1].place(up[ends]).tolist()
    return tuple(zip(x, y, strict=True))


def _days(plots: Sequence[RelationPlot], names: Sequence[str], language: str) -> tuple[tuple[str, str], ...]:
    """Return words and date of every visit on the plots, the latest first."""
    read: dict[str, dict[str, str]] = {}
    for point in (point for plot in plots for point in plot.points):
        read.setdefault(point.day, {}).update(point.readings)
    nothing = say("profile.not_read", language=language)
    entries = []
    for day in sorted(read, reverse=True):
        texts = [read[day].get(name, nothing) for name in names]
        date = date_text(np.datetime64(day), language)
        values = {"date": date, "readings": ", ".join(texts)}
        entries.append((say("relation_page.visit", values, language), day))
    return tuple(entries)
