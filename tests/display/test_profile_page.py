"""The page of depth profiles: its days, sentences, plots and the picture of all days."""

import itertools
import re
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from explorer import demo_folder, open_record
from explorer.analysis.profiles import profile_days
from explorer.display.choice import Choice
from explorer.display.profile_page import build_profile_page
from explorer.display.profile_picture import day_html, seasons_html
from explorer.model.calendar import Period
from explorer.model.history import StationHistory
from explorer.model.programme import Programme


@pytest.fixture(scope="module")
def record():
    return open_record(demo_folder())


@pytest.fixture(scope="module")
def history(record):
    return record.history("FER1")


CHOICE = Choice("FER1", Period(2025, 2025))


def page_of(history, choice=CHOICE, programme=None, **more):
    return build_profile_page(history, choice, programme or Programme(), {}, **more)


def test_station_without_a_profile_says_so_kindly(record):
    page = page_of(record.history("ASK1"))
    assert page.day is None
    assert "Nobody has read a probe" in page.message


def test_days_are_those_of_the_record_the_latest_first(history):
    page = page_of(history)
    days = profile_days(history.readings)
    assert [visit for _, visit in page.days] == days["visit_id"].tolist()[::-1]
    assert page.day.visit_id == days["visit_id"].iloc[-1]
    assert str(days["taken_on"].iloc[-1].year) in page.days[0][0]


def test_every_reading_of_the_day_stands_in_table_and_plot(history):
    page = page_of(history)
    read = history.readings
    read = read[(read["visit_id"] == page.day.visit_id) & (read["stratum"] == "profile")]
    temperature = read[read["quantity"] == "water_temperature"].sort_values("depth_m")
    cells = [row[1].replace("\N{NO-BREAK SPACE}", " ") for row in page.day.rows]
    assert cells == [f"{value:.1f} °C" for value in temperature["value"]]
    plot = page.day.plots[0]
    assert len(plot.across) == len(temperature)
    assert np.diff(plot.across) == pytest.approx(
        np.diff(temperature["value"]) * (plot.across[0] / temperature["value"].iloc[0]), abs=1e-9
    )
    assert np.all(np.diff(plot.down) > 0)


def test_thermocline_line_lies_between_the_readings_it_names(history):
    day = page_of(history).day
    top, bottom = re.findall(r"between (\d+).m and (\d+).m", day.sentences[0])[0]
    downs = {
        row[0].split("\N{NO-BREAK SPACE}")[0]: down
        for row, down in zip(day.rows, day.plots[0].down, strict=True)
    }
    assert downs[top] < day.layer_down < downs[bottom]


def test_steeper_setting_makes_the_same_water_mixed(history):
    said = page_of(history, programme=Programme(thermocline_gradient_degc_per_m=30.0)).day
    assert said.sentences[0].startswith("Mixed down to 15")
    assert np.isnan(said.layer_down)


def test_oxygen_mark_of_the_programme_is_named_and_crossed(history):
    day = page_of(history, programme=Programme(oxygen_mark_mg_per_l=5.0)).day
    assert "falls below 5.0\N{NO-BREAK SPACE}mg/L at about" in day.sentences[1]
    assert "says nothing of what can live there" in day.sentences[2]
    assert 0 < day.oxygen_down < 1
    assert 'class="profile-crossing"' in day_html(day)


def test_feet_move_the_ticks_not_the_readings(history):
    metres = page_of(history).day
    feet = page_of(history, choice=replace(CHOICE, length_unit="ft")).day
    assert feet.plots[0].down == pytest.approx(metres.plots[0].down)
    assert feet.depth_title == "depth, ft"
    assert feet.rows[-1][0] == "49.2\N{NO-BREAK SPACE}ft"


def test_picture_of_all_days_holds_every_reading_once(history):
    seasons = page_of(history, quantity="dissolved_oxygen").seasons
    read = history.readings[
        (history.readings["stratum"] == "profile") & (history.readings["quantity"] == "dissolved_oxygen")
    ]
    fields = [field for season in seasons.seasons for field in season.fields]
    assert len(fields) == len(read)
    assert [season.label for season in seasons.seasons] == ["2007", "2012", "2017", "2022"]
    assert seasons.code == "dissolved_oxygen"
    assert all(field.left < field.right and field.top < field.bottom for field in fields)


def test_fields_of_one_season_do_not_overlap(history):
    for season in page_of(history).seasons.seasons:
        ends = sorted({(field.left, field.right) for field in season.fields})
        assert all(first[1] <= second[0] + 1e-9 for first, second in itertools.pairwise(ends))


def test_colour_of_a_field_is_that_of_its_value(history):
    seasons = page_of(history).seasons
    for season in seasons.seasons:
        for field in season.fields:
            value = float(field.said.rsplit(": ", 1)[1].split("\N{NO-BREAK SPACE}")[0])
            low, high = (
                seasons.steps[field.step]
                .replace("below ", "-99 to ")
                .replace(" and more", " to 99")
                .split(" to ")
            )
            assert float(low) - 0.05 <= value <= float(high) + 0.05


def test_years_outside_the_picked_period_are_fainter(history):
    seasons = page_of(history, choice=replace(CHOICE, period=Period(2010, 2014), picked=True)).seasons
    assert [season.inside for season in seasons.seasons] == [False, True, False, False]


def test_two_visits_of_one_day_are_told_apart(history):
    readings = history.readings[history.readings["stratum"] == "profile"]
    last = readings[readings["visit_id"] == page_of(history).day.visit_id]
    again = last.assign(visit_id=10**6, taken_time="17:20", reading_id=last["reading_id"] + 10**6)
    both = pd.concat([readings, again], ignore_index=True)
    page = page_of(StationHistory(history.station, history.lake, both, 1))
    names = [name for name, _ in page.days]
    assert len(set(names)) == len(names)
    assert "17:20" in names[0] or "17:20" in names[1]


def test_remark_of_the_sheet_is_shown_and_never_run(history):
    visit = page_of(history).day.visit_id
    page = build_profile_page(history, CHOICE, Programme(), {visit: "<script>air 100.2 %</script>"})
    html = day_html(page.day) + seasons_html(page.seasons)
    assert "On the sheet: &lt;script&gt;air 100.2 %" in html
    assert "<script" not in html


def test_held_reading_is_counted_and_left_out(history):
    page = page_of(history)
    readings = history.readings.copy()
    row = readings.index[(readings["visit_id"] == page.day.visit_id) & (readings["depth_m"] == 15)][0]
    readings.loc[row, "status"] = "held"
    held = page_of(StationHistory(history.station, history.lake, readings, 1)).day
    assert any(sentence.startswith("1 reading of that day waits") for sentence in held.sentences)
