import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.model.errors import UnknownNameError
from explorer.model.units import UNITS, convert, find_unit

LENGTHS = ("m", "cm", "ft", "in")


@given(st.floats(0, 1e4), st.sampled_from(LENGTHS), st.sampled_from(LENGTHS))
def test_convert_there_and_back_gives_the_same_number(value, first, second):
    assert convert(convert(value, first, second), second, first) == pytest.approx(value, rel=1e-12)


def test_convert_keeps_what_is_missing():
    assert np.isnan(convert([np.nan], "ft", "m")).all()


def test_convert_between_dimensions_is_refused():
    with pytest.raises(ValueError, match=r"m measures length and µg/L concentration"):
        convert(1.0, "m", "ug/l")


@pytest.mark.parametrize(
    ("written", "name"),
    [("ug/l", "µg/L"), ("μg/L", "µg/L"), ("MG/L", "mg/L"), (" Feet ", "ft"), ("mg/m3", "µg/L")],
)
def test_find_unit_in_another_spelling_finds_it(written, name):
    assert find_unit(written).name == name


def test_find_unit_that_nobody_knows_names_the_nearest():
    with pytest.raises(UnknownNameError, match=r'No unit "mg/Ll" among the units. Did you mean "mg/L"'):
        find_unit("mg/Ll")


def test_every_unit_is_found_by_its_own_name():
    assert all(find_unit(name).name == name for name in UNITS)


def test_temperature_in_fahrenheit_is_shifted_and_scaled():
    # Freezing and boiling points of water, 32 and 212 °F: definition of the scale.
    assert convert([32.0, 212.0], "°F", "°C").round(9).tolist() == [0.0, 100.0]
