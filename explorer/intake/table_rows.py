"""Which rows below the headings are the table's, and which are an average, a note or another table."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from explorer.intake.file_kinds import KEY_ROLES, SAMPLE_ROLES
from explorer.intake.grids import Grid
from explorer.intake.heading_forms import folded
from explorer.intake.headings import LONGEST_HEADING, KnownHeadings
from explorer.intake.layout import HELD_BESIDE, Beside, Column
from explorer.model.problems import Problem
from explorer.records.cells import is_empty

__all__ = ["NumberedRow", "SortedRows", "problems_of_rows", "sort_rows"]

LONGEST_CODE = 20  # characters of a cell that may hold a sample code
FEWEST_HEADINGS = 3  # cells of a row that make it headings of another table

_COUNT = re.compile(r"\d{1,3}(?: [^\W\d]+)?")  # "12", "9 samples": no date, and no code

NumberedRow = tuple[int, tuple[str, ...]]


@dataclass(slots=True)
class SortedRows:
    """Rows below the headings.

    Attributes
    ----------
    table : list of (int, tuple of str)
        Rows of the table with their numbers.
    beside : list of Beside
        Rows that are none of it.
    limits : dict of str to Beside
        By role: rows of a laboratory's file that state the limit of every column.
    """

    table: list[NumberedRow] = field(default_factory=list)
    beside: list[Beside] = field(default_factory=list)
    limits: dict[str, Beside] = field(default_factory=dict)


def sort_rows(
    body: Sequence[NumberedRow],
    headings: tuple[str, ...],
    columns: Sequence[Column],
    known: KnownHeadings,
) -> SortedRows:
    """Return the rows below the headings, sorted into the table and what stands beside it.

    Parameters
    ----------
    body : sequence of (int, tuple of str)
        Rows with their numbers; every one has a cell with text.
    headings : tuple of str
        The row of headings, which may be repeated on every page.
    columns : sequence of Column
        What the columns hold.
    known : KnownHeadings
        What cells mean as headings.
    """
    found = SortedRows()
    for place, (number, row) in enumerate(body):
        if row == headings:
            found.beside.append(Beside(number, row, "headings_repeated"))
        elif _is_summary(row, columns, known):
            found.beside.append(Beside(number, row, "summary_row"))
        elif (role := _limit_of(row, known)) and role not in found.limits:
            found.limits[role] = Beside(number, row, "limit_row")
        elif _is_heading(row, known):
            found.beside.extend(Beside(later, cells, "second_table") for later, cells in body[place:])
            break
        else:
            found.table.append((number, row))
    keys = [column for column in columns if column.role in KEY_ROLES or column.role in SAMPLE_ROLES]
    while found.table and not any(_is_key(found.table[-1][1], column) for column in keys):
        found.beside.append(Beside(*found.table.pop(), "text_below"))
    found.beside.sort(key=lambda each: each.row)
    return found


def _is_summary(row: tuple[str, ...], columns: Sequence[Column], known: KnownHeadings) -> bool:
    first = next(cell for cell in row if cell)
    if folded(first) not in known.names.words["summary"]:
        return False
    dated = [column.position for column in columns if column.role in ("date", *SAMPLE_ROLES)]
    cells = {row[place] for place in dated if place < len(row)} - {"", first}
    return all(_COUNT.fullmatch(cell) for cell in cells)


def _limit_of(row: tuple[str, ...], known: KnownHeadings) -> str:
    """Return which limit a row of a wide laboratory file states: "MDL", "", "2", "0.03"."""
    if known.kind != "laboratory":
        return ""
    first, *others = [cell for cell in row if cell]
    role = known.meaning(first).role
    is_limit = role in ("detection_limit", "reporting_limit") and bool(others)
    return role if is_limit and all(cell[-1].isdigit() for cell in others) else ""


def _is_heading(row: tuple[str, ...], known: KnownHeadings) -> bool:
    filled = [cell for cell in row if cell]
    if len(filled) < FEWEST_HEADINGS or any(cell[0].isdigit() for cell in filled):
        return False
    return len(known.recognised(filled)) == len(filled)


def _is_key(row: tuple[str, ...], column: Column) -> bool:
    cell = row[column.position] if column.position < len(row) else ""
    if column.role not in SAMPLE_ROLES:
        return not is_empty(cell)
    return len(cell) <= LONGEST_CODE and sum(each.isdigit() for each in cell) > 2


def problems_of_rows(beside: Sequence[Beside], grid: Grid) -> list[Problem]:
    """Return one problem for each row beside the table, one for all that wait for the same answer.

    Parameters
    ----------
    beside : sequence of Beside
        Rows above and below the table.
    grid : Grid
        Where they stand.
    """
    problems: list[Problem] = []
    for why in dict.fromkeys(each.why for each in beside if each.why != "headings_repeated"):
        rows = [each for each in beside if each.why == why]
        held = why in HELD_BESIDE
        for each in rows[:1] if held else rows:
            found = ", ".join(cell for cell in each.cells if cell)[:LONGEST_HEADING]
            values = {"count": len(rows)} if held else {}
            problems.append(Problem(why, "hold" if held else "note", grid.source(each.row), found, values))
    return problems
