"""Bytes of a table → cells of text with the row numbers of a spreadsheet; never raises on content.

Whatever form a table comes in, the rest of the explorer sees a `TextTable`: clean text, every row as wide as
the heading, every cell with its place. What cannot be read so ends in one `Problem`.
"""

import contextlib
import csv
import hashlib
import io
import itertools
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from explorer.model.problems import Problem, Source
from explorer.records.cells import decimals_written
from explorer.records.text_decoding import decode_text

__all__ = ["DECLARED_SEPARATOR", "LONGEST_CELL", "TextTable", "csv_records", "read_table"]

LONGEST_CELL = 10_000  # characters; a longer cell is nearly always a quotation mark that was never closed
SNIFFED_ROWS = 50
DECLARED_SEPARATOR = re.compile(r'"?sep=([,;\t])"?\s*')  # written by spreadsheets in front of a table


@dataclass(frozen=True, slots=True)
class TextTable:
    """A table as text: headings, rows, and where each row stood.

    Attributes
    ----------
    name : str
        Name of the file.
    sha256 : str
        Checksum of its bytes.
    sheet : str
        Name of the sheet, empty for a text file.
    headings : tuple of str
        One for every column, none empty, none twice.
    rows : tuple of tuple of str
        Cells of one line, without blanks around them; each row as wide as the headings; wholly empty
        rows are left out.
    row_numbers : tuple of int
        Row of a spreadsheet for each of the rows; the first row of the file is row 1.
    decimal : {".", ",", ""}
        The mark before decimals, "" where the table does not tell.

    Examples
    --------
    >>> table = read_table("a.csv", b"station,secchi\\nA1,1.5\\n\\nA2,2.5\\n")
    >>> table.column("secchi"), table.row_numbers
    (['1.5', '2.5'], (2, 4))
    """

    name: str
    sha256: str
    sheet: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    row_numbers: tuple[int, ...]
    decimal: str

    def column(self, heading: str) -> list[str]:
        """Return the cells under a heading."""
        position = self.headings.index(heading)
        return [row[position] for row in self.rows]

    def source(self, row: int = 0, column: str = "") -> Source:
        """Return the place of a cell, a row, a column or the whole table.

        Parameters
        ----------
        row : int
            Row of a spreadsheet, 0 for none.
        column : str
            Heading, empty for none.
        """
        return Source(self.name, self.sha256, self.sheet, row, column)


def read_table(name: str, content: bytes) -> TextTable | Problem:
    """Return the table that a file's bytes hold, or the problem that keeps it from being read.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it: text with commas, semicolons or tabs between the cells.

    Returns
    -------
    TextTable or Problem
        Never raises on content.

    Examples
    --------
    >>> read_table("a.csv", "Grünsee;1,5".encode("cp1252")).headings
    ('Grünsee', '1,5')
    >>> print(read_table("a.csv", b"station,secchi\\nA1\\n"))
    a.csv, row 2: the number of cells differs from the heading's: 1 and 2 (rows like it: 1). ...
    """
    where = Source(name, hashlib.sha256(content).hexdigest())
    text = decode_text(content)
    if text is None:
        return Problem("not_text", "refuse", where)
    if not text.strip():
        return Problem("empty_file", "refuse", where)
    separator, text, skipped = _separator(text)
    read = _read_rows(text, separator, where, skipped)
    return read if isinstance(read, Problem) else _checked(read, where)


def csv_records(text: str, separator: str) -> Iterator[list[str]]:
    """Return the records of a text, cells of any length; a quotation mark out of place raises `csv.Error`.

    Parameters
    ----------
    text : str
        Clean text.
    separator : str
        What stands between two cells.

    Examples
    --------
    >>> list(csv_records('a;"b;c"', ";"))
    [['a', 'b;c']]
    """
    csv.field_size_limit(2**31 - 1)  # of the whole process; the largest that a C long holds everywhere
    return csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True, skipinitialspace=True)


def _separator(text: str) -> tuple[str, str, int]:
    """Return what separates the cells, the text, and how many rows were set aside before it."""
    first, _, rest = text.partition("\n")
    declared = DECLARED_SEPARATOR.fullmatch(first)
    if declared:
        return declared[1], rest, 1
    best, most = ",", 0
    for separator in "\t;,":
        widths: list[int] = []
        with contextlib.suppress(csv.Error):
            for row in itertools.islice(csv_records(text, separator), SNIFFED_ROWS):
                widths.extend([len(row)] if row else [])
        if widths and widths[0] > 1 and len(set(widths)) == 1:
            return separator, text, 0
        if widths and widths[0] > most:
            best, most = separator, widths[0]
    return best, text, 0


def _read_rows(
    text: str, separator: str, where: Source, skipped: int
) -> list[tuple[int, list[str]]] | Problem:
    rows: list[tuple[int, list[str]]] = []
    number = skipped
    try:
        for number, row in enumerate(csv_records(text, separator), skipped + 1):
            cells = [" ".join(cell.split()) for cell in row]
            if any(cells):
                rows.append((number, cells))
    except csv.Error:
        return Problem("quotation_mark", "refuse", _at(where, number + 1))
    return rows


def _checked(numbered: list[tuple[int, list[str]]], where: Source) -> TextTable | Problem:
    if not numbered:
        return Problem("empty_file", "refuse", where)
    (heading_row, first), body = numbered[0], numbered[1:]
    headings = list(first)
    while headings and not headings[-1] and all(not any(cells[len(headings) - 1 :]) for _, cells in body):
        headings.pop()
    width = len(headings)
    rows = [(number, _trimmed(cells, width)) for number, cells in body]
    wrong = [(number, len(cells)) for number, cells in rows if len(cells) != width]
    if wrong:
        values = {"cells": wrong[0][1], "wanted": width, "count": len(wrong)}
        return Problem("row_width", "refuse", _at(where, wrong[0][0]), values=values)
    for position, heading in enumerate(headings):
        if not heading:
            return Problem(
                "heading_missing", "refuse", _at(where, heading_row), values={"position": position + 1}
            )
        if heading in headings[:position]:
            return Problem("heading_twice", "refuse", _at(where, heading_row), heading)
    for number, cells in [(heading_row, headings), *rows]:
        if max(map(len, cells)) > LONGEST_CELL:
            longest = max(range(width), key=lambda position: len(cells[position]))
            source = Source(where.file_name, where.sha256, where.sheet, number, headings[longest][:80])
            return Problem("cell_too_long", "refuse", source, values={"most": LONGEST_CELL})
    return TextTable(
        where.file_name,
        where.sha256,
        where.sheet,
        tuple(headings),
        tuple(tuple(cells) for _, cells in rows),
        tuple(number for number, _ in rows),
        _decimal_mark(cell for _, cells in rows for cell in cells),
    )


def _trimmed(cells: list[str], width: int) -> list[str]:
    """Return a row without the empty cells that a spreadsheet leaves behind its last column."""
    return cells if any(cells[width:]) else cells[:width]


def _at(where: Source, row: int) -> Source:
    return Source(where.file_name, where.sha256, where.sheet, row)


def _decimal_mark(cells: Iterable[str]) -> str:
    """Return the mark before decimals; "1,250" alone tells nothing, "1,25" and "0,125" do."""
    points, commas = decimals_written(cells)
    return "" if bool(points) == bool(commas) else "." if points else ","
