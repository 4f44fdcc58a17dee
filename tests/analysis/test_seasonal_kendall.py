import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import stats

from explorer.analysis.seasonal_kendall import (
    KendallScores,
    kendall_by_season,
    kendall_scores,
    seasons_differ_p,
    standard_score,
)


@st.composite
def gappy_series(draw, series=2):
    """Few whole values, so that ties are common, and gaps."""
    shape = (series, draw(st.integers(2, 9)), draw(st.integers(1, 4)))
    values = draw(arrays(np.float64, shape, elements=st.integers(-9, 9).map(float)))
    return np.where(
        draw(arrays(np.bool_, shape, elements=st.sampled_from([True, False, False]))), np.nan, values
    )


def definition(values):
    """S and its variance as Hirsch & Slack 1984 print them, with ranks, one pair after another."""
    years, seasons = values.shape
    pairs = list(itertools.combinations(range(years), 2))
    ranks = np.empty_like(values)
    for g in range(seasons):
        column = values[:, g]
        known = ~np.isnan(column)
        for i in range(years):
            lower, same = (column[known] < column[i]).sum(), (column[known] == column[i]).sum()
            ranks[i, g] = lower + (same + 1) / 2 if known[i] else (known.sum() + 1) / 2
    signs = np.nan_to_num([np.sign(values[j] - values[i]) for i, j in pairs])
    n = (~np.isnan(values)).sum(axis=0)
    variance = 0.0
    for g, h in itertools.product(range(seasons), repeat=2):
        k = (signs[:, g] * signs[:, h]).sum()
        variance += (k + 4 * (ranks[:, g] * ranks[:, h]).sum() - years * (n[g] + 1) * (n[h] + 1)) / 3
    return signs.sum(), variance


def tie_variance(column):
    """The variance of one season with the correction for ties, Hirsch, Slack & Smith 1982, equation 6."""
    known = column[~np.isnan(column)]
    n, ties = len(known), np.unique(known, return_counts=True)[1]
    return (n * (n - 1) * (2 * n + 5) - (ties * (ties - 1) * (2 * ties + 5)).sum()) / 18


@given(gappy_series())
@settings(deadline=None)
def test_kendall_scores_equal_the_printed_definition(values):
    scores = kendall_scores(values)
    for number, series in enumerate(values):
        statistic, variance = definition(series)
        assert scores.statistic_s[number] == statistic
        assert scores.variance[number] == pytest.approx(variance, abs=1e-6)


@given(gappy_series())
@settings(deadline=None)
def test_kendall_by_season_has_the_variance_corrected_for_ties(values):
    scores = kendall_by_season(values)
    for number, season in np.ndindex(values.shape[0], values.shape[2]):
        expected = tie_variance(values[number, :, season])
        assert scores.variance[number, season] == pytest.approx(expected, abs=1e-6)


@given(gappy_series())
def test_reversing_the_years_flips_s_and_keeps_the_variance(values):
    forward, backward = kendall_scores(values), kendall_scores(values[:, ::-1])
    assert (backward.statistic_s == -forward.statistic_s).all()
    assert backward.variance == pytest.approx(forward.variance)


@given(gappy_series(), st.sampled_from([lambda x: x**3, np.exp, lambda x: np.log(x + 100), lambda x: 7 * x]))
def test_a_rising_transform_changes_nothing(values, transform):
    plain, transformed = kendall_scores(values), kendall_scores(transform(values))
    assert (transformed.statistic_s == plain.statistic_s).all()
    assert (transformed.variance == plain.variance).all()


@given(gappy_series(), st.integers(-1000, 1000))
def test_a_constant_added_to_a_season_changes_nothing(values, constant):
    shifted = values + np.arange(values.shape[2]) * float(constant)
    plain, moved = kendall_scores(values), kendall_scores(shifted)
    assert (moved.statistic_s == plain.statistic_s).all()
    assert (moved.variance == plain.variance).all()


@given(gappy_series(series=4), st.permutations(range(4)))
def test_series_do_not_depend_on_their_neighbours(values, order):
    scores, moved = kendall_scores(values), kendall_scores(values[list(order)])
    assert (moved.statistic_s == scores.statistic_s[list(order)]).all()
    assert (moved.variance == scores.variance[list(order)]).all()


def test_many_seasons_and_years_do_not_overflow():
    years, seasons = 181, 200
    rising = np.arange(float(years))[None, :, None] + np.zeros((1, 1, seasons))
    scores = kendall_scores(rising)
    pairs = years * (years - 1) // 2
    assert scores.statistic_s[0] == pairs * seasons
    assert scores.variance[0] == pytest.approx(seasons**2 * years * (years - 1) * (2 * years + 5) / 18)


@given(arrays(np.float64, 6, elements=st.floats(-50, 50)), arrays(np.float64, 6, elements=st.floats(0.1, 90)))
def test_standard_score_is_never_further_from_zero_than_without_correction(statistic, variance):
    z = standard_score(statistic, variance)
    assert (np.abs(z) <= np.abs(statistic) / np.sqrt(variance)).all()
    assert (z * statistic >= 0).all()


def test_standard_score_where_nothing_differs_is_zero():
    assert standard_score([0.0], [0.0]).tolist() == [0.0]


def test_seasons_differ_p_is_the_chi_square_of_the_definition():
    rng = np.random.default_rng(4)
    scores = kendall_by_season(rng.normal(size=(50, 15, 6)))
    z = scores.statistic_s / np.sqrt(scores.variance)
    expected = stats.chi2.sf((z**2).sum(axis=1) - 6 * z.mean(axis=1) ** 2, 5)
    assert seasons_differ_p(scores) == pytest.approx(expected, rel=1e-9)


def test_seasons_differ_p_leaves_out_seasons_without_a_difference():
    two = KendallScores(np.array([[10.0, -10.0]]), np.array([[30.0, 30.0]]))
    three = KendallScores(np.array([[10.0, 0.0, -10.0]]), np.array([[30.0, 0.0, 30.0]]))
    assert seasons_differ_p(three) == pytest.approx(seasons_differ_p(two))


def test_seasons_differ_p_with_one_season_is_nan():
    assert np.isnan(seasons_differ_p(KendallScores(np.array([[10.0]]), np.array([[30.0]])))).all()


def test_seasons_that_oppose_one_another_are_told_from_no_trend():
    year = np.arange(15.0)[None, :, None]
    opposed = year * np.array([1.0, -1.0, 1.0, -1.0])
    assert kendall_scores(opposed).statistic_s.tolist() == [0.0]
    assert seasons_differ_p(kendall_by_season(opposed))[0] < 1e-9
