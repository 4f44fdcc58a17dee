from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.recensored import recensored
from explorer.analysis.season_medians import lag1_correlation, season_medians
from explorer.analysis.trend import trends
from explorer.model.trends import TrendTable

FLIPPED = ("statistic_s", "z", "slope_per_year", "percent_per_year")
KEPT = ("years", "months", "readings", "test", "variance", "p", "p_adjusted", "median", "censored_share")


def noise(series=6, years=14, seasons=5, gaps=0.15, seed=1):
    rng = np.random.default_rng(seed)
    values = rng.lognormal(2.5, 0.4, (series, years, seasons)).round(1)
    return np.where(rng.random(values.shape) < gaps, np.nan, values)


def assert_same(first: TrendTable, second: TrendTable, columns=None):
    for name in columns or [each.name for each in fields(TrendTable)]:
        one, other = getattr(first, name), getattr(second, name)
        if name == "test":
            assert one.tolist() == other.tolist()
        else:
            np.testing.assert_allclose(one, other, rtol=1e-9, atol=1e-12, err_msg=name)


def row_of(table: TrendTable, rows) -> TrendTable:
    return TrendTable(**{each.name: getattr(table, each.name)[rows] for each in fields(TrendTable)})


@pytest.mark.parametrize("years", [9, 14])
def test_reversing_the_years_flips_the_sign_and_nothing_else(years):
    values = noise(years=years)
    forward, backward = trends(values), trends(values[:, ::-1])
    assert_same(forward, backward, KEPT)
    for name in FLIPPED:
        np.testing.assert_allclose(getattr(backward, name), -getattr(forward, name), atol=1e-12)
    np.testing.assert_allclose(backward.slope_low, -forward.slope_high, atol=1e-12)


@given(st.permutations(range(6)), st.sampled_from([9, 14]))
@settings(max_examples=20, deadline=None)
def test_the_order_of_stations_makes_no_difference(order, years):
    values = noise(years=years)
    assert_same(trends(values[list(order)]), row_of(trends(values), list(order)))


@given(st.floats(0.001, 1000.0), st.sampled_from([9, 14]))
@settings(max_examples=20, deadline=None)
def test_another_unit_scales_the_slope_and_changes_nothing_else(factor, years):
    values = noise(years=years)
    signs = np.where(values < 9.0, "<", "=")
    held = np.where(values < 9.0, 9.0, values)
    first, second = trends(held, signs), trends(held * factor, signs)
    in_unit = ("slope_per_year", "slope_low", "slope_high", "median")
    assert_same(first, second, [each.name for each in fields(TrendTable) if each.name not in in_unit])
    for name in in_unit:
        np.testing.assert_allclose(getattr(second, name), factor * getattr(first, name), rtol=1e-9)


@pytest.mark.parametrize("transform", [np.log, np.sqrt, lambda each: each**3])
def test_a_rising_transform_changes_no_test_on_monthly_values(transform):
    values = noise()
    tests = ("test", "statistic_s", "variance", "z", "p", "p_adjusted", "seasons_differ_p")
    assert_same(trends(values), trends(transform(values)), tests)


def test_a_constant_added_to_each_month_keeps_test_and_slope():
    values = noise()
    monthly = ("statistic_s", "variance", "p", "slope_per_year", "slope_low", "slope_high")
    assert_same(trends(values), trends(values + np.array([0.0, 30.0, 70.0, 40.0, 10.0])), monthly)


def test_more_series_than_a_block_are_as_one_by_one():
    values = noise(series=300, years=12)
    some = [0, 255, 256, 299]
    alone = [name for name in (each.name for each in fields(TrendTable)) if name != "p_adjusted"]
    assert_same(row_of(trends(values), some), trends(values[some]), alone)


@given(st.floats(0.1, 1.0), st.sampled_from([9, 14]))
@settings(max_examples=20, deadline=None)
def test_values_under_the_highest_limit_make_no_difference(share, years):
    values = noise(years=years, gaps=0.0)
    limit = np.quantile(values, 0.3)
    signs = np.where((values < limit) & (np.arange(years) < 4)[:, None], "<", "=")
    values = np.where(signs == "<", limit, values)
    lower = np.where((values < limit) & (signs == "="), values * share, values)
    assert_same(trends(values, signs), trends(lower, signs))


def test_a_falling_limit_over_flat_values_is_no_trend():
    """Ten years of "<10", then of "<2", the water at 5 throughout: as numbers a fall, held to 10 nothing."""
    limit = np.where(np.arange(20) < 10, 10.0, 2.0)[:, None] + np.zeros(5)
    flat = np.random.default_rng(3).normal(5.0, 0.5, (1, 20, 5))
    signs = np.where(flat < limit, "<", "=")
    values = np.where(flat < limit, limit, flat)
    assert trends(values).p[0] < 0.001
    table = trends(values, signs)
    assert table.censored_share.tolist() == [1.0]
    assert table.test.tolist() == [""]
    assert np.isnan([table.p[0], table.slope_per_year[0]]).all()


@pytest.mark.parametrize(
    ("share", "slope", "test"), [(0.4, True, True), (0.6, False, True), (0.9, False, False)]
)
def test_the_share_under_the_limit_decides_what_is_given(share, slope, test):
    values = noise(series=1, years=15, gaps=0.0)
    limit = np.quantile(values, share)
    signs = np.where(values < limit, "<", "=")
    table = trends(np.where(values < limit, limit, values), signs)
    assert (not np.isnan(table.slope_per_year[0])) == slope
    assert (not np.isnan(table.p[0])) == test


