import datetime
import io
import zipfile

import openpyxl
import pytest

from explorer.intake.grids import Grid, read_text_grid
from explorer.intake.own_headings import heading_names
from explorer.intake.table_search import find_table
from explorer.intake.tables import read_grids, read_table
from explorer.intake.workbooks import read_workbook_grids
from explorer.model.problems import Problem
from explorer.records.text_tables import TextTable


def workbook(*rows, change=None, **sheets):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for title, more in sheets.items():
        sheet = book.create_sheet(title)
        for row in more:
            sheet.append(row)
    if change:
        change(book.active)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def repacked(content, change):
    """Return a workbook with its parts changed: a mapping of name and bytes, changed in place."""
    with zipfile.ZipFile(io.BytesIO(content)) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    change(parts)
    new = io.BytesIO()
    with zipfile.ZipFile(new, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return new.getvalue()


def code_of(content, name="a.xlsx"):
    found = read_grids(name, content)
    assert len(found) == 1
    assert isinstance(found[0], Problem)
    assert str(found[0])
    return found[0].code


HEADINGS = ("Site", "Date", "Secchi (m)")
SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_text_in_common_encodings_and_separators_gives_the_same_cells(separator, encoding):
    lines = [["Grüner See 2025"], [], ["Site", "Date", "Secchi (m)"], ["A1", "2025-05-01", "1.5"]]
    content = "\r\n".join(separator.join(line) for line in lines).encode(encoding)
    grid = read_text_grid("a.csv", content)
    assert grid.rows == tuple(tuple(line) for line in lines if line)
    assert grid.row_numbers == (1, 3, 4)


def test_separator_of_a_sheet_with_decimal_commas_below_a_title_is_found():
    grid = read_text_grid("a.csv", b"Mere, 2025\n\nSite;Date;Secchi m\nA1;1.5.25;1,5\nA2;1.5.25;2,5\n")
    assert grid.rows[1] == ("Site", "Date", "Secchi m")


def test_declared_separator_is_taken_and_counts_as_a_row():
    grid = read_text_grid("a.csv", b"sep=;\nSite;Date\nA,1;2025\n")
    assert (grid.rows[1], grid.row_numbers) == (("A,1", "2025"), (2, 3))


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "empty_file"),
        (b" \n;;\n", "empty_file"),
        (b"\x00\x01\x02" * 50, "not_text"),
        (b'a,"b', "quotation_mark"),
        (b"\xd0\xcf\x11\xe0" + b"x" * 99, "old_workbook"),
        (b"PK\x03\x04 not a zip", "not_a_workbook"),
        (b"a," + b"x" * 10_001, "cell_too_long"),
        (b'a,b,c\n1,"2,3\n4,5,6\n7,8",9\n', "quotation_mark"),
    ],
)
def test_a_file_that_cannot_be_read_says_why(content, code):
    assert code_of(content) == code


def test_workbook_gives_the_cells_as_text_with_their_rows():
    content = workbook(
        ("Mere 2025",),
        (),
        HEADINGS,
        ("A1", datetime.date(2025, 5, 1), 1.5),
        ("A2", datetime.datetime(2025, 5, 2, 9, 5), 0.1 + 0.2),
        ("A3", datetime.time(9, 30), True),
        ("A4", None, 7),
    )
    (grid,) = read_workbook_grids("a.xlsx", content)
    assert grid.rows[2:] == (
        ("A1", "2025-05-01", "1.5"),
        ("A2", "2025-05-02 09:05", "0.3"),
        ("A3", "09:30", "TRUE"),
        ("A4", "", "7"),
    )
    assert grid.row_numbers == (1, 3, 4, 5, 6, 7)


def test_every_sheet_with_text_is_a_grid_and_empty_ones_are_none():
    grids = read_workbook_grids("a.xlsx", workbook(HEADINGS, spring=[("x",)], nothing=[]))
    assert [grid.sheet for grid in grids] == ["Sheet", "spring"]


def test_formula_text_in_a_text_file_stays_text():
    grid = read_text_grid("a.csv", b"Site,Date,Notes\nA1,2025-05-01,=cmd|'/c calc'!A1\n")
    assert grid.rows[1][2] == "=cmd|'/c calc'!A1"


def test_formula_without_its_value_is_not_lost():
    (grid,) = read_workbook_grids("a.xlsx", workbook(HEADINGS, ("A1", "2025-05-01", "=1+2")))
    assert grid.rows[1] == ("A1", "2025-05-01", "=1+2")
    assert [problem.code for problem in grid.problems] == ["formula_not_computed"]


def test_cells_merged_downwards_each_say_what_is_shown():
    content = workbook(
        HEADINGS,
        ("A1", "2025-05-01", 1),
        ("A2", None, 2),
        ("A3", None, 3),
        change=lambda sheet: sheet.merge_cells("B2:B4"),
    )
    (grid,) = read_workbook_grids("a.xlsx", content)
    assert [row[1] for row in grid.rows[1:]] == ["2025-05-01"] * 3
    assert [problem.code for problem in grid.problems] == ["merged_cells"]


def test_numbers_that_no_reading_has_are_text_that_waits():
    (grid,) = read_workbook_grids(
        "a.xlsx", workbook(HEADINGS, ("A1", "2025-05-01", 1e308), ("A2", "2025-05-01", -0.0))
    )
    assert [row[2] for row in grid.rows[1:]] == ["1e+308", "0"]


