"""The sentences under a station's name: its class, how sure, what is missing, and what to mind."""

from collections.abc import Mapping, Sequence

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.judged_readings import judged_readings, limits_cause, months_of_window
from explorer.display.numbers import count_text, date_text, months_text, period_text, reading_text
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import name_in_sentence
from explorer.model.words import say

__all__ = ["capitalised", "station_sentences"]

LESS_THAN_LIKELY = ("more_likely_than_not", "about_as_likely_as_not", "unlikely")
MOST_MONTHS_NAMED = 5  # missing ones: a usual season's
MINDED = ("stained", "turbid", "shallow", "nitrogen-limited")  # attributes of a water, in this order


def station_sentences(
    history: StationHistory,
    readings: pd.DataFrame,
    result: ClassResult,
    choice: Choice,
    scheme: ClassScheme,
    programme: Programme,
) -> tuple[str, ...]:
    """Return the sentences under a station's name.

    A class is never named without its scheme and the number of visits behind it.

    Parameters
    ----------
    history : StationHistory
        The station, its water and all its readings.
    readings : DataFrame
        Those of its readings that the panels draw.
    result : ClassResult
        Its class in `choice.period`, or why there is none.
    choice : Choice
        Period, units and language.
    scheme : ClassScheme
        The chosen scheme.
    programme : Programme
        Season and rules.

    Returns
    -------
    tuple of str
        First the state, short enough for the back row; then what a reader must know beside it.
    """
    language = choice.language
    if history.readings.empty:
        return say("heading.no_readings", language=language), say("heading.first_visit", language=language)
    codes = scheme.priority if result.label is None else (result.quantity,)
    cause = limits_cause(judged_readings(readings, codes, choice, scheme, programme), programme)
    values = _values(history, result, choice, scheme, programme)
    if result.label is None:
        sentences = _without_class(result, cause, choice, scheme, programme, values)
    else:
        sentences = _with_class(result, cause, language, values)
        sentences += _months(result, choice, scheme, programme, values)
    if choice.picked:
        sentences.insert(1, say("heading.picked", language=language))
    sentences += _on_bottom(readings, choice, scheme, programme)
    return (*sentences, *_minds(history, choice))


def capitalised(text: str) -> str:
    """Return a text with its first letter as at the start of a sentence, the others as they are.

    Examples
    --------
    >>> capitalised("mesotrophic"), capitalised("class B")
    ('Mesotrophic', 'Class B')
    """
    return text[:1].upper() + text[1:]


def _values(
    history: StationHistory, result: ClassResult, choice: Choice, scheme: ClassScheme, programme: Programme
) -> dict[str, object]:
    language = choice.language
    window = scheme.limits[result.quantity or scheme.priority[0]].window
    period = period_text(choice.period, programme.season, language)
    quantity = programme.quantities.get(result.quantity)
    return {
        "period": period,
        "when": say(_for_period("heading.when", choice), {"period": period}, language),
        "scheme": scheme.name,
        "kind": say(f"water.{history.lake.kind}", language=language),
        "window": say(f"heading.window_{window}", language=language),
        "quantity": quantity.name if quantity else "",
        "quantity_inside": name_in_sentence(quantity) if quantity else "",
        "visits": count_text("count.visit", result.visits, language=language),
        "months": count_text("heading.different_month", result.months, language=language),
        "minimum_visits": count_text("count.visit", programme.minimum_visits, language=language),
        "minimum_months": count_text("heading.different_month", programme.minimum_months, language=language),
    }


def _for_period(code: str, choice: Choice) -> str:
    """Return the code of a sentence about one season, or about several together."""
    return code if choice.period.years == 1 else f"{code}_together"


def _with_class(result: ClassResult, cause: str, language: str, values: Mapping[str, object]) -> list[str]:
    values = {
        **values,
        "class_name": capitalised(result.label or ""),
        "also": result.also,
        "sureness": say(f"sureness.{result.sureness}", language=language),
    }
    if result.also:
        codes = ["heading.class_or", f"heading.or_{cause}"]
    elif result.sureness == "cannot_tell":
        codes = ["heading.class_open", "heading.cannot_tell"]
    else:
        codes = ["heading.class"]
        others = {name: share for name, share in result.shares.items() if name != result.label}
        if result.sureness in LESS_THAN_LIKELY and others:
            other = max(others, key=lambda name: others[name])
            behind = others[other] < result.shares[str(result.label)]
            codes.append("heading.next_class" if behind else "heading.other_class")
            values["other"] = other
    return [say(code, values, language) for code in codes]


