from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.compared_seasons import season_middles
from explorer.analysis.season_table import season_table
from explorer.display.axes import decimal_years
from explorer.display.choice import Choice
from explorer.display.comparison import District, build_comparison
from explorer.display.station_page import build_station_page
from explorer.model import words
from explorer.model.calendar import Period
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.quantities import QUANTITIES

NAN, INF = float("nan"), float("inf")
PROGRAMME = Programme()
CLARITY, PHOSPHORUS = QUANTITIES["secchi_depth"], QUANTITIES["total_phosphorus"]
LAKES = {
    code: Lake(code, name, kind, frozenset(), NAN, NAN, NAN)
    for code, name, kind in (
        ("HM", "Hollow Mere", "lake"), ("LL", "Long Lake", "lake"), ("BB", "Bright Beck", "stream"),
        ("PP", "Plain Pond", "pond"),
    )
}  # fmt: skip
STATIONS = tuple(
    Station(f"{lake}{number}", f"part {number}", lake, NAN, NAN, NAN, number == 1)
    for lake, count in (("HM", 4), ("LL", 2), ("BB", 2), ("PP", 1))
    for number in range(1, count + 1)
)
YEARS = (2021, 2022, 2023, 2024)
CHOICE = Choice("HM1", Period(2024, 2024))


def seasons_of(values, quantity="secchi_depth", **columns):
    """Return season rows from one known median for each station, the same in every year."""
    rows = [(code, year, value) for code, value in values.items() for year in YEARS]
    frame = pd.DataFrame(rows, columns=["station_code", "year", "median"])
    usual = {"quantity": quantity, "window": "season", "method": "", "visits": 5}
    return frame.assign(**usual, median_low=frame["median"], median_high=frame["median"]).assign(**columns)


DEPTHS = {"HM1": 3.0, "HM2": 4.0, "HM3": 5.0, "HM4": 9.0, "LL1": 1.0, "LL2": 2.0, "BB1": 0.7, "PP1": 1.5}
SEASONS = pd.concat([seasons_of(DEPTHS), seasons_of({"HM1": 12.0, "HM2": 20.0}, "total_phosphorus")])


def compare(beside, seasons=SEASONS, choice=CHOICE, stations=STATIONS, quantities=(CLARITY, PHOSPHORUS)):
    district = District(stations, LAKES, season_middles(seasons))
    return build_comparison(replace(choice, beside=beside), quantities, district, PROGRAMME)


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_nothing_is_beside_a_station_until_the_reader_chooses():
    comparison = compare("")
    assert (comparison.name, comparison.sentence) == ("", "")
    assert [panel.said for panel in comparison.panels] == ["", ""]


def test_station_beside_is_named_with_the_visits_of_both():
    comparison = compare("HM2")
    assert comparison.name == "beside: Hollow Mere, part 2"
    assert comparison.sentence == (
        "Compared, season by season, with Hollow Mere, part 2: 20 visits here and 20 visits there for each "
        "quantity."
    )
    clarity, phosphorus = comparison.panels
    assert clarity.seasons.middles.tolist() == [4.0] * 4
    assert phosphorus.seasons.middles.tolist() == [20.0] * 4
    assert plain(clarity.line) == (
        "Clarity, middle value of 4 seasons: 3.0 m here, 4.0 m there (20 visits here, 20 visits there)."
    )


def test_other_stations_of_the_water_are_counted_panel_by_panel():
    comparison = compare("water")
    assert [panel.seasons.stations for panel in comparison.panels] == [3, 1]
    assert comparison.panels[0].said == "beside: the middle of 3 other stations of Hollow Mere"
    assert comparison.panels[1].said == "beside: 1 other station of Hollow Mere"
    assert comparison.name == "beside: the middle of 1 to 3 other stations of Hollow Mere"
    assert comparison.panels[0].seasons.middles.tolist() == [5.0] * 4
    assert "20 visits here and 20 to 60 visits there for each quantity" in comparison.sentence


def test_middle_of_the_district_counts_all_stations_on_the_same_kind_of_water():
    comparison = compare("district")
    assert comparison.panels[0].said == "beside: the middle of 5 stations on the district's lakes"
    assert comparison.panels[0].seasons.middles.tolist() == [4.0] * 4


