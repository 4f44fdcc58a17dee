from dataclasses import replace

from explorer.display.choice import Choice
from explorer.display.trend_heading import trend_sentences
from explorer.model.calendar import Period
from explorer.model.programme import Programme

from .trend_examples import NAN, station_trend, trend_of

CHOICE = Choice("HM1", Period(2024, 2024))
PANELS = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen")


def sentences(*trends, shown=PANELS, choice=CHOICE):
    said = trend_sentences({each.quantity: each for each in trends}, shown, choice, Programme())
    return [sentence.replace("\N{NO-BREAK SPACE}", " ") for sentence in said]


def test_trend_of_the_quantity_behind_the_class_is_told_in_full_and_the_others_briefly():
    said = sentences(
        station_trend(trend_of()),
        station_trend(trend_of("falling"), "chlorophyll_a"),
        station_trend(trend_of("falling"), "total_phosphorus"),
        station_trend(trend_of("no_trend_found"), "total_nitrogen"),
        shown=("chlorophyll_a", *PANELS),
    )
    assert said == [
        "There is less chlorophyll a in the water: about 0.053 µg/L (1.2 %) less a year (very likely 0.031 "
        "to 0.078 µg/L), in 18 seasons × 5 months from 2005 to 2024.",
        "Also found: clearer by 1.2 % a year and less total phosphorus by 1.2 % a year.",
    ]


def test_found_trend_speaks_before_the_leading_quantity_without_one():
    said = sentences(
        station_trend(trend_of("no_trend_found")),
        station_trend(trend_of("falling"), "total_phosphorus"),
    )
    assert said[0].startswith("There is less total phosphorus")
    assert len(said) == 1


def test_without_a_found_trend_the_leading_quantity_says_what_could_have_been_missed():
    trends = [station_trend(trend_of("no_trend_found"), code) for code in PANELS]
    assert sentences(*trends) == [
        "No trend found in clarity in 18 seasons × 5 months from 2005 to 2024: a change of 0.060 m (1.4 %) a "
        "year would have shown in four of five such records."
    ]


def test_warning_of_years_that_resemble_each_other_stands_beside_the_trend():
    said = sentences(station_trend(trend_of(lag1=0.4)))
    assert said == [
        "The water has become clearer in 18 seasons × 5 months from 2005 to 2024.",
        "Each year resembles the one before (0.4 of 1): the change looks surer than it is and may be one "
        "step.",
    ]


def test_other_change_that_may_be_one_step_is_told_without_a_rate():
    step = station_trend(trend_of("falling", lag1=0.6), "total_phosphorus")
    said = sentences(station_trend(trend_of()), step)
    assert said[1] == "Also found: less total phosphorus (perhaps in one step)."


def test_change_that_would_end_below_zero_is_told_as_uneven():
    steep = trend_of("falling", slope_per_year=-0.6, slope_low=-0.7, slope_high=-0.5)
    said = sentences(station_trend(steep, "total_phosphorus"))
    assert said[0].endswith(
        "less total phosphorus in the water than before (18 seasons × 5 months from 2005 to 2024)."
    )
    assert said[1].startswith("The same amount every year would end below zero")


def test_other_methods_are_said_to_be_left_out():
    said = sentences(station_trend(trend_of(), others=("viewer",)))
    assert "Readings by another method are left out: viewer" in said[1]


def test_found_trend_without_a_slope_is_listed_by_its_direction():
    hidden = trend_of(slope_per_year=NAN, slope_low=NAN, slope_high=NAN, percent_per_year=NAN)
    said = sentences(station_trend(trend_of()), station_trend(hidden, "total_nitrogen"))
    assert said[1] == "Also found: more total nitrogen."
    acid = sentences(station_trend(trend_of()), station_trend(trend_of(), "ph"), shown=("secchi_depth", "ph"))
    assert acid[1] == "Also found: higher pH by 0.053 a year."


def test_picked_period_has_no_word_of_trend():
    assert sentences(station_trend(trend_of()), choice=replace(CHOICE, picked=True)) == []


def test_station_without_trends_says_nothing():
    assert sentences() == []
