from dataclasses import replace

import pytest

from explorer.display.choice import Choice
from explorer.display.trend_page import COLUMNS, build_trend_page
from explorer.model.calendar import Period
from explorer.model.programme import Programme

from .trend_examples import NAN, station_trend, trend_of

CHOICE = Choice("HM1", Period(2024, 2024))
PANELS = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen")


def page_of(*trends, choice=CHOICE):
    return build_trend_page({each.quantity: each for each in trends}, PANELS, choice, Programme())


def row_of(*trends, **further):
    row = page_of(*trends, **further).numbers.rows[0]
    return {
        name: str(cell).replace("\N{NO-BREAK SPACE}", " ") for name, cell in zip(COLUMNS, row, strict=True)
    }


def test_each_quantity_has_its_verdict_its_cautions_and_what_it_rests_on():
    page = page_of(
        station_trend(trend_of(), "ph"),
        station_trend(trend_of("no_trend_found", lag1=0.5), "chlorophyll_a"),
        station_trend(trend_of("falling"), others=("viewer",)),
    )
    assert [section.title for section in page.sections] == ["Clarity", "Chlorophyll a", "pH"]
    clarity, chlorophyll, _ = (section.lines for section in page.sections)
    assert clarity[0].startswith("The water has become less clear: about ")
    assert "left out: viewer" in clarity[1]
    assert clarity[2].startswith("Clarity: 86 monthly values from 18 seasons and 5 months")
    assert "a larger change than this could be missed, too" in chlorophyll[1]
    assert page.message == ""
    assert len(page.how.lines) == 7


def test_step_is_named_where_a_found_trend_follows_the_year_before_it():
    for verdict, lag1, named in (
        ("falling", 0.5, True),
        ("falling", 0.1, False),
        ("no_trend_found", 0.5, False),
    ):
        lines = page_of(station_trend(trend_of(verdict, lag1=lag1))).sections[0].lines
        assert any("One step in one year" in line for line in lines) == named
        assert any(line.startswith("Spread evenly over these years") for line in lines) == named
        assert all(lines)


def test_numbers_hold_what_was_computed():
    assert row_of(station_trend(trend_of())) == {
        "quantity": "Clarity", "used": "18 × 5", "slope": "0.053 m", "limits": "0.031 to 0.078",
        "percent": "1.2", "kendall": "90", "score": "2.97", "chance": "0.30 %", "chance_together": "2.0 %",
        "smallest": "", "lag1": "0.1",
    }  # fmt: skip
    assert row_of(station_trend(trend_of(lag1=-0.04)))["lag1"] == "0.0"
    feet = row_of(station_trend(trend_of()), choice=replace(CHOICE, length_unit="ft"))
    assert (feet["slope"], feet["limits"]) == ("0.17 ft", "0.10 to 0.26")


def test_numbers_beside_a_slope_near_nought_have_no_more_digits_than_they_bear():
    level = trend_of(
        "no_trend_found", slope_per_year=-0.0012, slope_low=-0.0561, slope_high=0.053, smallest_found=0.1867
    )
    row = row_of(station_trend(level))
    assert (row["slope"], row["limits"], row["smallest"]) == ("-0.001 m", "-0.056 to 0.053", "0.19 m")


def test_numbers_of_a_trend_that_was_not_tested_are_empty():
    nothing = dict.fromkeys(
        ("statistic_s", "z", "p", "p_adjusted", "slope_per_year", "slope_low", "slope_high",
         "percent_per_year", "lag1"), NAN,
    )  # fmt: skip
    row = row_of(station_trend(trend_of("drawn_only", **nothing)))
    assert [name for name, cell in row.items() if cell] == ["quantity", "used"]


def test_change_of_no_size_that_could_have_been_found_is_said_so():
    row = row_of(station_trend(trend_of("cannot_tell_yet", smallest_found=float("inf"))))
    assert row["smallest"] == "no size"


def test_smallest_chances_are_not_spelled_out_and_ph_has_no_percent():
    row = row_of(station_trend(trend_of(p=1e-9), "ph"))
    assert row["chance"] == "under 0.1 %"
    assert row["percent"] == ""


def test_picked_period_tells_no_trend_and_no_number():
    page = page_of(station_trend(trend_of()), choice=replace(CHOICE, period=Period(2010, 2015), picked=True))
    assert page.message.startswith("You picked 2010 to 2015.")
    assert (page.sections, page.numbers, page.how) == ((), None, None)
    assert not any(word in page.message for word in ("clearer", "rising", "%"))


def test_station_without_surface_readings_says_so():
    assert page_of().message.startswith("Nothing was measured here at the surface")


@pytest.mark.parametrize("verdict", ["beyond_limit", "too_few_years", "no_trend_found", "cannot_tell_yet"])
def test_every_verdict_makes_a_page(verdict):
    assert page_of(station_trend(trend_of(verdict))).sections
