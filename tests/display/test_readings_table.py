import csv
import re
from dataclasses import replace
from io import BytesIO, StringIO
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display.choice import Choice
from explorer.display.readings_table import readings_csv, readings_html, seen_readings
from explorer.display.record_facts import SOFTWARE, RecordFacts
from explorer.display.spreadsheet_text import guarded
from explorer.display.station_page import build_station_page
from explorer.model.calendar import Period
from explorer.model.programme import Programme

FACTS = RecordFacts("county lakes.gpkg", Path("county lakes.gpkg"), 7, "2fd69af24d90")
DAYS = [f"{year}-{month:02d}-15" for year in (2022, 2023, 2024) for month in (5, 6, 7, 8, 9)]
CHOICE = Choice(station="HM1", period=Period(2023, 2024), picked=True)
FEET = replace(CHOICE, length_unit="ft")
FOOT_M = 0.3048  # international foot, exact: NIST SP 811, appendix B
FORMULA_STARTS = tuple("=+-@\t\r＝＋－＠")


@pytest.fixture
def history(make_history, make_readings):
    count = len(DAYS)
    return make_history(
        make_readings(DAYS, np.linspace(1.5, 3.0, count), list("=>===" * 3), file_name="sheets.xlsx",
                      sheet="May", row=range(2, count + 2)),
        make_readings(DAYS, [2.0] * count, list("<====" * 3), quantity="total_phosphorus",
                      detection_limit=2.0, reporting_limit=5.0, method="molybdenum blue",
                      sample_code="070001-1", qualifier="U", file_name="lab.csv", row=4,
                      status=["held"] + ["accepted"] * (count - 1)),
    )  # fmt: skip


@pytest.fixture
def page_of(history):
    def build(choice, history=history):
        programme, scheme = Programme(), schemes()[choice.scheme]
        seasons = season_table(history.readings, programme)
        result = class_result(history, seasons, choice.period, scheme, programme)
        return build_station_page(history, seasons, result, choice, scheme, programme)

    return build


@pytest.fixture
def page(page_of):
    return page_of(CHOICE)


def test_seen_readings_are_those_of_the_record_in_the_units_of_the_panels(page_of, history):
    seen = seen_readings(page_of(FEET), FEET)
    for name, code, factor, unit in (
        ("Clarity", "secchi_depth", 1 / FOOT_M, "ft"),
        ("Total phosphorus", "total_phosphorus", 1.0, "µg/L"),
    ):
        own = seen[seen["quantity"] == name]
        recorded = history.readings[history.readings["quantity"] == code]
        assert np.allclose(own["value"], recorded["value"] * factor)
        assert own["sign"].tolist() == ["" if sign == "=" else sign for sign in recorded["sign"]]
        assert own["date"].tolist() == recorded["taken_on"].tolist()
        assert set(own["unit"]) == {unit}
        for column in ("status", "method", "sample_code", "file_name", "sheet", "row", "qualifier"):
            assert own[column].tolist() == recorded[column].tolist()
    phosphorus = seen[seen["quantity"] == "Total phosphorus"]
    assert set(phosphorus["detection_limit"]) == {2.0}
    assert set(phosphorus["reporting_limit"]) == {5.0}
    assert phosphorus["shown"].str.replace("\N{NO-BREAK SPACE}", " ").tolist()[:2] == [
        "below 2 µg/L",
        "2 µg/L",
    ]


def test_seen_readings_say_which_lie_in_the_picked_period(page_of, page):
    seen = seen_readings(page, CHOICE)
    assert seen["in_period"].tolist() == (seen["date"].dt.year >= 2023).tolist()
    everything = replace(CHOICE, picked=False)
    assert seen_readings(page_of(everything), everything)["in_period"].all()


def test_seen_readings_of_a_station_without_any_are_an_empty_table(page_of, make_history):
    page = page_of(CHOICE, make_history())
    seen = seen_readings(page, CHOICE)
    assert seen.empty
    assert list(pd.read_csv(BytesIO(readings_csv(page, CHOICE, FACTS))).columns)[2:-7] == list(seen.columns)


def test_numbers_open_in_pandas_as_they_were_seen(page_of):
    page = page_of(FEET)
    content = readings_csv(page, FEET, FACTS)
    assert content.startswith(b"\xef\xbb\xbfstation_code,station_name,date,quantity,")
    seen = seen_readings(page, FEET)
    read = pd.read_csv(BytesIO(content), keep_default_na=False, na_values={"value": [""]})
    assert len(read) == len(seen)
    assert np.allclose(read["value"], seen["value"], rtol=1e-9)
    assert read["date"].tolist() == seen["date"].dt.strftime("%Y-%m-%d").tolist()
    assert read["in_period"].tolist() == seen["in_period"].tolist()
    for name in ("quantity", "sign", "unit", "shown", "status", "method", "sample_code", "file_name"):
        assert read[name].tolist() == seen[name].tolist()


def test_numbers_carry_record_version_settings_scheme_source_and_software(page):
    read = pd.read_csv(BytesIO(readings_csv(page, CHOICE, FACTS)), dtype="str")
    facts = {
        "station_code": "HM1",
        "station_name": "Hollow Mere, middle",
        "picked_period": "2023-2024",
        "class_scheme": page.scheme.name,
        "record": "county lakes.gpkg",
        "record_version": "7",
        "settings_hash": "2fd69af24d90",
        "software": SOFTWARE,
    }
    for name, value in facts.items():
        assert set(read[name]) == {value}
    assert read["class_limits_source"].fillna("").tolist() == [page.scheme.source] + [""] * (len(read) - 1)
    assert read.columns[-1] == "class_limits_source"


