"""How do we know the class? Its value and limits, its seasons, how sure it is and how it is averaged."""

from collections.abc import Mapping

import numpy as np

from explorer.analysis.certainty import FEW_VISITS
from explorer.analysis.season_cube import comparable_methods
from explorer.analysis.whole_year import season_fills_year
from explorer.display.explained import Explained, name_in_list
from explorer.display.judged_readings import judged_readings
from explorer.display.limit_words import class_span_lines
from explorer.display.numbers import count_text, months_text
from explorer.display.station_words import capitalised
from explorer.model.words import join_words, say

__all__ = [
    "average_lines",
    "shares_text",
    "sureness_lines",
    "value_lines",
    "visit_lines",
]

SMALLEST_SHARE = 0.005  # [1] less is no whole percent


def value_lines(explained: Explained) -> list[str]:
    """Return which quantity gave the class, its value, and the limits on both sides of it.

    Parameters
    ----------
    explained : Explained
        The values.

    Returns
    -------
    list of str
        Empty without a class.
    """
    result, scheme, programme = explained.result, explained.scheme, explained.programme
    if result.label is None:
        return []
    judged = explained.judged[result.quantity]
    names = [name_in_list(programme.quantities[code]) for code in scheme.priority]
    values = {
        "quantity": programme.quantities[result.quantity].name,
        "period": explained.period(),
        "value": explained.value(result.quantity, judged.value, judged.low, judged.high),
        "scheme": scheme.name,
        "priority": explained.say("then").join(names),
        **explained.statistic(result.quantity),
    }
    codes = ("value", "priority") if len(names) > 1 else ("value",)
    lines = [explained.say(code, values) for code in codes]
    return lines + class_span_lines(result, scheme, programme.quantities[result.quantity], explained.choice)


def visit_lines(explained: Explained) -> list[str]:
    """Return every season behind a class; without one, the fullest season of every quantity.

    Parameters
    ----------
    explained : Explained
        The values.

    Returns
    -------
    list of str
        Empty where the scheme does not apply.
    """
    if not explained.applies:
        return []
    lines = [explained.say("seasons", {"scheme": explained.scheme.name})] if explained.judged else []
    for code, judged in explained.judged.items():
        seasons = judged.seasons
        if explained.result.label is None:
            seasons = tuple(sorted(seasons, key=lambda season: (season.months, season.visits))[-1:])
        for season in seasons:
            values = {
                "quantity": explained.programme.quantities[code].name,
                "season": explained.programme.season.label(season.year),
                "visits": _count("count.visit", season.visits, explained),
                "months": _count("count.month", season.months, explained),
                "value": explained.value(code, season.value, season.low, season.high),
                "class_name": season.class_name,
            }
            known = "classed" if season.class_name else "unclassed" if season.counts else "short"
            lines.append(explained.say(f"season_{known}", values))
    return lines + _rule_lines(explained)


def _count(code: str, count: int, explained: Explained) -> str:
    return count_text(code, count, language=explained.choice.language)


def _rule_lines(explained: Explained) -> list[str]:
    scheme, programme = explained.scheme, explained.programme
    window = scheme.limits[explained.result.quantity or scheme.priority[0]].window
    values = {
        "visits": _count("count.visit", programme.minimum_visits, explained),
        "months": _count("heading.different_month", programme.minimum_months, explained),
        "missed": programme.minimum_months,
    }
    rule = "rule_all_year" if window == "year" and season_fills_year(programme) else f"rule_{window}"
    lines = [explained.say(rule, values)]
    missing = explained.result.missing_months
    if missing and explained.judged:
        lines.append(explained.say("missing", {"months": months_text(missing, explained.choice.language)}))
    return lines


def shares_text(shares: Mapping[str, float], explained: Explained) -> str:
    """Return shares of classes in words, without those that are no whole percent.

    Parameters
    ----------
    shares : mapping of str to float
        By class, their sum 1. [1]
    explained : Explained
        Gives the language.
    """
    said = [
        explained.say(
            "share_most" if share > 1 - SMALLEST_SHARE else "share_one",
            {"class_name": name, "percent": f"{100 * share:.0f}"},
        )
        for name, share in shares.items()
        if share >= SMALLEST_SHARE
    ]
    return join_words(said, explained.choice.language)


def sureness_lines(explained: Explained) -> list[str]:
    """Return each class's share, what the word for sureness means, and where both come from.

    Parameters
    ----------
    explained : Explained
        The values.

    Returns
    -------
    list of str
        Empty without a class.
    """
    result, language = explained.result, explained.choice.language
    if result.label is None:
        return []
    if not result.shares:
        return [explained.say("share_unknown")]
    visits = _count("count.visit", result.visits, explained)
    values = {
        "shares": shares_text(result.shares, explained),
        "scheme": explained.scheme.name,
        "visits": visits,
    }
    lines = [explained.say("shares", values)]
    if result.also:  # then no word for sureness is used
        known_at_ends = np.isnan(explained.judged[result.quantity].value)
        return [*lines, explained.say("shares_of_ends")] if known_at_ends else lines
    word = capitalised(say(f"sureness.{result.sureness}", language=language))
    lines.append(explained.say(f"meaning_{result.sureness}", {"word": word}))
    if result.visits < FEW_VISITS:
        lines.append(explained.say("few_visits", {"few": FEW_VISITS}))
    return [*lines, explained.say("spread"), explained.say("scale_source")]


def average_lines(explained: Explained) -> list[str]:
    """Return how visits become months, months a season, and seasons a period.

    Parameters
    ----------
    explained : Explained
        The values.

    Returns
    -------
    list of str
        Empty where the scheme judges nothing that was measured.
    """
    if not explained.judged:
        return []
    limits = [explained.scheme.limits[code] for code in explained.judged]
    codes = ["months_first", *dict.fromkeys(f"{each.window}_{each.statistic}" for each in limits)]
    if explained.choice.period.years > 1:
        own = ("median", "geometric_mean")
        together = (each.statistic if each.statistic in own else "mean" for each in limits)
        codes += dict.fromkeys(f"together_{each}" for each in together)
    readings = judged_readings(
        explained.history.readings, tuple(explained.judged), explained.choice, explained.scheme,
        explained.programme,
    )  # fmt: skip
    if readings["sign"].isin(["<", ">"]).any():
        codes.append("limits")
        codes += dict.fromkeys(
            f"limits_{each.statistic}" for each in limits if each.statistic in ("median", "mean")
        )
    methods = comparable_methods(readings["method"], explained.programme.comparable_methods)
    if readings.assign(method=methods).groupby("quantity")["method"].nunique().gt(1).any():
        codes.append("one_method")
    return [explained.say(code) for code in codes]
