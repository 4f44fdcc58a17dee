import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.multiple_tests import adjusted_p, level_of_next_finding

some_p = st.lists(st.one_of(st.floats(0, 1), st.just(float("nan"))), max_size=30)


def step_up(p, level):
    """Return what the procedure rejects, word for word: up to the largest k with p_(k) <= level k / m."""
    known = sorted(each for each in p if not np.isnan(each))
    limits = [each for k, each in enumerate(known, 1) if each <= level * k / len(known)]
    return [bool(limits) and each <= max(limits) for each in p]


@given(some_p, st.sampled_from([0.01, 0.05, 0.2]))
def test_adjusted_p_rejects_what_the_step_up_procedure_rejects(p, level):
    adjusted = adjusted_p(p)
    near = np.isclose(adjusted, level, rtol=1e-12, atol=0)  # the two divide in a different order
    assert [bool(each) for each in (adjusted <= level)[~near]] == list(np.array(step_up(p, level))[~near])


@given(some_p)
def test_adjusted_p_is_never_smaller_and_keeps_the_order(p):
    raw, adjusted = np.array(p, dtype=float), adjusted_p(p)
    known = ~np.isnan(raw)
    assert (np.isnan(adjusted) == ~known).all()
    assert (adjusted[known] >= raw[known] * (1 - 1e-12)).all()
    assert (np.diff(adjusted[known][np.argsort(raw[known])]) >= 0).all()


@given(some_p, st.randoms())
def test_adjusted_p_does_not_depend_on_the_order_of_stations(p, random):
    order = list(range(len(p)))
    random.shuffle(order)
    moved = adjusted_p([p[place] for place in order])
    assert np.array_equal(moved, adjusted_p(p)[order], equal_nan=True)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=20), st.integers(0, 19))
def test_a_test_at_the_level_of_the_next_finding_becomes_one(p, place):
    place %= len(p)
    adjusted = adjusted_p(p)
    if adjusted[place] > 0.05:
        level = level_of_next_finding(p, 0.05)
        p[place] = level * (1 - 1e-9)
        assert adjusted_p(p)[place] <= 0.05


def test_level_without_a_test_is_the_level_itself():
    assert level_of_next_finding([float("nan")], 0.05) == 0.05
    assert level_of_next_finding([], 0.05) == 0.05


def test_level_where_all_are_findings_is_not_above_it():
    assert level_of_next_finding([0.001, 0.002], 0.05) == pytest.approx(0.05)
