"""What a season still lacks: planned results that are not there, by station and month."""

from datetime import date

import numpy as np

from explorer.display.numbers import count_text
from explorer.display.paper_tables import Cell, PaperColumn, PaperPage, PaperTable, each_row
from explorer.display.quality_page import plan_sentence, visit_table
from explorer.display.record_facts import RecordFacts
from explorer.intake.season_report import SeasonReport
from explorer.model.words import join_words, say

__all__ = ["build_lacking_page"]


def build_lacking_page(report: SeasonReport, facts: RecordFacts, *, today: date) -> PaperPage:
    """Return the list of what was planned for a season and is not there.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    facts : RecordFacts
        The record that they come from.
    today : date
        Months after it are still to come.
    """
    language = report.programme.office_language
    season = report.programme.season.label(report.year)
    title = say("lacking.title", {"season": season}, language)
    rows = _rows(report, today, language)
    columns = [
        say(f"lacking.{code}", language=language) for code in ("station", "month", "visits", "what", "note")
    ]
    sentence = count_text("lacking.count", len(rows), language=language)
    table = PaperTable(
        title,
        (sentence,),
        tuple(PaperColumn(name, is_wide=place == 3) for place, name in enumerate(columns)),
        tuple(rows),
    )
    return PaperPage(
        title=title,
        lead=(plan_sentence(report), *visit_table(report).sentences[:1]),
        tables=(table,),
        foot=facts.line(language),
        paper=report.programme.label_sheet.page,
        language=language,
    )


def _rows(report: SeasonReport, today: date, language: str) -> list[tuple[Cell, ...]]:
    found = report.quality.completeness
    found = found[(found["measured"] < found["planned"]).to_numpy()]
    quantities = report.programme.quantities
    rows: list[tuple[Cell, ...]] = []
    for _, own in found.groupby(["station_code", "month"], sort=False):
        first = own.iloc[0]
        month = int(first["month"])
        names = [quantities[row.quantity].name for row in each_row(own)]
        whole = bool(first["visited"] == 0)
        what = say("lacking.everything", language=language) if whole else join_words(names, language)
        held = [quantities[row.quantity].name for row in each_row(own[(own["waiting"] > 0).to_numpy()])]
        start = _first_day(report, month)
        code = "to_come" if start > np.datetime64(today) else "held" if held else ""
        note = say(f"lacking.{code}", {"what": join_words(held, language)}, language) if code else ""
        visits = say("lacking.visits_of", {"made": first["visited"], "planned": first["planned"]}, language)
        rows.append(
            (str(first["station_code"]), say(f"month.{month}", language=language), visits, what, note)
        )
    return rows


def _first_day(report: SeasonReport, month: int) -> np.datetime64:
    """Return the first day of a month of the season's year."""
    start = report.first.astype("datetime64[M]")
    behind = (month - 1 - int(start.astype(int)) % 12) % 12
    return np.datetime64(start + behind, "D")
