"""A trend in plain words: what was found and how sure, or what a change would have to be to be seen."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from explorer.analysis.trend import TREND_YEARS
from explorer.analysis.trend_findings import LARGE_PERCENT_PER_YEAR, LEVEL
from explorer.display.numbers import count_text, number_text
from explorer.display.rates import change_text, two_digits
from explorer.display.station_words import name_in_sentence
from explorer.model.calendar import Season
from explorer.model.quantities import Quantity
from explorer.model.station_trends import StationTrend, trend_direction
from explorer.model.trends import Trend
from explorer.model.units import find_unit
from explorer.model.words import join_words, say

__all__ = ["WITHOUT_ZERO", "TrendWords", "share_text", "trend_words", "what_hides"]

WITHOUT_ZERO = ("pH", "°C", "°F")  # units whose zero is not "nothing": no percent is taken of them
MONTHS_DIFFER = 0.05  # [1] level at which the months are said not to change alike; common practice


@dataclass(frozen=True, slots=True)
class TrendWords:
    """What is said of one trend.

    Attributes
    ----------
    brief : str
        A found trend as its direction with one number, to stand within a sentence; empty where none was
        found.
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
    """

    brief: str
    mark: str
    short: str
    sentence: str
    basis: str
    cautions: tuple[str, ...]


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
    return TrendWords(told.brief(), told.mark(), told.short(), told.sentence(), told.basis(), told.cautions())


def share_text(share: float) -> str:
    """Return a share in whole percent, never rounded to all or nothing while it is neither.

    Examples
    --------
    >>> share_text(0.004), share_text(0.5), share_text(1.0)
    ('1', '50', '100')
    """
    if np.isnan(share):
        return ""
    percent = round(100 * share)
    return str(percent if share in (0.0, 1.0) else min(max(percent, 1), 99))


def what_hides(trend: Trend, quantity: Quantity) -> str:
    """Return what hides the values that hide a change's size.

    Parameters
    ----------
    trend : Trend
        The trend.
    quantity : Quantity
        In what.

    Returns
    -------
    {"below", "bottom", "limits", "equal"}
        The laboratory's limit, the bottom, either, or nothing: the values are equal.
    """
    share = trend.censored_share
    if np.isnan(share) or share == 0:
        return "equal"
    if quantity.code == "secchi_depth":
        return "bottom"
    return "below" if find_unit(quantity.unit).dimension == "concentration" else "limits"


@dataclass(frozen=True, slots=True)
class _Told:
    """One trend while its words are chosen."""

    found: StationTrend
    quantity: Quantity
    length_unit: str
    language: str
    values: Mapping[str, object]

    def say(self, code: str, **further: object) -> str:
        return say(f"trend.{code}", {**self.values, **further}, self.language)

    @property
    def direction(self) -> str:
        return trend_direction(self.found.trend.verdict, self.quantity)

    def brief(self) -> str:
        if not self.direction:
            return ""
        trend, direction = self.found.trend, self.say(f"short_{self.direction}")
        if not self.rated:
            return direction
        percent, slope = self.percent(abs(trend.percent_per_year)), abs(trend.slope_per_year)
        code = "brief_percent" if percent else "brief_size"
        return self.say(code, direction=direction, percent=percent, size=self.size(slope, slope))

    def mark(self) -> str:
        trend = self.found.trend
        if not self.direction or not self.rated:
            verdicts = {"no_trend_found": "none", "too_few_years": "few", "drawn_only": "few"}
            return self.say(f"mark_{verdicts.get(trend.verdict, 'open')}")
        percent, slope = self.percent(abs(trend.percent_per_year)), abs(trend.slope_per_year)
        sign = "+" if trend.slope_per_year > 0 else "\N{MINUS SIGN}"
        code = "mark" if percent else "mark_size"
        return self.say(code, sign=sign, percent=percent, size=self.size(slope, slope))

    def short(self) -> str:
        verdict = self.found.trend.verdict
        if self.direction:
            direction = self.say(f"short_{self.direction}")
            return self.say("short_rated", direction=direction, rate=self.rate()) if self.rated else direction
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
            if self.rated:
                return self.say(f"found_{self.direction}", rate=self.rate())
            why = "equal" if trend.slope_per_year == 0 else self.beyond
            return f"{self.say(f'unrated_{self.direction}')} {self.say(f'no_rate_{why}')}"
        if trend.verdict == "no_trend_found":
            return (
                self.say("none_found", change=self.change())
                if trend.smallest_found
                else self.say("none_found_equal")
            )
        if trend.verdict == "cannot_tell_yet":
            return self.open()
        if trend.verdict == "beyond_limit":
            return self.say(f"beyond_{self.beyond}")
        more = trend.years_needed
        return self.say(trend.verdict, needed=TREND_YEARS if np.isnan(more) else trend.years + round(more))

    def open(self) -> str:
        """Return why nothing can be said yet, and in how many years it might."""
        trend = self.found.trend
        if np.isnan(trend.smallest_found):
            return self.say(f"open_{self.beyond}")
        if np.isinf(trend.smallest_found):
            return self.say("open_any")
        sentence = self.say("open", change=self.change())
        if np.isnan(trend.years_needed):
            return sentence
        large = number_text(LARGE_PERCENT_PER_YEAR, 0, self.language)
        more = count_text("trend.more_years", round(trend.years_needed), {"large": large}, self.language)
        return f"{sentence} {more}".strip()

    @property
    def rated(self) -> bool:
        slope = self.found.trend.slope_per_year
        return bool(np.isfinite(slope)) and slope != 0

    @property
    def beyond(self) -> str:
        """What hides the values that hide the size: the laboratory's limit, the bottom, or either."""
        return what_hides(self.found.trend, self.quantity)

    def rate(self) -> str:
        """Return the yearly change with what limits and percent there are."""
        trend = self.found.trend
        sign = -1.0 if trend.verdict == "falling" else 1.0
        slope = sign * trend.slope_per_year
        ends = sorted((sign * trend.slope_low, sign * trend.slope_high))
        low, high = self.size(ends[0], slope, with_unit=False), self.size(ends[1], slope)
        percent = self.percent(sign * trend.percent_per_year)
        code = "rate_more" if sign > 0 else "rate_less"
        code += "" if np.isnan(ends).any() else "_limits"
        code += "_percent" if percent else ""
        return self.say(code, slope=self.size(slope, slope), low=low, high=high, percent=percent)

    def change(self) -> str:
        """Return the smallest change that would have been found."""
        trend = self.found.trend
        percent = self.percent(trend.smallest_percent)
        size = self.size(trend.smallest_found, trend.smallest_found)
        return self.say("change_percent" if percent else "change", size=size, percent=percent)

    def size(self, value: float, like: float, *, with_unit: bool = True) -> str:
        if np.isnan(value):
            return ""
        return change_text(
            value, self.quantity, self.length_unit, like=like, with_unit=with_unit, language=self.language
        )

    def percent(self, value: float) -> str:
        if np.isnan(value) or self.quantity.unit in WITHOUT_ZERO:
            return ""
        return two_digits(value, language=self.language)

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
        if trend.seasons_differ_p <= MONTHS_DIFFER:
            lines.append(self.say("months_differ"))
        return tuple(lines)
