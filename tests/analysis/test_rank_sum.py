import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from explorer.analysis.rank_sum import rank_sum_p, shift_limits

different = st.lists(st.integers(-999, 999), min_size=2, max_size=16, unique=True)
equal = st.lists(st.integers(0, 4), min_size=2, max_size=16)


def two_samples(values, share):
    cut = min(max(round(share * len(values)), 1), len(values) - 1)
    return np.array(values[:cut], dtype=float), np.array(values[cut:], dtype=float)


@given(different, st.floats(0, 1))
def test_rank_sum_p_without_ties_is_exact(values, share):
    first, second = two_samples(values, share)
    expected = stats.mannwhitneyu(first, second, method="exact").pvalue
    assert rank_sum_p(first, second) == pytest.approx(expected, rel=1e-9)


@given(equal, st.floats(0, 1))
def test_rank_sum_p_with_ties_is_the_corrected_normal(values, share):
    first, second = two_samples(values, share)
    if len(set(values)) == len(values):
        return
    if len(set(values)) == 1:
        assert rank_sum_p(first, second) == 1.0
        return
    expected = stats.mannwhitneyu(first, second, method="asymptotic").pvalue
    assert rank_sum_p(first, second) == pytest.approx(min(expected, 1.0), rel=1e-9)


@given(different, st.floats(0, 1))
def test_exchanging_the_samples_flips_the_difference(values, share):
    first, second = two_samples(values, share)
    forward, backward = shift_limits(first, second), shift_limits(second, first)
    assert rank_sum_p(first, second) == pytest.approx(rank_sum_p(second, first))
    assert backward == pytest.approx((-forward[0], -forward[2], -forward[1]), nan_ok=True)


@given(different, st.floats(0, 1))
def test_a_shift_within_the_limits_is_not_rejected_at_their_level(values, share):
    first, second = two_samples(values, share)
    _, low, high = shift_limits(first, second)
    if not np.isnan(low) and low < high:
        inside = low + (high - low) * 0.321  # no whole number: no ties
        assert rank_sum_p(first, second - inside) > 0.10 - 1e-9
        assert rank_sum_p(first, second - (high + 0.321)) <= 0.10 + 1e-9
        assert rank_sum_p(first, second - (low - 0.321)) <= 0.10 + 1e-9


def test_limits_hold_their_confidence():
    """Ninety of a hundred, 4000 samples of 5 and 7: at least 0.90 less three standard errors."""
    rng = np.random.default_rng(5)
    inside = 0
    for _ in range(4000):
        _, low, high = shift_limits(rng.normal(size=5), rng.normal(size=7))
        inside += low <= 0.0 <= high
    assert inside / 4000 > 0.90 - 3 * np.sqrt(0.9 * 0.1 / 4000)
