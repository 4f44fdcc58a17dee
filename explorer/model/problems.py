"""A problem found in a file: where it stands, what was found, and the sentence that says so."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from explorer.model.words import say

__all__ = ["Problem", "ProblemOf", "Severity", "Source", "describe_problems", "no_problem", "shown_cell"]

Severity = Literal["refuse", "hold", "note"]

MOST_PROBLEMS_SHOWN = 12
LONGEST_FOUND = 60  # characters of a cell that a message shows


@dataclass(frozen=True, slots=True)
class Source:
    """The place of a cell: file, sheet, row and column, and the file's checksum.

    Attributes
    ----------
    file_name : str
        Name of the file without its folder.
    sha256 : str
        Checksum of its bytes, empty where the bytes were not read.
    sheet : str
        Name of the sheet, empty for a text file.
    row : int
        Row as a spreadsheet counts it, the heading is row 1; 0 for the whole file.
    column : str
        Heading of the column, empty for the whole row.

    Examples
    --------
    >>> str(Source("2024.csv", row=14, column="Secchi (m)"))
    '2024.csv, row 14, "Secchi (m)"'
    """

    file_name: str
    sha256: str = ""
    sheet: str = ""
    row: int = 0
    column: str = ""

    def __str__(self) -> str:
        parts = [self.file_name]
        if self.sheet:
            parts.append(f'sheet "{self.sheet}"')
        if self.row:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(f'"{self.column}"')
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong or doubtful in a file; its sentence is `words[problem.<code>]`.

    Attributes
    ----------
    code : str
        Name of the sentence, without the leading "problem.".
    severity : {"refuse", "hold", "note"}
        Whether the cell cannot enter, waits for an answer, or is only pointed out.
    source : Source
        Where it stands.
    found : str
        The text as written.
    values : mapping
        Further numbers and names for the sentence.

    Examples
    --------
    >>> print(Problem("not_a_number", "hold", Source("2024.csv", row=14, column="TP"), "1.8O"))
    2024.csv, row 14, "TP": "1.8O" is not a number. Correct the cell or leave it empty.
    """

    code: str
    severity: Severity
    source: Source
    found: str = ""
    values: Mapping[str, object] = field(default_factory=dict)

    @property
    def sentence(self) -> str:
        """What was found and what to do, without the place."""
        near = str(self.values.get("near", ""))
        quoted = near if ", " in near else f'"{near}"'
        question = say("problem.did_you_mean", {"near": quoted}) if near not in ("", "-") else ""
        return say(f"problem.{self.code}", {"found": self.found, "did_you_mean": question, **self.values})

    def __str__(self) -> str:
        return f"{self.source}: {self.sentence}"


ProblemOf = Callable[[str, Source], Problem | None]  # of a reason and the cell of a reading that has it


def no_problem(reason: str, source: Source) -> Problem | None:
    """Return none: nobody knows more of a reason than its code.

    Examples
    --------
    >>> no_problem("not_a_number", Source("a.csv")) is None
    True
    """
    return None


def describe_problems(problems: Iterable[Problem]) -> str:
    """Return one message for many problems: the first dozen in full, the rest as a count.

    Parameters
    ----------
    problems : iterable of Problem
        In the order in which they shall be read.

    Examples
    --------
    >>> where = Source("2024.csv", row=2, column="TP")
    >>> print(describe_problems([Problem("not_a_number", "hold", where, "?")]))
    2024.csv, row 2, "TP": "?" is not a number. Correct the cell or leave it empty.
    """
    lines = [str(problem) for problem in problems]
    more = len(lines) - MOST_PROBLEMS_SHOWN
    if more > 0:
        lines = [*lines[:MOST_PROBLEMS_SHOWN], f"… and {more} more."]
    return "\n".join(lines)


def shown_cell(text: str) -> str:
    """Return a cell's text as a message shows it: on one line, and cut where it is long.

    Parameters
    ----------
    text : str
        As it stands in the file.

    Examples
    --------
    >>> shown_cell("12 \\n  mg/L"), len(shown_cell("9" * 100))
    ('12 mg/L', 60)
    """
    line = " ".join(text.split())
    return line if len(line) <= LONGEST_FOUND else line[: LONGEST_FOUND - 1] + "…"