@pytest.mark.parametrize(
    ("station", "beside", "sentence"),
    [
        ("HM1", "BB1", "Not compared with Bright Beck, part 1: that is a stream, this is a lake."),
        ("BB1", "HM1", "Not compared with Hollow Mere, part 1: that is a lake, this is a stream."),
        ("HM1", "HM1", "A station is not compared with itself."),
        ("HM1", "HM9", 'This record has no station "HM9" to compare with.'),
        ("PP1", "water", "Plain Pond has no other station to compare with."),
        ("PP1", "district", "The district has no other station on a pond to compare with."),
    ],
)
def test_comparison_that_cannot_be_says_why_and_shows_nothing(station, beside, sentence):
    comparison = compare(beside, choice=replace(CHOICE, station=station))
    assert comparison.name == ""
    assert comparison.sentence == sentence
    for panel in comparison.panels:
        assert panel.seasons.years.size == 0
        assert panel.said.startswith("not compared: ")


def test_stream_is_compared_with_streams_only():
    depths = seasons_of(DEPTHS | {"BB2": 0.9})
    panel = compare("district", depths, replace(CHOICE, station="BB1")).panels[0]
    assert panel.said == "beside: 1 other station on the district's streams"
    assert panel.seasons.middles.tolist() == [0.9] * 4


def test_panel_measured_by_another_method_says_so_and_the_others_stand():
    seasons = SEASONS.reset_index(drop=True)
    other = (seasons["quantity"] == "total_phosphorus") & (seasons["station_code"] == "HM2")
    seasons.loc[other, "method"] = "old lamp"
    clarity, phosphorus = compare("HM2", seasons).panels
    assert clarity.seasons.years.size == 4
    assert phosphorus.seasons.years.size == 0
    assert phosphorus.said == "not compared: another method"
    assert phosphorus.line == "Total phosphorus, not compared: another method."


def test_seasons_by_another_method_are_left_out_and_counted():
    seasons = seasons_of(DEPTHS)
    seasons.loc[(seasons["station_code"] == "HM2") & (seasons["year"] < 2023), "method"] = "tube"
    panel = compare("HM2", seasons, quantities=(CLARITY,)).panels[0]
    assert panel.seasons.years.tolist() == [2023, 2024]
    assert "2 seasons of a station are left out, measured by another method than here." in panel.line


def test_comparison_without_a_shared_season_says_so_in_the_heading():
    seasons = seasons_of(DEPTHS, method=["" if code == "HM1" else "tube" for code in DEPTHS for _ in YEARS])
    comparison = compare("district", seasons, quantities=(CLARITY,))
    assert comparison.sentence == (
        "Not compared with the middle of 5 stations on the district's lakes: the panels say why."
    )


def test_middle_known_only_within_limits_is_said():
    seasons = seasons_of(DEPTHS)
    unknown = (seasons["station_code"] == "HM2") & (seasons["year"] >= 2022)
    seasons.loc[unknown, ["median", "median_high"]] = (NAN, INF)
    panel = compare("HM2", seasons, quantities=(CLARITY,)).panels[0]
    assert panel.seasons.middles.tolist() == [4.0] * 4
    assert "more than 4.0 m there" in plain(panel.line)
    assert "not known exactly in 3 seasons, and is drawn at a limit that is known." in panel.line


def test_picked_period_counts_its_own_seasons_and_leaves_the_others_outside():
    choice = replace(CHOICE, period=Period(2022, 2023), picked=True)
    comparison = compare("HM2", choice=choice, quantities=(CLARITY,))
    assert comparison.panels[0].inside.tolist() == [False, True, True, False]
    assert comparison.sentence == (
        "Compared for 2022 to 2023 with Hollow Mere, part 2: 10 visits here, 10 visits there."
    )
    assert "middle value of 2 seasons" in comparison.panels[0].line


def test_picked_period_without_a_compared_season_says_so():
    choice = replace(CHOICE, period=Period(2010, 2011), picked=True)
    comparison = compare("HM2", choice=choice)
    assert comparison.sentence == "Nothing to compare for 2010 to 2011 with Hollow Mere, part 2."
    assert comparison.panels[0].line == "Clarity: nothing to compare for 2010 to 2011."
    assert comparison.name == "beside: Hollow Mere, part 2"


@given(st.permutations(STATIONS), st.integers(0, 1000), st.sampled_from(["water", "district", "HM3"]))
def test_order_of_stations_and_seasons_changes_nothing(stations, seed, beside):
    one = compare(beside)
    other = compare(beside, SEASONS.sample(frac=1, random_state=seed), stations=tuple(stations))
    assert (one.name, one.sentence) == (other.name, other.sentence)
    for a, b in zip(one.panels, other.panels, strict=True):
        assert (a.said, a.line) == (b.said, b.line)
        assert np.array_equal(a.seasons.middles, b.seasons.middles)


