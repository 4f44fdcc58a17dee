"""Bytes → cells: encodings, separators, row numbers, and what cannot be read."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.model.problems import Problem
from explorer.records.text_tables import LONGEST_CELL, TextTable, read_table


def table_of(content: bytes) -> TextTable:
    read = read_table("a.csv", content)
    assert isinstance(read, TextTable), str(read)
    return read


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"]
)
def test_table_in_any_encoding_gives_the_same_cells(encoding):
    text = "Station,Tiefe\nGrünsee,1.5\n"
    assert table_of(text.encode(encoding)).rows == (("Grünsee", "1.5"),)


@pytest.mark.parametrize(
    "content",
    [
        bytes(range(1, 32)) * 4 + b"\x00" * 40,  # NUL at places of both kinds
        "A,B\n1,2\n".encode("utf-16-le") * 4 + b"\x00",  # an odd number of bytes
        b"\x00\xd8a\x00" * 40,  # half of a surrogate pair
        b"\x01\x00\x02\x00\x03\x00" * 40,  # small numbers of two bytes
    ],
)
def test_bytes_that_only_look_like_text_of_two_bytes_are_refused(content):
    read = read_table("a.csv", content)
    assert isinstance(read, Problem)
    assert read.code == "not_text"


@pytest.mark.parametrize(
    ("content", "decimal"),
    [
        (b"a,b\n1.5,2\n", "."),
        (b"a;b\n1,5;2\n", ","),
        (b"a\tb\n1,5\t2\n", ","),
        (b"sep=;\na;b\n1,25;2\n", ","),
        (b'a,b\n"1,5",2\n', ","),
        (b"a;b\n1,250;2\n", ""),
        (b"a;b\n0,250;2\n", ","),
    ],
)
def test_table_separator_and_decimal_mark_are_found(content, decimal):
    table = table_of(content)
    assert table.headings == ("a", "b")
    assert table.decimal == decimal


def test_row_numbers_count_as_a_spreadsheet_does():
    table = table_of(b'\r\na,b\r\n"two\r\nlines",1\r\n\r\n,,\r\nx,2\r\n')
    assert table.row_numbers == (3, 6)
    assert table.rows == (("two lines", "1"), ("x", "2"))


def test_old_line_ends_are_line_ends():
    assert table_of(b"a,b\r1,2\r3,4\r").rows == (("1", "2"), ("3", "4"))


def test_text_is_composed_and_free_of_control_characters():
    text = "a,b\nGru\u0308n\x00\x1b[31m\u202e,\u009b2\n"
    assert table_of(text.encode() + b" " * 200).rows == (("Grün[31m", "2"),)


def test_empty_columns_at_the_end_are_left_out():
    assert table_of(b"a,b,,\n1,2,,\n").headings == ("a", "b")


@pytest.mark.parametrize(
    ("content", "row", "cure"),
    [
        (b"", 0, "Fill it"),
        (b" \n\n", 0, "Fill it"),
        (b"\x89PNG\r\n\x1a\n" + b"\x00" * 40, 0, "Save the table as CSV"),
        (b"PK\x03\x04 a workbook", 0, "Save the table as CSV"),
        (bytes(range(32)) * 10, 0, "Save the table as CSV"),
        (b"a,b\n1,2\n3\n4\n", 3, "fill up the row"),
        (b"a,b\n1,2,3\n", 2, "quotation marks"),
        (b'a,b\n1,"2\n3,4\n', 2, "close it at the cell's end"),
        (b'a,b\n1,"2"x\n', 2, "Double it inside a cell"),
        (b"a,,c\n1,2,3\n", 1, "Give it one"),
        (b"a,b,a\n1,2,3\n", 1, "Rename one"),
        (b"a,b\n1," + b"x" * (LONGEST_CELL + 1) + b"\n", 2, "shorten the cell"),
    ],
)
def test_table_that_cannot_be_read_is_a_problem_with_its_row_and_cure(content, row, cure):
    problem = read_table("a.csv", content)
    assert isinstance(problem, Problem)
    assert problem.source.file_name == "a.csv"
    assert problem.source.row == row
    assert cure in str(problem)


@settings(deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_end_in_a_table_or_a_problem(content):
    read = read_table("a.csv", content)
    if isinstance(read, TextTable):
        assert all(len(row) == len(read.headings) for row in read.rows)
        assert len(set(read.headings)) == len(read.headings)
        assert sorted(read.row_numbers) == list(read.row_numbers)
        assert all(ord(letter) >= 32 for row in read.rows for cell in row for letter in cell)
    else:
        assert str(read).startswith("a.csv")


CELL = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cf", "Zl", "Zp", "Zs")),
    min_size=1,
    max_size=8,
)


@settings(deadline=None)
@given(st.lists(st.lists(CELL, min_size=3, max_size=3), max_size=6), st.sampled_from(",;\t"))
def test_cells_come_back_as_they_were_written(rows, separator):
    lines = [["first", "second", "third"], *rows]
    quoted = [separator.join('"' + cell.replace('"', '""') + '"' for cell in line) for line in lines]
    table = table_of("\n".join(quoted).encode())
    import unicodedata

    assert [list(row) for row in table.rows] == [
        [unicodedata.normalize("NFC", cell) for cell in row] for row in rows
    ]
