import numpy as np
import pytest

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display.reading_choice import reading_line, reading_near
from explorer.display.station_page import build_station_page
from explorer.model.programme import Programme

CARLSON = schemes()["carlson_simpson_1996"]
SUMMER = [f"2024-{month:02d}-15" for month in (5, 6, 7, 8, 9)]


@pytest.fixture
def build(choice):
    def build(history, choice=choice, scheme=CARLSON, programme=Programme()):  # noqa: B008
        seasons = season_table(history.readings, programme)
        result = class_result(history, seasons, choice.period, scheme, programme)
        return build_station_page(history, seasons, result, choice, scheme, programme)

    return build


def test_station_with_a_full_season_is_classed_and_its_scheme_named(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER, [3.0] * 5)))
    assert page.sentences[0].startswith("Mesotrophic by clarity (Carlson & Simpson) in 2024: ")
    assert page.sentences[0].endswith(", from 5 visits.")
    assert "No month from May to September is missing." in page.sentences


def test_station_without_readings_says_so_and_draws_empty_panels(build, make_history):
    page = build(make_history())
    assert page.sentences == (
        "No readings yet: nobody has measured at this station.",
        "The panels fill with the first visit that is checked in.",
    )
    assert all(panel.readings.empty for panel in page.panels)


def test_station_with_two_visits_names_the_missing_months(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER[:2], [3.0, 3.2])))
    assert page.sentences[0] == "No class for 2024 (Carlson & Simpson): only 2 visits in 2 different months."
    assert "The missing months are July, August and September." in page.sentences


def test_stream_has_words_and_panels_and_no_class(build, make_history, make_readings):
    tube = make_readings(SUMMER, [60.0] * 5, quantity="transparency_tube")
    page = build(make_history(tube, kind="stream"))
    assert page.sentences[0] == "This is a stream: no lake scheme applied."
    assert page.panels[0].quantity.code == "transparency_tube"
    assert all(panel.bands == () for panel in page.panels)
    assert page.caption == "No bands: a stream has no lake class."


def test_pond_whose_disk_lies_on_the_bottom_is_explained(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER, [2.4] * 5, ">"), kind="pond"))
    said = " ".join(page.sentences).replace("\N{NO-BREAK SPACE}", " ")
    assert "On 5 of 5 visits the disk was still in sight on the bottom, at about 2.4 m: the water is" in said
    assert page.panels[0].beyond.rows.size == 5


@pytest.mark.parametrize(
    ("attribute", "words"),
    [("stained", "stained brown"), ("turbid", "fine silt"), ("nitrogen-limited", "Nitrogen")],
)
def test_attribute_of_the_water_is_minded(build, make_history, make_readings, attribute, words):
    page = build(make_history(make_readings(SUMMER, [3.0] * 5), attributes=[attribute]))
    assert any(words in sentence for sentence in page.sentences)


def test_held_readings_are_counted_and_left_out(build, make_history, make_readings):
    readings = make_readings(SUMMER, [3.0, 3.0, 3.0, 3.0, 90.0])
    readings.loc[4, "status"] = "held"
    page = build(make_history(readings))
    assert "1 reading waits for an answer and is left out." in page.sentences
    assert page.panels[0].held.rows.size == 1


def test_secondary_station_says_that_it_does_not_stand_for_its_water(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER, [3.0] * 5), is_index=False))
    assert "This station does not stand for the whole of Hollow Mere." in page.sentences


def test_scheme_for_whole_years_gives_no_class_to_a_summer(build, make_history, make_readings):
    readings = make_readings(SUMMER, [20.0] * 5, quantity="total_phosphorus")
    page = build(make_history(readings), scheme=schemes()["oecd_1982_fixed"])
    assert page.sentences[0].startswith("No class for 2024 (OECD")
    assert "whole-year means" in page.caption


def test_blank_duplicate_and_deep_sample_are_not_drawn(build, make_history, make_readings):
    readings = make_readings(SUMMER, [10.0, 11.0, 12.0, 13.0, 14.0], quantity="total_phosphorus")
    readings["sample_type"] = ["routine", "field duplicate", "field blank", "routine", "routine"]
    readings["stratum"] = ["surface", "surface", "surface", "bottom", "surface"]
    page = build(make_history(readings))
    assert page.panels[2].readings["value"].tolist() == [10.0, 14.0]


def test_pointer_finds_the_nearest_reading_and_nothing_far_off(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER, [1.0, 2.0, 3.0, 4.0, 5.0])))
    panel = page.panels[0]
    width = page.last_year + 1 - page.first_year
    for row in range(5):
        across = (panel.readings["when"].iloc[row] - page.first_year) / width
        assert reading_near(page, 0, across + 0.001, panel.readings["place"].iloc[row] + 0.01) == row
    assert reading_near(page, 0, 0.01, 0.5) is None
    assert reading_near(page, 1, 0.5, 0.5) is None


def test_reading_below_the_limit_is_said_in_plain_words(build, make_history, make_readings, choice):
    page = build(make_history(make_readings(SUMMER, [2.0] * 5, "<", quantity="total_phosphorus")))
    line = reading_line(page.panels[2], 0, choice)
    assert line.replace("\N{NO-BREAK SPACE}", " ") == (
        "15 May 2024: below 2 µg/L (below what the laboratory can measure)"
    )


def test_station_with_other_quantities_only_shows_those(build, make_history, make_readings):
    page = build(make_history(make_readings(SUMMER, [6.5] * 5, quantity="ph")))
    assert [panel.quantity.code for panel in page.panels] == [
        "ph", "chlorophyll_a", "total_phosphorus", "total_nitrogen",
    ]  # fmt: skip
    assert page.panels[0].measured.rows.size == 5


def test_order_of_rows_changes_nothing(build, make_history, make_readings):
    readings = make_readings(SUMMER, [1.0, 2.0, 3.0, 4.0, 5.0])
    mixed = readings.sample(frac=1, random_state=3)
    first, second = build(make_history(readings)), build(make_history(mixed))
    assert first.sentences == second.sentences
    assert np.array_equal(first.panels[0].measured.places, second.panels[0].measured.places)