RANKING = ("better", "worse", "best", "worst", "rank", "first", "last", "above", "ahead")


def test_no_word_of_a_comparison_ranks():
    sentences = {code: text for code, text in words._words("en").items() if code.startswith("beside.")}
    assert len(sentences) > 30
    assert [code for code, text in sentences.items() if set(text.casefold().split()) & set(RANKING)] == []


DAYS = [f"{year}-{month:02d}-15" for year in (2021, 2022, 2024) for month in (5, 6, 7, 8, 9)]


@pytest.fixture
def page_beside(make_readings, make_history):
    """Return a function that builds the page of a station with something beside it, in a programme."""

    def build(beside, depth=2.0, other=4.0, programme=PROGRAMME, days=DAYS, **choice):
        history = make_history(make_readings(days, [depth] * len(days)), kind="lake")
        others = make_readings(days, [other] * len(days), station_code="HM2")
        seasons = season_table(pd.concat([history.readings, others]), programme)
        chosen = replace(CHOICE, beside=beside, **choice)
        scheme = schemes()[chosen.scheme]
        own = seasons[seasons["station_code"] == "HM1"]
        result = class_result(history, own, chosen.period, scheme, programme)
        district = District(STATIONS, LAKES, season_middles(seasons))
        return build_station_page(history, own, result, chosen, scheme, programme, district)

    return build


def test_panel_places_the_middle_of_each_compared_season_on_its_axis(page_beside):
    panel = page_beside("HM2").panels[0]
    at = decimal_years(np.array([f"{year}-07-16" for year in (2021, 2022, 2023, 2024)], "datetime64[D]"))
    assert panel.beside.years.tolist() == at.tolist()  # half way from 1 May to 30 September
    placed = ~np.isnan(panel.beside.places)
    assert placed.tolist() == [True, True, False, True]  # nobody measured in 2023
    assert [panel.axis.value_at(place) for place in panel.beside.places[placed]] == pytest.approx([4.0] * 3)


@pytest.mark.parametrize("other", [0.2, 35.0])
@pytest.mark.parametrize("unit", ["m", "ft"])
def test_axis_holds_the_compared_values_too(page_beside, other, unit):
    panel = page_beside("HM2", other=other, length_unit=unit).panels[0]
    shown = [panel.axis.value_at(place) for place in panel.beside.places if not np.isnan(place)]
    assert shown == pytest.approx([other if unit == "m" else other / 0.3048] * 3)


def test_season_across_new_year_has_its_middle_at_new_year(page_beside):
    days = ["2021-12-10", "2022-01-10", "2022-02-10", "2022-11-10", "2022-12-10", "2023-01-10"]
    winter = Programme(season_months=(11, 12, 1, 2))
    panel = page_beside("HM2", programme=winter, days=days).panels[0]
    assert panel.beside.years == pytest.approx([2022.0, 2023.0], abs=0.01)


def test_picked_period_leaves_other_compared_seasons_outside(page_beside):
    panel = page_beside("HM2", period=Period(2022, 2023), picked=True).panels[0]
    assert panel.beside.inside.tolist() == [False, True, True, False]


def test_panel_without_readings_has_nothing_beside_it_and_no_second_reason(page_beside):
    page = page_beside("HM2")
    assert page.panels[1].message == "no readings of chlorophyll a here"
    assert (page.panels[1].beside.years.size, page.panels[1].beside.message) == (0, "")


def test_panel_that_is_not_compared_says_why(page_beside):
    panel = page_beside("BB1").panels[0]
    assert (panel.beside.years.size, panel.beside.message) == (0, "not compared: other kind of water")


def test_page_without_a_district_has_nothing_beside_it(page_beside, make_history, make_readings):
    history = make_history(make_readings(DAYS, [2.0] * len(DAYS)))
    scheme = schemes()[CHOICE.scheme]
    seasons = season_table(history.readings, PROGRAMME)
    result = class_result(history, seasons, CHOICE.period, scheme, PROGRAMME)
    alone = build_station_page(history, seasons, result, replace(CHOICE, beside="HM2"), scheme, PROGRAMME)
    assert alone.comparison.sentence == ""
    assert all(panel.beside.message == "" for panel in alone.panels)
    assert alone.sentences == page_beside("HM2").sentences
