"""Breaks files in ways that offices meet, and knows how many cells of each hold text."""

import csv
import io
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import openpyxl
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from explorer.intake.sample_codes import sample_code

__all__ = ["BrokenFile", "broken_file"]

Rows = list[list[str]]

SHEET = ["Station", "Date", "Time", "Secchi (m)", "Temp (C)", "Bottle", "Filter", "mL", "Observer", "Notes"]
LABORATORY = ["Sample", "Analyte", "Result", "Units", "Flag", "MDL", "RL", "Analysed"]
FREEZER = ["container", "in", "freezer °C", "out", "remark"]
PROBE = ["Station", "Date", "z (m)", "ODO (mg/L)", "Temp (C)", "pH"]
HOSTILE = (
    "1e308", "-1e308", "nan", "inf", "1e-320", "NaN", "#REF!", "=1+1", "=cmd|' /C calc'!A1", "<", ">",
    "<<5", "ND", "0", "-0", "1.234,5", "½", "١٢", "12 345", '5\'13"', "9/31/25", "2025-02-30",
    "03/04/25", "99999999999", "\u202e7.5", "\u200b",
    "a" * 400,
    "DROP TABLE readings", "<script>", "5 m 3 ft", "NULL", "TRUE", "{}", "%s", "\\",
)  # fmt: skip
NOTHING = ("nan", "null", "-", "x")


@dataclass(frozen=True)
class BrokenFile:
    """A file and what its breaker knows of it.

    `cells` is the number of cells that hold text, -1 where the bytes were cut or spoilt afterwards;
    `nothing` of them hold a word for "nothing measured", which counts as empty under a heading.
    """

    name: str
    content: bytes
    cells: int
    nothing: int
    story: str


def _rows(chance: random.Random) -> Rows:
    """Return the rows of a sound file of one kind."""
    kind, count = chance.choice("slfp"), chance.randint(0, 12)
    year = chance.choice((2024, 2025))

    def day() -> str:
        return f"{year}-{chance.randint(4, 10):02d}-{chance.randint(1, 28):02d}"

    def code(container: int) -> str:
        return sample_code(year, chance.randint(1, 30), container)

    def station() -> str:
        return f"CL{chance.randint(1, 7)}"

    def number(low: float, high: float) -> str:
        return f"{chance.uniform(low, high):.{chance.randint(0, 3)}f}"

    def row() -> list[str]:
        if kind == "s":
            codes = [code(1), code(2)]
            time, observer = f"{chance.randint(6, 19)}:15", f"V{chance.randint(1, 4)}"
            return [station(), day(), time, number(1, 6), number(5, 25), *codes, "500", observer, ""]
        if kind == "l":
            analyte = chance.choice(("TP", "TN", "Chlorophyll a (corrected)"))
            return [code(chance.randint(1, 4)), analyte, number(1, 80), "ug/L", "", "2", "4", day()]
        if kind == "f":
            return [code(chance.randint(1, 4)), day(), "-20", day(), ""]
        return [station(), day(), number(0, 20), number(0, 14), number(4, 24), number(6, 9)]

    headings = {"s": SHEET, "l": LABORATORY, "f": FREEZER, "p": PROBE}[kind]
    return [list(headings), *(row() for _ in range(count))]


def _spoil_cells(rows: Rows, chance: random.Random) -> None:
    for _ in range(chance.randint(1, 6)):
        row = chance.choice(rows)
        if row:
            row[chance.randrange(len(row))] = chance.choice(HOSTILE)


def _shuffle_columns(rows: Rows, chance: random.Random) -> None:
    order = list(range(max(map(len, rows))))
    chance.shuffle(order)
    full = [row + [""] * (len(order) - len(row)) for row in rows]
    rows[:] = [[row[place] for place in order] for row in full]


def _drop_a_column(rows: Rows, chance: random.Random) -> None:
    place = chance.randrange(len(rows[0]))
    rows[:] = [row[:place] + row[place + 1 :] for row in rows]


