"""A check-in in words: a line for every file, what it changes, and every doubt as a table to work through."""

import csv
import io
from collections.abc import Sequence

from explorer.display.spreadsheet_text import guarded
from explorer.model.check_in import CellAccount, CheckedFile, CheckIn
from explorer.model.problems import Problem, Severity
from explorer.model.words import has_words, join_words, say

__all__ = [
    "SEVERITIES",
    "check_in_lines",
    "check_title",
    "difference_lines",
    "problem_lines",
    "problems_csv",
]

PROBLEM_COLUMNS = (
    "what_happens", "file", "sheet", "row", "column", "found", "times", "rows", "problem", "sentence", "code",
)  # fmt: skip
MOST_DIFFERENCES = 20
MOST_ALIKE = 3  # so that a doubt met a hundred times does not hide the one met once
SEVERITIES: tuple[Severity, ...] = ("hold", "refuse", "note")  # what waits for an answer is read first


def check_title(code: str, language: str = "en") -> str:
    """Return the short title of a check or of what reading points out; the code itself without one.

    Parameters
    ----------
    code : str
        Code of a problem.
    language : str
        Language of the words.

    Examples
    --------
    >>> check_title("deeper_than_bottom"), check_title("not_a_date")
    ('The disk deeper than the bottom', 'What is no date')
    """
    title = f"check.{code}"
    return say(title, language=language) if has_words(title, language) else code.replace("_", " ")


def check_in_lines(checked: CheckIn, language: str = "en") -> tuple[str, ...]:
    """Return one line for every file, and one for all of them.

    Parameters
    ----------
    checked : CheckIn
        What would land.
    language : str
        Language of the words.
    """
    lines = [_file_line(each, language) for each in checked.files]
    counts = {"accepted": len(checked.accepted), "held": len(checked.held)}
    return (*lines, _account(checked.account, language), say("intake.readings", counts, language))


def _file_line(file: CheckedFile, language: str) -> str:
    kinds = [say(f"intake.kind_{kind}", language=language) for kind in file.kinds]
    values = {
        "name": file.name,
        "kinds": join_words(kinds, language),
        "change": file.known_since,
        "account": _account(file.account, language),
    }
    return say(f"intake.file_{file.told_as}", values, language)


def _account(account: CellAccount, language: str) -> str:
    names = ("read", "accepted", "held", "refused", "empty")
    return say("intake.account", {name: getattr(account, name) for name in names}, language)


def difference_lines(checked: CheckIn, language: str = "en") -> tuple[str, ...]:
    """Return what corrected files change, a line each; beyond a score only how many more.

    Parameters
    ----------
    checked : CheckIn
        What would land.
    language : str
        Language of the words.
    """
    lines = []
    for row in checked.differences.head(MOST_DIFFERENCES).to_dict("records"):
        day = "" if row["taken_on"] != row["taken_on"] else f"{row['taken_on']:%Y-%m-%d}"
        values = {**row, "taken_on": day, "quantity": str(row["quantity"]).replace("_", " ")}
        lines.append(
            say(f"intake.difference_{row['change']}", {str(k): v for k, v in values.items()}, language)
        )
    more = len(checked.differences) - MOST_DIFFERENCES
    return (*lines, *([say("intake.differences_more", {"count": more}, language)] if more > 0 else []))


def problem_lines(problems: Sequence[Problem], language: str = "en") -> tuple[str, ...]:
    """Return the doubts in words, kind by kind: what waits for an answer first, the first few of each kind.

    Parameters
    ----------
    problems : sequence of Problem
        In the order in which they were found.
    language : str
        Language of the words.

    Examples
    --------
    >>> from explorer.model.problems import Source
    >>> known = [Problem("reading_known", "refuse", Source("a.csv", "", row=row)) for row in range(2, 9)]
    >>> lines = problem_lines([*known, Problem("no_station", "hold", Source("a.csv", "", row=9))])
    >>> len(lines), lines[0].startswith("[waits] a.csv, row 9"), lines[-1]
    (5, True, '… and 4 more like this: A reading that the record holds already.')
    """
    kinds: dict[tuple[int, str], list[Problem]] = {}
    for problem in problems:
        kinds.setdefault((SEVERITIES.index(problem.severity), problem.code), []).append(problem)
    lines: list[str] = []
    for (_, code), alike in sorted(kinds.items(), key=lambda kind: kind[0][0]):
        shown = alike if len(alike) == MOST_ALIKE + 1 else alike[:MOST_ALIKE]
        for problem in shown:
            lines.append(f"[{say(f'intake.severity_{problem.severity}', language=language)}] {problem}")
        if len(alike) > len(shown):
            values = {"count": len(alike) - len(shown), "title": check_title(code, language)}
            lines.append(say("intake.problems_alike", values, language))
    return tuple(lines)


def problems_csv(problems: tuple[Problem, ...], language: str = "en") -> bytes:
    """Return every doubt as a table to work through in a spreadsheet.

    Parameters
    ----------
    problems : tuple of Problem
        In the order in which they shall be read.
    language : str
        Language of the words.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, cells parted by commas. Text that a spreadsheet would take for a formula
        has an apostrophe before it.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(PROBLEM_COLUMNS)
    for problem in problems:
        place = problem.source
        sentence = str(problem).removeprefix(f"{place}: ")
        cells = (
            say(f"intake.severity_{problem.severity}", language=language), place.file_name, place.sheet,
            str(place.row or ""), place.column, problem.found, str(problem.values.get("count", 1)),
            str(problem.values.get("rows", place.row or "")), check_title(problem.code, language), sentence,
            problem.code,
        )  # fmt: skip
        writer.writerow([guarded(cell) for cell in cells])
    return text.getvalue().encode("utf-8-sig", errors="replace")
