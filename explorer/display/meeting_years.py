"""The third step of a meeting: the years, in one quantity, and what is found in the others."""

import numpy as np
import pandas as pd

from explorer.analysis.trend import TREND_YEARS
from explorer.display.axes import Axis, build_axis, year_ticks
from explorer.display.meeting_basis import CLARITY, MeetingBasis
from explorer.display.meeting_months import chart_ticks
from explorer.display.meeting_values import Chart, MeetingPoint, MeetingStep
from explorer.display.numbers import display_factor, display_unit
from explorer.display.panel_values import Floats
from explorer.display.rates import change_text, two_digits
from explorer.display.station_words import capitalised
from explorer.display.trend_sizes import WITHOUT_ZERO, share_text, what_hides
from explorer.display.trend_words import trend_words
from explorer.model.station_trends import StationTrend, trend_direction
from explorer.model.words import say

__all__ = ["shown_trend", "years_step"]

ASKED = (*CLARITY, "chlorophyll_a", "chlorophyll_a_uncorrected", "total_phosphorus", "total_nitrogen")
SPEAKS_FIRST = (("rising", "falling"), ("no_trend_found",), ("cannot_tell_yet",))  # then whatever there is
MOST_YEARS_NAMED = 4
PERCENT = " %)"  # how a change says its percent


def shown_trend(basis: MeetingBasis) -> StationTrend | None:
    """Return the trend that the step speaks of: one that was found before one that was not.

    Of equals clarity is first, then algae, phosphorus and nitrogen; the others stand in the fold.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    asked = _asked(basis)
    for verdicts in SPEAKS_FIRST:
        for each in asked:
            if each.trend.verdict in verdicts:
                return each
    return asked[0] if asked else None


def _asked(basis: MeetingBasis) -> list[StationTrend]:
    return [basis.trends[code] for code in ASKED if code in basis.trends]


def years_step(basis: MeetingBasis) -> MeetingStep:
    """Return the step on the years; no word of change stands without its number.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    found = shown_trend(basis)
    lines = [_line(basis, each) for each in _asked(basis)]
    sentence = basis.say("years_nothing") if found is None else _sentence(basis, found)
    sureness = basis.say("years_later") if found is None else _sureness(basis, found)
    cautions = [] if found is None else [_caution(basis, found)]
    if any(PERCENT in text for text in (sentence, sureness, *lines)):
        cautions.append(basis.say("years_percent"))
    return MeetingStep(
        code="years",
        title=basis.say("title_years"),
        sentence=sentence,
        sureness=sureness,
        picture=None if found is None else _picture(basis, found),
        figures=(basis.all_visits([found.quantity] if found else []), *lines),
        known=(*(each for each in cautions if each), basis.say("years_what"), basis.say("years_cause")),
        caution=say("caution.swimming", language=basis.language),
    )


def _line(basis: MeetingBasis, found: StationTrend) -> str:
    name, slope = capitalised(basis.name(found.quantity)), abs(found.trend.slope_per_year)
    if found.uneven:
        return basis.say("line_uneven", quantity=name, way=basis.say(f"way_{_way(basis, found)}"))
    if found.found and np.isfinite(slope) and slope > 0:
        limits = _limits(basis, found)
        code = "line_limits" if limits else "line_rated"
        way, size = basis.say(f"way_{_way(basis, found)}"), _size(basis, found, slope)
        return basis.say(code, quantity=name, way=way, size=size, **limits)
    words = trend_words(
        found, basis.quantity(found.quantity), basis.programme.season,
        length_unit=basis.programme.length_unit, language=basis.language,
    )  # fmt: skip
    return basis.say("trend_line", quantity=name, words=words.short)


def _way(basis: MeetingBasis, found: StationTrend) -> str:
    """Return which way a found trend goes: "clearer", "less_clear", "up" or "down"; empty for none."""
    direction = trend_direction(found.trend.verdict, basis.quantity(found.quantity))
    return {"more": "up", "higher": "up", "less": "down", "lower": "down"}.get(direction, direction)


def _limits(basis: MeetingBasis, found: StationTrend) -> dict[str, str]:
    """Return the limits of a found change, its size without a sign; empty where they tell no direction."""
    trend, quantity, unit = found.trend, basis.quantity(found.quantity), basis.programme.length_unit
    ends = sorted(abs(each) for each in (trend.slope_low, trend.slope_high))
    if not found.found or np.isnan(ends).any() or np.sign(trend.slope_low) != np.sign(trend.slope_high):
        return {}
    like = abs(trend.slope_per_year)
    low = change_text(ends[0], quantity, unit, like=like, with_unit=False, language=basis.language)
    return {"low": low, "high": change_text(ends[1], quantity, unit, like=like, language=basis.language)}


def _caution(basis: MeetingBasis, found: StationTrend) -> str:
    if found.uneven and not found.trend.persistent:
        return basis.say("years_passes_zero")
    if not (found.trend.test and found.trend.persistent):
        return ""
    return basis.say("years_alike_found" if found.found else "years_alike_open")


