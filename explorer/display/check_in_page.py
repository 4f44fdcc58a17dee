"""What a check-in comes to, before it lands: files, doubts with their cures, sample codes, what differs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from explorer.display.check_in_lines import SEVERITIES, check_title
from explorer.display.numbers import count_text, date_text
from explorer.display.paper_tables import PaperColumn, PaperPage, PaperTable, each_row
from explorer.display.station_words import capitalised
from explorer.model.check_in import CheckedFile, CheckIn
from explorer.model.problems import Problem, Severity, Source
from explorer.model.words import say

__all__ = ["CheckInPage", "build_check_in_page"]


@dataclass(frozen=True, slots=True)
class CheckInPage:
    """A check-in in words.

    Attributes
    ----------
    lead : tuple of str
        What can land, what waits and what does not enter.
    files : PaperTable
        A row a file, with what became of its cells.
    doubts : mapping of str to tuple of PaperTable
        By severity ("hold", "refuse", "note"): a table for each kind of problem, with where it stands and the
        sentence that says what was found and what to do.
    samples : PaperTable
        Every sample code, and where it was found; what does not match stands first.
    differences : PaperTable
        What corrected files change; no rows where none does.
    action : str
        What the button that lets it land says, empty where there is nothing to land.
    """

    lead: tuple[str, ...]
    files: PaperTable
    doubts: Mapping[Severity, tuple[PaperTable, ...]]
    samples: PaperTable
    differences: PaperTable
    action: str

    def paper_page(self, title: str, foot: str, paper: str, language: str) -> PaperPage:
        """Return all of it as a page for paper.

        Parameters
        ----------
        title, foot : str
            Over all, and at the foot of every page.
        paper : str
            "a4" or "letter".
        language : str
            Language of the words.
        """
        doubts = [table for each in SEVERITIES for table in self.doubts[each]]
        tables = [each for each in (self.files, *doubts, self.samples, self.differences) if each.rows]
        return PaperPage(title, self.lead, tuple(tables), (), foot, paper, language, is_turned=True)


def build_check_in_page(checked: CheckIn, quantities: Mapping[str, str], language: str = "en") -> CheckInPage:
    """Return a check-in in words.

    Parameters
    ----------
    checked : CheckIn
        From `explorer.intake.check_in.check_in`.
    quantities : mapping of str to str
        Name of each quantity.
    language : str
        Language of the words.
    """
    doubts = {each: _doubts(checked.problems, each, language) for each in SEVERITIES}
    return CheckInPage(
        lead=tuple(_lead(checked, language)),
        files=_files(checked.files, language),
        doubts=doubts,
        samples=_samples(checked.matches, language),
        differences=_differences(checked.differences, quantities, language),
        action="" if checked.brings_nothing else _action(checked, language),
    )


def _lead(checked: CheckIn, language: str) -> Iterable[str]:
    if checked.brings_nothing:
        yield say("desk.all_known" if checked.files else "desk.no_files", language=language)
        return
    account = checked.account
    values = {name: getattr(account, name) for name in ("read", "accepted", "held", "refused", "empty")}
    yield say("intake.account", values, language)
    yield count_text("desk.lands", len(checked.accepted), language=language)
    yield count_text("desk.waits", len(checked.held), language=language)
    if checked.gone:
        yield count_text("desk.leaves", len(checked.gone), language=language)


def _action(checked: CheckIn, language: str) -> str:
    return say("desk.land", {"accepted": len(checked.accepted), "held": len(checked.held)}, language)


def _columns(names: str, language: str, numbers: str = "", wide: str = "") -> tuple[PaperColumn, ...]:
    return tuple(
        PaperColumn(say(f"desk.column_{name}", language=language), name in numbers.split(), name == wide)
        for name in names.split()
    )


def _files(files: Iterable[CheckedFile], language: str) -> PaperTable:
    rows = []
    for each in files:
        kinds = [say(f"intake.kind_{kind}", language=language) for kind in each.kinds]
        state = say(f"desk.file_{each.told_as}", {"since": each.known_since}, language)
        counts = each.account
        rows.append(
            (
                each.name,
                ", ".join(kinds) or "–",
                state,
                counts.accepted,
                counts.held,
                counts.refused,
                counts.empty,
            )
        )
    numbers = "accepted held refused empty"
    columns = _columns(f"file kind state {numbers}", language, numbers, "file")
    return PaperTable(say("desk.files_title", language=language), (), columns, tuple(rows))


def _doubts(problems: Iterable[Problem], severity: Severity, language: str) -> tuple[PaperTable, ...]:
    """Return the problems of one severity by their code, in the order in which they were found.

    Problems with the same words in one column of a file share a line that names all their rows.
    """
    by_code: dict[str, dict[tuple[Source, str], list[Source]]] = {}
    counts: dict[str, int] = {}
    for problem in problems:
        if problem.severity == severity:
            said = problem.sentence
            column = replace(problem.source, row=0)
            alike = by_code.setdefault(problem.code, {})
            alike.setdefault((column, capitalised(said)), []).append(problem.source)
            counts[problem.code] = counts.get(problem.code, 0) + 1
    columns = _columns("place found", language, wide="found")
    return tuple(
        PaperTable(
            _counted(check_title(code, language), counts[code], language),
            (),
            columns,
            tuple((_place(sources, language), said) for (_, said), sources in alike.items()),
        )
        for code, alike in by_code.items()
    )


def _counted(title: str, count: int, language: str) -> str:
    return say("desk.doubts_title", {"what": capitalised(title), "count": count}, language)


def _place(sources: list[Source], language: str) -> str:
    """Return where alike problems stand: one place, or a column with its rows."""
    first = sources[0]
    if len(sources) == 1:
        return str(first)
    rows = ", ".join(str(each.row) for each in sources)
    values = {"place": replace(first, row=0, column=""), "column": first.column, "rows": rows}
    return say("desk.rows_of_column" if first.column else "desk.rows", values, language)


def _samples(matches: pd.DataFrame, language: str) -> PaperTable:
    order = matches.assign(sound=matches["outcome"] == "matched").sort_values(
        ["sound", "code"], kind="stable"
    )
    rows = tuple(
        (
            row.code,
            row.station_code,
            _day(row.taken_on, language),
            row.on_sheet or "–",
            row.in_freezer or "–",
            row.at_laboratory or "–",
            say(f"desk.sample_{row.outcome}", {"near": row.near}, language)
            + (" " + say("desk.sample_near", {"near": row.near}, language) if row.near else ""),
        )
        for row in each_row(order)
    )
    sound = int(order["sound"].sum())
    said = count_text("desk.samples_sound", sound, {"of": len(order)}, language) if len(order) else ""
    columns = _columns("code station day on_sheet in_freezer at_laboratory outcome", language, "", "outcome")
    return PaperTable(
        say("desk.samples_title", language=language), (said,) if said else (), columns if rows else (), rows
    )


def _differences(differences: pd.DataFrame, quantities: Mapping[str, str], language: str) -> PaperTable:
    rows = tuple(
        (
            row.file_name,
            int(row.row),
            row.station_code,
            _day(row.taken_on, language),
            quantities.get(row.quantity, row.quantity),
            row.before or "–",
            row.after or "–",
            say(f"desk.change_{row.change}", language=language),
        )
        for row in each_row(differences)
    )
    columns = _columns("file row station day quantity before after change", language, "row")
    return PaperTable(say("desk.differences_title", language=language), (), columns if rows else (), rows)


def _day(day: pd.Timestamp, language: str) -> str:
    return "–" if pd.isna(day) else date_text(np.datetime64(day.date()), language)
