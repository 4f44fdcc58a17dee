from dataclasses import replace
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.central_value import NOTHING, CentralValue
from explorer.analysis.class_schemes import schemes
from explorer.display.axes import decimal_years
from explorer.display.panel_page import build_panel_page
from explorer.model.calendar import Period, Season
from explorer.model.quantities import QUANTITIES

SEASON = Season((5, 6, 7, 8, 9))
CARLSON = schemes()["carlson_simpson_1996"]
NO_USUAL = pd.DataFrame({"month": [], "low": [], "high": []}, dtype="float64")


def build(readings, choice, quantity="secchi_depth", scheme=CARLSON, usual=NO_USUAL, central=NOTHING):
    years = (2020, 2025)
    inside = choice.period.contains(SEASON.year_of(readings["taken_on"])) | (not choice.picked)
    when = decimal_years(readings["taken_on"].to_numpy())
    readings = readings.assign(when=when, inside=inside, strong=inside)
    ranges = [(np.arange(years[0], years[1] + 1), {end: usual[end].to_numpy() for end in ("low", "high")})]
    return build_panel_page(readings, QUANTITIES[quantity], ranges, choice, scheme, SEASON, years, central)


def test_readings_are_drawn_by_what_they_say(make_readings, choice):
    readings = make_readings(
        ["2024-05-01", "2024-06-01", "2024-07-01", "2024-08-01"], [3.0, 2.0, 5.0, 9.0], "=<>="
    )
    readings.loc[3, "status"] = "held"
    page = build(readings, choice)
    assert [dots.rows.tolist() for dots in (page.measured, page.below, page.beyond, page.held)] == [
        [0],
        [1],
        [2],
        [3],
    ]


def test_held_reading_without_a_number_is_not_drawn(make_readings, choice):
    page = build(make_readings(["2024-05-01"], [np.nan], status="held"), choice)
    assert page.held.rows.size == 0


def test_clarity_bands_put_the_best_class_deepest(make_readings, choice):
    page = build(make_readings(["2024-05-01"], [3.0]), choice)
    assert [band.name for band in page.bands] == [
        "oligotrophic",
        "mesotrophic",
        "eutrophic",
        "hypereutrophic",
    ]
    assert page.bands[0].low == 0.0
    assert page.bands[-1].high == 1.0


@given(st.floats(0.1, 500), st.sampled_from([each.key for each in schemes().values()]), st.booleans())
def test_bands_fill_the_panel_without_gap_and_names_do_not_touch(value, key, log):
    from explorer.display.choice import Choice

    choice = Choice("HM1", Period(2024, 2024), scheme=key, log=log)
    day = pd.to_datetime(["2024-05-01"])
    frame = pd.DataFrame({"taken_on": day, "value": value, "sign": "=", "status": "accepted", "method": ""})
    page = build(frame, choice, "chlorophyll_a", schemes()[key])
    assert page.bands[0].low == 0.0
    assert page.bands[-1].high == 1.0
    assert all(a.high == b.low for a, b in pairwise(page.bands))
    names = [band.name_place for band in page.bands]
    assert all(b - a > 0.1 for a, b in pairwise(names))
    assert all(0 <= place <= 1 for place in names)


def test_usual_range_is_one_closed_shape_a_season(make_readings, choice):
    usual = pd.DataFrame({"month": [5, 6, 7, 8, 9], "low": 2.0, "high": 4.0})
    page = build(make_readings(["2024-05-01"], [3.0]), choice, usual=usual)
    shapes = np.split(page.usual_years, np.flatnonzero(np.isnan(page.usual_years)))
    assert len([shape for shape in shapes if np.isfinite(shape).any()]) == 6
    first = page.usual_years[: np.flatnonzero(np.isnan(page.usual_years))[0]]
    assert (first.min(), first.max()) == pytest.approx((2020 + 4 / 12, 2020 + 9 / 12))


def test_usual_range_with_unknown_months_is_drawn_where_it_is_known(make_readings, choice):
    nan = float("nan")
    usual = pd.DataFrame(
        {"month": [5, 6, 7, 8, 9], "low": [nan, 2, 2, nan, nan], "high": [nan, 4, 4, nan, nan]}
    )
    page = build(make_readings(["2024-05-01"], [3.0]), choice, usual=usual)
    finite = page.usual_years[: np.flatnonzero(np.isnan(page.usual_years))[0]]
    assert (finite.min(), finite.max()) == pytest.approx((2020 + 5 / 12, 2020 + 7 / 12))


@pytest.mark.parametrize(("last_old", "labels"), [(2021, ["from here also: new"]), (2024, [])])
def test_method_beside_another_is_a_break_once_the_other_is_given_up(make_readings, choice, last_old, labels):
    old = [(f"{year}-06-01", "old") for year in range(2017, last_old + 1)]
    new = [(f"{year}-06-02", "new") for year in range(2019, 2025)]
    days, methods = zip(*sorted([*old, *new]), strict=True)
    page = build(make_readings(list(days), [3.0] * len(days), method=list(methods)), choice)
    assert [each.label for each in page.breaks] == labels
    assert all(2018.4 < each.year < 2019.5 for each in page.breaks)


def test_lasting_change_of_method_is_a_break_and_a_passing_one_is_not(make_readings, choice):
    dates = ["2022-05-01", "2022-06-01", "2022-07-01", "2023-05-01", "2023-06-01"]
    readings = make_readings(dates, [1.0] * 5, quantity="total_phosphorus")
    readings["method"] = ["first", "other", "first", "second", "second"]
    page = build(readings, choice, "total_phosphorus")
    assert [each.label for each in page.breaks] == ["from here: second"]
    assert decimal_years(readings["taken_on"].to_numpy())[2] < page.breaks[0].year < 2023.5


def test_picked_period_leaves_other_seasons_outside(make_readings, choice):
    readings = make_readings(["2022-05-01", "2023-06-01", "2024-07-01"], [1.0, 2.0, 3.0])
    page = build(readings, replace(choice, period=Period(2023, 2023), picked=True))
    assert page.measured.inside.tolist() == [False, True, False]


def test_period_that_nobody_picked_leaves_nothing_outside(make_readings, choice):
    page = build(make_readings(["2022-05-01", "2024-07-01"], [1.0, 3.0]), choice)
    assert page.measured.inside.all()


@pytest.mark.parametrize(
    ("central", "words"),
    [
        (CentralValue(3.0, 3.0, 5, 5), "middle value 3.0 m in 2024 (5 visits)"),
        (CentralValue(3.0, 3.0, 1, 1), "3.0 m in 2024 (1 visit)"),
        (CentralValue(2.4, np.inf, 4, 4), "middle value more than 2.4 m in 2024 (4 visits)"),
        (CentralValue(2.4, 3.0, 4, 4), "middle value between 2.4 m and 3.0 m in 2024 (4 visits)"),
        (NOTHING, "not measured in 2024"),
    ],
)
def test_middle_value_of_the_period_is_said_as_it_is_known(make_readings, choice, central, words):
    page = build(make_readings(["2024-05-01"], [3.0]), choice, central=central)
    assert page.value.replace("\N{NO-BREAK SPACE}", " ") == words


def test_panel_without_readings_says_so(make_readings, choice):
    page = build(make_readings([], []), choice)
    assert page.message == "no readings of clarity here"
    assert page.measured.rows.size == 0


def test_stream_has_no_bands(make_readings, choice):
    assert build(make_readings(["2024-05-01"], [3.0]), choice, scheme=None).bands == ()
