import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.analysis.recensored import recensored
from explorer.analysis.seasonal_kendall import kendall_scores


@st.composite
def censored_series(draw):
    shape = (2, draw(st.integers(2, 7)), draw(st.integers(1, 3)))
    values = draw(arrays(np.float64, shape, elements=st.integers(1, 9).map(float)))
    signs = draw(arrays("<U1", shape, elements=st.sampled_from(["=", "=", "<"])))
    gaps = draw(arrays(np.bool_, shape, elements=st.sampled_from([True, False, False, False])))
    return np.where(gaps, np.nan, values), signs


def order(first, first_sign, second, second_sign, limit):
    """Return how two readings of a series compare once all is held to its highest limit."""
    low = (first_sign == "<" or first < limit, second_sign == "<" or second < limit)
    if any(low):
        return int(low[0]) - int(low[1])
    return int(np.sign(second - first))


@given(censored_series())
def test_recensored_order_is_that_of_readings_held_to_the_highest_limit(made):
    values, signs = made
    held = recensored(values, signs)
    for number in range(len(values)):
        known = np.argwhere(~np.isnan(values[number]))
        under = [values[number][tuple(at)] for at in known if signs[number][tuple(at)] == "<"]
        limit = max(under, default=-np.inf)
        assert held.below[number] == limit
        for one in map(tuple, known):
            for other in map(tuple, known):
                expected = order(
                    values[number][one],
                    signs[number][one],
                    values[number][other],
                    signs[number][other],
                    limit,
                )
                assert np.sign(held.numbers[number][other] - held.numbers[number][one]) == expected


@given(censored_series(), st.floats(0.01, 1.0))
def test_whatever_lies_under_the_highest_limit_makes_no_difference(made, share):
    values, signs = made
    limit = recensored(values, signs).below[:, None, None]
    lower = np.where((values < limit) & (signs == "="), values * share, values)
    assert np.array_equal(recensored(lower, signs).numbers, recensored(values, signs).numbers, equal_nan=True)


@given(censored_series())
def test_greater_than_mirrors_less_than(made):
    """A ">" on negated values is a "<" on the values: the same ties, the order turned round."""
    values, signs = made
    below = kendall_scores(recensored(values, signs).numbers)
    above = recensored(-values, np.where(signs == "<", ">", signs))
    mirrored = kendall_scores(above.numbers)
    assert (mirrored.statistic_s == -below.statistic_s).all()
    assert (mirrored.variance == below.variance).all()
    assert np.array_equal(above.censored_share, recensored(values, signs).censored_share, equal_nan=True)


def test_a_disk_on_the_bottom_is_deeper_than_the_same_depth_read():
    held = recensored([[[2.0], [2.0], [3.5]]], [[["="], [">"], ["="]]])
    first, second, third = held.numbers[0, :, 0]
    assert first == 2.0
    assert second == third > 2.0
    assert held.censored_share[0] == pytest.approx(2 / 3)


def test_limits_that_cross_leave_one_tie():
    held = recensored([[[5.0], [3.0], [4.0], [np.nan]]], [[["<"], [">"], ["="], ["="]]])
    assert len(set(held.numbers[0, :3, 0])) == 1
    assert held.censored_share.tolist() == [1.0]
    assert np.isnan(held.numbers[0, 3, 0])


def test_a_limit_beside_no_value_is_no_limit():
    held = recensored([[[np.nan], [2.0]]], [[["<"], ["="]]])
    assert held.below.tolist() == [-np.inf]
    assert held.censored_share.tolist() == [0.0]


def test_a_series_without_values_has_no_share():
    assert np.isnan(recensored([[[np.nan]]]).censored_share).all()
    assert np.isnan(recensored([[[np.nan]]], [[["<"]]]).censored_share).all()


def test_recensored_leaves_its_arguments_alone():
    values, signs = np.array([[[5.0], [3.0]]]), np.array([[["<"], ["="]]])
    recensored(values, signs)
    assert values.ravel().tolist() == [5.0, 3.0]
