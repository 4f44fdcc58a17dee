import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.sheet_dates import read_sheet_dates

days = st.dates(datetime.date(2000, 1, 1), datetime.date(2068, 12, 31))


def read(*texts, **more):
    found = read_sheet_dates(texts, **more)
    return found.date.tolist(), found.problem.tolist()


def test_an_ambiguous_date_alone_is_a_question():
    assert read("03/04/2025") == (["NaT"], ["ambiguous_sheet_date"])
    assert read("3/4/25") == (["NaT"], ["ambiguous_sheet_date"])


@pytest.mark.parametrize(("proof", "wanted"), [("13/04/2025", "2025-04-03"), ("04/13/2025", "2025-03-04")])
def test_another_date_of_the_column_settles_the_order_and_it_is_said(proof, wanted):
    found = read_sheet_dates(["03/04/2025", proof])
    assert found.date[0] == wanted
    assert found.settled.tolist() == [True, False]


@pytest.mark.parametrize(
    ("form", "wanted"), [("day/month/year", "2025-04-03"), ("month/day/year", "2025-03-04")]
)
@pytest.mark.parametrize("text", ["03/04/2025", "3/4/25", "03-04-25"])
def test_a_heading_that_spells_the_order_out_leaves_no_question(form, wanted, text):
    found = read_sheet_dates([text], form)
    assert (found.date.tolist(), found.problem.tolist()) == ([wanted], [""])
    assert not found.settled.any()


def test_dates_that_contradict_each_other_settle_nothing():
    assert read("03/04/2025", "13/04/2025", "04/13/2025")[1] == ["ambiguous_sheet_date", "", ""]


@given(days, st.sampled_from(["%d.%m.%y", "%d.%m.%Y", "%Y-%m-%d", "%d %b %y", "%b %d, %Y", "%Y%m%d"]))
def test_a_date_in_one_meaning_comes_back(day, form):
    assert read(day.strftime(form)) == ([day.isoformat()], [""])


@given(st.lists(days, min_size=1, max_size=6), st.sampled_from(["%m/%d/%y", "%d/%m/%Y", "%m/%d/%Y"]))
def test_a_date_is_right_or_a_question_but_never_another_day(some, form):
    dates, problems = read(*(day.strftime(form) for day in some))
    for day, date, problem in zip(some, dates, problems, strict=True):
        assert date == day.isoformat() or problem


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("9/31/25", "not_a_date"),
        ("10.09.", "date_without_year"),
        ("5/13", "date_without_year"),
        ("", "no_date"),
        ("yesterday", "not_a_date"),
        ("45760", "date_serial"),
        ("25-04-12", "ambiguous_sheet_date"),
        ("2025-13-01", "not_a_date"),
        ("0/0/00", "not_a_date"),
    ],
)
def test_what_is_no_date_waits_with_its_reason(text, problem):
    assert read(text) == (["NaT"], [problem])


def test_a_spreadsheet_s_number_names_the_day_that_it_stands_for():
    # Day 45760 is 13 April 2025 where day 1 is 1 January 1900 and 1900 counts as a leap year.
    assert read_sheet_dates(["45760"]).likely[0] == "2025-04-13"


def test_short_years_with_dashes_are_read_where_the_column_tells_which_end_they_stand_at():
    assert read("25-04-12", "25-05-13", "25-06-14")[0] == ["2025-04-12", "2025-05-13", "2025-06-14"]
    assert read("12-04-25", "13-05-25", "14-06-25")[0] == ["2025-04-12", "2025-05-13", "2025-06-14"]


def test_a_day_among_others_whose_day_and_month_changed_places_is_asked_about():
    sheet = ["7/11/25", "7/11/25", "11/7/25", "7/11/25", "8/15/25"]
    found = read_sheet_dates(sheet, in_order=True)
    assert found.problem.tolist() == ["", "", "date_swapped", "", ""]
    assert found.likely[2] == "2025-07-11"
    assert read(*sheet)[1] == [""] * 5


def test_days_that_only_look_exchanged_are_let_be():
    assert read("08.07.25", "07.08.25", "13.09.25", in_order=True)[1] == ["", "", ""]
    assert read("7/8/25", "8/7/25", "9/13/25", in_order=True)[1] == ["", "", ""]


def test_dates_that_a_spreadsheet_turned_are_asked_about():
    assert read("2025-04-03", "13/04/2025", "2025-05-05")[1] == ["date_turned", "", ""]
    assert read("2025-04-03", "13/04/2025", "2025-05-25")[1] == ["", "", ""]


@given(st.lists(st.text(max_size=12), max_size=5), st.booleans())
def test_any_text_is_a_date_or_a_problem(texts, in_order):
    dates, problems = read(*texts, in_order=in_order)
    assert len(dates) == len(texts)
    assert all((date == "NaT") == bool(problem) for date, problem in zip(dates, problems, strict=True))
