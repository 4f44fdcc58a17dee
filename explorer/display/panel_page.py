"""One linked panel as plain values: dots, bands, usual range and breaks, placed between its edges."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.central_value import CentralValue
from explorer.display.axes import Axis, build_axis
from explorer.display.choice import Choice
from explorer.display.comparison import NOT_COMPARED, PanelComparison
from explorer.display.numbers import count_text, display_factor, display_unit, interval_text, period_text
from explorer.display.station_words import name_in_sentence
from explorer.model.calendar import Season
from explorer.model.classes import ClassScheme
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["Band", "Beside", "Break", "Dots", "PanelPage", "build_panel_page", "decimal_years"]

DAYS_IN_A_YEAR = 366.0  # so that 31 December stays left of 1 January, leap year or not
LEAST_NAME_DISTANCE = 0.145  # [1] of the panel's height between two band names

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Dots:
    """Readings that are drawn alike.

    Attributes
    ----------
    years : ndarray, shape (n,)
        When. [decimal year]
    places : ndarray, shape (n,)
        Where between the panel's edges. [1]
    rows : ndarray of int, shape (n,)
        Position of each reading in the panel's `readings`.
    inside : ndarray of bool, shape (n,)
        Whether it lies in the picked period; all do when none is picked.
    """

    years: Floats
    places: Floats
    rows: npt.NDArray[np.int64]
    inside: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Band:
    """A class behind the readings.

    Attributes
    ----------
    low, high : float
        Lower and upper edge. [1] of the panel's height
    class_index : int
        Position in the scheme's classes.
    name : str
        The class's name.
    name_place : float
        Where its name stands so that names do not touch. [1]
    """

    low: float
    high: float
    class_index: int
    name: str
    name_place: float


@dataclass(frozen=True, slots=True)
class Break:
    """A day from which readings are made another way.

    Attributes
    ----------
    year : float
        When. [decimal year]
    label : str
        What changed.
    """

    year: float
    label: str


@dataclass(frozen=True, slots=True)
class Beside:
    """Middle values of compared seasons, from the first of them to the last.

    Attributes
    ----------
    years : ndarray, shape (s,)
        The middle of each season. [decimal year]
    places : ndarray, shape (s,)
        Where between the panel's edges. [1] NaN for a season without a compared value.
    inside : ndarray of bool, shape (s,)
        Whether it lies in the picked period; all do when none is picked.
    message : str
        Why nothing is compared, empty where something is or nothing was chosen.
    """

    years: Floats
    places: Floats
    inside: npt.NDArray[np.bool_]
    message: str


NOTHING_BESIDE = Beside(np.array([]), np.array([]), np.array([], dtype=bool), "")


@dataclass(frozen=True, slots=True)
class PanelPage:
    """All that one panel shows.

    Attributes
    ----------
    quantity : Quantity
        What was measured.
    title, unit : str
        Heading and the words after it.
    readings : DataFrame
        The drawn readings by date, columns of `READINGS`, with `when` [decimal year] and `place`. [1]
    measured, below, beyond, held : Dots
        Readings with a value; below a limit; beyond one (disk on the bottom); waiting for an answer.
    bands : tuple of Band
        Classes from the panel's lower edge up; empty where no scheme applies.
    usual_years, usual_places : ndarray, shape (m,)
        Outline of the usual range, one closed shape a season, NaN between them.
    beside : Beside
        What is compared.
    breaks : tuple of Break
        Changes of method.
    axis : Axis
        The vertical axis.
    value : str
        The middle value of the period in words.
    message : str
        What a reader must know, empty if nothing.
    """

    quantity: Quantity
    title: str
    unit: str
    value: str
    readings: pd.DataFrame
    measured: Dots
    below: Dots
    beyond: Dots
    held: Dots
    bands: tuple[Band, ...]
    usual_years: Floats
    usual_places: Floats
    beside: Beside
    breaks: tuple[Break, ...]
    axis: Axis
    message: str


def decimal_years(dates: npt.ArrayLike) -> Floats:
    """Return dates as decimal years: the year and the share of it that has passed.

    Parameters
    ----------
    dates : array_like of datetime64, shape (n,)
        Local dates.

    Examples
    --------
    >>> decimal_years(np.array(["2024-07-02"], dtype="datetime64[D]")).tolist()
    [2024.5]
    """
    days = np.asarray(dates, dtype="datetime64[D]")
    years = days.astype("datetime64[Y]")
    return np.asarray(
        years.astype(np.int64)
        + 1970
        + (days - years.astype("datetime64[D]")).astype(np.int64) / DAYS_IN_A_YEAR
    )


def build_panel_page(
    readings: pd.DataFrame,
    quantity: Quantity,
    usual: pd.DataFrame,
    choice: Choice,
    scheme: ClassScheme | None,
    season: Season,
    years: tuple[int, int],
    central: CentralValue,
    beside: PanelComparison = NOT_COMPARED,
) -> PanelPage:
    """Return one panel.

    Parameters
    ----------
    readings : DataFrame
        Routine surface readings of one quantity at one station by date: columns of `READINGS`, `when`
        [decimal year] and `inside`, whether the picked period holds it.
    quantity : Quantity
        That quantity.
    usual : DataFrame
        Its usual range: columns month, low, high. [record unit]
    choice : Choice
        Units and scale.
    scheme : ClassScheme or None
        Whose classes stand behind; None for a water that no scheme classes.
    season : Season
        Months in which the usual range is drawn.
    years : tuple of int
        First and last year on the panel.
    central : CentralValue
        The quantity's middle value in the period.
    beside : PanelComparison
        What the reader compares with it.

    Returns
    -------
    PanelPage
    """
    factor = display_factor(quantity, choice.length_unit)
    unit = display_unit(quantity, choice.length_unit)
    downward = quantity.unit == "m"
    log = choice.log and quantity.log_scale and not downward
    limits = scheme.limits.get(quantity.code) if scheme else None
    edges = [limit * factor for limit in limits.upper] if limits else []
    values = readings["value"].to_numpy() * factor
    range_values = usual[["low", "high"]].to_numpy().ravel() * factor
    shown = np.concatenate([values, range_values, beside.seasons.middles * factor])
    axis = build_axis(shown, edges, log=log, downward=downward, decimals=quantity.decimals)
    drawn = readings.assign(place=axis.place(values)).reset_index(drop=True)
    usual_years, usual_places = _usual_outline(usual, axis, factor, season, years)
    language = choice.language
    return PanelPage(
        quantity=quantity,
        title=quantity.name,
        unit=say("panel.unit_downward", {"unit": unit}, language) if downward else unit,
        value="" if drawn.empty else _value(central, quantity, choice, season),
        readings=drawn,
        **_dots(drawn),
        bands=_bands(edges, axis, scheme) if scheme and edges else (),
        usual_years=usual_years,
        usual_places=usual_places,
        beside=_beside(beside, axis, factor, choice, season) if len(drawn) else NOTHING_BESIDE,
        breaks=_breaks(drawn, language),
        axis=axis,
        message=say("panel.no_readings", {"quantity": name_in_sentence(quantity)}, language)
        if drawn.empty
        else "",
    )


def _value(central: CentralValue, quantity: Quantity, choice: Choice, season: Season) -> str:
    language = choice.language
    values = {
        "value": interval_text(central.low, central.high, quantity, choice.length_unit, language),
        "period": period_text(choice.period, season, language),
    }
    return count_text("panel.value", central.visits, values, language)


def _dots(readings: pd.DataFrame) -> dict[str, Dots]:
    """Return the readings that have a number by how they are drawn."""
    sign, status = (readings[name].to_numpy(dtype=object) for name in ("sign", "status"))
    years, places, inside = (readings[name].to_numpy() for name in ("when", "place", "inside"))
    held = (status == "held") | (status == "rejected")
    known = ~np.isnan(places)
    chosen = {
        "measured": known & ~held & (sign == "="),
        "below": known & ~held & (sign == "<"),
        "beyond": known & ~held & (sign == ">"),
        "held": known & held,
    }
    rows = {kind: np.flatnonzero(each) for kind, each in chosen.items()}
    return {kind: Dots(years[at], places[at], at, inside[at]) for kind, at in rows.items()}


def _bands(edges: Sequence[float], axis: Axis, scheme: ClassScheme) -> tuple[Band, ...]:
    places = axis.place(edges).tolist()
    best_is_low = places[0] <= places[-1] if len(places) > 1 else not axis.downward
    ends = [0.0, *places, 1.0] if best_is_low else [1.0, *places, 0.0]
    bands = [(min(a, b), max(a, b), index) for index, (a, b) in enumerate(pairwise(ends)) if a != b]
    bands.sort()
    names = _apart([(low + high) / 2 for low, high, _ in bands])
    return tuple(
        Band(low, high, index, scheme.classes[index], name_place)
        for (low, high, index), name_place in zip(bands, names, strict=True)
    )


def _apart(places: Sequence[float]) -> list[float]:
    """Move places that rise away from each other until none are too near, within the panel."""
    step = min(LEAST_NAME_DISTANCE, 0.9 / max(len(places) - 1, 1))
    moved = list(places)
    for index in range(1, len(moved)):
        moved[index] = max(moved[index], moved[index - 1] + step)
    ceiling = 0.95
    for index in reversed(range(len(moved))):
        moved[index] = min(moved[index], ceiling)
        ceiling = moved[index] - step
    return moved


def _usual_outline(
    usual: pd.DataFrame, axis: Axis, factor: float, season: Season, years: tuple[int, int]
) -> tuple[Floats, Floats]:
    by_month = usual.set_index("month").reindex(list(season.months))
    low, high = axis.place(by_month["low"] * factor), axis.place(by_month["high"] * factor)
    known = np.flatnonzero(~np.isnan(low) & ~np.isnan(high))
    if known.size == 0:
        return np.array([]), np.array([])
    run = known[: np.argmax(np.append(np.diff(known) != 1, True)) + 1]  # months without a gap
    middle = (np.asarray(season.months) - 0.5) / 12 + (np.asarray(season.months) < season.months[0])
    x = np.concatenate([[middle[run[0]] - 0.5 / 12], middle[run], [middle[run[-1]] + 0.5 / 12]])
    ends = [run[0], *run, run[-1]]
    shape_x = np.concatenate([x, x[::-1], x[:1], [np.nan]])
    shape_y = np.concatenate([low[ends], high[ends][::-1], low[ends][:1], [np.nan]])
    starts = np.arange(years[0], years[1] + 1)
    return (starts[:, None] + shape_x[None, :]).ravel(), np.tile(shape_y, starts.size)


def _beside(compared: PanelComparison, axis: Axis, factor: float, choice: Choice, season: Season) -> Beside:
    years = compared.seasons.years
    if years.size == 0:
        return replace(NOTHING_BESIDE, message=compared.said)
    every = np.arange(years[0], years[-1] + 1)
    places = np.full(every.size, np.nan)
    places[years - years[0]] = axis.place(compared.seasons.middles * factor)
    ends = np.array([season.bounds(year) for year in every.tolist()])
    middles = ends[:, 0] + (ends[:, 1] - ends[:, 0]) // 2
    return Beside(decimal_years(middles), places, choice.period.contains(every) | (not choice.picked), "")


def _breaks(readings: pd.DataFrame, language: str) -> tuple[Break, ...]:
    """Days after which no earlier method is used again."""
    method = readings["method"].to_numpy(dtype=object)
    changed = (np.flatnonzero(method[1:] != method[:-1]) + 1).tolist()
    lasting = [at for at in changed if set(method[:at]).isdisjoint(method[at:])]
    when = readings["when"].to_numpy()
    return tuple(
        Break(
            float((when[at - 1] + when[at]) / 2),
            say(
                "panel.break",
                {"method": method[at] or say("panel.method_not_stated", language=language)},
                language,
            ),
        )
        for at in lasting
    )
