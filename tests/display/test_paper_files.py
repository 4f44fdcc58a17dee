"""Tables for paper, spreadsheets and the terminal: one value, three ways out, and text that stays text."""

import csv
import io
from datetime import date

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.display.paper_files import page_csv, page_pdf, page_text, table_csv
from explorer.display.paper_tables import Amount, PaperColumn, PaperPage, PaperTable, Share

DAY = date(2026, 1, 15)
HOSTILE = (
    "<script>alert(1)</script>",
    '#include "x"',
    "=cmd|' /C calc'!A0",
    "*bold* _it_ $x$ @a \\u{41} //",
    "+1+1",
)
COLUMNS = (PaperColumn("Name", is_wide=True), PaperColumn("Amount", is_number=True))


def page(*rows, **options) -> PaperPage:
    return PaperPage(
        "A page", ("Lead.",), (PaperTable("A table", ("Said of it.",), COLUMNS, rows, **options),)
    )


def text_of(pdf: bytes) -> str:
    return "".join("".join(each.extract_text() for each in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text_everywhere(text: str) -> None:
    made = PaperPage(
        text, (text,), (PaperTable(text, (text,), (PaperColumn(text),), ((text,),)),), (text,), text
    )
    assert text_of(page_pdf(made, made_on=DAY)).count("".join(text.split())) >= 6
    for rows in (table_csv(made.tables[0]), page_csv(made)):
        cells = [cell for row in csv.reader(io.StringIO(rows.decode("utf-8-sig"))) for cell in row]
        assert any(cell.lstrip("'") == text for cell in cells)
        assert not any(cell[:1] in ("=", "+", "@", "-") for cell in cells)
    assert text in page_text(made)


def test_terminal_text_moves_no_cursor() -> None:
    assert "\x1b" not in page_text(page(("\x1b[2Jname\u202e", 1)))
    assert "\u202e" not in page_text(page(("name\u202e", 1)))


def test_terminal_columns_stand_below_one_another() -> None:
    lines = page_text(page(("a", Amount(1.5, 1)), ("a longer name", Amount(12.0, 1)))).splitlines()
    assert lines[-3:] == ["  Name           Amount", "  a                 1.5", "  a longer name    12.0"]


def test_numbers_keep_their_digits_in_the_file_and_are_rounded_on_paper() -> None:
    made = page(("a", Amount(1 / 3, 1)), ("b", Amount(float("nan"), 1)))
    assert [row[1] for row in csv.reader(io.StringIO(table_csv(made.tables[0]).decode("utf-8-sig")))] == [
        "Amount", "0.3333333333", ""
    ]  # fmt: skip
    assert "a0.3" in text_of(page_pdf(made, made_on=DAY))


@pytest.mark.parametrize(
    ("share", "shown"), [(Share(1, 1), "1"), (Share(0, 1), "0/1"), (Share(3, 2), "3"), (Share(2, 0), "2")]
)
def test_share_shows_what_is_missing(share: Share, shown: str) -> None:
    assert str(share) == shown


def test_share_is_two_numbers_in_a_file_that_no_spreadsheet_takes_for_a_day() -> None:
    rows = list(csv.reader(io.StringIO(page_csv(page(("a", Share(1, 2)))).decode("utf-8-sig"))))
    assert rows[-2:] == [["A table", "1", "Amount", "1"], ["A table", "1", "Amount, planned", "2"]]


@pytest.mark.parametrize("count", [1, 45, 300])
@pytest.mark.parametrize("abreast", [1, 3])
def test_long_tables_lose_no_row_on_paper(count: int, abreast: int) -> None:
    rows = tuple((f"row{number:03d}x", number) for number in range(count))
    pdf = page_pdf(page(*rows, abreast=abreast), made_on=DAY)
    text = text_of(pdf)
    assert all(text.count(f"row{number:03d}x") == 1 for number in range(count))
    pages = len(pypdf.PdfReader(io.BytesIO(pdf)).pages)
    assert pages <= 1 + count // (25 * abreast)
    if count > 100:  # headings stand on every page again
        assert text.count("NameAmount") >= pages


@settings(deadline=None, max_examples=20)
@given(st.lists(st.text(st.characters(codec="utf-8"), max_size=12), min_size=1, max_size=4))
def test_any_text_comes_back_from_the_file(texts: list[str]) -> None:
    made = page(*((text, 1) for text in texts))
    rows = list(csv.reader(io.StringIO(table_csv(made.tables[0]).decode("utf-8-sig"), newline="")))
    assert [row[0].replace("'", "") for row in rows[1:]] == [text.replace("'", "") for text in texts]


def test_same_day_gives_the_same_bytes() -> None:
    made = page(("a", 1))
    assert page_pdf(made, made_on=DAY) == page_pdf(made, made_on=DAY)
