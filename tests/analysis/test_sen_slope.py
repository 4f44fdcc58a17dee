import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.analysis.seasonal_kendall import kendall_scores, standard_score
from explorer.analysis.sen_slope import sen_slopes, within_season_slopes


@st.composite
def gappy_series(draw):
    shape = (2, draw(st.integers(2, 9)), draw(st.integers(1, 3)))
    values = draw(arrays(np.float64, shape, elements=st.integers(-9, 9).map(float)))
    return np.where(
        draw(arrays(np.bool_, shape, elements=st.sampled_from([True, False, False]))), np.nan, values
    )


def found(values, times=None):
    return sen_slopes(values, kendall_scores(values).variance, times)


@given(gappy_series())
def test_slopes_are_those_of_every_pair_within_a_season(values):
    slopes, pairs = within_season_slopes(values)
    for number, series in enumerate(values):
        every = [
            (later - earlier) / (j - i)
            for column in series.T
            for (i, earlier), (j, later) in itertools.combinations(enumerate(column), 2)
            if not np.isnan(later - earlier)
        ]
        assert pairs[number] == len(every)
        made = slopes[number][~np.isnan(slopes[number])]
        assert sorted(made) == pytest.approx(sorted(every))


@given(gappy_series())
def test_reversing_the_years_flips_slope_and_limits(values):
    forward, backward = found(values), found(values[:, ::-1])
    assert backward.slope == pytest.approx(-forward.slope, nan_ok=True)
    assert backward.low == pytest.approx(-forward.high, nan_ok=True)
    assert backward.high == pytest.approx(-forward.low, nan_ok=True)


@given(gappy_series(), st.integers(-1000, 1000))
def test_a_constant_added_to_a_season_keeps_the_slope(values, constant):
    moved = found(values + np.arange(values.shape[2]) * float(constant))
    np.testing.assert_array_equal(moved.slope, found(values).slope)


@given(gappy_series(), st.sampled_from([0.5, 3.28, 1000.0]))
def test_a_change_of_unit_scales_slope_and_limits(values, factor):
    plain, scaled = found(values), found(values * factor)
    for name in ("slope", "low", "high"):
        assert getattr(scaled, name) == pytest.approx(getattr(plain, name) * factor, nan_ok=True)


@given(gappy_series(), st.integers(-5, 5))
def test_a_slope_laid_over_is_added(values, steepness):
    laid = found(values + steepness * np.arange(values.shape[1])[:, None])
    assert laid.slope == pytest.approx(found(values).slope + steepness, nan_ok=True)


@given(gappy_series())
def test_limits_enclose_the_slope(values):
    slopes = found(values)
    known = ~np.isnan(slopes.low) & ~np.isnan(slopes.high)
    assert (slopes.low[known] <= slopes.slope[known] + 1e-12).all()
    assert (slopes.slope[known] <= slopes.high[known] + 1e-12).all()


@given(gappy_series())
def test_limits_beyond_zero_mean_a_test_that_finds_it(values):
    scores, slopes = kendall_scores(values), found(values)
    uncorrected = scores.statistic_s / np.sqrt(np.where(scores.variance > 0, scores.variance, 1))
    beyond = slopes.low > 0
    assert (uncorrected[beyond] > 1.6448).all()
    assert (np.abs(standard_score(scores.statistic_s, scores.variance)) <= np.abs(uncorrected)).all()


def test_years_left_out_count_in_the_slope():
    assert found([[[0.0], [1.0], [7.0]]], [2001, 2002, 2008]).slope.tolist() == [1.0]


def test_a_series_without_a_pair_has_no_slope():
    slopes = found([[[1.0], [np.nan]], [[np.nan], [np.nan]]])
    assert np.isnan(slopes.slope).all()
    assert slopes.pairs.tolist() == [0, 0]


def test_too_few_pairs_have_a_slope_without_limits():
    slopes = found([[[1.0], [2.0]]])
    assert slopes.slope.tolist() == [1.0]
    assert np.isnan([slopes.low[0], slopes.high[0]]).all()


@pytest.mark.parametrize("confidence", [0.0, 1.0, 90.0])
def test_a_confidence_that_is_none_is_refused(confidence):
    with pytest.raises(ValueError, match="between 0 and 1"):
        sen_slopes([[[1.0], [2.0]]], [1.0], confidence=confidence)
