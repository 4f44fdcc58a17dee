"""One quantity against another, visit by visit, as plain values placed between a plot's edges."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.display.axes import Axis, round_ticks
from explorer.display.choice import Choice
from explorer.display.numbers import display_factor, display_unit, number_text, reading_text
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.words import say

__all__ = ["RelationPlot", "RelationPoint", "build_relation_plot"]

Floats = npt.NDArray[np.float64]

LEAST_RATIO = 4.0  # [1] between an axis's ends


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


def build_relation_plot(
    pairs: pd.DataFrame,
    across: Quantity,
    up: Quantity,
    equal_index: Callable[[Floats], Floats] | None,
    choice: Choice,
    programme: Programme,
) -> RelationPlot:
    """Return one quantity against another.

    Parameters
    ----------
    pairs : DataFrame, one row a visit
        As `visit_pairs` gives them.
    across, up : Quantity
        What is read on the axes.
    equal_index : callable or None
        Gives the value of `up` at which Carlson's two indices are equal, from those of `across`; None where
        no index applies.
    choice : Choice
        Period, units and language.
    programme : Programme
        The season.

    Returns
    -------
    RelationPlot
    """
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
    """Return an axis that holds all values, and at least a factor of four with its ticks."""
    low, high = float(values.min()) * 0.8, float(values.max()) * 1.25
    more = max(1.0, LEAST_RATIO / (high / low)) ** 0.5
    return Axis(low / more, high * more, log=True, downward=downward)


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