def _sentence(basis: MeetingBasis, found: StationTrend) -> str:
    trend, season = found.trend, basis.programme.season
    values: dict[str, object] = {
        "first": season.label(found.first_year),
        "last": season.label(found.last_year),
        "amount": basis.amount(found.quantity),
        "Amount": capitalised(basis.amount(found.quantity)),
        "seasons": basis.count("trend.season", trend.years),
        "needed": str(basis.programme.trend_years if trend.years else TREND_YEARS),
    }
    way = _way(basis, found)
    if found.uneven:
        return basis.say(f"years_{way}_uneven", **values)
    if way:
        if not np.isfinite(trend.slope_per_year) or trend.slope_per_year == 0:
            return basis.say(f"years_{way}_unrated", **values)
        return basis.say(f"years_{way}", size=_size(basis, found, abs(trend.slope_per_year)), **values)
    code = {"no_trend_found": "none", "cannot_tell_yet": "open", "beyond_limit": "beyond"}
    return basis.say(f"years_{code.get(trend.verdict, 'early')}", **values)


def _size(basis: MeetingBasis, found: StationTrend, slope: float) -> str:
    """Return a yearly change with its percent, where a percent of it means something."""
    quantity, median = basis.quantity(found.quantity), found.trend.median
    text = change_text(slope, quantity, basis.programme.length_unit, language=basis.language)
    if not median > 0 or quantity.unit in WITHOUT_ZERO:
        return text
    return basis.say(
        "size_percent", size=text, percent=two_digits(100 * slope / median, language=basis.language)
    )


def _sureness(basis: MeetingBasis, found: StationTrend) -> str:
    trend = found.trend
    seasons = basis.count("trend.season", trend.years)
    if found.found:
        limits = _limits(basis, found)
        if found.uneven or not limits:
            return basis.say("years_seen", seasons=seasons)
        return basis.say("years_limits", **limits)
    if trend.verdict == "no_trend_found":
        if not trend.smallest_found:
            return basis.say("years_equal")
        return basis.say("years_would_show", change=_size(basis, found, trend.smallest_found))
    if trend.verdict == "cannot_tell_yet" and np.isfinite(trend.smallest_found):
        change = _size(basis, found, trend.smallest_found)
        return basis.say("years_could_miss", seasons=seasons, change=change)
    if trend.verdict == "cannot_tell_yet" and np.isinf(trend.smallest_found):
        return basis.say("years_any", seasons=seasons)
    if trend.verdict in ("cannot_tell_yet", "beyond_limit"):
        hides = what_hides(trend, basis.quantity(found.quantity))
        return basis.say(f"years_hidden_{hides}", share=share_text(trend.censored_share))
    return basis.say("years_later")


def _picture(basis: MeetingBasis, found: StationTrend) -> Chart | None:
    code = found.quantity
    quantity = basis.quantity(code)
    table = basis.seasons
    rows = table[((table["quantity"] == code) & (table["window"] == "season")).to_numpy()].sort_values("year")
    if rows.empty:
        return None
    factor = display_factor(quantity, basis.programme.length_unit)
    line = _line_values(found, rows["year"].to_numpy())
    shown = _shown(rows)
    values = np.concatenate([shown, [value for _, value in line]]).astype(np.float64) * factor
    axis = build_axis(
        values, [], log=False, downward=quantity.unit == "m", decimals=quantity.decimals,
        language=basis.language,
    )  # fmt: skip
    first, last = int(rows["year"].min()), int(rows["year"].max())
    first = min(first, last - 1)

    def across(year: float) -> float:
        return float((year - first + 0.5) / (last - first + 1))

    points = [
        _point(basis, code, across(float(row["year"])), row, value * factor, axis)
        for (_, row), value in zip(rows.iterrows(), shown, strict=True)
    ]
    season = basis.programme.season
    ticks = [year for year in year_ticks(first, last, MOST_YEARS_NAMED) if first <= year <= last]
    ends = tuple((across(year), float(axis.place([value * factor])[0])) for year, value in line)
    unit = display_unit(quantity, basis.programme.length_unit)
    return Chart(
        basis.say("alt_years", quantity=basis.name(code), first=season.label(first), last=season.label(last)),
        tuple((across(year), season.label(year)) for year in ticks or (last,)),
        chart_ticks(axis, unit, basis.say("surface")), (), ends, tuple(points),
    )  # fmt: skip


def _shown(rows: pd.DataFrame) -> Floats:
    """Return each season's middle value; where only an end of it is known, that end."""
    low, high = rows["median_low"].to_numpy(np.float64), rows["median_high"].to_numpy(np.float64)
    median = rows["median"].to_numpy(np.float64)
    end = np.where(np.isfinite(high), high, low)
    return np.where(np.isnan(median), end, median)


def _point(
    basis: MeetingBasis, code: str, across: float, row: "pd.Series[float]", value: float, axis: Axis
) -> MeetingPoint:
    low, high = float(row["median_low"]), float(row["median_high"])
    words = basis.say(
        "season_value",
        year=basis.programme.season.label(int(row["year"])),
        quantity=basis.name(code),
        value=basis.value(code, low, high),
        visits=basis.count("count.visit", int(row["visits"])),
    )
    kind = "measured" if low == high else "beyond" if np.isinf(high) else "below"
    return MeetingPoint(across, float(axis.place([value])[0]), words, kind)


def _line_values(found: StationTrend, years: Floats) -> list[tuple[float, float]]:
    """Return the ends of a found trend's line: through the median at the middle year. [record unit]"""
    slope = found.trend.slope_per_year
    if not found.found or found.uneven or not np.isfinite(slope):
        return []
    ends = (max(found.first_year, int(years.min())), min(found.last_year, int(years.max())))
    return [(float(year), found.trend.median + slope * (year - found.middle_year)) for year in ends]
