"""A season's quality report: tables of numbers, from which the PDF and the file for spreadsheets come."""

from collections.abc import Mapping
from datetime import date

import numpy as np
import pandas as pd

from explorer.analysis.completeness import completeness_percent
from explorer.display.numbers import date_text, number_text, reading_text
from explorer.display.paper_tables import Amount, Cell, PaperColumn, PaperPage, PaperTable, Share, each_row
from explorer.display.quality_samples import sample_tables
from explorer.display.record_facts import SOFTWARE, RecordFacts
from explorer.intake.season_report import SeasonReport
from explorer.model.quality_rules import QualityRules
from explorer.model.quantities import Quantity
from explorer.model.words import say, word_codes

__all__ = ["build_quality_page", "nothing_taken", "plan_sentence", "reason_text", "visit_table"]

CHECKSUM_LETTERS = 12
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
    words = _Words(report)
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
        _waiting_table(report, words),
        _correction_table(report, words),
        _change_table(report, words),
        _method_table(report, words),
        _source_table(report, words),
        _file_table(report, words),
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
    return say(f"quality.{code}", language=report.programme.language)


def nothing_taken(report: SeasonReport) -> str:
    """Return the sentence that says that a season holds nothing.

    Parameters
    ----------
    report : SeasonReport
        A season without readings.
    """
    words = _Words(report)
    days = {"first": words.day(report.first), "last": words.day(report.last)}
    return words.say("no_readings", season=report.programme.season.label(report.year), **days)


class _Words:
    """The report's words, quantities and units in the programme's language."""

    def __init__(self, report: SeasonReport) -> None:
        self.language = report.programme.language
        self.quantities: Mapping[str, Quantity] = report.programme.quantities
        self.length_unit = report.programme.length_unit

    def say(self, code: str, **values: object) -> str:
        return say(f"quality.{code}", values, self.language)

    def column(self, code: str, *, number: bool = False, wide: bool = False) -> PaperColumn:
        return PaperColumn(self.say(code), number, wide)

    def numbers(self, *codes: str) -> tuple[PaperColumn, ...]:
        return tuple(self.column(code, number=True) for code in codes)

    def name(self, code: str) -> str:
        return self.quantities[code].name if code in self.quantities else code

    def day(self, day: np.datetime64) -> str:
        return date_text(day, self.language)

    def reading(self, value: float, sign: str, quantity: str) -> str:
        return reading_text(value, sign, self.quantities[quantity], self.length_unit, self.language)


def visit_table(report: SeasonReport) -> PaperTable:
    """Return the visits of every station and month against the plan.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    """
    language = report.programme.language
    visits = report.quality.completeness.drop_duplicates(["station_code", "month"])
    first = 7 if report.programme.season.crosses_new_year else 1
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


def _result_table(report: SeasonReport, words: _Words) -> PaperTable:
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


def _status_table(report: SeasonReport, words: _Words) -> PaperTable:
    names = ("preliminary", "accepted", "accepted with a remark", "held", "rejected", "below")
    rows: list[tuple[Cell, ...]] = [
        (words.name(str(quantity)), *(int(row[name]) for name in names))
        for quantity, row in report.quality.statuses.iterrows()
    ]
    titles = words.numbers("preliminary", "accepted", "remarked", "held", "rejected", "below")
    columns = (words.column("quantity", wide=True), *titles)
    return PaperTable(words.say("statuses"), (words.say("statuses_sentence"),), columns, tuple(rows))


def _waiting_table(report: SeasonReport, words: _Words) -> PaperTable:
    rows: list[tuple[Cell, ...]] = [
        (words.say(row.status), reason_text(str(row.reason), words.language), words.name(row.quantity),
         int(row.readings))
        for row in each_row(report.quality.waiting)
    ]  # fmt: skip
    columns = (words.column("status"), words.column("reason", wide=True), words.column("quantity"))
    sentences = () if rows else (words.say("waiting_none"),)
    return PaperTable(words.say("waiting"), sentences, (*columns, *words.numbers("readings")), tuple(rows))


def reason_text(reason: str, language: str) -> str:
    """Return why a reading is held or rejected: the sentence of a code, or the remark as it was typed.

    Parameters
    ----------
    reason : str
        As in the record.
    language : str
        Language of the words.

    Examples
    --------
    >>> reason_text("bottle broke", "en"), reason_text("", "en")
    ('bottle broke', 'not said')
    >>> reason_text("limit_missing", "en")
    '"…" says that nothing could be measured, but not the limit.'
    """
    if not reason:
        return say("quality.unsaid", language=language)
    if f"problem.{reason}" not in word_codes(language):
        return reason
    sentence = say(f"problem.{reason}", _Unsaid(found="…"), language)
    return sentence.partition(". ")[0].rstrip(".") + "."


