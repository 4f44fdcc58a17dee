"""Single cells: numbers with signs and decimal marks, words, dates and times."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.cells import read_flags, read_numbers, read_words
from explorer.records.dates import read_dates, read_times


@pytest.mark.parametrize(
    ("text", "decimal", "value", "sign"),
    [
        ("12.1", ".", 12.1, "="),
        ("12,1", "", 12.1, "="),
        ("<5", ".", 5.0, "<"),
        ("< 0,5", ",", 0.5, "<"),
        ("≤5", ".", 5.0, "<"),
        ("<=5", ".", 5.0, "<"),
        ("> 2.4", ".", 2.4, ">"),
        ("≥2.4", ".", 2.4, ">"),
        ("1e-3", ".", 0.001, "="),
        (".5", ".", 0.5, "="),
        ("-1.5", ".", -1.5, "="),
        ("1,234.5", "", 1234.5, "="),
        ("1.234,5", "", 1234.5, "="),
        ("0,125", "", 0.125, "="),
        ("1,250", ",", 1.25, "="),
        ("1.250", ".", 1.25, "="),
    ],
)
def test_number_with_its_sign_is_read(text, decimal, value, sign):
    values, signs, problems = read_numbers([text], decimal)
    assert (values[0], signs[0], problems[0]) == (value, sign, "")


@pytest.mark.parametrize(
    ("text", "decimal", "problem"),
    [
        ("1.8O", ".", "not_a_number"),
        ("5-6", ".", "not_a_number"),
        ("~5", ".", "not_a_number"),
        ("inf", ".", "not_a_number"),
        ("1e999", ".", "not_a_number"),
        ("-1e308", ".", "not_a_number"),
        ("0x10", ".", "not_a_number"),
        ("1 234", ".", "not_a_number"),
        ("=1+1", ".", "not_a_number"),
        ("1,250", "", "thousands_or_decimals"),
        ("1,250", ".", "thousands_or_decimals"),
        ("1.250", ",", "thousands_or_decimals"),
        ("1,250,000", ".", "thousands_or_decimals"),
    ],
)
def test_cell_that_is_no_number_or_two_numbers_is_named(text, decimal, problem):
    values, signs, problems = read_numbers([text], decimal)
    assert np.isnan(values[0])
    assert (signs[0], problems[0]) == ("=", problem)


@pytest.mark.parametrize("text", ["", "NA", "n/a", "NaN", "-", "—"])
def test_cell_that_holds_nothing_is_no_problem(text):
    values, _, problems = read_numbers([text], ".")
    assert np.isnan(values[0])
    assert problems[0] == ""


@settings(deadline=None)
@given(st.floats(min_value=-1e12, max_value=1e12))
def test_number_written_with_either_mark_reads_the_same(number):
    point = f"{number:.3f}"
    comma = point.replace(".", ",")
    assert read_numbers([point], ".")[0][0] == float(point)
    assert read_numbers([comma], ",")[0][0] == float(point)


@pytest.mark.parametrize(
    ("text", "form", "iso"),
    [
        ("2024-05-17", "", "2024-05-17"),
        ("2024/5/7", "", "2024-05-07"),
        ("20240517", "", "2024-05-17"),
        ("2024-138", "", "2024-05-17"),
        ("2024-05-17T10:30:00", "", "2024-05-17"),
        ("2024-05-17 00:00:00", "", "2024-05-17"),
        ("17.5.2024", "", "2024-05-17"),
        ("3.4.2024", "", "2024-04-03"),
        ("17/05/2024", "", "2024-05-17"),
        ("05/17/2024", "", "2024-05-17"),
        ("05/05/2024", "", "2024-05-05"),
        ("3/4/2024", "day/month/year", "2024-04-03"),
        ("3/4/2024", "month/day/year", "2024-03-04"),
        ("17 May 2024", "", "2024-05-17"),
        ("May 17, 2024", "", "2024-05-17"),
        ("17-MAY-2024", "", "2024-05-17"),
        ("2024-02-29", "", "2024-02-29"),
    ],
)
def test_date_is_read(text, form, iso):
    dates, problems = read_dates([text], form)
    assert (dates[0], problems[0]) == (iso, "")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("03/04/2020", "ambiguous_date"),
        ("03-04-2020", "ambiguous_date"),
        ("03/04/20", "not_a_date"),
        ("2023-02-29", "not_a_date"),
        ("2024-13-01", "not_a_date"),
        ("2024131", "not_a_date"),
        ("2023-366", "not_a_date"),
        ("0024-05-01", "not_a_date"),
        ("9999-01-01", "not_a_date"),
        ("yesterday", "not_a_date"),
        ("45429", "not_a_date"),
        ("2024-05-17T10:30:00Z", "not_a_time"),
        ("", "no_date"),
    ],
)
def test_cell_that_is_no_date_or_two_dates_is_named(text, problem):
    dates, problems = read_dates([text])
    if problem == "not_a_time":  # a time in another zone could lie on another day
        assert read_times([""], [text])[1][0] == problem
    else:
        assert (dates[0], problems[0]) == ("NaT", problem)


def test_one_date_that_can_only_be_read_one_way_settles_its_column():
    dates, problems = read_dates(["03/04/2020", "25/04/2020"])
    assert dates.tolist() == ["2020-04-03", "2020-04-25"]
    assert not problems.any()


def test_dates_that_contradict_one_another_settle_nothing():
    _, problems = read_dates(["03/04/2020", "25/04/2020", "04/25/2020"])
    assert problems.tolist() == ["ambiguous_date", "", ""]


@pytest.mark.parametrize(
    ("text", "time"),
    [("9:05", "09:05"), ("14:30:59", "14:30"), ("2:30 PM", "14:30"), ("12:00 am", "00:00"), ("", "")],
)
def test_time_is_read(text, time):
    times, problems = read_times([text], ["2024-05-17"])
    assert (times[0], problems[0]) == (time, "")


@pytest.mark.parametrize("text", ["25:00", "9:61", "noon", "13:00 PM"])
def test_cell_that_is_no_time_is_named(text):
    assert read_times([text], [""])[1].tolist() == ["not_a_time"]


def test_words_and_flags_are_read_whatever_their_case():
    assert read_words(["Field_Duplicate"], ("field duplicate",), "")[0].tolist() == ["field duplicate"]
    assert read_flags(["YES", "no", "X"])[0].tolist() == [True, False, True]
    spoken, problem = read_flags(["Ja", "nein", "WAHR", "oui", "non", "sí"])
    assert spoken.tolist() == [True, False, True, True, False, True]
    assert set(problem) == {""}
