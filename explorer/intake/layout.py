"""A table found in a grid of cells: what each column is, and what stands above, below and beside it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from explorer.model.problems import Problem, Source
from explorer.records.text_tables import TextTable

__all__ = ["HELD_BESIDE", "Beside", "Cells", "Column", "Layout", "StatedCell"]

HELD_BESIDE = ("rows_above", "second_table")  # rows that may hold readings wait; the others are none


@dataclass(frozen=True, slots=True)
class Column:
    """A column and what it holds.

    Attributes
    ----------
    heading : str
        As messages name it; no two columns of a table have the same.
    position : int
        Place in the row, from 0.
    role, quantity, unit : str
        As in `Meaning`; the unit as the heading or the row of units below it says.
    """

    heading: str
    position: int
    role: str
    quantity: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class StatedCell:
    """What a line above the headings says for the whole table: "Station: A1".

    Attributes
    ----------
    text : str
        As written.
    source : Source
        Where it stands.
    """

    text: str
    source: Source


@dataclass(frozen=True, slots=True)
class Beside:
    """A row below the headings that is none of the table: an average, a note, headings once more.

    Attributes
    ----------
    row : int
        Row of a spreadsheet.
    cells : tuple of str
        Its cells.
    why : str
        Code of the problem that says so.
    """

    row: int
    cells: tuple[str, ...]
    why: str

    @property
    def filled(self) -> int:
        """Number of its cells that hold text."""
        return sum(1 for cell in self.cells if cell)


@dataclass(frozen=True, slots=True)
class Layout:
    """A table found in a grid.

    Attributes
    ----------
    kind : str
        One of `KINDS`.
    table : TextTable
        Headings and rows, each row as wide as the headings.
    columns : tuple of Column
        One for each heading.
    stated : mapping of str to StatedCell
        By role: what a line above the headings says.
    titles : tuple of str
        Texts above the headings that say nothing for a role.
    above : int
        Number of cells with text in titles, headings and rows of limits.
    beside : tuple of Beside
        Rows that are none of the table.
    limit_rows : mapping of str to Beside
        By role: a row of a wide laboratory file that states the limit of every column.
    problems : tuple of Problem
        What the grid and the search pointed out.
    """

    kind: str
    table: TextTable
    columns: tuple[Column, ...]
    stated: Mapping[str, StatedCell] = field(default_factory=dict)
    titles: tuple[str, ...] = ()
    above: int = 0
    beside: tuple[Beside, ...] = ()
    limit_rows: Mapping[str, Beside] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def columns_of(self, role: str) -> tuple[Column, ...]:
        """Return the columns of a role."""
        return tuple(column for column in self.columns if column.role == role)


@dataclass(frozen=True, slots=True)
class Cells:
    """Some cells of a table, in step with arrays of what was read from them.

    Attributes
    ----------
    rows, columns : ndarray of int, shape (n,)
        Place of each in the table, from 0; column -1 for what a line above the table says.
    stated : str
        Role of that line.
    """

    rows: npt.NDArray[np.int64]
    columns: npt.NDArray[np.int64]
    stated: str = ""

    def some(self, chosen: npt.NDArray[np.bool_]) -> "Cells":
        """Return those that are chosen."""
        return Cells(self.rows[chosen], self.columns[chosen], self.stated)
