"""Finds the table in a grid of cells: its headings, what each column is, titles above and notes below."""

from collections.abc import Iterable, Sequence

from explorer.intake.file_kinds import NUMBER_ROLES, missing_roles
from explorer.intake.grids import Grid
from explorer.intake.heading_forms import folded, without_form
from explorer.intake.headings import (
    BESIDE_A_RESULT,
    DATED,
    KINDS,
    LONGEST_HEADING,
    READING,
    HeadingNames,
    KnownHeadings,
    Meaning,
)
from explorer.intake.layout import Beside, Column, Layout, StatedCell
from explorer.intake.numbers import decimal_mark
from explorer.intake.table_rows import problems_of_rows, sort_rows
from explorer.model.errors import unknown_name
from explorer.model.problems import Problem
from explorer.model.words import join_words, say
from explorer.records.text_tables import TextTable

__all__ = ["find_table"]

SEARCHED_ROWS = 60  # a heading lower down is that of another table

_CHOICES = {"y n", "yes no", "y or n", "yes or no", "j n", "ja nein"}
_JOINED = {"remark", "weather", "observer"}  # two columns of these say more than one


def find_table(grid: Grid, names: HeadingNames, kind: str = "") -> Layout | Problem:
    """Return the table of a grid, or the problem that says what is missing.

    Parameters
    ----------
    grid : Grid
        All cells of a sheet.
    names : HeadingNames
        What headings may be called.
    kind : str
        One of `KINDS`; empty: the headings tell.

    Raises
    ------
    UnknownNameError
        If there is no such kind.

    Examples
    --------
    >>> from explorer.intake.grids import read_text_grid
    >>> from explorer.intake.own_headings import heading_names
    >>> grid = read_text_grid("a.csv", b"Mere 2025\\n\\nSite,Date,Secchi (ft)\\nA1,2025-05-01,6'4\\n")
    >>> found = find_table(grid, heading_names())
    >>> found.kind, [column.role for column in found.columns], found.titles
    ('data_sheet', ['station', 'date', 'reading'], ('Mere 2025',))
    """
    if kind and kind not in KINDS:
        raise unknown_name("kind of file", kind, KINDS, "here")
    searches = [_Search(grid, names, each) for each in ((kind,) if kind else KINDS)]
    fitting = [search for search in searches if search.most > 1 and not search.missing()]
    if fitting:  # of two that know as many of the headings the more particular one
        return max(fitting, key=lambda search: search.most).layout()
    return max(reversed(searches), key=lambda search: search.most).not_found()


