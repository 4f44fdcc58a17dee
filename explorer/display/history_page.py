"""A record's past in words: its changes, the files that came in, and how one reading came to stand so."""

import csv
import io
from collections.abc import Iterable, Mapping

import pandas as pd

from explorer.display.numbers import reading_text
from explorer.display.paper_tables import PaperColumn, PaperTable, each_row
from explorer.display.reason_words import reason_text
from explorer.display.spreadsheet_text import guarded
from explorer.model.problems import ProblemOf, no_problem
from explorer.model.quantities import Quantity
from explorer.model.record_changes import ReadingState, RecordChange
from explorer.model.words import has_words, say

__all__ = ["change_table", "file_table", "state_table", "states_csv"]


def _table(name: str, columns: str, rows: Iterable[tuple[str | int, ...]], language: str) -> PaperTable:
    titles = (say(f"history.{each}", language=language) for each in columns.split())
    made = tuple(
        PaperColumn(title, each in ("version", "readings", "bytes"), each in ("why", "file", "place"))
        for title, each in zip(titles, columns.split(), strict=True)
    )
    return PaperTable(say(f"history.{name}", language=language), (), made, tuple(rows))


def _kind(kind: str, language: str) -> str:
    code = f"quality.change_{kind.replace('-', '_').replace(' ', '_')}"
    return say(code, language=language) if has_words(code, language) else kind


def _facts(change: RecordChange, language: str) -> tuple[str | int, ...]:
    """Return version, time, kind, hand and reason of a change."""
    who = change.who or say("origin.nobody", language=language)
    when = change.at.replace("T", " ")[:16]
    return change.change_id, when, _kind(change.kind, language), who, change.why


def change_table(
    changes: Iterable[RecordChange], readings: Mapping[int, int], language: str = "en"
) -> PaperTable:
    """Return every change of a record, the latest first.

    Parameters
    ----------
    changes : iterable of RecordChange
        The first one first.
    readings : mapping of int to int
        How many readings entered with each.
    language : str
        Language of the words.
    """
    rows = [(*_facts(each, language), readings.get(each.change_id, 0), each.software) for each in changes]
    return _table("changes", "version when what who why readings software", reversed(rows), language)


def file_table(files: pd.DataFrame, language: str = "en") -> PaperTable:
    """Return the files whose bytes a record keeps, the latest first.

    Parameters
    ----------
    files : DataFrame
        Columns of `explorer.records.past.FILES`.
    language : str
        Language of the words.
    """
    rows = []
    for row in each_row(files.iloc[::-1]):
        stands = say("history.stands", language=language)
        left = say("history.left", {"version": row.left_in}, language)
        rows.append(
            (row.name, int(row.entered_in), left if row.left_in else stands, int(row.bytes), row.sha256)
        )
    return _table("files", "file version state bytes checksum", rows, language)


def state_table(
    states: Iterable[ReadingState],
    quantities: Mapping[str, Quantity],
    language: str = "en",
    problem_of: ProblemOf = no_problem,
) -> PaperTable:
    """Return how a reading came to stand as it does, the first state first.

    Parameters
    ----------
    states : iterable of ReadingState
        From `explorer.records.past.reading_history`.
    quantities : mapping of str to Quantity
        What the programme measures.
    language : str
        Language of the words.
    problem_of : callable
        Finds the problem that a reading waits for.
    """
    rows = []
    for each in states:
        quantity = quantities.get(each.quantity)
        value = reading_text(each.value, each.sign, quantity, quantity.unit, language) if quantity else ""
        status = say(f"keep.status_{each.status.replace(' ', '_')}", language=language)
        reason = reason_text(each.reason, each.source, each.as_written, problem_of)
        rows.append(
            (
                *_facts(each.change, language), f"{each.station_code or '–'} {each.taken_on or '–'}",
                quantity.name if quantity else each.quantity or "–", value,
                f"{status}: {reason}" if reason else status, f'{each.source}: "{each.as_written}"',
            )
        )  # fmt: skip
    return _table("states", "version when what who why reading quantity value status place", rows, language)


def states_csv(readings: pd.DataFrame) -> bytes:
    """Return a station's readings as a record once held them, as text that spreadsheets open.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, values in record units.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, cells parted by commas.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(readings.columns)
    texts = readings.assign(taken_on=readings["taken_on"].dt.strftime("%Y-%m-%d"))
    for row in texts.itertuples(index=False):
        writer.writerow(["" if pd.isna(cell) else guarded(str(cell)) for cell in row])
    return out.getvalue().encode("utf-8-sig", errors="replace")
