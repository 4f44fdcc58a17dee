"""Problems of cells, alike ones together: the same doubt about the same text is asked once."""

from collections.abc import Mapping
from typing import Any

from explorer.model.problems import Problem, Severity, Source, shown_cell

__all__ = ["ProblemGroups"]

MOST_ROWS_NAMED = 12


class ProblemGroups:
    """Collects problems; those that differ only by their row become one, with its number and its rows.

    Examples
    --------
    >>> groups = ProblemGroups()
    >>> for row in (2, 5):
    ...     groups.add("not_a_number", "hold", Source("a.csv", row=row, column="TP"), "?", {}, row)
    >>> [(problem.source.row, problem.values["count"], problem.values["rows"]) for problem in groups.all()]
    [(2, 2, '2, 5')]
    """

    def __init__(self) -> None:
        self._groups: dict[tuple[object, ...], tuple[Problem, list[int]]] = {}

    def add(
        self,
        code: str,
        severity: Severity,
        source: Source,
        text: str,
        values: Mapping[str, Any],
        row: int,
        once: bool = False,
    ) -> None:
        """Note the problem of a cell.

        Parameters
        ----------
        code, severity, source, values
            As in `Problem`.
        text : str
            The cell as written.
        row : int
            Row of a spreadsheet.
        once : bool
            Whether cells of the column with another text count as alike.
        """
        found = shown_cell(text)
        key = (code, severity, source.column, "" if once else found, *values.items())
        if key in self._groups:
            self._groups[key][1].append(row)
        else:
            self._groups[key] = (Problem(code, severity, source, found, values), [row])

    def all(self) -> tuple[Problem, ...]:
        """Return the problems in the order in which they were first met."""
        problems = []
        for problem, rows in self._groups.values():
            named = ", ".join(map(str, rows[:MOST_ROWS_NAMED])) + (
                " …" if len(rows) > MOST_ROWS_NAMED else ""
            )
            stated = {"count": len(rows), "rows": named, **dict(problem.values)}
            problems.append(Problem(problem.code, problem.severity, problem.source, problem.found, stated))
        return tuple(problems)
