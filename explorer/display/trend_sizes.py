"""How large a trend is, in words: its yearly change with its limits, and what could have been missed."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from explorer.display.rates import change_text, two_digits
from explorer.model.quantities import Quantity
from explorer.model.trends import Trend
from explorer.model.units import find_unit
from explorer.model.words import say

__all__ = ["WITHOUT_ZERO", "TrendSizes", "share_text", "what_hides"]

WITHOUT_ZERO = ("pH", "°C", "°F")  # units whose zero is not "nothing": no percent is taken of them


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
class TrendSizes:
    """The sizes of one trend.

    Attributes
    ----------
    trend : Trend
        The trend.
    quantity : Quantity
        In what.
    length_unit : {"m", "ft"}
        Unit of depths.
    language : str
        Language of the words.
    """

    trend: Trend
    quantity: Quantity
    length_unit: str
    language: str

    def say(self, code: str, values: Mapping[str, object]) -> str:
        """Return a sentence about a trend."""
        return say(f"trend.{code}", values, self.language)

    @property
    def rated(self) -> bool:
        """Whether it can be said how large the change is."""
        slope = self.trend.slope_per_year
        return bool(np.isfinite(slope)) and slope != 0

    def rate(self) -> str:
        """Return the yearly change with what limits and percent there are."""
        trend = self.trend
        sign = -1.0 if trend.verdict == "falling" else 1.0
        slope = sign * trend.slope_per_year
        ends = sorted((sign * trend.slope_low, sign * trend.slope_high))
        low, high = self.size(ends[0], slope, with_unit=False), self.size(ends[1], slope)
        percent = self.percent(sign * trend.percent_per_year)
        code = "rate_more" if sign > 0 else "rate_less"
        code += "" if np.isnan(ends).any() else "_limits"
        code += "_percent" if percent else ""
        return self.say(
            code, {"slope": self.size(slope, slope), "low": low, "high": high, "percent": percent}
        )

    def slope(self) -> str:
        """Return the yearly change alone, for what may not have gone on year by year."""
        size = abs(self.trend.slope_per_year)
        code = "rate_more" if self.trend.slope_per_year > 0 else "rate_less"
        return self.say(code, {"slope": self.size(size, size)})

    def change(self) -> str:
        """Return the smallest change that would have been found."""
        trend = self.trend
        percent = self.percent(trend.smallest_percent)
        size = self.size(trend.smallest_found, trend.smallest_found)
        return self.say("change_percent" if percent else "change", {"size": size, "percent": percent})

    def one_number(self) -> dict[str, str]:
        """Return the yearly change without its direction, in percent and, where there is none, as a size."""
        slope, percent = abs(self.trend.slope_per_year), self.percent(abs(self.trend.percent_per_year))
        return {"percent": percent, "size": "" if percent else self.size(slope, slope)}

    def size(self, value: float, like: float, *, with_unit: bool = True) -> str:
        """Return a change in display units, empty where it is not known."""
        if np.isnan(value):
            return ""
        return change_text(
            value, self.quantity, self.length_unit, like=like, with_unit=with_unit, language=self.language
        )

    def percent(self, value: float) -> str:
        """Return a change in percent, empty where there is none."""
        if np.isnan(value) or self.quantity.unit in WITHOUT_ZERO:
            return ""
        return two_digits(value, language=self.language)
