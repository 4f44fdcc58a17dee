"""Tables for paper, for spreadsheets and for the terminal: one plain value, three ways out."""

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import date

from explorer.display.paper_tables import Amount, Cell, PaperColumn, PaperPage, PaperTable, Share
from explorer.display.spreadsheet_text import guarded
from explorer.display.typeset import typeset

__all__ = ["page_csv", "page_pdf", "page_text", "table_csv"]

MOST_LETTERS = 44  # of a cell in the terminal
KEPT_WHOLE = 12  # rows of a table that is not parted between two pages


def page_pdf(page: PaperPage, *, made_on: date) -> bytes:
    """Return a page as a tagged PDF.

    Parameters
    ----------
    page : PaperPage
        What stands on it.
    made_on : date
        Day of making.
    """
    tables = [
        {
            "title": table.title,
            "sentences": list(table.sentences),
            "columns": [
                {"title": each.title, "number": each.is_number, "wide": each.is_wide}
                for each in table.columns
            ],
            "rows": [[str(cell) for cell in row] for row in table.rows],
            "whole": len(table.rows) <= KEPT_WHOLE * table.abreast,
            "abreast": table.abreast,
        }
        for table in page.tables
    ]
    values = {
        "title": page.title, "lead": list(page.lead), "tables": tables, "blanks": list(page.blanks),
        "foot": page.foot, "paper": "us-letter" if page.paper == "letter" else page.paper,
        "language": page.language, "turned": page.is_turned,
    }  # fmt: skip
    return typeset("tables", values, made_on=made_on)


def table_csv(table: PaperTable) -> bytes:
    """Return one table as a file that spreadsheets and pandas open: headings, then rows.

    Parameters
    ----------
    table : PaperTable
        The table.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, cells parted by commas. Text that a spreadsheet would take for a formula
        has an apostrophe before it.
    """
    rows = [[guarded(column.title) for column in table.columns]]
    rows += [[_csv_cell(cell) for cell in row] for row in table.rows]
    return _written(rows)


def page_csv(page: PaperPage) -> bytes:
    """Return all tables of a page in one file: a row each cell, so that nothing is passed over on reading.

    Parameters
    ----------
    page : PaperPage
        What stands on it.

    Returns
    -------
    bytes
        Columns table, row (from 1), column and value; sentences stand in rows of number 0.
    """
    rows = [["table", "row", "column", "value"]]
    rows += [[guarded(page.title), "0", "", guarded(each)] for each in page.lead]
    for table in page.tables:
        title = guarded(table.title)
        rows += [[title, "0", "", guarded(each)] for each in table.sentences]
        for number, row in enumerate(table.rows, 1):
            rows += [[title, str(number), *pair] for pair in _named_cells(table.columns, row)]
    return _written(rows)


def _named_cells(columns: Sequence[PaperColumn], row: Sequence[Cell]) -> Iterator[tuple[str, str]]:
    for column, cell in zip(columns, row, strict=True):
        if isinstance(cell, Share):
            yield guarded(column.title), str(cell.found)
            yield guarded(f"{column.title}, planned"), str(cell.planned)
        else:
            yield guarded(column.title), _csv_cell(cell)


def _csv_cell(cell: Cell) -> str:
    if isinstance(cell, Amount):
        return f"{cell.value:.10g}" if cell.value == cell.value else ""
    return guarded(str(cell))


def _written(rows: list[list[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue().encode("utf-8-sig", errors="replace")


def page_text(page: PaperPage, *, whole: bool = False) -> str:
    """Return a page as lines for the terminal.

    Parameters
    ----------
    page : PaperPage
        What stands on it.
    whole : bool
        Whether every cell stands whole, on a line of its own; else the rows stand in columns, long cells cut.
    """
    lines = [page.title, *page.lead]
    for table in page.tables:
        lines += ["", *([table.title] if table.title != page.title else []), *table.sentences]
        if table.rows:
            lines += _listed(table) if whole else _aligned(table)
    return "\n".join(_printable(line) for line in lines)


def _aligned(table: PaperTable) -> Iterator[str]:
    cells = [[column.title for column in table.columns]]
    cells += [[str(cell) for cell in row] for row in table.rows]
    short = [
        [each if len(each) <= MOST_LETTERS else each[: MOST_LETTERS - 1] + "…" for each in row]
        for row in cells
    ]
    widths = [max(len(row[place]) for row in short) for place in range(len(table.columns))]
    for row in short:
        parts = [
            each.rjust(width) if column.is_number else each.ljust(width)
            for each, width, column in zip(row, widths, table.columns, strict=True)
        ]
        yield "  " + "  ".join(parts).rstrip()


def _listed(table: PaperTable) -> Iterator[str]:
    width = max(len(column.title) for column in table.columns)
    for number, row in enumerate(table.rows):
        if number:
            yield ""
        for column, cell in zip(table.columns, row, strict=True):
            yield f"  {column.title.ljust(width)}  {cell}".rstrip()


def _printable(line: str) -> str:
    """Return a line without anything that moves the cursor or colours the terminal."""
    return "".join(letter if letter.isprintable() else " " for letter in line)