@pytest.mark.parametrize(
    ("years", "test"),
    [(7, ""), (8, "season_medians"), (10, "season_medians"), (11, "seasonal_kendall")],
)
def test_the_years_decide_the_test(years, test):
    assert trends(noise(series=1, years=years, gaps=0.0)).test.tolist() == [test]


def test_years_with_too_few_months_do_not_count():
    values = noise(series=1, years=12, gaps=0.0)
    values[0, :5, 2:] = np.nan
    table = trends(values)
    assert table.years.tolist() == [7]
    assert table.test.tolist() == [""]
    assert trends(values, minimum_months=2).years.tolist() == [12]


def test_annual_values_need_no_three_months():
    assert trends(noise(series=1, years=9, seasons=1, gaps=0.0)).test.tolist() == ["season_medians"]


def test_years_without_a_visit_keep_their_distance():
    years = np.array([2000, 2001, 2002, 2003, 2010, 2011, 2012, 2013, 2014, 2015, 2016, 2017])
    rising = np.repeat(3.0 * (years - 2000.0)[None, :, None], 5, axis=2)
    assert trends(rising, years=years).slope_per_year.tolist() == [3.0]
    whole = np.full((1, 18, 5), np.nan)
    whole[:, years - 2000] = rising
    table = trends(whole)
    assert table.slope_per_year.tolist() == [3.0]
    assert table.years.tolist() == [12]


def test_empty_years_around_a_series_make_no_difference():
    values = noise(series=3, years=12)
    around = np.full((3, 20, 5), np.nan)
    around[:, 5:17] = values
    assert_same(trends(around), trends(values))


def test_percent_is_of_the_median_and_none_without_a_positive_one():
    values = noise(series=1)
    table = trends(values)
    expected = 100 * table.slope_per_year / np.nanmedian(values)
    assert table.percent_per_year == pytest.approx(expected)
    assert np.isnan(trends(values - 100.0).percent_per_year).all()


def test_a_constant_series_has_p_of_one_and_slope_zero():
    table = trends(np.full((1, 12, 5), 3.0))
    assert (table.p.tolist(), table.slope_per_year.tolist()) == ([1.0], [0.0])
    assert np.isnan(table.lag1).all()


def test_series_that_are_not_tested_do_not_count_among_the_tests():
    values = noise(series=4, years=12, gaps=0.0)
    short = np.where(np.arange(12)[:, None] < 6, np.nan, values[:1])
    table = trends(np.concatenate([values, short, short]))
    assert table.p_adjusted[:4] == pytest.approx(trends(values).p_adjusted)
    assert np.isnan(table.p_adjusted[4:]).all()


def test_season_medians_of_half_a_limit_and_a_value_are_held_to_the_limit():
    held = recensored([[[4.0, 5.0], [9.0, 20.0]]], [[["<", "="], ["=", "="]]])
    medians = season_medians(held, np.array([[True, True]]))
    assert medians.tolist() == [[2.0, 14.5]]


def test_lag1_is_that_of_season_medians_along_the_slope():
    values = noise(series=1, gaps=0.0)
    table = trends(values)
    residual = np.median(values[0], axis=1) - table.slope_per_year[0] * np.arange(14)
    about = residual - residual.mean()
    expected = (about[1:] * about[:-1]).mean() / (about**2).mean()
    assert table.lag1[0] == pytest.approx(expected)


def test_lag1_leaves_out_years_that_do_not_follow_one_another():
    rows = np.array([[1.0, -1.0, 3.0, -3.0]])
    assert lag1_correlation(rows, [2001, 2002, 2010, 2011])[0] == pytest.approx((-1.0 - 9.0) / 2 / 5.0)


def test_persistent_years_have_a_higher_lag1_than_independent_ones():
    rng = np.random.default_rng(6)
    years = rng.normal(size=(200, 20, 1))
    for year in range(1, 20):
        years[:, year] = 0.8 * years[:, year - 1] + 0.6 * years[:, year]
    together = trends(20 + years + 0.3 * rng.normal(size=(200, 20, 5))).lag1
    apart = trends(20 + rng.normal(size=(200, 20, 5))).lag1
    assert (together > 0.2).mean() > 0.7
    assert (apart > 0.2).mean() < 0.2


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"values": np.zeros((3, 4))}, r"shape \(series, years, seasons\); found \(3, 4\)"),
        ({"values": np.zeros((3, 0, 4))}, r"found \(3, 0, 4\)"),
        ({"values": np.full((1, 9, 3), np.inf)}, "found 27 infinite"),
        ({"values": np.zeros((1, 9, 3)), "signs": np.full((1, 9, 2), "=")}, r"found \(1, 9, 2\)"),
        ({"values": np.zeros((1, 9, 3)), "signs": np.full((1, 9, 3), "≤")}, r"found '≤' \(27 in all\)"),
        ({"values": np.zeros((1, 3, 3)), "years": [2001, 2003, 2002]}, "Years rise"),
        ({"values": np.zeros((1, 3, 3)), "years": [2001, 2002]}, "one for each of 3"),
    ],
)
def test_arrays_that_do_not_fit_are_refused_with_what_was_found(arguments, message):
    with pytest.raises(ValueError, match=message):
        trends(**arguments)


def test_a_sign_beside_no_value_does_not_matter():
    values = noise(series=2)
    signs = np.where(np.isnan(values), "", "=")
    assert_same(trends(values, signs), trends(values))


def test_trends_leaves_its_arguments_alone():
    values, before = noise(), noise()
    trends(values, np.full(values.shape, "="))
    np.testing.assert_array_equal(values, before)
