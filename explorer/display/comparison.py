"""What stands beside a station's own readings: another station, its water's others, the district's middle."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.analysis.compared_seasons import NO_SEASONS, ComparedSeasons, SeasonMiddles, compared_seasons
from explorer.display.choice import Choice
from explorer.display.numbers import count_text, interval_text, period_text
from explorer.display.station_name import station_name
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = [
    "DISTRICT",
    "NOT_COMPARED",
    "NO_COMPARISON",
    "WATER",
    "Comparison",
    "District",
    "PanelComparison",
    "build_comparison",
]

WATER, DISTRICT = "water", "district"  # what `Choice.beside` says besides the code of a station


@dataclass(frozen=True, slots=True)
class District:
    """All that a station may be compared with.

    Attributes
    ----------
    stations : tuple of Station
        The record's stations.
    lakes : mapping of str to Lake
        Waters by code.
    middles : SeasonMiddles
        Season medians of all stations.
    """

    stations: tuple[Station, ...]
    lakes: Mapping[str, Lake]
    middles: SeasonMiddles


@dataclass(frozen=True, slots=True)
class PanelComparison:
    """What one panel shows beside the station's readings.

    Attributes
    ----------
    seasons : ComparedSeasons
        Middle values of the compared seasons. [record unit]
    inside : ndarray of bool, shape (s,)
        Whether a season lies in the picked period; all do when none is picked.
    said : str
        What is compared, as the legend says it; or why nothing is. Empty where nothing was chosen.
    line : str
        The same with the quantity and with numbers: middle values, seasons and visits here and beside.
    """

    seasons: ComparedSeasons
    inside: npt.NDArray[np.bool_]
    said: str
    line: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """A comparison that the reader chose.

    Attributes
    ----------
    name : str
        The legend's words, empty where no panel shows anything.
    sentence : str
        The heading's sentence with counts, or why nothing is compared; empty where nothing was chosen.
    panels : tuple of PanelComparison
        One for each panel.
    """

    name: str = ""
    sentence: str = ""
    panels: tuple[PanelComparison, ...] = ()


NOT_COMPARED = PanelComparison(NO_SEASONS, np.array([], dtype=bool), "", "")
NO_COMPARISON = Comparison()


@dataclass(frozen=True, slots=True)
class _Others:
    """The stations that stand beside: their codes, the words for them, or why there are none."""

    codes: tuple[str, ...]
    words: str = ""  # code of the counted name; a single station has its own
    values: Mapping[str, object] | None = None
    missing: str = ""

    def name(self, counts: Sequence[int], language: str) -> str:
        """Return what they are called where so many of them have something to compare."""
        values = {**(self.values or {}), "stations": _span(counts, language)}
        return count_text(self.words, max(counts), values, language) if self.words else str(values["name"])


def build_comparison(
    choice: Choice, quantities: Sequence[Quantity], district: District | None, programme: Programme
) -> Comparison:
    """Return what stands beside a station's readings on its panels.

    Only seasons of the same quantity, measured at the surface by the same method in the same season on the
    same kind of water, are compared. Nothing is ranked.

    Parameters
    ----------
    choice : Choice
        The station, what is beside it, the period and units.
    quantities : sequence of Quantity
        What the panels show.
    district : District or None
        The record's stations and their seasons; None where only the station itself is known.
    programme : Programme
        Gives the season.

    Returns
    -------
    Comparison
    """
    if district is None or not choice.beside or not choice.station:
        return Comparison(panels=(NOT_COMPARED,) * len(quantities))
    others = _others(choice, district)
    if others.missing:
        said = say(f"beside.not_{others.missing}", language=choice.language)
        sentence = say(f"beside.sentence_{others.missing}", others.values, choice.language)
        empty = PanelComparison(NO_SEASONS, NOT_COMPARED.inside, said, "")
        return Comparison("", sentence, (empty,) * len(quantities))
    panels = tuple(_panel(quantity, others, choice, district, programme) for quantity in quantities)
    return Comparison(_name(panels, others, choice), _sentence(panels, others, choice, programme), panels)


def _others(choice: Choice, district: District) -> _Others:
    """Return the stations that are compared; the station itself never is."""
    language = choice.language
    by_code = {each.code: each for each in district.stations}
    own = by_code[choice.station]
    lake = district.lakes[own.lake_code]
    kind = say(f"water.{lake.kind}", language=language)
    if choice.beside == WATER:
        codes = tuple(e.code for e in district.stations if e.lake_code == lake.code and e.code != own.code)
        return _Others(codes, "beside.water", {"water": lake.name}, "" if codes else "alone_in_water")
    if choice.beside == DISTRICT:
        alike = {each.code for each in district.lakes.values() if each.kind == lake.kind}
        codes = tuple(e.code for e in district.stations if e.lake_code in alike and e.code != own.code)
        values = {"waters": say(f"beside.{lake.kind}s", language=language), "kind": kind}
        return _Others(codes, "beside.district", values, "" if codes else "alone_in_district")
    if choice.beside not in by_code:
        return _Others((), values={"code": choice.beside}, missing="unknown")
    other = by_code[choice.beside]
    other_lake = district.lakes[other.lake_code]
    other_kind = say(f"water.{other_lake.kind}", language=language)
    name = station_name(other, other_lake, language)
    values = {"name": name, "kind": kind, "other_kind": other_kind}
    if other.code == own.code:
        return _Others((), values=values, missing="itself")
    return _Others((other.code,), "", values, "" if other_lake.kind == lake.kind else "kind")


def _panel(
    quantity: Quantity, others: _Others, choice: Choice, district: District, programme: Programme
) -> PanelComparison:
    language = choice.language
    seasons = compared_seasons(district.middles, quantity.code, choice.station, others.codes)
    inside = choice.period.contains(seasons.years) | (not choice.picked)
    values: dict[str, object] = {"title": quantity.name}
    if seasons.missing:
        values["said"] = said = say(f"beside.not_{seasons.missing}", language=language)
        return PanelComparison(seasons, inside, said, say("beside.line_not", values, language))
    said = say("beside.legend", {"name": others.name([seasons.stations], language)}, language)
    if not inside.any():
        values["period"] = period_text(choice.period, programme.season, language)
        return PanelComparison(seasons, inside, said, say("beside.line_not_in_period", values, language))
    pairs = {"here": (seasons.own_low, seasons.own_high), "there": (seasons.low, seasons.high)}
    for name, ends in pairs.items():
        low, high = (float(np.median(end[inside])) for end in ends)
        values[name] = interval_text(low, high, quantity, choice.length_unit, language)
    values["own_visits"] = count_text("count.visit", int(seasons.own_visits[inside].sum()), language=language)
    values["visits"] = count_text("count.visit", int(seasons.visits[inside].sum()), language=language)
    lines = [count_text("beside.line", int(inside.sum()), values, language)]
    limited = int((seasons.low < seasons.high)[inside].sum())
    for code, count in (("beside.limited", limited), ("beside.left_out", seasons.left_out)):
        lines += [count_text(code, count, language=language)] if count else []
    return PanelComparison(seasons, inside, said, " ".join(lines))


def _span(counts: Sequence[int], language: str) -> str:
    """Return a number, or the smallest and the largest of several."""
    low, high = min(counts), max(counts)
    return str(low) if low == high else say("beside.span", {"low": low, "high": high}, language)


def _name(panels: Sequence[PanelComparison], others: _Others, choice: Choice) -> str:
    counts = [panel.seasons.stations for panel in panels if panel.seasons.stations]
    if not counts:
        return ""
    return say("beside.legend", {"name": others.name(counts, choice.language)}, choice.language)


def _sentence(
    panels: Sequence[PanelComparison], others: _Others, choice: Choice, programme: Programme
) -> str:
    """Return the heading's sentence: what is compared, from how many visits of how many quantities."""
    language = choice.language
    shown = [panel for panel in panels if panel.inside.any()]
    counts = [panel.seasons.stations for panel in shown] or [len(others.codes)]
    values: dict[str, object] = {
        "name": others.name(counts, language),
        "period": period_text(choice.period, programme.season, language),
    }
    if not shown:
        drawn = any(panel.seasons.stations for panel in panels)
        return say("beside.sentence_not_in_period" if drawn else "beside.sentence_not", values, language)
    for name in ("own_visits", "visits"):
        totals = [int(getattr(panel.seasons, name)[panel.inside].sum()) for panel in shown]
        values[name] = count_text("beside.visits", max(totals), {"span": _span(totals, language)}, language)
    code = "beside.sentence_period" if choice.picked else "beside.sentence"
    return say(code if len(shown) == 1 else f"{code}_each", values, language)