class _Search:
    """Looks for the table of one kind in a grid."""

    def __init__(self, grid: Grid, names: HeadingNames, kind: str) -> None:
        self.grid, self.names, self.kind = grid, names, kind
        self._repeatable = {"", READING, "left_out", *_JOINED}
        self._repeatable |= set(BESIDE_A_RESULT) if kind == "laboratory" else set()
        self._headings = KnownHeadings(names, kind)
        self.place, self.most = 0, 0
        for place, row in enumerate(grid.rows[:SEARCHED_ROWS]):
            count = len(self._headings.recognised(row))
            if count > self.most:
                self.place, self.most = place, count
        self.stated: dict[str, StatedCell] = {}
        self.titles: list[str] = []
        self.above: list[Beside] = []  # rows that look like readings, not like a title
        self._lines_above()

    def missing(self) -> list[str]:
        """Return the roles without which this is no table of its kind."""
        found = self._headings.recognised(self.grid.rows[self.place]) | set(self.stated)
        readings = found & set(self.names.quantities)
        return missing_roles(self.kind, found - readings, readings, has_title=bool(self.titles))

    def _lines_above(self) -> None:
        for place in range(self.place):
            row, number = self.grid.rows[place], self.grid.row_numbers[place]
            cells = [cell for cell in row if cell]
            found = {name: self._headings.meaning(name).role for name, _ in _pairs(cells)}
            for name, text in _pairs(cells):
                if found[name] not in ("", READING, "left_out"):
                    self.stated.setdefault(found[name], StatedCell(text, self.grid.source(number, name)))
            if any(role in self.stated for role in found.values()):
                continue
            if len(cells) > 2 and any(cell[0].isdigit() for cell in cells):
                self.above.append(Beside(number, row, "rows_above"))
            else:
                self.titles.extend(cells)

    def not_found(self) -> Problem:
        """Return the problem that names what the likeliest row of headings lacks."""
        row = self.grid.rows[self.place]
        unknown = [cell for cell in row if cell and not self._headings.meaning(cell).role]
        nearest = [
            f'"{cell}": {near}' for cell in unknown[:6] if (near := self.names.nearest(cell, self.kind))
        ]
        columns = [say(f"intake.column_{role}") for role in self.missing() or [READING]]
        number = "one" if len(columns) == 1 else "many"
        values = {
            "kind": say(f"intake.kind_{self.kind}"),
            "missing": say(f"intake.missing_{number}", {"columns": join_words(columns)}),
            "nearest": say("problem.nearest_headings", {"near": "; ".join(nearest)}) if nearest else "",
            "cells": self.grid.filled,
        }
        source = self.grid.source(self.grid.row_numbers[self.place])
        return Problem("no_headings", "refuse", source, ", ".join(row)[:LONGEST_HEADING], values)

    def layout(self) -> Layout:
        """Return the table, its columns and what stands around it."""
        grid = self.grid
        start = self.place + 1
        units = self._row_of_units(start)
        start += bool(units)
        body = list(zip(grid.row_numbers[start:], grid.rows[start:], strict=True))
        width = max([len(grid.rows[self.place]), *(len(row) for _, row in body)])
        columns, problems = self._columns(width, units)
        sorted_rows = sort_rows(body, grid.rows[self.place], columns, self._headings)
        rows = sorted_rows.table
        table = TextTable(
            grid.name, grid.sha256, grid.sheet,
            tuple(column.heading for column in columns),
            tuple(row + ("",) * (width - len(row)) for _, row in rows),
            tuple(number for number, _ in rows),
            decimal_mark(_numbers(rows, columns)),
        )  # fmt: skip
        beside = [*self.above, *sorted_rows.beside]
        filled = sum(1 for row in grid.rows[:start] for cell in row if cell)
        filled += sum(each.filled for each in sorted_rows.limits.values())
        filled -= sum(each.filled for each in self.above)
        problems = [*grid.problems, *problems, *problems_of_rows(beside, grid)]
        return Layout(
            self.kind,
            table,
            columns,
            self.stated,
            tuple(self.titles),
            filled,
            tuple(beside),
            sorted_rows.limits,
            tuple(problems),
        )

    def _row_of_units(self, place: int) -> tuple[tuple[str, str], ...]:
        """Return the units that stand in a row of their own below the headings, and the order of dates.

        Beside them only the form of a date or a time may stand, or what a column of yes and no takes.
        """
        if place >= len(self.grid.rows):
            return ()
        row = self.grid.rows[place]
        units = tuple(self.names.unit_of(cell.strip("()[] ")) for cell in row)
        forms = [without_form(f"date {cell}") for cell in row]
        alone = all(
            not cell or bool(unit) or form[0] == "date" or folded(cell) in _CHOICES
            for unit, form, cell in zip(units, forms, row, strict=True)
        )
        return tuple(zip(units, (order for _, order in forms), strict=True)) if alone and any(units) else ()

    def _columns(
        self, width: int, units: Sequence[tuple[str, str]]
    ) -> tuple[tuple[Column, ...], list[Problem]]:
        row = self.grid.rows[self.place]
        number = self.grid.row_numbers[self.place]
        columns: list[Column] = []
        problems: list[Problem] = []
        taken: set[str] = set()
        roles: set[tuple[str, str]] = set()
        for position in range(width):
            written = " ".join(row[position].split())[:LONGEST_HEADING] if position < len(row) else ""
            meant = self._headings.meaning(row[position]) if written else Meaning()
            below, order = units[position] if position < len(units) else ("", "")
            is_told = meant.role in (READING, "result") or self.names.fits(below, meant.role, "")
            unit = (order if meant.role in DATED else below if is_told else "") or meant.unit
            heading = written or f"column {_letters(position)}"
            while heading in taken:
                heading = f"{heading} (column {_letters(position)})"
            role = meant.role
            if (role, meant.quantity) in roles and role not in self._repeatable:
                problems.append(Problem("heading_again", "hold", self.grid.source(number, heading), written))
                role = ""
            taken.add(heading)
            roles.add((role, meant.quantity))
            columns.append(Column(heading, position, role, meant.quantity, unit))
        return tuple(columns), problems


def _pairs(cells: Sequence[str]) -> list[tuple[str, str]]:
    """Return names with the text behind them, from "Name: text" in one cell or "Name", "text" in two."""
    pairs: list[tuple[str, str]] = []
    rest = list(cells)
    while rest:
        name, mark, text = rest.pop(0).partition(":")
        if mark and text.strip():
            pairs.append((name, text.strip()))
        elif rest:
            pairs.append((name, rest.pop(0)))
    return pairs


def _letters(position: int) -> str:
    """Return the letters by which a spreadsheet names a column."""
    letters, number = "", position + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _numbers(rows: Iterable[tuple[int, tuple[str, ...]]], columns: Iterable[Column]) -> set[str]:
    places = [column.position for column in columns if column.role in NUMBER_ROLES]
    return {row[place] for _, row in rows for place in places if place < len(row)}
