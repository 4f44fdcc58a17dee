"""Data sheets: the same fields on paper and in spreadsheets; a filled one reads back without a question."""

import csv
import io
from dataclasses import replace
from datetime import date

import numpy as np
import openpyxl
import pypdf
import pytest

from explorer.display.data_sheet_page import data_sheets_pdf
from explorer.display.empty_sheets import sheet_columns, sheet_csv, sheet_workbook
from explorer.display.sheet_fields import visit_sheets
from explorer.intake.own_headings import heading_names
from explorer.intake.reading import read_file
from explorer.intake.station_names import StationNames
from explorer.model.places import Lake, Station
from explorer.model.plan import StationPlan
from explorer.model.programme import Programme
from explorer.model.quantities import QUANTITIES

NAN = float("nan")
DAY = date(2026, 5, 2)
LAKES = {
    "HM": Lake("HM", "Hollow Mere", "lake", frozenset(), NAN, NAN, NAN),
    "SB": Lake("SB", "Sedge Beck", "stream", frozenset(), NAN, NAN, NAN),
}
STATIONS = {
    code: Station(code, name, code[:2], NAN, NAN, 7.5, True)
    for code, name in (("HM1", "Hollow Mere, middle"), ("SB1", "Sedge Beck, ford"))
}
SAMPLED = ("secchi_depth", "water_temperature", "chlorophyll_a", "total_phosphorus")
PLAN = {
    "HM1": StationPlan((6,), 1, (*SAMPLED, "ph", "dissolved_oxygen", "conductivity")),
    "SB1": StationPlan((6,), 1, ("transparency_tube", "water_temperature", "total_phosphorus")),
}
VISITS = (
    {"station_code": "HM1", "taken_on": "2026-06-12", "taken_time": "10:30", "observer": "V02",
     "has_duplicate": True, "has_blank": True, "blank_code": "260021"},
    {"station_code": "SB1", "taken_on": "2026-06-13", "has_filter": False, "sample_code": "260030"},
)  # fmt: skip

# What somebody writes into the empty cells, by field and unit of depths.
ANSWERS = {
    "time": "11:45", "observer": "V04", "line_checked_on": "2026-05-01", "weather": "light wind, sun",
    "on_bottom": "no", "in_plants": "no", "line_too_short": "no", "sunglasses": "no",
    "transparency_tube": "83", "conductivity": "182", "dissolved_oxygen": "9.1", "ph": "7.4",
    "volume_poured": "250", "volume_topped_up": "250", "volume_filtered": "500", "on_ice_time": "11:20",
    "remark": "=scum, took a photo",
}  # fmt: skip
DEPTHS = {
    "m": {
        "secchi_lowered": "3.2",
        "secchi_raised": "3.0",
        "bottom_depth": "7.4",
        "water_temperature": "18.5",
    },
    "ft": {
        "secchi_lowered": "10.5",
        "secchi_raised": "9.8",
        "bottom_depth": "24.3",
        "water_temperature": "65.3",
    },
}
STATION_NAMES = StationNames(STATIONS, LAKES)


@pytest.fixture(params=["m", "ft"])
def unit(request):
    return request.param


@pytest.fixture
def sheets(planned_visits, unit):
    names = {code: each.name for code, each in STATIONS.items()}
    lakes = {code: LAKES[each.lake_code] for code, each in STATIONS.items()}
    programme = replace(Programme(), length_unit=unit)
    return visit_sheets(planned_visits(*VISITS), names, lakes, PLAN, programme)


def answers(sheets, unit):
    """Return row by row what is filled in: the prefilled cells, and an answer in every other that applies."""
    filled = []
    for sheet in sheets:
        codes = {field.code for field in sheet.fields}
        given = {**ANSWERS, **DEPTHS[unit], **{code: text for code, text in sheet.values.items() if text}}
        filled.append({code: text for code, text in given.items() if code in codes})
    return filled


def filled_csv(sheets, unit):
    rows = list(csv.reader(io.StringIO(sheet_csv(sheets).decode("utf-8-sig"))))
    columns = sheet_columns(sheets)
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(rows[0])
    for given in answers(sheets, unit):
        writer.writerow([given.get(field.code, "") for field in columns])
    return out.getvalue().encode()


