"""Reads the columns of one table, and remembers of every cell what became of it and why."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.intake.file_rows import (
    ACCEPTED,
    CONTAINER_COLUMNS,
    EMPTY,
    EXTRACTS,
    HELD,
    REFUSED,
    VISIT_COLUMNS,
    FileRows,
)
from explorer.intake.headings import HeadingNames
from explorer.intake.layout import HELD_BESIDE, Cells, Column, Layout
from explorer.intake.problem_groups import ProblemGroups
from explorer.model.check_in import CellAccount
from explorer.model.problems import Severity, Source
from explorer.model.readings import empty_frame
from explorer.records.cells import Texts, is_empty, read_each

__all__ = ["Marks", "TableReader"]

Marks = npt.NDArray[np.bool_]


class TableReader:
    """The cells of one table, its problems and its account.

    Parameters
    ----------
    layout : Layout
        The table and its columns.
    names : HeadingNames
        Names, units and words.

    Attributes
    ----------
    count : int
        Number of rows.
    rows : ndarray of int, shape (count,)
        Row of a spreadsheet.
    decimal : {".", ",", ""}
        The mark before decimals in this table.
    row_reasons : ndarray of str, shape (count,)
        Code of the first problem that holds a whole row: its station or its date.
    refused_rows : ndarray of bool, shape (count,)
        Rows that are not read on.
    """

    def __init__(self, layout: Layout, names: HeadingNames) -> None:
        self.layout, self.names = layout, names
        self.count, width = len(layout.table.rows), len(layout.columns)
        self.decimal = layout.table.decimal
        self._text: Texts = np.array(layout.table.rows, dtype=object).reshape(self.count, width)
        empty = np.array(read_each(self._text.ravel(), is_empty), dtype=bool).reshape(self.count, width)
        self._outcomes = np.where(empty, EMPTY, ACCEPTED).astype(np.int8)
        self._reasons: Texts = np.full((self.count, width), "", dtype=object)
        self.row_reasons: Texts = np.full(self.count, "", dtype=object)
        self.refused_rows: Marks = np.zeros(self.count, dtype=bool)
        self.rows = np.array(layout.table.row_numbers, dtype=np.int64)
        self._problems = ProblemGroups()
        self._judge_unread_columns()

    def _judge_unread_columns(self) -> None:
        again = {problem.source.column for problem in self.layout.problems if problem.code == "heading_again"}
        for column in self.layout.columns:
            filled = self._outcomes[:, column.position] != EMPTY
            if column.role == "left_out":
                self._outcomes[filled, column.position] = REFUSED
                self._reasons[filled, column.position] = "left_out"
            elif not column.role and filled.any():
                self._outcomes[filled, column.position] = HELD
                code = "heading_again" if column.heading in again else "unknown_heading"
                self._reasons[filled, column.position] = code
                if code == "unknown_heading":
                    near = self.names.nearest(column.heading, self.layout.kind)
                    source = self.layout.table.source(0, column.heading)
                    for row in self.rows[filled].tolist():
                        self._problems.add(code, "hold", source, column.heading, {"near": near}, row)

    def first(self, role: str) -> Column | None:
        """Return the first column of a role."""
        return next(iter(self.layout.columns_of(role)), None)

    def texts(self, role: str) -> Texts:
        """Return a role's text for every row: its column, several joined, or the line above the table."""
        columns = self.layout.columns_of(role)
        if not columns:
            stated = self.layout.stated.get(role)
            return np.full(self.count, stated.text if stated else "", dtype=object)
        texts = self._text[:, columns[0].position]
        if len(columns) == 1:
            return np.where(self._outcomes[:, columns[0].position] == EMPTY, "", texts)
        parts = self._text[:, [column.position for column in columns]].tolist()
        return np.array(
            ["; ".join(cell for cell in row if not is_empty(cell)) for row in parts], dtype=object
        )

    def column_texts(self, column: Column) -> Texts:
        """Return the cells of a column."""
        return np.asarray(self._text[:, column.position])

    def filled(self, column: Column) -> Marks:
        """Return which cells of a column hold something."""
        return np.asarray(self._outcomes[:, column.position] != EMPTY)

    def reasons_of(self, role: str) -> Texts:
        """Return the code of the first problem of every cell of a role, "" where it has none."""
        column = self.first(role)
        return self._reasons[:, column.position] if column else np.full(self.count, "", dtype=object)

    def cells(self, role: str | Column) -> Cells:
        """Return the cells of a role or of a column, one for every row."""
        column = self.first(role) if isinstance(role, str) else role
        place = column.position if column else -1
        stated = role if isinstance(role, str) and column is None else ""
        return Cells(np.arange(self.count), np.full(self.count, place, dtype=np.int64), stated)

    def hold(self, cells: Cells, codes: Texts, *, once: bool = False, **values: Any) -> None:
        """Hold the cells that have a problem.

        Parameters
        ----------
        cells : Cells
            n of them.
        codes : ndarray of str, shape (n,)
            Code of the problem, "" where there is none.
        once : bool
            Whether one answer settles all cells of the column: then they are one problem.
        **values
            For the sentence; an array of shape (n,) gives each cell its own.
        """
        self._judge("hold", HELD, cells, codes, values, once)

    def leave_out(self, cells: Cells, chosen: Marks) -> None:
        """Refuse cells that the programme does not want to be read."""
        rows, columns = cells.rows[chosen], cells.columns[chosen]
        filled = self._outcomes[rows, columns] != EMPTY
        self._outcomes[rows[filled], columns[filled]] = REFUSED
        self._reasons[rows[filled], columns[filled]] = "left_out"

    def note(self, cells: Cells, codes: Texts, *, once: bool = False, **values: Any) -> None:
        """Point something out in cells that are taken all the same."""
        self._judge("note", None, cells, codes, values, once)

    def hold_rows(self, role: str, codes: Texts, *, once: bool = False, **values: Any) -> None:
        """Hold whole rows: their readings cannot enter before the problem of this cell is settled."""
        self.hold(self.cells(role), codes, once=once, **values)
        self.row_reasons = np.where(self.row_reasons == "", codes, self.row_reasons)

    def refuse_rows(self, chosen: Marks, code: str, **values: Any) -> None:
        """Refuse all cells of rows, with one problem for each row that is pointed out."""
        for row in np.flatnonzero(chosen).tolist():
            filled = self._outcomes[row] != EMPTY
            self._outcomes[row, filled] = REFUSED
            self._reasons[row, filled] = code
            self.refused_rows[row] = True
            own = {name: _own(value, row) for name, value in values.items()}
            number = int(self.rows[row])
            self._problems.add(code, "note", self.layout.table.source(number), "", own, number)

    def _judge(
        self,
        severity: Severity,
        outcome: int | None,
        cells: Cells,
        codes: Texts,
        values: Mapping[str, Any],
        once: bool,
    ) -> None:
        judged = np.flatnonzero((codes != "") & ~self.refused_rows[cells.rows])
        for place in judged.tolist():
            row, column, code = int(cells.rows[place]), int(cells.columns[place]), str(codes[place])
            own = {name: _own(value, place) for name, value in values.items()}
            if column >= 0:
                if outcome is not None and self._outcomes[row, column] in (ACCEPTED, HELD):
                    self._outcomes[row, column] = outcome
                self._reasons[row, column] = self._reasons[row, column] or code
            self._problems.add(
                code, severity, *self._place(cells, row, column), own, int(self.rows[row]), once
            )

    def _place(self, cells: Cells, row: int, column: int) -> tuple[Source, str]:
        table, number = self.layout.table, int(self.rows[row])
        if column >= 0:
            return table.source(number, table.headings[column]), str(self._text[row, column])
        stated = self.layout.stated.get(cells.stated)
        return (stated.source, stated.text) if stated else (table.source(number), "")

    def waiting(self, cells: Cells, reasons: Texts) -> Texts:
        """Return each cell's reason, else its row's; the cells with one are held.

        Parameters
        ----------
        cells : Cells
            n cells that state a value.
        reasons : ndarray of str, shape (n,)
            Code of the problem that keeps each from entering, "" where none does.
        """
        all_reasons = np.where(reasons == "", self.row_reasons[cells.rows], reasons)
        held = (all_reasons != "") & (cells.columns >= 0)
        rows, columns = cells.rows[held], cells.columns[held]
        taken = self._outcomes[rows, columns] == ACCEPTED
        self._outcomes[rows[taken], columns[taken]] = HELD
        unsaid = self._reasons[rows, columns] == ""
        self._reasons[rows[unsaid], columns[unsaid]] = all_reasons[held][unsaid]
        return np.asarray(all_reasons, dtype=object)

    def finish(
        self,
        entries: pd.DataFrame,
        *,
        visits: pd.DataFrame | None = None,
        containers: pd.DataFrame | None = None,
        extracts: pd.DataFrame | None = None,
    ) -> FileRows:
        """Return all that was read, with its account."""
        counts = np.bincount(self._outcomes.ravel(), minlength=4).tolist()
        beside = dict.fromkeys(("accepted", "held", "refused"), 0)
        for each in self.layout.beside:
            fate = "held" if each.why in HELD_BESIDE else "refused"
            beside["accepted" if each.why == "headings_repeated" else fate] += each.filled
        account = CellAccount(
            self._outcomes.size + self.layout.above + sum(beside.values()),
            counts[ACCEPTED] + self.layout.above + beside["accepted"],
            counts[HELD] + beside["held"],
            counts[REFUSED] + beside["refused"],
            counts[EMPTY],
        )
        return FileRows(
            self.layout,
            entries,
            empty_frame(VISIT_COLUMNS) if visits is None else visits,
            empty_frame(CONTAINER_COLUMNS) if containers is None else containers,
            empty_frame(EXTRACTS) if extracts is None else extracts,
            account,
            (*self.layout.problems, *self._problems.all()),
            self._outcomes,
            self._reasons,
        )


def _own(value: Any, place: int) -> Any:
    """Return a value for one cell, as a plain text or number."""
    own = value[place] if isinstance(value, np.ndarray) else value
    return own.item() if isinstance(own, np.generic) else own
