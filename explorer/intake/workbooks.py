"""An XLSX workbook → a grid of text for each of its sheets; nothing in it is run, nothing is lost unsaid.

The reading itself is openpyxl's. Around it stand the things a hasty or hostile file can do: a few kilobytes
that unpack to gigabytes, declared entities, two cells in one place, a formula that was never computed, cells
that were merged.
"""

import datetime
import hashlib
import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from typing import Any

from explorer.intake.grids import Grid, grid_of_rows
from explorer.model.problems import Problem, Source
from explorer.records.text_decoding import clean_text

__all__ = ["is_workbook", "read_workbook_grids"]

MOST_UNPACKED = 150_000_000  # [bytes] 20 000 rows of a full sheet unpack to about a tenth
MOST_PARTS = 2_000
MOST_ROWS, MOST_COLUMNS = 1_048_576, 1_000  # what a spreadsheet holds down; no sheet is so wide
MOST_PADDED = 20_000_000  # cells with the empty ones before the last of each row

_DECLARATIONS = tuple(
    mark.encode(form) for mark in ("<!DOCTYPE", "<!ENTITY") for form in ("utf-8", "utf-16-le", "utf-16-be")
)
_ROW = re.compile(rb"<(?:\w+:)?row\b[^>]*?\sr=[\"']([^\"']*)")
_CELL = re.compile(rb"<(?:\w+:)?c\b[^>]*?\sr=[\"']([^\"']*)")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^>]*?\sref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')


class _NotReadable(Exception):
    """Carries the problem code out of the depths of a workbook."""


def is_workbook(content: bytes) -> bool:
    """Return whether bytes begin as those of a packed workbook do.

    Examples
    --------
    >>> is_workbook(b"station,date")
    False
    """
    return content.startswith(b"PK\x03\x04")


def read_workbook_grids(name: str, content: bytes) -> tuple[Grid | Problem, ...]:
    """Return the grid of every sheet that holds text, or the problem that keeps the workbook from being read.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it.

    Returns
    -------
    tuple of Grid or Problem
        Never raises on content. A formula gives the value that the spreadsheet computed last.

    Examples
    --------
    >>> print(read_workbook_grids("a.xlsx", b"PK\\x03\\x04")[0])
    a.xlsx: the file cannot be read as a workbook. Open it in a spreadsheet and save it again as .xlsx, ...
    """
    import openpyxl

    where = Source(name, hashlib.sha256(content).hexdigest())
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and extensions that hold no readings
            parts = _parts(content)
            book = openpyxl.load_workbook(
                io.BytesIO(content), read_only=True, data_only=True, keep_links=False
            )
            grids = tuple(_sheet_grids(book, parts, content, where))
            book.close()
    except _NotReadable as reason:
        return (Problem(str(reason), "refuse", where, values={"most": f"{MOST_UNPACKED // 1_000_000}"}),)
    except Exception:  # a damaged workbook fails in any part of its reader
        return (Problem("not_a_workbook", "refuse", where),)
    return grids or (Problem("empty_file", "refuse", where),)


def _parts(content: bytes) -> dict[str, bytes]:
    """Return the unpacked XML of the sheets, after a look at every part's true size."""
    sheets: dict[str, bytes] = {}
    unpacked = 0
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        members = archive.infolist()
        if len(members) > MOST_PARTS:
            raise _NotReadable("workbook_too_large")
        for member in members:
            with archive.open(member) as part:
                text = part.read(MOST_UNPACKED - unpacked + 1)
            unpacked += len(text)
            if unpacked > MOST_UNPACKED:
                raise _NotReadable("workbook_too_large")
            if member.filename.endswith((".xml", ".rels")) and any(mark in text for mark in _DECLARATIONS):
                raise _NotReadable("workbook_declares")
            if "worksheets/" in member.filename:
                sheets[member.filename] = text
    return sheets


