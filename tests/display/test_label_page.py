"""Labels: codes and containers, each inside its place on the sheet, and a square that a scanner reads."""

import io
from datetime import date

import numpy as np
import pypdf
import pypdfium2
import pytest
import segno

from explorer.display.label_page import Label, labels_of, labels_pdf, square_code
from explorer.intake.sample_codes import read_sample_codes, sample_code
from explorer.model.errors import ExplorerError
from explorer.model.label_stock import LABEL_SHEETS, PAGES_MM

DAY = date(2026, 5, 2)
POINT_MM = 25.4 / 72
SCALE = 5.0  # pixels a point
DARK = 200
HOSTILE = '<script>alert(1)</script> #include "x" =cmd'


def label(serial: int, station: str = "HOL1") -> Label:
    return Label(f"{sample_code(2026, serial)}-1", "Second bottle", station)


def pictures(pdf: bytes) -> list[np.ndarray]:
    document = pypdfium2.PdfDocument(pdf)
    return [np.asarray(page.render(scale=SCALE, grayscale=True).to_numpy()).squeeze() for page in document]


def ink_outside(picture: np.ndarray, sheet, edge_mm: float) -> int:
    """Return the dark pixels that lie in no label, or nearer to its edge than allowed."""
    dark = picture < DARK
    per_mm = SCALE / POINT_MM
    for row in range(sheet.rows):
        for column in range(sheet.columns):
            left = sheet.left_mm + column * (sheet.width_mm + sheet.gap_across_mm)
            top = sheet.top_mm + row * (sheet.height_mm + sheet.gap_down_mm)
            ends = [
                left + edge_mm,
                top + edge_mm,
                left + sheet.width_mm - edge_mm,
                top + sheet.height_mm - edge_mm,
            ]
            x0, y0, x1, y1 = (round(end * per_mm) for end in ends)
            dark[y0:y1, x0:x1] = False
    return int(dark.sum())


def test_labels_of_a_visit_with_duplicate_and_blank(planned_visits) -> None:
    visit = {"station_code": "A1", "has_duplicate": True, "has_blank": True, "blank_code": "260021"}
    found = [(each.code, each.container) for each in labels_of(planned_visits(visit))]
    assert found == [
        ("260013-1", "Bottle"), ("260013-2", "Filter"), ("260013-3", "Second bottle"),
        ("260013-4", "Second filter"), ("260021-1", "Blank, bottle"), ("260021-2", "Blank, filter"),
    ]  # fmt: skip
    assert not read_sample_codes([code for code, _ in found]).problem.any()


def test_labels_of_a_visit_without_a_filter(planned_visits) -> None:
    visit = {"station_code": "A1", "has_filter": False, "has_duplicate": True}
    assert [each.code for each in labels_of(planned_visits(visit))] == ["260013-1", "260013-3"]
    dry = {"station_code": "A1", "has_filter": False, "has_bottle": False, "sample_code": ""}
    assert labels_of(planned_visits(dry)) == ()


@pytest.mark.parametrize("name", LABEL_SHEETS)
def test_every_label_lies_inside_its_place_on_the_sheet(name: str) -> None:
    sheet = LABEL_SHEETS[name]
    pdf = labels_pdf(tuple(label(9000 + n) for n in range(sheet.count)), sheet, made_on=DAY)
    (picture,) = pictures(pdf)
    assert ink_outside(picture, sheet, edge_mm=1.0) == 0
    assert (picture < DARK).sum() > 1000 * sheet.count
    page = pypdf.PdfReader(io.BytesIO(pdf)).pages[0]
    size = [float(page.mediabox.width) * POINT_MM, float(page.mediabox.height) * POINT_MM]
    assert size == pytest.approx(PAGES_MM[sheet.page], abs=0.1)


