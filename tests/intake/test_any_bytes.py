"""Whatever bytes come in: a list of problems, never an exception, and every cell accounted for."""

import csv
import io
import json
import random

import openpyxl
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from explorer.demo import demo_folder
from explorer.intake.heading_list import documented_names
from explorer.intake.headings import KINDS
from explorer.intake.reading import FileReading, read_file
from explorer.intake.tables import read_table
from explorer.model.problems import Problem
from explorer.model.readings import ENTRIES
from explorer.records.text_decoding import clean_text
from explorer.records.text_tables import TextTable

SHEETS = [path.read_bytes() for path in sorted((demo_folder() / "season_2025_sheets").iterdir())]
NAMES = documented_names()
HEADINGS = sorted({name for kind in KINDS for name in NAMES.roles[kind]} | set(NAMES.quantity_names))
PARTS = [
    b"\x00",
    b"\xff\xfe",
    b'"',
    b"\n",
    b",",
    b";",
    b"1e308",
    b"nan",
    b"\xe2\x80\xae",
    b"=cmd()",
    b"<",
    b"\r",
    b"\x1b[31m",
]


def check(found: FileReading) -> FileReading:
    """Every file ends so: an account that adds up, sentences for all problems, entries of the right form."""
    assert found.account.adds_up
    assert found.tables or found.problems
    for problem in found.problems:
        assert str(problem)
        assert problem.severity in ("refuse", "hold", "note")
        json.dumps(dict(problem.values))
    for table in found.tables:
        assert list(table.entries.columns)[: len(ENTRIES)] == list(ENTRIES)
        assert set(table.entries["status"]) <= {"accepted", "held", "rejected"}
        ready = table.entries[table.entries["status"] == "accepted"]
        assert ready["value"].notna().all()
        if table.kind in ("data_sheet", "probe"):
            assert ready["taken_on"].notna().all()
            assert (ready["station_code"] != "").all()
        assert (table.entries.loc[table.entries["status"] == "held", "reason"] != "").all()
        assert len(table.cells()) == table.outcomes.size
    return found


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_end_in_a_list_of_problems(content: bytes) -> None:
    check(read_file("a.csv", content))
    assert isinstance(read_table("a.csv", content), (TextTable, Problem))


@settings(deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=300))
def test_any_text_ends_in_a_list_of_problems(text: str) -> None:
    check(read_file("a.csv", text.encode()))


@settings(deadline=None)
@given(st.sampled_from(SHEETS), st.integers(0, 10_000), st.integers(0, 60), st.sampled_from(PARTS))
def test_a_real_sheet_with_bytes_cut_out_or_put_in_ends_in_a_list_of_problems(
    sheet: bytes, place: int, cut: int, part: bytes
) -> None:
    place %= len(sheet)
    check(read_file("a.csv", sheet[:place] + part + sheet[place + cut :]))
    check(read_file("a.csv", sheet[:place]))


cells = st.one_of(
    st.sampled_from(
        [
            "",
            "",
            "0",
            "<5",
            "ND",
            "5 U",
            "6'4\"",
            "VOB",
            "250122-1",
            "2025-07-11",
            "3/4/25",
            "FER1",
            "1e308",
            "nan",
            "-",
            "yes",
            "mg/L",
            "ug/L",
            "TP",
            "14:30",
            "250+250",
            "#REF!",
            "=1+1",
            "١٢",
            "\u202e5",
        ]
    ),
    st.text(max_size=6),
    st.integers(-5, 500).map(str),
)


@st.composite
def tables(draw: st.DrawFn) -> list[list[str]]:
    width = draw(st.integers(2, 7))
    headings = draw(st.lists(st.sampled_from(HEADINGS), min_size=width, max_size=width))
    unit = draw(st.sampled_from(["", " (m)", " (ft)", " mg/L", " °F"]))
    rows = draw(st.lists(st.lists(cells, min_size=1, max_size=width), max_size=6))
    return [[heading + unit for heading in headings], *rows]


@settings(max_examples=100, deadline=None)
@given(tables(), st.sampled_from([",", ";", "\t"]), st.sampled_from(["", *KINDS]))
@example([["630", "630"], ["\t"]], ",", "")
@example([["630", "630"], ["\tx"]], ";", "")
@example([["630", "630"], ["a\tb"]], ",", "")
def test_cells_of_any_table_add_up_to_those_that_were_written(
    rows: list[list[str]], separator: str, kind: str
) -> None:
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(rows)
    found = check(read_file("a.csv", text.getvalue().encode(), kind=kind))
    written = sum(1 for row in rows for cell in row if clean_text(cell).split())
    refused_whole = [each.code for each in found.problems if each.source.row == 0 and not each.source.column]
    if set(refused_whole) & {"not_text", "quotation_mark", "empty_file"} or written == 0:
        return
    if not any(each.code == "quotation_mark" for each in found.problems):
        account = found.account
        assert account.accepted + account.held + account.refused + _emptied(found) == written


def _emptied(found: FileReading) -> int:
    """Return how many cells hold a mark for nothing: "-", "NA"."""
    tables = [table.cells() for table in found.tables]
    return sum(int(((each["outcome"] == "empty") & (each["as_written"] != "")).sum()) for each in tables)


def workbook_bytes(rows: list[list[object]]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


WORKBOOK = workbook_bytes(
    [["Site", "Date", "Secchi (m)"], *[["A1", "2025-07-11", n / 10] for n in range(40)]]
)


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, len(WORKBOOK) - 1), st.integers(0, 255)), max_size=12),
    st.integers(0, 3000),
)
def test_a_damaged_workbook_ends_in_a_list_of_problems(changes: list[tuple[int, int]], cut: int) -> None:
    content = bytearray(WORKBOOK)
    for place, byte in changes:
        content[place] = byte
    check(read_file("a.xlsx", bytes(content)))
    check(read_file("a.xlsx", WORKBOOK[: max(0, len(WORKBOOK) - cut)]))


def test_text_and_workbook_of_the_same_cells_say_the_same() -> None:
    rows = [
        ["Site", "Date", "Secchi (m)", "Temp C"],
        ["A1", "2025-07-11", "1.5", "20"],
        ["A2", "2025-07-12", ">2", "x"],
    ]
    text = "\n".join(",".join(row) for row in rows).encode()
    first, second = (
        check(read_file("a.csv", text)),
        check(read_file("a.xlsx", workbook_bytes([list(row) for row in rows]))),
    )
    assert first.account == second.account
    columns = ["row", "column", "as_written", "value", "sign", "status", "reason"]
    assert first.tables[0].entries[columns].equals(second.tables[0].entries[columns])


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_columns_and_rows_changes_nothing(seed: int) -> None:
    chance = random.Random(seed)
    rows = [["Site", "Date", "Secchi (m)", "Temp F", "Notes"]]
    rows += [[f"A{n}", f"2025-07-{n + 10}", f"{n + 1}.5", f"{60 + n}", f"note {n}"] for n in range(8)]
    places = list(range(5))
    chance.shuffle(places)
    body = rows[1:]
    chance.shuffle(body)
    shuffled = [[row[place] for place in places] for row in [rows[0], *body]]
    values = ["taken_on", "quantity", "value", "sign", "status", "reason", "remark", "column", "as_written"]
    first, second = (
        check(read_file("a.csv", "\n".join(",".join(row) for row in each).encode())).tables[0].entries[values]
        for each in (rows, shuffled)
    )
    order = ["taken_on", "quantity"]
    assert first.sort_values(order, ignore_index=True).equals(second.sort_values(order, ignore_index=True))
