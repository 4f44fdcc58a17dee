import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.analysis.order_statistics import at_ranks, row_medians

CELLS = st.one_of(st.just(np.nan), st.integers(-5, 5).map(float), st.floats(-1e6, 1e6))
ROWS = st.tuples(st.integers(1, 4), st.integers(0, 9)).flatmap(
    lambda shape: arrays(np.float64, shape, elements=CELLS)
)


@given(ROWS, st.lists(st.floats(-1.0, 11.0), min_size=1, max_size=4))
def test_values_at_ranks_are_those_of_the_sorted_row(rows, ranks):
    count = (~np.isnan(rows)).sum(axis=1)
    asked = np.repeat(np.array(ranks)[:, None], len(rows), axis=1)
    found = at_ranks(rows.copy(), asked, count)
    for row, values in enumerate(np.sort(rows, axis=1)):
        known = values[: count[row]]
        for each, rank in enumerate(ranks):
            if 1.0 <= rank <= len(known):
                expected = np.interp(rank, np.arange(1, len(known) + 1), known)
                assert found[each, row] == pytest.approx(expected, rel=1e-9, abs=1e-9)
            else:
                assert np.isnan(found[each, row])


@given(ROWS)
def test_row_medians_are_those_of_numpy_and_leave_the_rows_as_they_are(rows):
    before = rows.copy()
    expected = [np.median(row[~np.isnan(row)]) if (~np.isnan(row)).any() else np.nan for row in rows]
    np.testing.assert_allclose(row_medians(rows), expected)
    np.testing.assert_array_equal(rows, before)


def test_a_rank_that_is_no_number_has_no_value():
    assert np.isnan(at_ranks(np.array([[1.0, 2.0]]), np.array([[np.nan]]), np.array([2]))).all()