def filled_xlsx(sheets, unit):
    """Fill the workbook as a person in a spreadsheet does: dates and numbers become dates and numbers."""
    book = openpyxl.load_workbook(io.BytesIO(sheet_workbook(sheets, made_on=DAY)))
    page = book.active
    for row, given in enumerate(answers(sheets, unit), 2):
        for place, field in enumerate(sheet_columns(sheets), 1):
            cell, text = page.cell(row, place), given.get(field.code, "")
            if not text or cell.value is not None:
                continue
            if field.kind == "number":
                cell.value = float(text)
            elif field.kind == "date":
                cell.value = date.fromisoformat(text)
            else:
                cell.value = text
                cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(("name", "fill"), [("sheet.csv", filled_csv), ("sheet.xlsx", filled_xlsx)])
def test_filled_sheet_reads_back_without_a_question(sheets, unit, name, fill) -> None:
    found = read_file(name, fill(sheets, unit), stations=STATION_NAMES)
    assert [str(problem) for problem in found.problems] == []
    assert (found.account.held, found.account.refused) == (0, 0)
    (rows,) = found.tables
    assert rows.kind == "data_sheet"
    visits = rows.visits
    assert visits["station_code"].tolist() == ["HM1", "SB1"]
    assert visits["taken_on"].dt.strftime("%Y-%m-%d").tolist() == ["2026-06-12", "2026-06-13"]
    assert visits["taken_time"].tolist() == ["10:30", "11:45"]
    assert visits["observer"].tolist() == ["V02", "V04"]
    assert visits["volume_filtered_ml"].tolist()[0] == 500
    assert (visits["volume_poured_ml"] + visits["volume_topped_up_ml"]).tolist()[0] == 500
    assert visits["on_ice_time"].tolist() == ["11:20", "11:20"]
    assert visits["line_checked_on"].tolist() == ["2026-05-01", ""]
    assert visits["remark"].tolist() == ["=scum, took a photo"] * 2
    first = rows.entries[rows.entries["station_code"] == "HM1"].set_index("quantity")["value"]
    depth = 3.1 if unit == "m" else 10.15 * 0.3048
    assert first["secchi_depth"] == pytest.approx(depth)
    assert first["water_temperature"] == pytest.approx(18.5, abs=0.01)
    assert (first["ph"], first["dissolved_oxygen"], first["conductivity"]) == (7.4, 9.1, 182)
    tube = rows.entries[rows.entries["station_code"] == "SB1"].set_index("quantity")["value"]
    assert tube["transparency_tube"] == 83
    assert sorted(rows.containers["sample_code"]) == [
        "260013-1", "260013-2", "260013-3", "260013-4", "260021-1", "260021-2", "260030-1",
    ]  # fmt: skip
    kinds = dict(zip(rows.containers["sample_code"], rows.containers["container"], strict=True))
    assert (kinds["260013-4"], kinds["260021-1"]) == ("second filter", "blank bottle")


def test_disk_on_the_bottom_reads_back_as_at_least_so_deep(sheets, unit) -> None:
    lake = tuple(sheet for sheet in sheets if sheet.station == "HM1")
    marked = {"on_bottom": "yes", "secchi_lowered": "", "secchi_raised": ""}
    rows = list(csv.reader(io.StringIO(filled_csv(lake, unit).decode())))
    places = {field.code: place for place, field in enumerate(sheet_columns(lake))}
    for code, text in marked.items():
        rows[1][places[code]] = text
    content = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows).encode()
    found = read_file("sheet.csv", content, stations=STATION_NAMES)
    assert [str(problem) for problem in found.problems if problem.severity != "note"] == []
    entry = found.tables[0].entries.set_index("quantity").loc["secchi_depth"]
    assert entry["sign"] == ">"
    assert entry["value"] == pytest.approx(7.4, abs=0.01)


def test_every_heading_is_one_that_the_intake_knows(sheets) -> None:
    names = heading_names()
    own = {"water_temperature", "transparency_tube", "ph", "dissolved_oxygen", "conductivity"}
    for field in sheet_columns(sheets):
        meant = names.meaning(field.heading, "data_sheet")
        wanted = ("reading", field.code) if field.code in own else (field.code, "")
        wanted = ({"bottle_blank": "bottle_blank"}.get(wanted[0], wanted[0]), wanted[1])
        assert (meant.role, meant.quantity) == wanted


