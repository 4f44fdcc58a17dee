"""What is found wrong or doubtful while files are read, alike cells together, and the count of all cells."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from explorer.model.errors import RecordError
from explorer.model.problems import Problem, Severity, Source, describe_problems, shown_cell
from explorer.model.words import say

__all__ = ["CellCount", "Findings", "opening_messages"]


@dataclass(slots=True)
class CellCount:
    """What became of the cells that state a value: read = entered + held + refused + empty.

    Attributes
    ----------
    read : int
        Cells under the columns that state values.
    entered, held, refused, empty : int
        What became of them.
    """

    read: int = 0
    entered: int = 0
    held: int = 0
    refused: int = 0
    empty: int = 0

    def count(self, statuses: Iterable[str]) -> None:
        """Count cells that became entries, by the entries' status."""
        for status in statuses:
            if status == "held":
                self.held += 1
            else:
                self.entered += 1


@dataclass(slots=True)
class Findings:
    """Collects problems; cells of one column with the same problem count as one problem with a number.

    Attributes
    ----------
    cells : CellCount
        What became of the cells so far.

    Examples
    --------
    >>> findings = Findings()
    >>> for row in (2, 5):
    ...     findings.add("not_a_number", "hold", Source("a.csv", row=row, column="TP"), "?")
    >>> [(problem.source.row, problem.values["count"]) for problem in findings.problems]
    [(2, 2)]
    """

    cells: CellCount = field(default_factory=CellCount)
    _grouped: dict[tuple[str, ...], Problem] = field(default_factory=dict)

    def add(
        self, code: str, severity: Severity, source: Source, found: str = "", count: int = 1, **values: Any
    ) -> None:
        """Note a problem; one that differs only by its row is counted with the first.

        Parameters
        ----------
        code, severity, source, found, **values
            As in `Problem`.
        count : int
            Number of cells it stands for.
        """
        shown = shown_cell(found)
        alike = "" if severity == "hold" else shown
        key = (
            code,
            severity,
            source.file_name,
            source.column,
            alike,
            *(str(values[name]) for name in values),
        )
        if key in self._grouped:
            before = self._grouped[key]
            count += int(str(before.values["count"]))
            self._grouped[key] = replace(before, values={**before.values, "count": count})
        else:
            self._grouped[key] = Problem(code, severity, source, shown, {**values, "count": count})

    def add_problem(self, problem: Problem) -> None:
        """Note a problem that is made already."""
        self.add(
            problem.code, problem.severity, problem.source, problem.found, **dict[str, Any](problem.values)
        )

    @property
    def problems(self) -> tuple[Problem, ...]:
        """All problems, in the order in which they were first met."""
        return tuple(self._grouped.values())

    def raise_refusals(self) -> None:
        """Raise if anything was found that keeps the files from being a record.

        Raises
        ------
        RecordError
            One message with every such problem.
        """
        refusals = [problem for problem in self.problems if problem.severity == "refuse"]
        if refusals:
            raise RecordError(describe_problems(refusals))


def opening_messages(problems: Iterable[Problem]) -> tuple[str, ...]:
    """Return what a reader must know of the held and noted problems, one sentence or two for each.

    Parameters
    ----------
    problems : iterable of Problem
        As stored in a record.

    Examples
    --------
    >>> where = Source("a.csv", row=2, column="TP")
    >>> for message in opening_messages([Problem("not_a_number", "hold", where, "?", {"count": 3})]):
    ...     print(message)
    a.csv, row 2, "TP": "?" is not a number. Correct the cell or leave it empty. 3 readings wait ...
    """
    messages = []
    for problem in problems:
        count = problem.values.get("count", 1)
        waiting = "waiting_one" if count == 1 else "waiting_many"
        after = f" {say(f'problem.{waiting}', {'count': count})}" if problem.severity == "hold" else ""
        messages.append(f"{problem}{after}")
    return tuple(messages)
