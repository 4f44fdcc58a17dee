"""A station's page: heading, sentences and the four linked panels, from values that were computed before."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

import numpy as np
import pandas as pd

from explorer.analysis.central_value import NOTHING, central_values, season_medians
from explorer.analysis.classes import season_classes
from explorer.analysis.usual_range import usual_by_method
from explorer.display.axes import decimal_years, year_ticks
from explorer.display.choice import Choice
from explorer.display.comparison import NO_COMPARISON, Comparison, District, build_comparison
from explorer.display.panel_page import build_panel_page
from explorer.display.panel_values import PanelPage
from explorer.display.season_strip import SeasonCell, build_season_strip
from explorer.display.station_name import station_name
from explorer.display.station_words import station_sentences
from explorer.display.trend_heading import trend_sentences
from explorer.model.calendar import Season
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.places import Lake
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.readings import usable
from explorer.model.station_trends import StationTrend
from explorer.model.words import say

__all__ = ["DRAWN", "PANEL_QUANTITIES", "StationPage", "build_station_page"]

# Each panel shows the first of its quantities unless the station has more readings of a later one.
PANEL_QUANTITIES = (
    ("secchi_depth", "transparency_tube"),
    ("chlorophyll_a", "chlorophyll_a_uncorrected"),
    ("total_phosphorus",),
    ("total_nitrogen",),
)

# What a page is drawn from, and what else whoever saves it wants to know of a reading.
DRAWN = (
    "reading_id", "quantity", "taken_on", "value", "sign", "status", "method", "stratum", "sample_type",
)  # fmt: skip
SAVED = (
    "detection_limit", "reporting_limit", "qualifier", "sample_code", "file_name", "sheet", "row",
)  # fmt: skip

LEAST_YEARS = 6  # a young station is not blown up to fill the panel


@dataclass(frozen=True, slots=True)
class StationPage:
    """All that the screen shows of one station.

    Attributes
    ----------
    station : str
        Its code.
    heading : str
        Its name.
    sentences : tuple of str
        State, how sure, what is missing, what to mind.
    strip : tuple of SeasonCell
        One cell for every season on the panels.
    panels : tuple of PanelPage
        Clarity, chlorophyll, phosphorus, nitrogen.
    scheme : ClassScheme or None
        Whose classes stand behind the panels.
    first_year, last_year : int
        Years on the panels.
    ticks : tuple of int
        Labelled years.
    caption : str
        What the bands mean.
    comparison : Comparison
        What stands beside the station's readings, if anything.
    change : tuple of str
        Whether it is changing, over the whole record; empty while a period is picked.
    """

    station: str
    heading: str
    sentences: tuple[str, ...]
    strip: tuple[SeasonCell, ...]
    panels: tuple[PanelPage, ...]
    scheme: ClassScheme | None
    first_year: int
    last_year: int
    ticks: tuple[int, ...]
    caption: str
    comparison: Comparison = NO_COMPARISON
    change: tuple[str, ...] = ()


def build_station_page(
    history: StationHistory,
    seasons: pd.DataFrame,
    result: ClassResult,
    choice: Choice,
    scheme: ClassScheme,
    programme: Programme,
    district: District | None = None,
    trends: Mapping[str, StationTrend] = MappingProxyType({}),
) -> StationPage:
    """Return the page of a station.

    Parameters
    ----------
    history : StationHistory
        The station, its water and its readings, at least the columns `DRAWN`.
    seasons : DataFrame
        The season table of this station, columns of `SEASONS`.
    result : ClassResult
        Its class in the period, or why there is none.
    choice : Choice
        What the reader chose.
    scheme : ClassScheme
        The chosen scheme.
    programme : Programme
        Season, rules and quantities.
    district : District, optional
        The other stations, for a comparison.
    trends : mapping of str to StationTrend
        The station's trends by quantity.

    Returns
    -------
    StationPage
    """
    lake = history.lake
    shown = _drawn(history.readings, choice, programme.season)
    applies = scheme if lake.kind in scheme.kinds else None
    years = _years(shown, programme)
    panels = []
    central = central_values(seasons, choice.period)
    by_quantity = _by_quantity(shown)
    quantities = [
        _quantity(codes, by_quantity, programme.quantities) for codes in _shown_quantities(by_quantity)
    ]
    comparison = build_comparison(choice, quantities, district, programme)
    counted = _by_quantity(shown[usable(shown)])
    for quantity, beside in zip(quantities, comparison.panels, strict=True):
        readings = by_quantity.get(quantity.code, by_quantity[""])
        usual = usual_by_method(
            counted.get(quantity.code, counted[""]), quantity, programme.season, years,
            programme.comparable_methods,
        )  # fmt: skip
        panels.append(
            build_panel_page(
                readings, quantity, usual, choice, applies, programme.season, years,
                central.get(quantity.code, NOTHING), beside, trends.get(quantity.code),
                season_medians(seasons, quantity.code),
            )
        )  # fmt: skip
    return StationPage(
        station=history.station.code,
        heading=station_name(history.station, lake, choice.language),
        sentences=station_sentences(history, shown, result, choice, scheme, programme),
        strip=build_season_strip(
            season_classes(seasons, scheme, programme, pd.Series({history.station.code: str(lake.kind)})),
            years,
            programme,
            choice.language,
        ),
        panels=tuple(panels),
        scheme=applies,
        first_year=years[0],
        last_year=years[1],
        ticks=year_ticks(*years),
        caption=_caption(applies, lake, choice.language),
        comparison=comparison,
        change=trend_sentences(
            trends, [result.quantity, *(quantity.code for quantity in quantities)], choice, programme
        ),
    )


def _caption(scheme: ClassScheme | None, lake: Lake, language: str) -> str:
    if lake.kind == "stream":
        return say("caption.stream", language=language)
    if scheme is None:
        return say("caption.no_scheme", {"kind": say(f"water.{lake.kind}", language=language)}, language)
    whole_year = any(limits.window == "year" for limits in scheme.limits.values())
    code = "caption.bands_year" if whole_year else "caption.bands_season"
    return say(code, {"scheme": scheme.name}, language)


def _drawn(readings: pd.DataFrame, choice: Choice, season: Season) -> pd.DataFrame:
    """Return what the linked panels draw: routine surface readings, held ones too, by quantity and date.

    Beside their own columns stand when they were, and whether they are in the period and are picked out.
    """
    kind, stratum, status = (readings[name].to_numpy(object) for name in ("sample_type", "stratum", "status"))
    rows = np.flatnonzero((kind == "routine") & (stratum == "surface") & (status != "rejected"))
    dates, numbers = (readings[name].to_numpy()[rows] for name in ("taken_on", "reading_id"))
    quantity = pd.factorize(readings["quantity"].to_numpy(object)[rows])[0]
    order = np.lexsort((numbers, dates, quantity))
    rows, dates = rows[order], dates[order]
    inside = choice.period.contains(season.year_of(pd.Series(dates))) | (not choice.picked)
    strong = inside
    if choice.days:
        strong = inside & np.isin(dates, np.array(choice.days, dtype="datetime64[ms]"))
    columns = {name: readings[name].array.take(rows) for name in (*DRAWN, *SAVED) if name in readings}
    return pd.DataFrame({**columns, "when": decimal_years(dates), "inside": inside, "strong": strong})


def _by_quantity(shown: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """Return readings that stand by quantity as one frame for each; "" has none."""
    codes = shown["quantity"].to_numpy(object)
    ends = [0, *(np.flatnonzero(codes[1:] != codes[:-1]) + 1).tolist(), codes.size]
    found = {codes[start]: shown.iloc[start:end] for start, end in pairwise(ends) if start < end}
    return {**found, "": shown.iloc[:0]}


def _shown_quantities(by_quantity: Mapping[str, pd.DataFrame]) -> Sequence[tuple[str, ...]]:
    """Return what each panel may show; a station with none of the usual quantities shows what it has."""
    if len(by_quantity) == 1 or any(code in by_quantity for codes in PANEL_QUANTITIES for code in codes):
        return PANEL_QUANTITIES
    by_count = sorted(by_quantity, key=lambda code: (-len(by_quantity[code]), code))
    own = [code for code in by_count if code][: len(PANEL_QUANTITIES)]
    return [*((code,) for code in own), *PANEL_QUANTITIES[len(own) :]]


def _quantity(
    codes: Sequence[str], by_quantity: Mapping[str, pd.DataFrame], quantities: Mapping[str, Quantity]
) -> Quantity:
    return quantities[max(codes, key=lambda code: len(by_quantity.get(code, ())))]


def _years(readings: pd.DataFrame, programme: Programme) -> tuple[int, int]:
    if readings.empty:
        last = int(str(np.datetime64("today"))[:4])
        return last - LEAST_YEARS + 1, last
    days = readings["taken_on"].to_numpy()
    first, last = (int(day.astype("datetime64[Y]").astype(int)) + 1970 for day in (days.min(), days.max()))
    return min(first, last - LEAST_YEARS + 1), last