def test_every_quantity_measured_at_the_water_has_a_heading_that_is_read(planned_visits) -> None:
    plan = {"HM1": StationPlan((6,), 1, tuple(QUANTITIES))}
    lakes = {"HM1": LAKES["HM"]}
    made = visit_sheets(planned_visits(VISITS[0]), {"HM1": "x"}, lakes, plan, Programme())
    names = heading_names()
    for field in made[0].fields:
        if field.code in QUANTITIES:
            assert names.meaning(field.heading, "data_sheet").quantity == field.code


def test_spreadsheets_hold_the_same_prefilled_cells(sheets) -> None:
    rows = list(csv.reader(io.StringIO(sheet_csv(sheets).decode("utf-8-sig"))))
    page = openpyxl.load_workbook(io.BytesIO(sheet_workbook(sheets, made_on=DAY))).active
    cells = [
        ["" if cell is None else str(cell)[:10] if hasattr(cell, "year") else str(cell) for cell in row]
        for row in page.iter_rows(values_only=True)
    ]
    assert cells == rows
    assert page.freeze_panes == "C2"


def test_text_that_begins_like_a_formula_is_text_in_every_cell(planned_visits) -> None:
    lakes = {"=cmd|x": Lake("HM", "=HYPERLINK(1)", "lake", frozenset(), NAN, NAN, NAN)}
    visit = {"station_code": "=cmd|x", "observer": "@SUM(A1)", "taken_time": "+x"}
    made = visit_sheets(planned_visits(visit), {"=cmd|x": "<script>"}, lakes, {}, Programme())
    page = openpyxl.load_workbook(io.BytesIO(sheet_workbook(made, made_on=DAY))).active
    filled = [cell for row in page.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in filled} == {"s"}
    assert page["A2"].value == "=cmd|x"
    row = list(csv.reader(io.StringIO(sheet_csv(made).decode("utf-8-sig"))))[1]
    assert [cell for cell in row if cell[:1] in ("=", "+", "@", "-")] == []
    assert row[0] == "'=cmd|x"


def test_paper_sheet_has_a_page_a_visit_with_codes_cautions_and_every_field(sheets, unit) -> None:
    programme = replace(Programme(), length_unit=unit)
    reader = pypdf.PdfReader(io.BytesIO(data_sheets_pdf(sheets, programme, made_on=DAY)))
    assert len(reader.pages) == len(sheets)
    for page, sheet in zip(reader.pages, sheets, strict=True):
        text = " ".join(page.extract_text().split())
        assert sheet.place in text
        assert sheet.station in text
        for code, value in sheet.values.items():
            assert not value or code == "water" or value in text
        assert "life jacket on and closed" in text
        assert "30 minutes after the last thunder" in text
        assert "cannot tell whether the water is safe to swim in" in text
        assert "On ice at" in text
    lake = " ".join(reader.pages[0].extract_text().split())
    for words in (
        "Lowered: out of sight at", "Raised: in sight again at", "Line last checked on", "Poured first",
        "Topped up with", "Total filtered", "Still in sight on the bottom", "no more vacuum",
    ):  # fmt: skip
        assert words in lake
        assert words not in " ".join(reader.pages[1].extract_text().split())
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    width = {"m": 595.3, "ft": 612.0}[unit]
    assert float(reader.pages[0].mediabox.width) == pytest.approx(width, abs=1)


def test_hostile_names_stay_text_on_paper(planned_visits) -> None:
    name = '<script>alert(1)</script> #include "x" *bold* $x$'
    lakes = {"HM1": replace(LAKES["HM"], name=name)}
    visit = {**VISITS[0], "observer": "#panic()"}
    made = visit_sheets(planned_visits(visit), {"HM1": name}, lakes, PLAN, Programme(name="#eval(1)"))
    reader = pypdf.PdfReader(io.BytesIO(data_sheets_pdf(made, Programme(name="#eval(1)"), made_on=DAY)))
    text = "".join(reader.pages[0].extract_text().split())
    for each in (name, "#panic()", "#eval(1)"):
        assert "".join(each.split()) in text


def test_no_visits_make_no_columns() -> None:
    assert sheet_columns(()) == ()
    assert np.size(sheet_csv(())) == 1
