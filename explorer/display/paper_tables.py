"""Tables below one another as plain values: what a report or a list says, before it has a form."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pandas as pd

from explorer.display.numbers import number_text

__all__ = [
    "Amount",
    "Cell",
    "PaperColumn",
    "PaperPage",
    "PaperTable",
    "Share",
    "each_row",
]


@dataclass(frozen=True, slots=True)
class Amount:
    """A number, and with how many decimals it is shown.

    Attributes
    ----------
    value : float
        NaN where there is none: the cell stays empty.
    decimals : int
        Digits after the point.
    """

    value: float
    decimals: int = 0

    def __str__(self) -> str:
        return number_text(self.value, self.decimals) if self.value == self.value else ""


@dataclass(frozen=True, slots=True)
class Share:
    """What there is of what was planned; shown as one number where nothing is missing.

    Attributes
    ----------
    found, planned : int
        Visits, or results.

    Examples
    --------
    >>> str(Share(2, 2)), str(Share(0, 1)), str(Share(0, 0))
    ('2', '0/1', '')
    """

    found: int
    planned: int

    def __str__(self) -> str:
        if self.found >= self.planned:
            return str(self.found) if self.planned or self.found else ""
        return f"{self.found}/{self.planned}"


Cell = str | int | Amount | Share


@dataclass(frozen=True, slots=True)
class PaperColumn:
    """A column.

    Attributes
    ----------
    title : str
        Its heading.
    is_number : bool
        Whether its cells stand at the right.
    is_wide : bool
        Whether it takes the room that the others leave.
    """

    title: str
    is_number: bool = False
    is_wide: bool = False


@dataclass(frozen=True, slots=True)
class PaperTable:
    """A table with its heading and what is said of it.

    Attributes
    ----------
    title : str
        Heading; names the table in a file for spreadsheets, too.
    sentences : tuple of str
        Above it.
    columns : tuple of PaperColumn
        May be empty: then only the sentences stand there.
    rows : tuple of tuple of Cell
        Each as long as the columns.
    abreast : int
        Parts of a narrow table that stand beside one another on paper.
    """

    title: str
    sentences: tuple[str, ...]
    columns: tuple[PaperColumn, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    abreast: int = 1


@dataclass(frozen=True, slots=True)
class PaperPage:
    """Tables below one another, with what stands over and under them.

    Attributes
    ----------
    title : str
        Heading of all.
    lead : tuple of str
        Sentences below it.
    tables : tuple of PaperTable
        In reading order.
    blanks : tuple of str
        What is filled in by hand below the tables, a line each.
    foot : str
        At the foot of every page.
    paper : str
        "a4" or "letter".
    language : str
        Language of the words.
    is_turned : bool
        Whether the page lies on its long side.
    """

    title: str
    lead: tuple[str, ...]
    tables: tuple[PaperTable, ...]
    blanks: tuple[str, ...] = ()
    foot: str = ""
    paper: str = "a4"
    language: str = "en"
    is_turned: bool = False


def each_row(frame: pd.DataFrame) -> Iterator[Any]:
    """Yield the rows of a frame as tuples whose cells are named like its columns.

    Parameters
    ----------
    frame : DataFrame
        Columns whose names are words.
    """
    yield from frame.itertuples(index=False)