def _double_a_row(rows: Rows, chance: random.Random) -> None:
    rows.insert(chance.randrange(len(rows)) + 1, list(chance.choice(rows)))


def _add_titles(rows: Rows, chance: random.Random) -> None:
    rows[:0] = [[chance.choice(("Corrow Lake 2025", "Station: CL1", "", "Laboratory report"))], []]


def _add_a_column(rows: Rows, chance: random.Random) -> None:
    for row in rows:
        row.append(chance.choice(("", "x", "Secchi (m)", "7")))


def _blank_rows(rows: Rows, chance: random.Random) -> None:
    rows.insert(chance.randrange(len(rows) + 1), [""] * len(rows[0]))


def _empty_cells(rows: Rows, chance: random.Random) -> None:
    for row in rows[1:]:
        for place in range(len(row)):
            if chance.random() < 0.3:
                row[place] = chance.choice(("", " "))


def _leave_only_headings(rows: Rows, chance: random.Random) -> None:
    del rows[1:]


BREAKS: Sequence[Callable[[Rows, random.Random], None]] = (
    _spoil_cells, _shuffle_columns, _drop_a_column, _double_a_row, _add_titles, _add_a_column, _blank_rows,
    _empty_cells, _leave_only_headings, _spoil_cells,
)  # fmt: skip


def _as_text(rows: Rows, chance: random.Random) -> tuple[bytes, str]:
    text = io.StringIO()
    separator = chance.choice(",;\t")
    csv.writer(text, delimiter=separator, lineterminator=chance.choice(("\n", "\r\n"))).writerows(rows)
    encoding = chance.choice(("utf-8", "utf-8-sig", "utf-16", "cp1252"))
    return text.getvalue().encode(encoding, errors="replace"), f"{encoding} {separator!r}"


def _as_workbook(rows: Rows, chance: random.Random) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append([ILLEGAL_CHARACTERS_RE.sub("", cell) or None for cell in row])
    for row in sheet.iter_rows():
        for cell in row:
            if isinstance(cell.value, str):
                cell.data_type = "s"  # text stays text: a formula without its value is no cell with text
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _spoil_bytes(content: bytes, chance: random.Random) -> bytes:
    place, cut = chance.randrange(len(content) + 1), chance.randint(0, 40)
    part = chance.choice((b"", b"\x00", b'"', b"\n", b"\xff\xfe", b"\xe2\x80\xae", b",,,", b"PK\x03\x04"))
    return content[: chance.randrange(len(content) + 1)] if chance.random() < 0.3 else (
        content[:place] + part + content[place + cut :]
    )  # fmt: skip


def broken_file(seed: int) -> BrokenFile:
    """Return the broken file of a seed."""
    chance = random.Random(seed)
    rows = [list(row) for row in _rows(chance)]
    story = []
    for _ in range(chance.randint(0, 3)):
        breaking = chance.choice(BREAKS)
        if rows and rows[0]:
            breaking(rows, chance)
            story.append(breaking.__name__.strip("_"))
    nothing = sum(cell.strip().casefold() in NOTHING for row in rows for cell in row)
    cells = sum(1 for row in rows for cell in row if cell.strip("\u202e \t"))
    if chance.random() < 0.15:
        content, form, ending = _as_workbook(rows, chance), "workbook", "xlsx"
    else:
        content, form = _as_text(rows, chance)
        ending = "csv"
        if all(len(row) < 2 for row in rows):
            cells = -1  # without a separator nobody can know what a comma in a cell is
    if content and chance.random() < 0.25:
        content, cells = _spoil_bytes(content, chance), -1
        story.append("bytes spoilt")
    name = chance.choice(("a", "b", "sheet")) + f".{ending}"
    return BrokenFile(name, content, cells, nothing, f"seed {seed}, {form}: {', '.join(story) or 'sound'}")
