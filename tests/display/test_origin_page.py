"""What lies behind a reading, in words: facts, batch, history, hostile text."""

import shutil
from dataclasses import replace

import pytest

from explorer import demo_folder, open_record
from explorer.display.choice import Choice
from explorer.display.origin_page import MOST_COMPANIONS, build_origin_page
from explorer.display.reading_choice import build_reading_choice, reading_at
from explorer.display.record_pages import RecordPages
from explorer.model.calendar import Period
from explorer.model.origins import VisitFacts
from explorer.model.problems import Source
from explorer.model.programme import Programme
from explorer.records.marks import mark_reading
from explorer.records.provenance import reading_origin
from explorer.widgets.origin_view import origin_html

CHOICE = Choice("FER1", Period(2025, 2025))


@pytest.fixture(scope="module")
def pages():
    return RecordPages(open_record(demo_folder()))


@pytest.fixture(scope="module")
def page(pages):
    return pages.station(CHOICE).page


def origin_of(pages, where):
    query = f"SELECT reading_id FROM readings WHERE left_in IS NULL AND {where} LIMIT 1"
    return reading_origin(pages.record, pages.record.fetch_rows(query)[0][0])


def made(origin, choice=CHOICE):
    return build_origin_page(origin, choice, Programme())


def test_facts_say_value_label_cell_and_checksum(pages, page):
    number = int(page.panels[2].readings["reading_id"].iloc[-1])
    origin = reading_origin(pages.record, number)
    facts = dict(made(origin).facts)
    assert facts["As written"] == f'"{origin.as_written}", in µg/L'
    assert facts["Label"] == origin.sample_code
    assert facts["File"] == origin.source.file_name
    assert facts["Row"] == str(origin.source.row)
    assert facts["SHA-256 of the file"] == origin.source.sha256
    assert facts["Observer"] == origin.observer
    assert "Sheet" not in facts, "what is not known is missing"


def test_held_reading_says_why_in_whole_sentences(pages):
    facts = dict(made(origin_of(pages, "reason = 'limit_missing'")).facts)
    assert facts["Status"] == "waiting for an answer"
    assert facts["Why"].startswith('"ND" says that nothing could be measured')


def test_what_the_sheet_says_of_observer_line_probe_and_sample_is_shown(pages):
    facts = VisitFacts(9.5, "2025-04-01", "spring", "2025-07-01", "no", "no", "2025-07-02")
    shown = dict(made(replace(origin_of(pages, "status = 'rejected'"), visit=facts)).facts)
    assert shown["Observer trained on"].replace("\N{NO-BREAK SPACE}", " ") == "1 April 2025"
    assert (shown["Line checked on"], shown["On ice at"], shown["Sunglasses"]) == (
        "spring",
        "not on ice",
        "no",
    )
    assert {"Probe calibrated on", "Into the freezer on", "Depth of the water on the sheet"} <= set(shown)


def test_remark_behind_a_status_stands_as_written(pages):
    facts = dict(made(origin_of(pages, "status = 'rejected'")).facts)
    assert facts["Why"] == "bottle broke, laboratory used what was left"


def test_reason_that_wants_more_than_is_known_is_still_said(pages):
    origin = replace(origin_of(pages, "status = 'held'"), reason="ambiguous_date")
    assert dict(made(origin).facts)["Why"] == "ambiguous date"


def test_batch_names_blank_and_both_values_of_the_pair(pages):
    origin = origin_of(
        pages,
        "sample_type = 'routine' AND sample_code IN (SELECT parent_sample FROM readings "
        "WHERE parent_sample <> '')",
    )
    lines = made(origin).batch
    name = Programme().quantities[origin.quantity].name
    said = f"{origin.batch_size} readings of {name} stand in this batch."
    assert lines[0].casefold() == said.casefold()
    assert any(line.startswith("Blank taken along to the lake") for line in lines)
    pair = next(line for line in lines if line.startswith("Second sample from the lake"))
    assert origin.sample_code in pair
    assert ", beside " in pair


def test_long_batch_is_cut_with_a_count(pages):
    origin = origin_of(pages, "sample_type = 'routine' AND batch_id > 1")
    many = replace(origin, companions=origin.companions[:1] * (MOST_COMPANIONS + 5))
    lines = made(many).batch
    assert len(lines) == 1 + MOST_COMPANIONS + 1
    assert lines[-1].startswith("5 more blanks")


def test_feet_are_shown_where_depths_stand_in_feet(pages):
    origin = origin_of(
        pages, "quantity_id IN (SELECT quantity_id FROM quantities WHERE code = 'secchi_depth')"
    )
    title = made(origin, replace(CHOICE, length_unit="ft")).title
    assert title.endswith("ft")


def test_marks_stand_in_the_history_with_name_and_reason(pages, tmp_path):
    record = open_record(shutil.copy(pages.record.path, tmp_path / "lakes.gpkg"))
    number = int(record.history("FER1").readings["reading_id"].iloc[-1])
    mark_reading(record, number, "ask_the_laboratory", who="Ada", remark="Looks ten times too high")
    page = made(reading_origin(record, number))
    assert len(page.states) == 2
    assert "marked by Ada" in page.states[1]
    assert page.states[1].endswith("Why: Looks ten times too high")
    assert "Ask the laboratory" in dict(page.facts)["Why"]


def test_list_holds_the_readings_of_the_panel_of_the_picked_one(page):
    number = int(page.panels[1].readings["reading_id"].iloc[5])
    choice = build_reading_choice(page, CHOICE, number, None)
    assert reading_at(page, number) == (1, 5)
    assert choice.panel == 1
    assert [each for _, each in choice.readings] == page.panels[1].readings["reading_id"].tolist()[::-1]
    assert choice.reading_id == number


def test_reading_of_another_station_is_not_picked(page):
    choice = build_reading_choice(page, CHOICE, 99_999_999, None)
    assert (choice.panel, choice.reading_id) == (0, None)


def test_hostile_text_stays_text(pages):
    origin = origin_of(pages, "status = 'held'")
    evil = replace(
        origin,
        as_written="<img src=x onerror=alert(1)>",
        source=Source("<b>f</b>.csv"),
        remark="</dd><script>",
    )
    html = origin_html(made(evil))
    assert "<img" not in html
    assert "<script" not in html
    assert "&lt;img src=x" in html
