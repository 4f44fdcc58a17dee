"""The map by trend: stations by what was found, each with a short line that tilts as its trend does."""

from collections.abc import Mapping, Sequence

import numpy as np

from explorer.display.choice import Choice
from explorer.display.map_groups import MapGroups, Tilt
from explorer.display.palette import RING_PATTERNS, class_colours
from explorer.display.trend_words import TrendWords, trend_words
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.station_trends import StationTrend, trend_direction
from explorer.model.words import say

__all__ = ["TREND_MAPS", "tilt_of", "trend_groups"]

# What the map shows, and the quantities of which a station's own is taken: the one measured more often.
TREND_MAPS: Mapping[str, tuple[str, ...]] = {
    "trend_clarity": ("secchi_depth", "transparency_tube"),
    "trend_chlorophyll": ("chlorophyll_a", "chlorophyll_a_uncorrected"),
    "trend_phosphorus": ("total_phosphorus",),
    "trend_nitrogen": ("total_nitrogen",),
}

BETTER, NONE_FOUND, WORSE, OPEN = range(4)
DIAGONAL_PERCENT = 5.0  # [% per year] drawn at 45 degrees
STEP_DEGREES = 5  # [deg] so that a large record draws few kinds of line
SAMPLE_DEGREES = 30  # [deg] in the legend


def trend_groups(
    codes: Sequence[str],
    trends: Mapping[str, Mapping[str, StationTrend]],
    choice: Choice,
    programme: Programme,
) -> MapGroups:
    """Return the stations by their trend over the whole record in what the map shows.

    Parameters
    ----------
    codes : sequence of str
        Station codes, in the order of the map.
    trends : mapping of str to mapping of str to StationTrend
        By station and quantity.
    choice : Choice
        What the map shows: one of `TREND_MAPS`. Units and language.
    programme : Programme
        Quantities and season.

    Returns
    -------
    MapGroups
        Clearer water, or less of a concentration, stands first. What has too few years stands in no group.
    """
    language = choice.language
    own = [_own(trends.get(code, {}), TREND_MAPS[choice.map_shows]) for code in codes]
    told = [each and _words(each, choice, programme) for each in own]
    nothing = say("map.trend_nothing", language=language)
    quantity = programme.quantities[TREND_MAPS[choice.map_shows][0]]
    best, worst = ("falling", "rising") if quantity.higher_is_worse else ("rising", "falling")
    values = {"quantity_inside": name_in_sentence(quantity)}
    named = [f"trend.short_{trend_direction(each, quantity)}" for each in (best, worst)]
    names = (named[0], "trend.short_none", named[1], "map.trend_open")
    tilt = SAMPLE_DEGREES * (1 if (best == "rising") != _downward(quantity) else -1)
    return MapGroups(
        indexes=tuple(_group(each, best) for each in own),
        labels=tuple(words.brief or words.short if words else nothing for words in told),
        marks=tuple(words.mark if words else say("trend.mark_few", language=language) for words in told),
        names=tuple(say(code, values, language) for code in names),
        letters=("",) * len(names),
        colours=(*class_colours(3), ""),
        patterns=RING_PATTERNS[: len(names)],
        rest=say("map.trend_few", language=language),
        caption=say("map.caption_trend", values, language),
        tilts=tuple(_tilt(each, programme) for each in own),
        sample_tilts=(_sample(tilt, 10), _sample(0, 15), _sample(-tilt, 10), _sample(0, 60)),
    )


def _words(found: StationTrend, choice: Choice, programme: Programme) -> TrendWords:
    return trend_words(
        found, programme.quantities[found.quantity], programme.season, length_unit=choice.length_unit,
        language=choice.language,
    )  # fmt: skip


def _tilt(found: StationTrend | None, programme: Programme) -> Tilt | None:
    return None if found is None else tilt_of(found, programme.quantities[found.quantity])


def _sample(degrees: int, half_wedge: int) -> Tilt:
    return Tilt(degrees, degrees - half_wedge, degrees + half_wedge)


def _own(trends: Mapping[str, StationTrend], quantities: Sequence[str]) -> StationTrend | None:
    known = [trends[code] for code in quantities if code in trends]
    return max(known, key=lambda each: each.trend.readings, default=None)


def _group(found: StationTrend | None, best: str) -> int:
    """Return the group of a trend; -1 where the years, or what can be measured, do not reach for one."""
    verdict = "" if found is None else found.trend.verdict
    if verdict in ("rising", "falling"):
        return BETTER if verdict == best else WORSE
    return {"no_trend_found": NONE_FOUND, "cannot_tell_yet": OPEN, "beyond_limit": OPEN}.get(verdict, -1)


def _downward(quantity: Quantity) -> bool:
    """Whether its panel grows from the top down, as a depth does."""
    return quantity.unit == "m"


def tilt_of(found: StationTrend, quantity: Quantity) -> Tilt | None:
    """Return the line of a trend: 5 % of the median a year at 45 degrees, tilted as on its panel.

    Parameters
    ----------
    found : StationTrend
        The trend.
    quantity : Quantity
        In what; a depth grows downward.

    Returns
    -------
    Tilt or None
        In steps of five degrees; None where there is no slope, or no median to measure it by, and where no
        straight line describes what was found.
    """
    trend = found.trend
    if found.uneven:
        return None
    slopes = np.array([trend.slope_per_year, trend.slope_low, trend.slope_high])
    if np.isnan(slopes).any() or not trend.median > 0:
        return None
    percent = 100.0 * slopes / trend.median * (-1.0 if _downward(quantity) else 1.0)
    degrees = np.degrees(np.arctan(percent / DIAGONAL_PERCENT))
    middle, *ends = (int(STEP_DEGREES * step) for step in np.round(degrees / STEP_DEGREES))
    return Tilt(middle, min(ends), max(ends))