def _sheet_grids(
    book: Any, parts: dict[str, bytes], content: bytes, where: Source
) -> Iterator[Grid | Problem]:
    for sheet in book.worksheets:
        title = clean_text(str(sheet.title))[:200]
        place = Source(where.file_name, where.sha256, title)
        xml = parts.get(str(getattr(sheet, "_worksheet_path", "")), b"")
        if wrong := _wrong_places(xml):
            yield Problem(wrong, "refuse", place, values={"most": f"{MOST_UNPACKED // 1_000_000}"})
            continue
        sheet.reset_dimensions()  # what a file says of its size is often wrong, and may be a trap
        rows = _texts(sheet.iter_rows(values_only=True))
        if isinstance(rows, str):
            yield Problem(rows, "refuse", place, values={"most": f"{MOST_COLUMNS:,}"})
            continue
        problems = [*_uncomputed(xml, content, sheet.title, rows, place), *_spread_merged(xml, rows, place)]
        grid = grid_of_rows(place, list(enumerate(rows, 1)), problems)
        if isinstance(grid, Grid) or grid.code != "empty_file":
            yield grid


def _wrong_places(xml: bytes) -> str:
    """Return the code of the problem with the places of rows and cells, "" where there is none.

    Every row and cell must have a place of its own: the reader would pass over the others.
    """
    try:
        rows = [int(number) for number in _ROW.findall(xml)]
    except ValueError:
        return "sheet_damaged"
    cells = _CELL.findall(xml)
    ascending = all(before < after for before, after in zip([0, *rows], rows, strict=False))
    if not ascending or len(set(cells)) < len(cells):
        return "sheet_damaged"
    return "workbook_too_large" if rows and rows[-1] > MOST_ROWS else ""


def _texts(rows: Iterator[Sequence[object]]) -> list[list[str]] | str:
    """Return the rows as text, or the code of what is too much."""
    texts: list[list[str]] = []
    padded = 0
    for row in rows:
        padded += len(row)
        if len(texts) >= MOST_ROWS or padded > MOST_PADDED:
            return "workbook_too_large"
        if len(row) > MOST_COLUMNS:
            return "sheet_too_wide"
        texts.append([_text(value) for value in row])
    return texts


def _text(value: object) -> str:
    """Return a cell's value as text: numbers with the fifteen digits that a spreadsheet keeps."""
    if value is None:
        return ""
    if isinstance(value, str):
        return clean_text(value).strip()
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime.datetime):
        at_midnight = value.time() == datetime.time()
        return value.date().isoformat() if at_midnight else value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, datetime.time):
        return value.strftime("%H:%M")
    return clean_text(str(value))


def _uncomputed(
    xml: bytes, content: bytes, title: str, rows: list[list[str]], place: Source
) -> Iterator[Problem]:
    """Put the formula into the cells whose value the file does not hold, so that they are not lost."""
    if not _FORMULA.search(xml):
        return
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
    book[title].reset_dimensions()
    found: list[tuple[int, int, str]] = []
    for number, cells in enumerate(book[title].iter_rows(values_only=True)):
        for column, value in enumerate(cells):
            written = getattr(value, "text", value)
            is_formula = isinstance(written, str) and written.startswith("=")
            if is_formula and number < len(rows) and not (rows[number][column : column + 1] or [""])[0]:
                found.append((number, column, clean_text(written)[:1000]))
    book.close()
    for number, column, written in found:
        rows[number].extend([""] * (column + 1 - len(rows[number])))
        rows[number][column] = written
    if found:
        source = Source(place.file_name, place.sha256, place.sheet, found[0][0] + 1)
        yield Problem("formula_not_computed", "note", source, found[0][2][:60], {"count": len(found)})


def _spread_merged(xml: bytes, rows: list[list[str]], place: Source) -> Iterator[Problem]:
    """Give every cell of a block merged downwards the text that the block shows."""
    blocks = []
    for first, top, last, bottom in _MERGED.findall(xml):
        column, start, end = _column(first), int(top) - 1, min(int(bottom), len(rows))
        shown = rows[start][column] if start < len(rows) and column < len(rows[start]) else ""
        if first != last or not shown or end - start < 2:
            continue
        for row in rows[start + 1 : end]:
            row.extend([""] * (column + 1 - len(row)))
            row[column] = row[column] or shown
        blocks.append(f"{first.decode()}{top.decode()}:{last.decode()}{bottom.decode()}")
    if blocks:
        listed = ", ".join(blocks[:6]) + (" …" if len(blocks) > 6 else "")
        yield Problem("merged_cells", "note", place, listed, {"count": len(blocks)})


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number - 1
