"""The part of a quality report that says how the record came about: reasons, corrections, people, methods."""

import pandas as pd

from explorer.display.paper_tables import Cell, PaperTable, each_row
from explorer.display.quality_words import QualityWords
from explorer.intake.season_report import SeasonReport
from explorer.model.quality_rules import QualityRules
from explorer.model.words import has_words, say, word_codes

__all__ = ["reason_text", "review_tables"]

CHECKSUM_LETTERS = 12


def review_tables(report: SeasonReport, words: QualityWords) -> tuple[PaperTable, ...]:
    """Return what was held and corrected, who reviewed the season, its methods, sources and files.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    words : QualityWords
        Its words.
    """
    return (
        _waiting_table(report, words),
        _correction_table(report, words),
        _change_table(report, words),
        _method_table(report, words),
        _source_table(report, words),
        _file_table(report, words),
    )


def _waiting_table(report: SeasonReport, words: QualityWords) -> PaperTable:
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
    if not has_words(f"problem.{reason}", language):
        return reason
    sentence = say(f"problem.{reason}", _Unsaid(found="…"), language)
    return sentence.partition(". ")[0].rstrip(".") + "."


class _Unsaid(dict[str, object]):
    """Values of a sentence of which only the kind is asked."""

    def __missing__(self, key: str) -> str:
        return "…"


def _correction_table(report: SeasonReport, words: QualityWords) -> PaperTable:
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


def _status(status: str, words: QualityWords) -> str:
    return say(f"keep.status_{status.replace(' ', '_')}", language=words.language)


def _change_table(report: SeasonReport, words: QualityWords) -> PaperTable:
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


def _method_table(report: SeasonReport, words: QualityWords) -> PaperTable:
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


def _source_table(report: SeasonReport, words: QualityWords) -> PaperTable:
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


def _file_table(report: SeasonReport, words: QualityWords) -> PaperTable:
    rows: list[tuple[Cell, ...]] = [
        (row.file_name, row.sha256[:CHECKSUM_LETTERS], int(row.readings)) for row in each_row(report.files)
    ]
    columns = (words.column("file", wide=True), words.column("checksum"), *words.numbers("readings"))
    return PaperTable(words.say("files"), (), columns, tuple(rows))