class _Unsaid(dict[str, object]):
    """Values of a sentence of which only the kind is asked."""

    def __missing__(self, key: str) -> str:
        return "…"


def _correction_table(report: SeasonReport, words: _Words) -> PaperTable:
    rows: list[tuple[Cell, ...]] = []
    for row in each_row(report.corrections):
        before = (
            f"{words.reading(row.old_value, row.old_sign, row.quantity)}, {_status(row.old_status, words)}"
        )
        after = (
            f"{words.reading(row.new_value, row.new_sign, row.quantity)}, {_status(row.new_status, words)}"
        )
        place = (row.station_code, words.name(row.quantity), row.taken_on)
        rows.append((row.made_at[:10], row.who or words.say("unsaid"), *place, before, after, row.why))
    named = ("when", "who", "station", "quantity", "date", "before", "after")
    columns = (*(words.column(name) for name in named), words.column("why", wide=True))
    sentence = words.say("corrections_sentence" if rows else "corrections_none")
    return PaperTable(words.say("corrections"), (sentence,), columns, tuple(rows))


def _status(status: str, words: _Words) -> str:
    return say(f"keep.status_{status.replace(' ', '_')}", language=words.language)


def _change_table(report: SeasonReport, words: _Words) -> PaperTable:
    known = set(word_codes(words.language))
    rows: list[tuple[Cell, ...]] = []
    for row in each_row(report.changes):
        code = f"change_{row.kind.replace('-', '_')}"
        what = words.say(code) if f"quality.{code}" in known else row.kind
        who = row.who or words.say("unsaid")
        rows.append((row.made_at[:10], who, what, row.why, row.software, int(row.readings)))
    named = (words.column(code, wide=code == "why") for code in ("when", "who", "what", "why", "software"))
    columns = (*named, *words.numbers("readings"))
    return PaperTable(words.say("changes"), (words.say("changes_sentence"),), columns, tuple(rows))


def _method_table(report: SeasonReport, words: _Words) -> PaperTable:
    rows: list[tuple[Cell, ...]] = []
    for row in each_row(report.quality.methods):
        limits = (
            _range(row.detection_low, row.detection_high),
            _range(row.reporting_low, row.reporting_high),
        )
        unit = words.quantities[row.quantity].unit if row.quantity in words.quantities else ""
        days = (str(row.first_on)[:10], str(row.last_on)[:10])
        name = row.method or words.say("method_unsaid")
        rows.append((words.name(row.quantity), name, int(row.readings), *days, *limits, unit))
    columns = (words.column("quantity"), words.column("method", wide=True), *words.numbers("readings"),
               words.column("first_on"), words.column("last_on"), *words.numbers("detection", "reporting"),
               words.column("unit"))  # fmt: skip
    return PaperTable(words.say("methods"), (words.say("methods_sentence"),), columns, tuple(rows))


def _range(low: float, high: float) -> str:
    if pd.isna(low):
        return ""
    return f"{low:g}" if low == high else f"{low:g} – {high:g}"


def _source_table(report: SeasonReport, words: _Words) -> PaperTable:
    rules = report.programme.quality
    holding = report.quality.holding
    stated = holding[holding["limit_days"].notna()].drop_duplicates(["quantity", "source"])
    lines = [words.say("sources_duplicates")]
    lines += [f"{words.name(row.quantity)}: {row.source}." for row in each_row(stated)]
    changed = [
        f"{name} = {value}"
        for name, value in (
            ("duplicate_limit_percent", f"{rules.duplicate_limit_percent:g}"),
            ("blank_limit", rules.blank_limit),
        )
        if getattr(rules, name) != getattr(QualityRules(), name)
    ]
    if changed:
        lines.append(words.say("sources_own", changed=", ".join(changed)))
    return PaperTable(words.say("sources"), tuple(lines))


def _file_table(report: SeasonReport, words: _Words) -> PaperTable:
    rows: list[tuple[Cell, ...]] = [
        (row.file_name, row.sha256[:CHECKSUM_LETTERS], int(row.readings)) for row in each_row(report.files)
    ]
    columns = (words.column("file", wide=True), words.column("checksum"), *words.numbers("readings"))
    return PaperTable(words.say("files"), (), columns, tuple(rows))
