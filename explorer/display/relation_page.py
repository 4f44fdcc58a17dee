"""What goes together, visit by visit: chlorophyll against phosphorus, clarity against chlorophyll."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.pairs import chlorophyll_of_equal_index, clarity_of_equal_index, visit_pairs
from explorer.display.choice import Choice
from explorer.display.numbers import date_text, period_text
from explorer.display.relation_plot import RelationPlot, build_relation_plot
from explorer.display.together import CHLOROPHYLL, together_lines
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.words import say

__all__ = ["RelationPage", "build_relation_page"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RelationPage:
    """What goes together at a station.

    Attributes
    ----------
    plots : tuple of RelationPlot
        Those that have at least one visit.
    days : tuple of (str, str)
        Words and date of every visit on the plots, the latest first.
    days_title : str
        What the words of a visit tell, in their order.
    lines_title : str
        What the lines are about.
    lines : tuple of str
        Carlson's indices and relations in plain words; empty where they are not known.
    message : str
        Why there is no plot, empty where there is one.
    """

    plots: tuple[RelationPlot, ...]
    days: tuple[tuple[str, str], ...]
    days_title: str
    lines_title: str
    lines: tuple[str, ...]
    message: str


def build_relation_page(
    history: StationHistory, seasons: pd.DataFrame, choice: Choice, programme: Programme
) -> RelationPage:
    """Return what goes together at a station.

    Parameters
    ----------
    history : StationHistory
        The station, its water and its readings.
    seasons : DataFrame
        Its season table, columns of `SEASONS`.
    choice : Choice
        Period, units and language.
    programme : Programme
        Names of the quantities, the season, and the step between two indices.

    Returns
    -------
    RelationPage
    """
    readings = history.readings
    counts = {code: int((readings["quantity"] == code).sum()) for code in CHLOROPHYLL}
    chlorophyll = programme.quantities[max(CHLOROPHYLL, key=lambda code: counts[code])]
    clarity, phosphorus = (programme.quantities[code] for code in ("secchi_depth", "total_phosphorus"))
    wanted: tuple[tuple[Quantity, Quantity, Callable[[Floats], Floats]], ...] = (
        (phosphorus, chlorophyll, chlorophyll_of_equal_index),
        (chlorophyll, clarity, clarity_of_equal_index),
    )
    plots = []
    for across, up, equal_index in wanted:
        pairs = visit_pairs(readings, across.code, up.code)
        if len(pairs):
            equal = equal_index if history.lake.kind != "stream" else None
            plots.append(build_relation_plot(pairs, across, up, equal, choice, programme))
    language = choice.language
    shown = {name: None for plot in plots for point in plot.points for name, _ in point.readings}
    names = [name for each in (phosphorus, chlorophyll, clarity) if (name := name_in_sentence(each)) in shown]
    period = period_text(choice.period, programme.season, language)
    return RelationPage(
        plots=tuple(plots),
        days=_days(plots, names, language),
        days_title=say("relation_page.visits", {"quantities": ", ".join(names)}, language),
        lines_title=say("relation_page.lines", {"period": period}, language),
        lines=() if history.lake.kind == "stream" else tuple(together_lines(seasons, choice, programme)),
        message="" if plots else say("relation_page.none", language=language),
    )


def _days(plots: Sequence[RelationPlot], names: Sequence[str], language: str) -> tuple[tuple[str, str], ...]:
    """Return words and date of every visit on the plots, the latest first."""
    read: dict[str, dict[str, str]] = {}
    for point in (point for plot in plots for point in plot.points):
        read.setdefault(point.day, {}).update(point.readings)
    nothing = say("profile.not_read", language=language)
    entries = []
    for day in sorted(read, reverse=True):
        texts = [read[day].get(name, nothing) for name in names]
        date = date_text(np.datetime64(day), language)
        values = {"date": date, "readings": ", ".join(texts)}
        entries.append((say("relation_page.visit", values, language), day))
    return tuple(entries)
