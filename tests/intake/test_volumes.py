import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.volumes import read_volumes


@given(st.lists(st.integers(1, 999), min_size=1, max_size=5), st.sampled_from(["+", " + "]))
def test_what_was_poured_and_topped_up_is_added(parts, mark):
    found = read_volumes([mark.join(map(str, parts))])
    assert (found.total_ml[0], found.parts[0]) == (sum(parts), len(parts))
    assert found.note[0] == ("volume_in_parts" if len(parts) > 1 else "")


@pytest.mark.parametrize(
    ("text", "total"),
    [
        ("500", 500),
        ("500 mL", 500),
        ("0.5 L", 500),
        ("0,1 L", 100),
        ("2 x 250", 500),
        ("3x100 ml", 300),
        ("250 mL + 0.25 L", 500),
        ("1 litre", 1000),
    ],
)
def test_a_volume_is_read_in_its_own_unit(text, total):
    assert read_volumes([text]).total_ml[0] == pytest.approx(total)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("full", "not_a_volume"),
        ("250+", "not_a_volume"),
        ("0 x 250", "not_a_volume"),
        ("0", "volume_zero"),
        ("1,000", "thousands_or_decimals"),
        ("5 m", "not_a_volume"),
        ("-250", "not_a_volume"),
        ("<500", "not_a_volume"),
        ("", ""),
    ],
)
def test_what_is_no_volume_has_no_value_and_its_problem(text, problem):
    found = read_volumes([text])
    assert np.isnan(found.total_ml[0])
    assert found.problem[0] == problem


@given(st.text(max_size=15))
def test_any_text_is_a_volume_or_a_problem_or_empty(text):
    found = read_volumes([text])
    assert np.isnan(found.total_ml[0]) or (found.total_ml[0] > 0 and found.problem[0] == "")