@pytest.mark.parametrize("name", LABEL_SHEETS)
def test_nothing_of_a_label_is_cut_or_covered(name: str) -> None:
    """Room is left between the code, the container's name and the lines: rows of pixels without ink."""
    sheet = LABEL_SHEETS[name]
    one = Label(f"{sample_code(2026, 9998)}-4", "Second filter", "HOLLIN12")
    (picture,) = pictures(labels_pdf((one,), sheet, made_on=DAY))
    per_mm = SCALE / POINT_MM
    x0, x1 = (round(each * per_mm) for each in (sheet.left_mm, sheet.left_mm + sheet.width_mm - 16))
    y0, y1 = (round(each * per_mm) for each in (sheet.top_mm, sheet.top_mm + sheet.height_mm))
    inked = (picture[y0:y1, x0:x1] < DARK).any(axis=1)
    parts = int((np.diff(inked.astype(int)) == 1).sum())
    assert parts >= 4  # code, name with station, lake, date and time


def test_long_and_hostile_text_stays_text_inside_its_label() -> None:
    sheet = LABEL_SHEETS["letter_30"]
    labels = (label(1, HOSTILE), Label("260021-1", HOSTILE, "A1"), label(3, "X" * 200))
    pdf = labels_pdf(labels, sheet, made_on=DAY)
    assert ink_outside(pictures(pdf)[0], sheet, edge_mm=0.0) == 0
    text = "".join(pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text().split())
    assert text.count("".join(HOSTILE.split())) == 2


def test_used_labels_of_the_first_sheet_stay_empty() -> None:
    sheet = LABEL_SHEETS["a4_21"]
    pdf = labels_pdf(tuple(label(n) for n in range(1, 21)), sheet, made_on=DAY, skip=4)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    counts = [page.extract_text().count("Second bottle") for page in reader.pages]
    assert counts == [17, 3]
    first = pictures(pdf)[0]
    height = round((sheet.top_mm + sheet.height_mm) * SCALE / POINT_MM)
    assert (first[: height - 5] < DARK).sum() == 0


@pytest.mark.parametrize("skip", [-1, 21])
def test_more_used_labels_than_a_sheet_has_are_refused(skip: int) -> None:
    with pytest.raises(ExplorerError, match="A sheet has 21 labels"):
        labels_pdf((label(1),), LABEL_SHEETS["a4_21"], made_on=DAY, skip=skip)


def test_no_labels_are_refused() -> None:
    with pytest.raises(ExplorerError, match="no labels to print"):
        labels_pdf((), LABEL_SHEETS["a4_21"], made_on=DAY)


def test_labels_are_tagged_and_every_square_has_its_text() -> None:
    pdf = labels_pdf((label(1), label(2)), LABEL_SHEETS["a4_21"], made_on=DAY)
    root = pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    alts, waiting = [], [root["/StructTreeRoot"]]
    while waiting:
        each = waiting.pop()
        each = each.get_object() if hasattr(each, "get_object") else each
        if isinstance(each, list):
            waiting += each
        elif isinstance(each, dict):
            alts += [str(each["/Alt"])] if "/Alt" in each else []
            waiting += [each["/K"]] if "/K" in each else []
    assert sorted(alts) == [f"Code {label(n).code} for a scanner" for n in (1, 2)]


def test_square_on_paper_is_the_one_of_the_code() -> None:
    """The printed modules are those of a QR code of the text, told by the finder patterns' outer edges."""
    sheet = LABEL_SHEETS["a4_21"]
    one = label(1)
    (picture,) = pictures(labels_pdf((one,), sheet, made_on=DAY))
    per_mm = SCALE / POINT_MM
    x0, x1 = (round((sheet.left_mm + each) * per_mm) for each in (sheet.width_mm - 16, sheet.width_mm))
    y0, y1 = (round((sheet.top_mm + each) * per_mm) for each in (0, 18))
    part = picture[y0:y1, x0:x1] < 128
    rows, columns = np.flatnonzero(part.any(axis=1)), np.flatnonzero(part.any(axis=0))
    square = part[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    wanted = np.array(segno.make_qr(one.code, error="m", version=1, boost_error=False).matrix, dtype=bool)
    places = [((np.arange(21) + 0.5) / 21 * size).astype(int) for size in square.shape]
    assert np.array_equal(square[np.ix_(*places)], wanted)
    assert square_code(one.code) == square_code(one.code) != square_code(label(2).code)
