"""Before and after a date in plain words: what differs and by how much, or why nothing can be said."""

import numpy as np

from explorer.analysis.change import LEAST_SEASONS
from explorer.analysis.station_changes import StationChange
from explorer.display.numbers import count_text, number_text, reading_text
from explorer.display.rates import change_text, two_digits
from explorer.display.trend_sizes import WITHOUT_ZERO
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.station_trends import trend_direction
from explorer.model.words import join_words, say

__all__ = ["change_lines"]

_TREND_VERDICTS = {"higher": "rising", "lower": "falling"}


def change_lines(
    found: StationChange, quantity: Quantity, *, length_unit: str = "m", language: str = "en"
) -> tuple[str, ...]:
    """Return what is said of one quantity before and after a date.

    Parameters
    ----------
    found : StationChange
        The comparison.
    quantity : Quantity
        In what.
    length_unit : {"m", "ft"}
        Unit of depths.
    language : str
        Language of the words.

    Returns
    -------
    tuple of str
        The verdict with its numbers, then what must be said beside it.
    """
    change = found.change
    size = abs(change.difference)
    direction = trend_direction(_TREND_VERDICTS.get(change.verdict, ""), quantity)
    sign = -1.0 if change.verdict == "lower" else 1.0
    ends = sorted((sign * change.difference_low, sign * change.difference_high))
    percent = (
        ""
        if np.isnan(change.percent) or quantity.unit in WITHOUT_ZERO
        else two_digits(abs(change.percent), language=language)
    )

    def shown(value: float, *, with_unit: bool = True) -> str:
        if np.isnan(value):
            return ""
        return change_text(
            value, quantity, length_unit, like=size or None, with_unit=with_unit, language=language
        )

    values: dict[str, object] = {
        "quantity": quantity.name,
        "quantity_inside": name_in_sentence(quantity),
        "before": count_text("trend.season", change.before, language=language),
        "after": count_text("trend.season", change.after, language=language),
        "least": LEAST_SEASONS,
        "middle_before": reading_text(change.median_before, "=", quantity, length_unit, language),
        "middle_after": reading_text(change.median_after, "=", quantity, length_unit, language),
        "size": shown(size),
        "low": shown(ends[0], with_unit=False),
        "high": shown(ends[1]),
        "percent": percent,
    }

    def told(code: str, **further: object) -> str:
        return say(f"change_page.{code}", {**values, **further}, language)

    lines = [told(direction or change.verdict)]
    if not np.isnan(change.difference) and change.verdict != "too_few_seasons":
        code = "size_percent" if direction and percent else "size" if direction else "difference"
        lines[0] = f"{lines[0]} {told(code)} {told('middles')}"
    if change.verdict in _TREND_VERDICTS and change.persistent:
        lines.append(told("persistent", lag1=number_text(change.lag1, 1, language)))
    if found.other_methods:
        unnamed = say("panel.method_not_stated", language=language)
        names = join_words([name or unnamed for name in found.other_methods], language)
        code = "other_method_one" if len(found.other_methods) == 1 else "other_method_many"
        lines.append(say(f"trend.{code}", {"methods": names}, language))
    return tuple(lines)
