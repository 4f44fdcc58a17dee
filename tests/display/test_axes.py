from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from explorer.display.axes import LEAST_TICK_DISTANCE, LIMITS_UP_TO, build_axis, round_ticks, year_ticks

VALUES = st.lists(st.floats(0.01, 1e4), min_size=1, max_size=30)
LIMITS = st.sampled_from([[], [2.6, 7.3, 56.0], [4.0, 2.0, 0.5]])


@given(VALUES, LIMITS, st.booleans(), st.booleans())
def test_axis_holds_every_value_and_the_limits_about_them(values, limits, log, downward):
    axis = build_axis(values, limits, log=log, downward=downward, decimals=1)
    near = [limit for limit in limits if log or limit <= LIMITS_UP_TO * max(values)]
    assert axis.low <= min([*values, *near])
    assert axis.high >= max([*values, *near])


@given(VALUES, st.booleans(), st.booleans())
def test_axis_value_at_a_place_is_the_value_placed_there(values, log, downward):
    axis = build_axis(values, [], log=log, downward=downward, decimals=1)
    back = [axis.value_at(float(place)) for place in axis.place(values)]
    assert np.allclose(back, values, rtol=1e-6, atol=1e-9)


@given(VALUES, LIMITS, st.booleans())
def test_axis_labels_never_touch(values, limits, log):
    axis = build_axis(values, limits, log=log, downward=False, decimals=1)
    places = sorted(place for place, _ in axis.ticks)
    assert all(b - a >= LEAST_TICK_DISTANCE - 1e-9 for a, b in pairwise(places))


def test_limits_far_beyond_the_readings_do_not_squeeze_them():
    assert build_axis([1.0, 6.0], [25.0, 7.0, 2.8], log=False, downward=True, decimals=1).high < 8.0
    assert build_axis([], [25.0, 7.0, 2.8], log=False, downward=True, decimals=1).high > 25.0


def test_axis_of_a_depth_runs_down_from_the_surface():
    axis = build_axis([1.0, 5.0], [4.0, 2.0, 0.5], log=False, downward=True, decimals=1)
    assert axis.place([0.0])[0] == 1.0
    assert axis.place([1.0])[0] > axis.place([5.0])[0]


def test_axis_without_any_value_is_drawn_all_the_same():
    axis = build_axis([np.nan], [], log=True, downward=False, decimals=0)
    assert axis.low < axis.high


@given(st.floats(0.001, 1e5), st.floats(1.05, 1e6), st.booleans())
def test_round_ticks_lie_between_the_ends(low, ratio, log):
    ticks = round_ticks(low, low * ratio, log=log)
    assert all(low - 1e-9 <= tick <= low * ratio * (1 + 1e-9) for tick in ticks)


@given(st.integers(1850, 2100), st.integers(0, 150))
def test_year_ticks_are_few_and_shown_years(first, more):
    ticks = year_ticks(first, first + more)
    assert len(ticks) <= 8
    assert all(first <= year <= first + more for year in ticks)