def test_workbook_that_unpacks_to_too_much_is_refused_unread(monkeypatch):
    content = repacked(workbook(HEADINGS), lambda parts: parts.update({"xl/media/a.bin": b"0" * 2_000_000}))
    monkeypatch.setattr("explorer.intake.workbooks.MOST_UNPACKED", 1_000_000)
    assert len(content) < 20_000
    assert code_of(content) == "workbook_too_large"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_workbook_with_declared_entities_is_refused_unread(encoding):
    bomb = '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "ha">]><a>&b;</a>'.encode(encoding)
    assert (
        code_of(repacked(workbook(HEADINGS), lambda parts: parts.update({SHEET: bomb})))
        == "workbook_declares"
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'<row r="2"', b'<row r="1"'),
        (b'<row r="2"', b'<row r="-2"'),
        (b'r="B2"', b'r="A2"'),
        (b'<row r="2"', b'<row r="x"'),
    ],
)
def test_workbook_whose_cells_share_a_place_is_refused_not_passed_over(old, new):
    content = workbook(HEADINGS, ("A1", "2025-05-01", 1))
    changed = repacked(content, lambda parts: parts.update({SHEET: parts[SHEET].replace(old, new)}))
    assert code_of(changed) == "sheet_damaged"


def test_workbook_with_a_row_or_a_column_far_out_ends_soon():
    content = workbook(HEADINGS, ("A1", "2025-05-01", 1))
    far_down = repacked(
        content,
        lambda parts: parts.update({SHEET: parts[SHEET].replace(b'<row r="2"', b'<row r="99999999999"')}),
    )
    far_right = repacked(
        content, lambda parts: parts.update({SHEET: parts[SHEET].replace(b'r="C2"', b'r="ZZZ2"')})
    )
    assert code_of(far_down) == "workbook_too_large"
    assert code_of(far_right) == "sheet_too_wide"


def test_what_a_workbook_says_of_its_size_is_not_believed():
    content = workbook(HEADINGS, ("A1", "2025-05-01", 1))
    for size in (b"A1:A1", b"A1:XFD1048576"):
        changed = repacked(content, lambda parts: parts.update({SHEET: parts[SHEET].replace(b"A1:C2", size)}))  # noqa: B023
        assert read_workbook_grids("a.xlsx", changed)[0].rows[1] == ("A1", "2025-05-01", "1")


def test_read_table_finds_the_headings_below_a_title_and_the_rows_above_an_average():
    table = read_table("a.csv", b"Mere 2025\n\nSite,Date,Secchi (m)\nA1,2025-05-01,1.5\n\nAverage,,1.5\n")
    assert isinstance(table, TextTable)
    assert (table.headings, table.rows, table.row_numbers) == (HEADINGS, (("A1", "2025-05-01", "1.5"),), (4,))


def test_read_table_takes_the_first_sheet_that_has_one():
    table = read_table("a.xlsx", workbook(("Dear all",), June=[HEADINGS, ("A1", "2025-06-01", 2)]))
    assert (table.sheet, table.column("Site")) == ("June", ["A1"])


def test_read_table_of_a_file_without_headings_names_the_nearest():
    problem = read_table("a.csv", b"Sit,Dat,Sechi\nA1,2025-05-01,1.5\n")
    assert problem.code == "no_headings"
    assert '"Sechi": secchi' in str(problem)


def test_grids_keep_every_cell_with_text():
    content = b"a,b,,\n\n,,c\nd,,,e,,\n"
    (grid,) = read_grids("a.csv", content)
    assert isinstance(grid, Grid)
    assert (grid.filled, grid.row_numbers) == (5, (1, 3, 4))


@pytest.mark.parametrize("below", [",,(m)", ",(MM/DD/YYYY),m", ",m/d/yy,m,Y/N", ",,(m),(yes/no)"])
def test_units_in_a_row_below_the_headings_may_stand_beside_forms_of_dates_and_flags(below):
    content = f"Site,Date,Secchi,On bottom\n{below}\nA1,5/6/2025,1.5,no\n".encode()
    layout = find_table(read_grids("a.csv", content)[0], heading_names())
    assert layout.table.row_numbers == (3,)
    assert layout.columns[2].unit == "m"
    assert layout.columns[1].unit == ("" if below.startswith(",,") else "month/day/year")


@pytest.mark.parametrize("below", ["A1,2025-05-06,m", ",,", ",2025-05-06,m", ",,1.5"])
def test_a_row_that_says_more_is_no_row_of_units(below):
    content = f"Site,Date,Secchi\n{below}\nA1,2025-05-06,1.5\n".encode()
    layout = find_table(read_grids("a.csv", content)[0], heading_names())
    assert layout.table.row_numbers[0] in (2, 3)
    assert layout.columns[2].unit == ""


@pytest.mark.parametrize("last", ["Total visits:,12,", "Summe,2,", "Total,9 samples,", "Average,,1.5"])
def test_a_row_that_counts_or_sums_is_passed_over(last):
    content = f"Site,Date,Secchi (m)\nA1,2025-05-06,1.5\n{last}\n".encode()
    layout = find_table(read_grids("a.csv", content)[0], heading_names())
    assert [(each.row, each.why) for each in layout.beside] == [(3, "summary_row")]
