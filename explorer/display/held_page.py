"""The readings of a record that wait for an answer, in words: where each stands, and what was doubted."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.display.numbers import date_text
from explorer.display.paper_tables import each_row
from explorer.display.reason_words import reason_text
from explorer.model.problems import ProblemOf, Source, no_problem
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["WaitingChoice", "WaitingPage", "build_waiting_page"]


@dataclass(frozen=True, slots=True)
class WaitingChoice:
    """One reading that waits.

    Attributes
    ----------
    reading_id : int
        Its id.
    option : str
        Its line in a list: station, day, quantity and the text as written.
    what : str
        Where it stands, and what was doubted.
    unit : str
        Unit in which the record keeps its value.
    """

    reading_id: int
    option: str
    what: str
    unit: str


@dataclass(frozen=True, slots=True)
class WaitingPage:
    """Readings that wait.

    Attributes
    ----------
    choices : tuple of WaitingChoice
        The latest ones.
    count : int
        How many wait in all.
    """

    choices: tuple[WaitingChoice, ...]
    count: int


def build_waiting_page(
    waiting: pd.DataFrame,
    count: int,
    names: Mapping[str, str],
    quantities: Mapping[str, Quantity],
    language: str = "en",
    problem_of: ProblemOf = no_problem,
) -> WaitingPage:
    """Return the readings that wait, in words.

    Parameters
    ----------
    waiting : DataFrame
        Columns of `explorer.records.waiting.WAITING`.
    count : int
        How many wait in all.
    names : mapping of str to str
        Name of each station, with its water.
    quantities : mapping of str to Quantity
        What the programme measures.
    language : str
        Language of the words.
    problem_of : callable
        Finds the problem that a reading waits for.
    """

    def said(code: str, **values: object) -> str:
        return say(f"desk.decide_{code}", values, language)

    choices = []
    for row in each_row(waiting):
        quantity = quantities.get(row.quantity)
        day = (
            said("undated")
            if pd.isna(row.taken_on)
            else date_text(np.datetime64(row.taken_on.date()), language)
        )
        values = {
            "station": names.get(row.station_code) or row.sample_code or said("nowhere"),
            "day": day,
            "quantity": quantity.name if quantity else row.quantity or said("unknown"),
            "text": row.as_written,
        }
        source = Source(row.file_name, row.sha256, row.sheet, int(row.row), row.column)
        what = said("what", place=source, reason=reason_text(row.reason, source, row.as_written, problem_of))
        unit = quantity.unit if quantity else ""
        choices.append(WaitingChoice(int(row.reading_id), said("option", **values), what, unit))
    return WaitingPage(tuple(choices), count)
