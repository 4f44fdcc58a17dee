"""Is it changing? The trend of each quantity over the whole record, its numbers, and how it is known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from explorer.display.choice import Choice
from explorer.display.explanation import Section
from explorer.display.numbers import number_text, period_text
from explorer.display.paper_tables import PaperColumn, PaperTable
from explorer.display.rates import change_text, two_digits
from explorer.display.trend_sizes import WITHOUT_ZERO
from explorer.display.trend_words import trend_words
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.station_trends import StationTrend
from explorer.model.words import say

__all__ = ["TrendPage", "build_trend_page"]

COLUMNS = (
    "quantity", "used", "slope", "limits", "percent", "kendall", "score", "chance", "chance_together",
    "smallest", "lag1",
)  # fmt: skip
HOW = ("test", "limit", "slope", "together", "missed", "persistence", "methods")


@dataclass(frozen=True, slots=True)
class TrendPage:
    """What is said of change over the whole record.

    Attributes
    ----------
    message : str
        Why nothing is said, empty where something is.
    sections : tuple of Section
        One for each quantity: verdict, what it rests on, what must be said beside it.
    numbers : PaperTable or None
        The numbers behind them.
    how : Section or None
        How it is known.
    """

    message: str
    sections: tuple[Section, ...] = ()
    numbers: PaperTable | None = None
    how: Section | None = None


def build_trend_page(
    trends: Mapping[str, StationTrend], shown: Sequence[str], choice: Choice, programme: Programme
) -> TrendPage:
    """Return what is said of change at a station.

    Parameters
    ----------
    trends : mapping of str to StationTrend
        By quantity, of the whole record.
    shown : sequence of str
        Quantities on the panels; they stand first.
    choice : Choice
        Units and language. Nothing is said of a period that the reader picked.
    programme : Programme
        Quantities and season.

    Returns
    -------
    TrendPage
    """
    language = choice.language
    if choice.picked:
        period = period_text(choice.period, programme.season, language)
        return TrendPage(say("trend_page.picked", {"period": period}, language))
    known = [trends[code] for code in dict.fromkeys((*shown, *programme.quantities)) if code in trends]
    if not known:
        return TrendPage(say("trend_page.nothing", language=language))
    sections = []
    for each in known:
        quantity = programme.quantities[each.quantity]
        words = trend_words(
            each, quantity, programme.season, length_unit=choice.length_unit, language=language
        )
        step = (words.spread, say("trend_page.step", language=language)) if each.uneven else ()
        lines = (words.sentence, *words.cautions, *step, words.basis)
        sections.append(Section(quantity.name, tuple(line for line in lines if line)))
    columns = tuple(
        PaperColumn(say(f"trend_page.column_{name}", language=language), name != "quantity")
        for name in COLUMNS
    )
    rows = tuple(_row(each, programme.quantities[each.quantity], choice) for each in known)
    tested = any(each.trend.test for each in known)
    numbers = PaperTable(say("trend_page.numbers", language=language), (), columns, rows) if tested else None
    how = tuple(say(f"trend_page.how_{code}", language=language) for code in HOW)
    return TrendPage("", tuple(sections), numbers, Section(say("trend_page.how", language=language), how))


def _row(found: StationTrend, quantity: Quantity, choice: Choice) -> tuple[str, ...]:
    trend, language = found.trend, choice.language
    widest = float(np.nanmax(np.abs([trend.slope_per_year, trend.slope_low, trend.slope_high, 0.0])))

    def size(value: float, like: float = widest, *, with_unit: bool = False) -> str:
        if np.isinf(value):
            return say("trend_page.any_size", language=language)
        return "" if np.isnan(value) else change_text(
            value, quantity, choice.length_unit, like=like, with_unit=with_unit
        )  # fmt: skip

    limits = {"low": size(trend.slope_low), "high": size(trend.slope_high)}
    return (
        quantity.name,
        f"{trend.years} × {trend.months}",
        size(trend.slope_per_year, with_unit=True),
        say("trend_page.limits", limits, language) if all(limits.values()) else "",
        _percent(trend.percent_per_year, quantity),
        _number(trend.statistic_s, 0),
        _number(trend.z, 2),
        _chance(trend.p, language),
        _chance(trend.p_adjusted, language),
        size(trend.smallest_found, trend.smallest_found, with_unit=True),
        _number(round(trend.lag1, 1) + 0.0, 1),  # no "-0.0"
    )


def _percent(percent: float, quantity: Quantity) -> str:
    return "" if np.isnan(percent) or quantity.unit in WITHOUT_ZERO else two_digits(percent)


def _number(value: float, decimals: int) -> str:
    return "" if np.isnan(value) else number_text(value, decimals)


def _chance(share: float, language: str) -> str:
    """Return a share of chance as a percentage; the smallest only as "under 0.1 %"."""
    if np.isnan(share):
        return ""
    code = "chance_under" if share < 0.001 else "chance"
    return say(f"trend_page.{code}", {"percent": two_digits(100 * share)}, language)