def _months(
    result: ClassResult, choice: Choice, scheme: ClassScheme, programme: Programme,
    values: Mapping[str, object],
) -> list[str]:  # fmt: skip
    """Return in which months the quantity behind the class was measured."""
    months = months_of_window(result.quantity, scheme, programme)
    if len(months) == 1:
        return []
    visited = _visited(result, months)
    code = "heading.months_missing" if result.missing_months else "heading.months_complete"
    if _sooner_said(visited, result):
        code = "heading.months_visited"
    language = choice.language
    values = {
        **values,
        "first_month": months_text(months[:1], language),
        "last_month": months_text(months[-1:], language),
        "missing_months": months_text(result.missing_months, language),
        "visited_months": months_text(visited, language),
    }
    return [say(_for_period(code, choice), values, language)]


def _visited(result: ClassResult, months: Sequence[int]) -> list[int]:
    return [month for month in months if month not in result.missing_months]


def _sooner_said(visited: Sequence[int], result: ClassResult) -> bool:
    """Return whether so many months are missing that those with a visit are sooner said."""
    return bool(visited) and len(result.missing_months) > MOST_MONTHS_NAMED


def _without_class(
    result: ClassResult, cause: str, choice: Choice, scheme: ClassScheme, programme: Programme,
    values: Mapping[str, object],
) -> list[str]:  # fmt: skip
    language, missing = choice.language, result.missing
    codes = {
        "stream": ["heading.stream", "heading.stream_panels"],
        "too_few_visits": [_for_period(f"heading.{code}", choice) for code in ("too_few_visits", "needed")],
        "year_needed": ["heading.year_needed"],
        "only_limits": [_for_period("heading.only_limits", choice), f"heading.why_{cause}"],
        "no_readings": ["heading.nothing_measured"],
    }.get(missing, [f"heading.{missing}"])
    sentences = [say(code, values, language) for code in codes]
    if missing == "year_needed":
        sentences.append(
            count_text(_for_period("heading.year_open", choice), result.visits, language=language)
        )
    if missing in ("too_few_visits", "year_needed"):
        sentences += _missing_months(result, scheme, programme, language)
    if missing == "year_needed":
        sentences.append(say("heading.year_compare", language=language))
    return sentences


def _missing_months(
    result: ClassResult, scheme: ClassScheme, programme: Programme, language: str
) -> list[str]:
    """Return which months are missing for a class; nothing where none is or all are."""
    visited = _visited(result, months_of_window(scheme.priority[0], scheme, programme))
    if not visited or not result.missing_months:
        return []
    if _sooner_said(visited, result):
        return [say("heading.visits_fell_in", {"visited_months": months_text(visited, language)}, language)]
    values = {"missing_months": months_text(result.missing_months, language)}
    return [count_text("heading.missing_month", len(result.missing_months), values, language)]


def _on_bottom(
    readings: pd.DataFrame, choice: Choice, scheme: ClassScheme, programme: Programme
) -> list[str]:
    """Return on how many of the period's visits the disk was in sight on the bottom."""
    if not (readings["sign"].to_numpy(object) == ">").any():
        return []
    clarity = judged_readings(readings, ("secchi_depth",), choice, scheme, programme)
    on_bottom = clarity[clarity["sign"] == ">"]
    if on_bottom.empty:
        return []
    language = choice.language
    depth = float(on_bottom["value"].median())
    values = {
        "count": on_bottom["taken_on"].nunique(),
        "visits": count_text("count.visit", clarity["taken_on"].nunique(), language=language),
        "depth": reading_text(depth, "=", programme.quantities["secchi_depth"], choice.length_unit, language),
    }
    return [say("heading.on_bottom", values, language)]


def _minds(history: StationHistory, choice: Choice) -> list[str]:
    """Return what to mind: the water's attributes, what waits, the station's place, the last visit."""
    language, lake = choice.language, history.lake
    minds = [
        say(f"heading.{attribute.replace('-', '_')}", language=language)
        for attribute in MINDED
        if attribute in lake.attributes
    ]
    held = int((history.readings["status"].to_numpy(object) == "held").sum())
    if held:
        minds.append(count_text("heading.held", held, language=language))
    if not history.station.is_index and lake.kind != "stream":
        minds.append(say("heading.not_index", {"water": lake.name}, language))
    last = history.readings["taken_on"].to_numpy().max()
    minds.append(say("heading.last_visit", {"date": date_text(last, language)}, language))
    return minds
