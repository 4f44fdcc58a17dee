"""Bytes of a text file → a grid of cells, before anybody knows which row holds the headings.

A volunteer's sheet has a title above its headings, notes below, rows of different width. Nothing of that is
an error here: a grid keeps every cell with its row, and the reading of it comes later.
"""

import contextlib
import csv
import hashlib
import itertools
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from explorer.model.problems import Problem, Source
from explorer.records.text_decoding import decode_text
from explorer.records.text_tables import DECLARED_SEPARATOR, LONGEST_CELL, csv_records

__all__ = ["Grid", "grid_of_rows", "read_text_grid"]

SNIFFED_ROWS = 60
MOST_CELLS = 4_000_000  # a season of five hundred stations has under a hundredth of it
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"  # compound file: an .xls, or a workbook with a password


@dataclass(frozen=True, slots=True)
class Grid:
    """All cells of one sheet as text.

    Attributes
    ----------
    name, sha256, sheet : str
        File name, checksum of its bytes, name of the sheet (empty for a text file).
    rows : tuple of tuple of str
        Cells of one line, without blanks around them; rows may differ in width, wholly empty ones are left
        out.
    row_numbers : tuple of int
        Row of a spreadsheet for each of the rows.
    problems : tuple of Problem
        What was pointed out while the cells were read.

    Examples
    --------
    >>> grid = read_text_grid("a.csv", b"Mere 2025\\n\\nstation,date\\nA1,2025-05-01\\n")
    >>> grid.row_numbers, grid.filled
    ((1, 3, 4), 5)
    """

    name: str
    sha256: str
    sheet: str
    rows: tuple[tuple[str, ...], ...]
    row_numbers: tuple[int, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def filled(self) -> int:
        """Number of cells that hold text."""
        return sum(1 for row in self.rows for cell in row if cell)

    def source(self, row: int = 0, column: str = "") -> Source:
        """Return the place of a cell, a row or the whole sheet."""
        return Source(self.name, self.sha256, self.sheet, row, column)


def grid_of_rows(
    where: Source, numbered: Sequence[tuple[int, Sequence[str]]], problems: Sequence[Problem] = ()
) -> Grid | Problem:
    """Return the grid of rows with their numbers, or the problem that keeps it from being one.

    Parameters
    ----------
    where : Source
        File and sheet.
    numbered : sequence of (int, sequence of str)
        Clean text.
    problems : sequence of Problem
        What was pointed out already.
    """
    kept: list[tuple[int, tuple[str, ...]]] = []
    cells = 0
    for number, row in numbered:
        trimmed = [" ".join(cell.split()) for cell in row]
        while trimmed and not trimmed[-1]:
            trimmed.pop()
        cells += len(trimmed)
        if cells > MOST_CELLS:
            return Problem("too_many_cells", "refuse", where, values={"most": f"{MOST_CELLS:,}"})
        for position, cell in enumerate(trimmed):
            if len(cell) > LONGEST_CELL:
                source = Source(where.file_name, where.sha256, where.sheet, number, f"column {position + 1}")
                return Problem("cell_too_long", "refuse", source, cell[:60], {"most": LONGEST_CELL})
        if trimmed:
            kept.append((number, tuple(trimmed)))
    if not kept:
        return Problem("empty_file", "refuse", where)
    rows = tuple(row for _, row in kept)
    numbers = tuple(number for number, _ in kept)
    return Grid(where.file_name, where.sha256, where.sheet, rows, numbers, tuple(problems))


def read_text_grid(name: str, content: bytes) -> Grid | Problem:
    """Return the grid of a text file with commas, semicolons or tabs between its cells.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it, in any common encoding.

    Returns
    -------
    Grid or Problem
        Never raises on content.

    Examples
    --------
    >>> print(read_text_grid("a.csv", b'A1,"cloud'))
    a.csv, row 1: a quotation mark does not close, or stands inside a cell. ...
    """
    where = Source(name, hashlib.sha256(content).hexdigest())
    if content.startswith(_OLD_WORKBOOK):
        return Problem("old_workbook", "refuse", where)
    text = decode_text(content)
    if text is None:
        return Problem("not_text", "refuse", where)
    first, _, rest = text.partition("\n")
    declared = DECLARED_SEPARATOR.fullmatch(first)
    separator = declared[1] if declared else _separator(text)
    skipped = 1 if declared else 0
    numbered: list[tuple[int, list[str]]] = []
    width = 0
    try:
        for number, row in enumerate(csv_records(rest if declared else text, separator), skipped + 1):
            width = max(width, len(row))
            if any("\n" in cell and _swallowed(cell, separator, width) for cell in row):
                return Problem("quotation_mark", "refuse", Source(name, where.sha256, "", number))
            numbered.append((number, row))
    except csv.Error:
        return Problem(
            "quotation_mark", "refuse", Source(name, where.sha256, "", len(numbered) + skipped + 1)
        )
    return grid_of_rows(where, numbered)


def _separator(text: str) -> str:
    """Return the separator under which most rows have the same number of cells, titles left aside.

    Rows in which it parts nothing from nothing count only where no others are; of two separators that do as
    well, the one that parts an earlier row is taken.
    """
    best, most = ",", (0, 0, 0)
    for separator in "\t;,":
        widths: Counter[int] = Counter()
        all_widths: Counter[int] = Counter()
        first = 0
        with contextlib.suppress(csv.Error):  # what was read before the error still tells
            for number, row in enumerate(itertools.islice(csv_records(text, separator), SNIFFED_ROWS), 1):
                all_widths[len(row)] += 1
                if sum(1 for cell in row if cell.strip()) > 1:
                    widths[len(row)] += 1
                    first = first or number
        score = (_most_alike(widths), -first, _most_alike(all_widths))
        if score[2] and score > most:
            best, most = separator, score
    return best


def _most_alike(widths: Counter[int]) -> int:
    return max((width * count for width, count in widths.items() if width > 1), default=0)


def _swallowed(cell: str, separator: str, width: int) -> bool:
    """Return whether a cell of several lines holds whole rows, because a quotation mark was left out."""
    return width > 2 and any(line.count(separator) >= width - 1 for line in cell.splitlines())
