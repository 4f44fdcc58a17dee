"""Before and after a date: which seasons are compared, in which words, and what cannot be compared."""

import numpy as np
import pytest

from explorer.display.change_page import build_change_page
from explorer.display.choice import Choice
from explorer.model.calendar import Period
from explorer.model.programme import Programme

CHOICE = Choice("HM1", Period(2024, 2024))
DATE = "2012-04-15"


@pytest.fixture
def compare(make_readings):
    """Return a function that compares yearly levels from 2005 on, with some noise from month to month."""

    def compare(levels, date=DATE, signs="=", quantity="secchi_depth", programme=Programme(), **columns):  # noqa: B008
        days = [f"{2005 + n}-{month:02d}-15" for n in range(len(levels)) for month in (5, 6, 7, 8, 9)]
        noise = np.random.default_rng(1).normal(0.0, 0.05, len(days))
        values = np.repeat(np.asarray(levels, dtype=float), 5) + (noise if signs == "=" else 0.0)
        readings = make_readings(days, values, signs, quantity=quantity, **columns)
        page = build_change_page(readings, date, (quantity,), CHOICE, programme)
        lines = [
            line.replace("\N{NO-BREAK SPACE}", " ") for section in page.sections for line in section.lines
        ]
        return page, lines

    return compare


def test_clearer_water_is_told_with_size_limits_and_both_middles(compare):
    page, lines = compare([2.0, 2.4, 2.1, 2.3, 2.2, 2.0, 2.3, 4.1, 4.4, 4.0, 4.3, 4.2, 4.1, 4.4])
    assert page.title == "Before and after 15 April 2012"
    assert lines[0].startswith("The water is clearer than before: by about 2.0 m (")
    assert "very likely 1." in lines[0]
    assert "Middle value 2.2 m in 7 seasons before, 4.2 m in 7 seasons after." in lines[0]


def test_less_of_a_concentration_swaps_its_limits(compare):
    _, lines = compare([40, 44, 41, 43, 42, 40, 43, 20, 22, 21, 20, 23, 22, 20], quantity="total_phosphorus")
    assert lines[0].startswith(
        "There is less total phosphorus than before: by about 21 µg/L (50 %), very likely 19 to 22"
    )


def test_no_difference_gives_what_may_still_differ(compare):
    _, lines = compare([2.0, 2.4, 2.1, 2.3, 2.2, 2.0, 2.3, 2.1, 2.4, 2.0, 2.3, 2.2, 2.1, 2.4])
    assert lines[0].startswith(
        "No difference found in clarity. What may still differ lies very likely between -0."
    )


def test_few_seasons_are_counted(compare):
    _, lines = compare([2.0, 2.4, 2.1, 4.3, 4.2], date="2008-04-15")
    assert lines == [
        "Too few seasons of clarity: 3 seasons before and 2 seasons after with enough visits, and it takes 3 "
        "on either side."
    ]
    _, lines = compare([2.0, 2.4, 2.1, 4.3, 4.2, 4.1], date="2008-04-15")
    assert lines[0].startswith(
        "We cannot tell yet whether clarity differs: in 3 seasons before and 3 seasons after"
    )


def test_values_below_the_limit_are_not_compared(compare):
    _, lines = compare([10.0] * 14, signs="<", quantity="total_phosphorus")
    assert lines == [
        "Nothing can be said of total phosphorus: too much lies beyond what could be measured in every year."
    ]


def test_fallen_limit_makes_no_difference(compare):
    signs = ["<"] * 35 + ["="] * 35
    _, lines = compare([10.0] * 7 + [5.0] * 7, signs=signs, quantity="total_phosphorus")
    assert lines[0].startswith("Nothing can be said of total phosphorus")


def test_change_of_method_is_not_compared_across_unless_declared_comparable(compare):
    levels = [2.0, 2.4, 2.1, 2.3, 2.2, 2.0, 2.3, 4.1, 4.4, 4.0, 4.3, 4.2, 4.1, 4.4]
    method = ["disk"] * 35 + ["viewer"] * 35
    _, lines = compare(levels, method=method)
    assert lines[0].startswith("Too few seasons of clarity: no season before and 7 seasons after")
    assert "left out: disk" in lines[1]
    declared = Programme(comparable_methods=(("disk", "viewer"),))
    _, lines = compare(levels, method=method, programme=declared)
    assert lines[0].startswith("The water is clearer than before")


def test_season_of_the_date_counts_to_neither_side(compare):
    _, lines = compare(
        [2.0, 2.4, 2.1, 2.3, 2.2, 2.0, 9.9, 4.1, 4.4, 4.0, 4.3, 4.2, 4.1, 4.4], date="2011-07-01"
    )
    assert "in 6 seasons before" in lines[0]
    assert "in 7 seasons after" in lines[0]


@pytest.mark.parametrize("text", ["15.4.2014", "2014", "2014-02-30", "<b>x</b>", "NaT", "today", "9" * 40])
def test_what_is_no_date_is_said_so(compare, text):
    page, lines = compare([2.0] * 10, date=text)
    assert page.message == f"“{text}” is no date. Write year, month and day, such as 2014-04-15."
    assert lines == []


def test_without_a_date_the_page_says_what_to_enter(compare):
    page, lines = compare([2.0] * 10, date="")
    assert page.message.startswith("When something happened to the water")
    assert lines == []
