"""A trend in plain words: what was found and how sure, or what a change would have to be to be seen."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from explorer.analysis.trend import TREND_YEARS
from explorer.analysis.trend_findings import LARGE_PERCENT_PER_YEAR, LEVEL
from explorer.display.numbers import count_text, number_text
from explorer.display.trend_sizes import TrendSizes, share_text, what_hides
from explorer.model.calendar import Season
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.station_trends import StationTrend, trend_direction
from explorer.model.words import join_words, say

__all__ = ["TrendWords", "trend_words"]

MONTHS_DIFFER = 0.05  # [1] level at which the months are said not to change alike; common practice


@dataclass(frozen=True, slots=True)
class TrendWords:
    """What is said of one trend.

    Attributes
    ----------
    brief : str
        A found trend as its direction with one number, or that it may be one step, to stand within a
        sentence; empty where none was found.
    mark : str
        The same in a few signs, for a list; of others, whether nothing was found or nothing can be said.
    short : str
        A few words for a list, a map or a legend.
    sentence : str
        The verdict with its numbers: one or two whole sentences.
    basis : str
        What it rests on: monthly values, seasons, months, test.
    cautions : tuple of str
        What must be said beside it, whole sentences; may be empty.
    spread : str
        What a change that may be one step would come to a year; empty where the verdict names a rate.
    """

    brief: str
    mark: str
    short: str
    sentence: str
    basis: str
    cautions: tuple[str, ...]
    spread: str


def trend_words(
    found: StationTrend, quantity: Quantity, season: Season, *, length_unit: str = "m", language: str = "en"
) -> TrendWords:
    """Return what is said of a trend; no claim stands without its number.

    Parameters
    ----------
    found : StationTrend
        The trend and what it rests on.
    quantity : Quantity
        In what.
    season : Season
        The programme's season, for the names of its years.
    length_unit : {"m", "ft"}
        Unit of depths.
    language : str
        Language of the words.

    Returns
    -------
    TrendWords

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> from explorer.model.trends import TrendFindings
    >>> nothing = TrendFindings.empty(1).trend(0)
    >>> young = StationTrend("HM1", "secchi_depth", "", (), 2020, 2022, 2021.0, 0, nothing)
    >>> trend_words(young, QUANTITIES["secchi_depth"], Season((5, 6, 7, 8, 9))).short
    'too few years (no season)'
    """
    trend = found.trend
    values: dict[str, object] = {
        "quantity": quantity.name,
        "quantity_inside": name_in_sentence(quantity),
        "seasons": count_text("trend.season", trend.years, language=language),
        "first": season.label(found.first_year),
        "last": season.label(found.last_year),
        "months": count_text("count.month", trend.months, language=language),
        "readings": count_text("trend.value", trend.readings, language=language),
        "share": share_text(trend.censored_share),
        "together": count_text("count.station", found.together, language=language),
    }
    told = _Told(found, quantity, length_unit, language, values)
    return TrendWords(
        told.brief(), told.mark(), told.short(), told.sentence(), told.basis(), told.cautions(), told.spread()
    )


@dataclass(frozen=True, slots=True)
class _Told:
    """One trend while its words are chosen."""

    found: StationTrend
    quantity: Quantity
    length_unit: str
    language: str
    values: Mapping[str, object]

    @property
    def sizes(self) -> TrendSizes:
        return TrendSizes(self.found.trend, self.quantity, self.length_unit, self.language)

    def say(self, code: str, **further: object) -> str:
        return say(f"trend.{code}", {**self.values, **further}, self.language)

    @property
    def direction(self) -> str:
        return trend_direction(self.found.trend.verdict, self.quantity)

    def brief(self) -> str:
        if not self.direction:
            return ""
        direction = self.say(f"short_{self.direction}")
        if self.found.uneven:
            return self.say("brief_uneven", direction=direction)
        if not self.sizes.rated:
            return direction
        number = self.sizes.one_number()
        return self.say("brief_percent" if number["percent"] else "brief_size", direction=direction, **number)

    def mark(self) -> str:
        trend = self.found.trend
        if not self.direction or not self.sizes.rated:
            verdicts = {"no_trend_found": "none", "too_few_years": "few", "drawn_only": "few"}
            return self.say(f"mark_{verdicts.get(trend.verdict, 'open')}")
        sign, number = "+" if trend.slope_per_year > 0 else "\N{MINUS SIGN}", self.sizes.one_number()
        if self.found.uneven:
            return self.say("mark_uneven", sign=sign)
        return self.say("mark" if number["percent"] else "mark_size", sign=sign, **number)

    def short(self) -> str:
        verdict = self.found.trend.verdict
        if self.found.uneven:
            return self.brief()
        if self.direction:
            direction = self.say(f"short_{self.direction}")
            return (
                self.say("short_rated", direction=direction, rate=self.sizes.rate())
                if self.sizes.rated
                else direction
            )
        return self.say(
            {
                "no_trend_found": "short_none",
                "cannot_tell_yet": "short_open",
                "beyond_limit": "short_beyond",
            }.get(verdict, "short_few")
        )

    def sentence(self) -> str:
        trend = self.found.trend
        if self.direction:
            if self.sizes.rated and self.found.uneven:
                return self.say(f"unrated_{self.direction}")
            if self.sizes.rated:
                return self.say(f"found_{self.direction}", rate=self.sizes.rate())
            why = "equal" if trend.slope_per_year == 0 else self.beyond
            return f"{self.say(f'unrated_{self.direction}')} {self.say(f'no_rate_{why}')}"
        if trend.verdict == "no_trend_found":
            return (
                self.say("none_found", change=self.sizes.change())
                if trend.smallest_found
                else self.say("none_found_equal")
            )
        if trend.verdict == "cannot_tell_yet":
            return self.open()
        if trend.verdict == "beyond_limit":
            return self.say(f"beyond_{self.beyond}")
        more = trend.years_needed
        return self.say(trend.verdict, needed=TREND_YEARS if np.isnan(more) else trend.years + round(more))

    def spread(self) -> str:
        return self.say("spread", rate=self.sizes.slope()) if self.found.uneven and self.sizes.rated else ""

    def open(self) -> str:
        """Return why nothing can be said yet, and in how many years it might."""
        trend = self.found.trend
        if np.isnan(trend.smallest_found):
            return self.say(f"open_{self.beyond}")
        if np.isinf(trend.smallest_found):
            return self.say("open_any")
        sentence = self.say("open", change=self.sizes.change())
        if np.isnan(trend.years_needed):
            return sentence
        large = number_text(LARGE_PERCENT_PER_YEAR, 0, self.language)
        more = count_text("trend.more_years", round(trend.years_needed), {"large": large}, self.language)
        return f"{sentence} {more}".strip()

    @property
    def beyond(self) -> str:
        """What hides the values that hide the size: the laboratory's limit, the bottom, or either."""
        return what_hides(self.found.trend, self.quantity)

    def basis(self) -> str:
        return self.say(f"basis_{self.found.trend.test or 'untested'}")

    def cautions(self) -> tuple[str, ...]:
        """Return what must be said beside the verdict."""
        found, trend = self.found, self.found.trend
        lines = []
        if found.other_methods:
            unnamed = say("panel.method_not_stated", language=self.language)
            names = join_words([name or unnamed for name in found.other_methods], self.language)
            code = "other_method_one" if len(found.other_methods) == 1 else "other_method_many"
            lines.append(self.say(code, methods=names))
        if trend.p <= LEVEL < trend.p_adjusted:
            lines.append(self.say("chance"))
        if trend.test and trend.persistent:
            code = "persistent_found" if found.found else "persistent_open"
            lines.append(self.say(code, lag1=number_text(trend.lag1, 1, self.language)))
        elif found.uneven:
            lines.append(self.say("passes_zero"))
        if trend.seasons_differ_p <= MONTHS_DIFFER:
            lines.append(self.say("months_differ"))
        return tuple(lines)
