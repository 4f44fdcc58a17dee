"""A season's quality report: tables of numbers, from which the PDF and the file for spreadsheets come."""

from datetime import date

import numpy as np

from explorer.analysis.completeness import completeness_percent
from explorer.display.numbers import number_text
from explorer.display.paper_tables import Amount, Cell, PaperColumn, PaperPage, PaperTable, Share, each_row
from explorer.display.quality_review import review_tables
from explorer.display.quality_samples import sample_tables
from explorer.display.quality_words import QualityWords
from explorer.display.record_facts import SOFTWARE, RecordFacts
from explorer.intake.season_report import SeasonReport
from explorer.model.words import say

__all__ = ["build_quality_page", "nothing_taken", "plan_sentence", "visit_table"]

MONTHS_ABREAST = 6  # of which three parts stand beside one another on a page


def build_quality_page(report: SeasonReport, facts: RecordFacts, *, made_on: date) -> PaperPage:
    """Return the quality report of a season.

    Parameters
    ----------
    report : SeasonReport
        Its numbers.
    facts : RecordFacts
        The record that they come from.
    made_on : date
        Day of making.
    """
    words = QualityWords(report)
    season = report.programme.season.label(report.year)
    days = {"first": words.day(report.first), "last": words.day(report.last)}
    version = {
        "record": facts.name, "version": facts.version, "settings": facts.settings_hash,
        "software": SOFTWARE, "made_on": words.day(np.datetime64(made_on, "D")),
    }  # fmt: skip
    tables = (
        visit_table(report),
        _result_table(report, words),
        _status_table(report, words),
        *sample_tables(report),
        *review_tables(report, words),
    )
    lead = [words.say("lead", programme=report.programme.name, **days), plan_sentence(report)]
    if report.lone:
        lead.append(words.say("lone", count=report.lone))
    return PaperPage(
        title=words.say("title", season=season),
        lead=(*lead, words.say("record", **version)),
        tables=tables,
        foot=f"{words.say('title', season=season)}. {facts.line(words.language)}",
        paper=report.programme.label_sheet.page,
        language=words.language,
    )


def plan_sentence(report: SeasonReport) -> str:
    """Return where the plan comes from against which the season is held.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    """
    code = "plan_written" if report.programme.plan.is_written else "plan_usual"
    return say(f"quality.{code}", language=report.programme.office_language)


def nothing_taken(report: SeasonReport) -> str:
    """Return the sentence that says that a season holds nothing.

    Parameters
    ----------
    report : SeasonReport
        A season without readings.
    """
    words = QualityWords(report)
    days = {"first": words.day(report.first), "last": words.day(report.last)}
    return words.say("no_readings", season=report.programme.season.label(report.year), **days)


def visit_table(report: SeasonReport) -> PaperTable:
    """Return the visits of every station and month against the plan.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    """
    language = report.programme.office_language
    visits = report.quality.completeness.drop_duplicates(["station_code", "month"])
    first = report.programme.season.first_month_of_year
    months = sorted(visits["month"].unique().tolist(), key=lambda month: (month - first) % 12)
    by_place = {(row.station_code, row.month): Share(row.visited, row.planned) for row in each_row(visits)}
    rows: list[tuple[Cell, ...]] = [
        (code, *(by_place.get((code, month), "") for month in months)) for code in report.plan
    ]
    made = int(np.minimum(visits["visited"], visits["planned"]).sum())
    percent = completeness_percent(visits["planned"], visits["visited"])
    shown = number_text(percent, 1) if percent == percent else "–"
    values = {"made": made, "planned": int(visits["planned"].sum()), "percent": shown}
    columns = [PaperColumn(say("quality.station", language=language))]
    columns += [PaperColumn(say(f"month_short.{month}", language=language), True) for month in months]
    return PaperTable(
        say("quality.visits", language=language),
        (say("quality.visits_sentence", values, language),),
        tuple(columns),
        tuple(rows),
        abreast=3 if len(months) <= MONTHS_ABREAST else 2,
    )


def _result_table(report: SeasonReport, words: QualityWords) -> PaperTable:
    rows: list[tuple[Cell, ...]] = []
    for quantity, own in report.quality.completeness.groupby("quantity", sort=True):
        counted = np.minimum(own["measured"], own["planned"])
        percent = Amount(completeness_percent(own["planned"], own["measured"]), 1)
        cells = (int(own["planned"].sum()), int(counted.sum()), int(own["waiting"].sum()), percent)
        rows.append((words.name(str(quantity)), *cells))
    columns = (
        words.column("quantity", wide=True),
        *words.numbers("planned", "measured", "held_or_rejected", "percent"),
    )
    return PaperTable(words.say("results"), (words.say("results_sentence"),), columns, tuple(rows))


def _status_table(report: SeasonReport, words: QualityWords) -> PaperTable:
    names = ("preliminary", "accepted", "accepted with a remark", "held", "rejected", "below")
    rows: list[tuple[Cell, ...]] = [
        (words.name(str(quantity)), *(int(row[name]) for name in names))
        for quantity, row in report.quality.statuses.iterrows()
    ]
    titles = words.numbers("preliminary", "accepted", "remarked", "held", "rejected", "below")
    columns = (words.column("quantity", wide=True), *titles)
    return PaperTable(words.say("statuses"), (words.say("statuses_sentence"),), columns, tuple(rows))
