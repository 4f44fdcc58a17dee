"""The problem that a reading waits for, found again by its cell: it may stand in another cell of its row."""

import json

from explorer.model.problems import Problem, Source
from explorer.records.record import Record

__all__ = ["ReasonProblems"]

_PROBLEMS = """
SELECT p.severity, p.file_name, p."row", p."column", p.found, p.details FROM problems p
WHERE p.left_in IS NULL AND p.sha256 = ? AND p.sheet = ? AND p.code = ? ORDER BY p.problem_id
"""


class ReasonProblems:
    """The problems of a record by file, code and row, each file's asked for once.

    Parameters
    ----------
    record : Record
        An open record.
    """

    def __init__(self, record: Record) -> None:
        self._record = record
        self._by_row: dict[tuple[str, str, str], dict[int, Problem]] = {}

    def __call__(self, reason: str, source: Source) -> Problem | None:
        """Return the problem that a reading waits for, None where the record holds none of its row.

        Parameters
        ----------
        reason : str
            As the record holds it: the code of a problem, or a remark.
        source : Source
            The reading's cell.
        """
        key = (source.sha256, source.sheet, reason)
        if key not in self._by_row:
            self._by_row[key] = self._fetched(*key)
        return self._by_row[key].get(source.row)

    def _fetched(self, sha256: str, sheet: str, code: str) -> dict[int, Problem]:
        found: dict[int, Problem] = {}
        for severity, name, row, column, text, details in self._record.fetch_rows(
            _PROBLEMS, (sha256, sheet, code)
        ):
            values = json.loads(details)
            problem = Problem(code, severity, Source(name, sha256, sheet, row, column), text, values)
            named = str(values.get("rows", row)).removesuffix(" …").split(", ")
            for each in (row, *(int(part) for part in named if part.isdigit())):
                found.setdefault(each, problem)
        return found
