"""One linked panel, built from readings: dots, bands, usual range and breaks, placed between its edges."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.central_value import CentralValue, SeasonMedians
from explorer.analysis.usual_range import UsualRange
from explorer.display.axes import Axis, build_axis, decimal_years
from explorer.display.choice import Choice
from explorer.display.comparison import NOT_COMPARED, PanelComparison
from explorer.display.numbers import count_text, display_factor, display_unit, interval_text, period_text
from explorer.display.panel_values import NOTHING_BESIDE, Band, Beside, Break, Dots, Floats, PanelPage
from explorer.display.trend_line import build_trend_line
from explorer.model.calendar import Season
from explorer.model.classes import ClassScheme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.station_trends import StationTrend
from explorer.model.words import say

__all__ = ["build_panel_page"]

NO_MEDIANS = SeasonMedians.none()
GIVEN_UP_YEARS = 1.0  # without a method after which it is taken as given up, where another stood beside it
LEAST_NAME_DISTANCE = 0.145  # [1] of the panel's height between two band names


def build_panel_page(
    readings: pd.DataFrame,
    quantity: Quantity,
    usual: Sequence[UsualRange],
    choice: Choice,
    scheme: ClassScheme | None,
    season: Season,
    years: tuple[int, int],
    central: CentralValue,
    beside: PanelComparison = NOT_COMPARED,
    trend: StationTrend | None = None,
    medians: SeasonMedians = NO_MEDIANS,
) -> PanelPage:
    """Return one panel.

    Parameters
    ----------
    readings : DataFrame
        Routine surface readings of one quantity at one station by date: columns of `READINGS`, `when`
        [decimal year], `inside`, whether the picked period holds it, and `strong`, whether it is drawn so.
    quantity : Quantity
        That quantity.
    usual : sequence of UsualRange
        Its usual range, for the years of each method: low and high of each month of the season. [record unit]
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
    trend : StationTrend, optional
        Its trend over the whole record; drawn where one was found and no period is picked.
    medians : SeasonMedians
        Its middle value in each season; drawn where a trend's straight line would mislead.

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
    ends = [columns[end] * factor for _, columns in usual for end in ("low", "high")]
    shown = np.concatenate([values, *ends, beside.seasons.middles * factor])
    axis = build_axis(
        shown, edges, log=log, downward=downward, decimals=quantity.decimals, language=choice.language
    )
    drawn = readings.reset_index(drop=True)
    drawn["place"] = axis.place(values)
    usual_years, usual_places = _usual_outlines(usual, axis, factor, season)
    language = choice.language
    return PanelPage(
        quantity=quantity,
        title=quantity.name,
        unit=say("panel.unit_downward", {"unit": unit}, language) if downward else unit,
        value="" if drawn.empty else _value(central, quantity, choice, season),
        readings=drawn,
        **_dots(drawn),
        bands=_bands(edges, axis, scheme, quantity) if scheme and edges else (),
        usual_years=usual_years,
        usual_places=usual_places,
        beside=_beside(beside, axis, factor, choice, season) if len(drawn) else NOTHING_BESIDE,
        trend=build_trend_line(None if choice.picked else trend, medians, axis, factor, season),
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
    years, places, strong = (readings[name].to_numpy() for name in ("when", "place", "strong"))
    held = (status == "held") | (status == "rejected")
    known = ~np.isnan(places)
    chosen = {
        "measured": known & ~held & (sign == "="),
        "below": known & ~held & (sign == "<"),
        "beyond": known & ~held & (sign == ">"),
        "held": known & held,
    }
    rows = {kind: np.flatnonzero(each) for kind, each in chosen.items()}
    return {kind: Dots(years[at], places[at], at, strong[at]) for kind, at in rows.items()}


def _bands(edges: Sequence[float], axis: Axis, scheme: ClassScheme, quantity: Quantity) -> tuple[Band, ...]:
    small_is_best = edges[0] < edges[-1] if len(edges) > 1 else bool(quantity.higher_is_worse)
    places = axis.place(edges).tolist()
    ends = [0.0, *places, 1.0] if small_is_best != axis.downward else [1.0, *places, 0.0]
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


def _usual_outlines(
    usual: Sequence[UsualRange], axis: Axis, factor: float, season: Season
) -> tuple[Floats, Floats]:
    """Return the outlines of the usual range in all years, whatever method speaks of them."""
    outlines = []
    for years, columns in usual:
        low, high = (axis.place(columns[end] * factor) for end in ("low", "high"))
        outlines.append(_usual_outline(low, high, season, years))
    outline_years, places = zip(*outlines, strict=True) if outlines else ((), ())
    return np.concatenate([[], *outline_years]), np.concatenate([[], *places])


def _usual_outline(
    low: Floats, high: Floats, season: Season, years: npt.NDArray[np.int64]
) -> tuple[Floats, Floats]:
    """Return the outline of the usual range in some years, from its places in each month of the season."""
    known = np.flatnonzero(~np.isnan(low) & ~np.isnan(high))
    if known.size == 0:
        return np.array([]), np.array([])
    run = known[: np.argmax(np.append(np.diff(known) != 1, True)) + 1]  # months without a gap
    middle = (np.asarray(season.months) - 0.5) / 12 + (np.asarray(season.months) < season.months[0])
    x = np.concatenate([[middle[run[0]] - 0.5 / 12], middle[run], [middle[run[-1]] + 0.5 / 12]])
    ends = [run[0], *run, run[-1]]
    shape_x = np.concatenate([x, x[::-1], x[:1], [np.nan]])
    shape_y = np.concatenate([low[ends], high[ends][::-1], low[ends][:1], [np.nan]])
    return (years[:, None] + shape_x[None, :]).ravel(), np.tile(shape_y, years.size)


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
    """Return the first use of each method that took the place of all before it, at once or after a while."""
    method, when = readings["method"].to_numpy(dtype=object), readings["when"].to_numpy()
    found = []
    for name in dict.fromkeys(method.tolist()):
        at = int(np.argmax(method == name))
        given_up = np.flatnonzero(np.isin(method, method[:at])).max(initial=-1) + 1
        if not at or name not in method[given_up:]:
            continue
        if given_up > at and when[-1] - when[given_up - 1] < GIVEN_UP_YEARS:
            continue
        code = "panel.break" if given_up == at else "panel.break_beside"
        words = {"method": name or say("panel.method_not_stated", language=language)}
        found.append(Break(float((when[at - 1] + when[at]) / 2), say(code, words, language)))
    return tuple(found)