def test_numbers_of_a_water_without_a_scheme_name_none(page_of, make_history, make_readings):
    page = page_of(
        CHOICE, make_history(make_readings(DAYS, [60.0] * 15, quantity="transparency_tube"), kind="stream")
    )
    read = pd.read_csv(BytesIO(readings_csv(page, CHOICE, FACTS)), keep_default_na=False)
    assert set(read["class_scheme"]) == set(read["class_limits_source"]) == {""}


def _with_texts(page, texts, values):
    panel = page.panels[0]
    count = len(panel.readings)
    readings = panel.readings.assign(
        method=[texts[number % len(texts)] for number in range(count)],
        value=[values[number % len(values)] for number in range(count)],
    )
    return replace(page, heading=texts[0], panels=(replace(panel, readings=readings), *page.panels[1:]))


def test_formulas_in_names_and_cells_are_text_and_negative_numbers_stay_numbers(page):
    texts = [
        "=1+1",
        "+cmd|' /C calc'!A0",
        "-2+3",
        "@SUM(A1)",
        "\t=1",
        "a;=1+1",
        '=HYPERLINK("x")',
        "plain, -b",
    ]
    hostile = _with_texts(page, texts, [-1.5, 2.0])
    content = readings_csv(hostile, CHOICE, FACTS)
    rows = list(csv.reader(StringIO(content.decode("utf-8-sig"), newline="")))
    column = rows[0].index("method")
    written = [row[column] for row in rows[1:9]]
    assert written == [
        "'=1+1", "'+cmd|' /C calc'!A0", "'-2+3", "'@SUM(A1)", "'\t'=1", "a;'=1+1", "'=HYPERLINK(\"x\")",
        "plain, -b",
    ]  # fmt: skip
    assert pd.read_csv(BytesIO(content))["value"].tolist()[:4] == [-1.5, 2.0, -1.5, 2.0]
    assert rows[1][rows[0].index("station_name")] == "'=1+1"


@given(st.text(st.sampled_from("=+-@＝\t\r\n;, '\"a1.e<é"), max_size=12))
def test_no_text_begins_a_formula_and_none_is_lost(text):
    written = guarded(text)
    pieces = re.split(r"[;\t\r\n]", written)
    if re.fullmatch(r"[+-]?\d+([.,]\d+)?(e[+-]?\d+)?|=", text):
        assert written == text
    else:
        assert not any(piece.lstrip(" ").startswith(FORMULA_STARTS) for piece in pieces)
    assert written.replace("'", "") == text.replace("'", "")


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0")), min_size=1, max_size=5))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])  # the page is never changed
def test_any_text_comes_back_from_the_file(page, texts):
    page = _with_texts(page, texts, [1.0])
    rows = list(csv.reader(StringIO(readings_csv(page, CHOICE, FACTS).decode("utf-8-sig"), newline="")))
    column = rows[0].index("method")
    assert {len(row) for row in rows} == {len(rows[0])}
    assert [row[column] for row in rows[1 : len(texts) + 1]] == [guarded(text) for text in texts]


def _tables(html):
    return ElementTree.fromstring(f"<div>{html}</div>")


def test_tables_say_every_reading_newest_first_under_a_caption(page):
    root = _tables(readings_html(page, CHOICE))
    tables = root.findall("table")
    drawn = [panel for panel in page.panels if len(panel.readings)]
    assert [table.find("caption").text for table in tables] == [
        f"{panel.title} ({panel.unit}): {panel.value}" for panel in drawn
    ]
    seen = seen_readings(page, CHOICE)
    for table, panel in zip(tables, drawn, strict=True):
        own = seen[seen["quantity"] == panel.quantity.name].iloc[::-1]
        rows = table.findall("tbody/tr")
        assert [row.findall("td")[0].text for row in rows] == own["shown"].tolist()
        assert [row.findall("td")[1].text for row in rows] == [
            "yes" if inside else "no" for inside in own["in_period"]
        ]
        assert rows[0].find("th").text == "15 September 2024"
        assert {row.find("th").get("scope") for row in rows} == {"row"}
        heads = table.findall("thead/tr/th")
        assert {head.get("scope") for head in heads} == {"col"}
        assert {len(row) for row in rows} == {len(heads)}
    assert "sheets.xlsx, May, row 2" in "".join(tables[0].itertext())
    assert "waiting for an answer" in "".join(tables[1].itertext())


def test_tables_without_a_picked_period_have_no_column_for_it(page_of):
    everything = replace(CHOICE, picked=False)
    assert "In the picked period" not in readings_html(page_of(everything), everything)


def test_panels_without_readings_say_so_instead_of_a_table(page):
    root = _tables(readings_html(page, CHOICE))
    assert [each.text for each in root.findall("p")] == [
        "Chlorophyll a: no readings of chlorophyll a here",
        "Total nitrogen: no readings of total nitrogen here",
    ]


def test_long_tables_show_the_newest_and_count_the_rest(page):
    root = _tables(readings_html(page, CHOICE, most=4))
    assert [len(table.findall("tbody/tr")) for table in root.findall("table")] == [4, 4]
    rest = [each.text for each in root.findall("p") if each.get("class") == "readings-rest"]
    assert (
        rest == ["The newest 4 of 15 readings stand here. The file with the numbers holds all of them."] * 2
    )


def test_text_in_tables_is_never_markup(page):
    hostile = _with_texts(page, ['<script>alert("1")</script>', "</td><b onload=x>", "&amp;"], [1.0])
    html = readings_html(hostile, CHOICE)
    assert "<script" not in html
    assert "<b " not in html
    cells = [row.findall("td")[3].text for row in _tables(html).find("table").findall("tbody/tr")]
    assert set(cells) == {'<script>alert("1")</script>', "</td><b onload=x>", "&amp;"}
