"""How do we know? The numbers, limits and sources behind a station's page, in plain text under headings."""

from dataclasses import dataclass

import pandas as pd

from explorer.analysis.usual_range import FEWEST_YEARS
from explorer.display.beside_class import beside_class
from explorer.display.choice import Choice
from explorer.display.class_explanation import average_lines, sureness_lines, value_lines, visit_lines
from explorer.display.explained import Explained, name_in_list
from explorer.display.judged_seasons import judged_period
from explorer.display.left_out import readings_left_out
from explorer.display.numbers import count_text, months_text
from explorer.display.station_page import StationPage
from explorer.display.together import together_lines
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.words import join_words, say

__all__ = ["Section", "explain_station"]


@dataclass(frozen=True, slots=True)
class Section:
    """Some lines under a heading.

    Attributes
    ----------
    title : str
        The heading.
    lines : tuple of str
        Plain text, at least one line.
    """

    title: str
    lines: tuple[str, ...]


def explain_station(
    page: StationPage,
    history: StationHistory,
    seasons: pd.DataFrame,
    result: ClassResult,
    choice: Choice,
    scheme: ClassScheme,
    programme: Programme,
    record_name: str,
) -> tuple[Section, ...]:
    """Return what stands behind a station's page.

    Parameters
    ----------
    page : StationPage
        The page, made from the values that follow.
    history : StationHistory
        The station, its water and all its readings.
    seasons : DataFrame
        The season table of this station, columns of `SEASONS`.
    result : ClassResult
        Its class in `choice.period`, or why there is none.
    choice : Choice
        Period, units and language.
    scheme, programme : ClassScheme, Programme
        The chosen scheme; season and rules.
    record_name : str
        What the record is called on the screen.

    Returns
    -------
    tuple of Section
        The value behind the class, what the scheme's authors say besides, visits, sureness, averages,
        usual range, what goes together, scheme, record; a section that has nothing to say is missing.
    """
    codes = (result.quantity,) if result.quantity else scheme.priority
    kind = history.lake.kind
    judged = {
        code: judged_period(seasons, code, choice.period, scheme, programme, kind)
        for code in codes
        if kind in scheme.kinds
    }
    measured = {code: found for code, found in judged.items() if found.seasons or code == result.quantity}
    explained = Explained(history, result, choice, scheme, programme, measured)
    beside, beside_lines = beside_class(explained, seasons)
    sections = {
        "value": value_lines(explained),
        beside: beside_lines,
        "visits": visit_lines(explained),
        "sureness": sureness_lines(explained),
        "averages": average_lines(explained),
        "usual": _usual_lines(page, choice.language),
        "together": [] if kind == "stream" else together_lines(seasons, choice, programme),
        "scheme": _scheme_lines(explained),
        "record": _record_lines(explained, record_name),
    }
    return tuple(
        Section(explained.say(f"title_{name}"), tuple(lines)) for name, lines in sections.items() if lines
    )


def _usual_lines(page: StationPage, language: str) -> list[str]:
    """Return what the ribbon behind the readings is, and where there is one."""
    drawn = [panel for panel in page.panels if panel.usual_years.size]
    names = join_words([name_in_list(panel.quantity) for panel in drawn], language)
    values = {"fewest_years": FEWEST_YEARS, "quantities": names}
    codes = ("usual_what", "usual_months", "usual_years") if drawn else ("usual_none",)
    return [say(f"explanation.{code}", values, language) for code in codes]


def _scheme_lines(explained: Explained) -> list[str]:
    """Return the scheme's source, what it was made for, and what its file notes."""
    scheme, language = explained.scheme, explained.choice.language
    kinds = [explained.say(f"kinds_{kind}") for kind in scheme.kinds]
    lines = [
        explained.say("source", {"scheme": scheme.name, "source": _one_line(scheme.source)}),
        explained.say("kinds", {"kinds": join_words(kinds, language)}),
    ]
    if not explained.applies:
        kind = say(f"water.{explained.history.lake.kind}", language=language)
        return [*lines, explained.say("not_applied", {"kind": kind})]
    groups: dict[str, list[str]] = {}
    for code in scheme.limits:
        way = explained.say("way", explained.statistic(code))
        groups.setdefault(way, []).append(name_in_list(explained.programme.quantities[code]))
    for way, names in groups.items():
        lines.append(explained.say("made_for", {"way": way, "quantities": join_words(names, language)}))
    return [*lines, _one_line(scheme.note)] if scheme.note.strip() else lines


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _record_lines(explained: Explained, record_name: str) -> list[str]:
    """Return the record, its version and settings, and the readings that are left out."""
    programme = explained.programme
    values = {
        "record": record_name,
        "version": explained.history.version,
        "programme": programme.name,
        "first_month": months_text(programme.season_months[:1], explained.choice.language),
        "last_month": months_text(programme.season_months[-1:], explained.choice.language),
    }
    season = "season_months" if len(programme.season_months) > 1 else "season_month"
    return [
        explained.say("record", values), explained.say(season, values), *_left_out_lines(explained),
    ]  # fmt: skip


def _left_out_lines(explained: Explained) -> list[str]:
    """Return how many of the period's readings are left out, by reason."""
    programme, choice = explained.programme, explained.choice
    left = readings_left_out(
        explained.history.readings, explained.judged, choice.period, explained.scheme, programme
    )
    names = [name_in_list(programme.quantities[code]) for code in explained.judged]
    values = {
        "readings": count_text("explanation.reading", left.readings, language=choice.language),
        "quantities": join_words(names, choice.language) or explained.say("all_quantities"),
        "period": explained.period(),
    }
    if not left.readings:
        return []
    reasons = [
        count_text(f"explanation.left_{reason}", number, language=choice.language)
        for reason, number in left.reasons
    ]
    return [count_text("explanation.left_out", left.count, values, choice.language), *reasons]
