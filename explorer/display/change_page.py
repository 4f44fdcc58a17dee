"""Before and after a date that the reader enters: what differs at a station, quantity by quantity."""

import datetime as dates
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.station_changes import station_changes
from explorer.display.change_words import change_lines
from explorer.display.choice import Choice
from explorer.display.explanation import Section
from explorer.display.numbers import date_text
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["ChangePage", "build_change_page"]


@dataclass(frozen=True, slots=True)
class ChangePage:
    """Before and after a date.

    Attributes
    ----------
    date : str
        As it was entered.
    message : str
        What to do, why nothing is compared, or how it is known.
    title : str
        Heading with the date, empty without one.
    sections : tuple of Section
        One for each quantity.
    """

    date: str
    message: str
    title: str = ""
    sections: tuple[Section, ...] = ()


def build_change_page(
    readings: pd.DataFrame, date: str, shown: Sequence[str], choice: Choice, programme: Programme
) -> ChangePage:
    """Return how the seasons after a date differ from those before it.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, one station.
    date : str
        What the reader entered, ISO 8601; empty for none.
    shown : sequence of str
        Quantities on the panels; they stand first.
    choice : Choice
        Units and language.
    programme : Programme
        Quantities and season.

    Returns
    -------
    ChangePage
    """
    language = choice.language
    if not date.strip():
        return ChangePage(date, say("change_page.words", language=language))
    try:
        day = np.datetime64(dates.date.fromisoformat(date.strip()), "D")
    except ValueError:
        return ChangePage(date, say("change_page.no_date", {"text": date}, language))
    found = {each.quantity: each for each in station_changes(readings, day, programme)}
    known = [found[code] for code in dict.fromkeys((*shown, *programme.quantities)) if code in found]
    if not known:
        return ChangePage(date, say("trend_page.nothing", language=language))
    sections = []
    for each in known:
        quantity = programme.quantities[each.quantity]
        lines = change_lines(each, quantity, length_unit=choice.length_unit, language=language)
        sections.append(Section(quantity.name, lines))
    title = say("change_page.title", {"date": date_text(day, language)}, language)
    return ChangePage(date, say("change_page.cause", language=language), title, tuple(sections))
