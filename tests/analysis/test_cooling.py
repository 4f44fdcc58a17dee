"""Newton's law of cooling, melting ice and the pace of life against arithmetic and handbook values."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.cooling import ice_melted_kg, life_pace, temperature_after

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
TEMPERATURES, TIMES = st.floats(-30.0, 60.0), st.floats(0.0, 1000.0)


def rows_of(quantity: str) -> list[tuple[dict[str, float], float, float]]:
    """Return inputs, expected value and tolerance of each published row."""
    rows = PUBLISHED[PUBLISHED["quantity"] == quantity]
    assert len(rows) > 0
    return [
        (
            {name: float(value) for name, value in (pair.split("=") for pair in inputs.split(";"))},
            float(expected),
            float(tolerance),
        )
        for inputs, expected, tolerance in rows[["inputs", "expected", "tolerance"]].itertuples(index=False)
    ]


def test_temperature_agrees_with_the_law_of_newton() -> None:
    for inputs, expected, tolerance in rows_of("temperature after"):
        found = temperature_after(inputs["start"], inputs["around"], inputs["minutes"], inputs["constant"])
        assert float(found) == pytest.approx(expected, abs=tolerance)


def test_ice_melted_agrees_with_the_heat_of_fusion_in_the_crc_handbook() -> None:
    for inputs, expected, tolerance in rows_of("ice melted"):
        assert float(ice_melted_kg(inputs["heat"], inputs["minutes"])) == pytest.approx(
            expected, abs=tolerance
        )


def test_pace_of_life_agrees_with_the_rule_of_van_t_hoff() -> None:
    for inputs, expected, tolerance in rows_of("pace of life"):
        assert float(life_pace(inputs["temperature"], inputs["reference"])) == pytest.approx(
            expected, abs=tolerance
        )


@given(start=TEMPERATURES, around=TEMPERATURES, minutes=TIMES, constant=st.floats(0.5, 500.0))
def test_temperature_stays_between_start_and_surroundings(start, around, minutes, constant) -> None:
    found = float(temperature_after(start, around, minutes, constant))
    assert min(start, around) - 1e-9 <= found <= max(start, around) + 1e-9


@given(start=TEMPERATURES, around=TEMPERATURES, first=TIMES, second=TIMES, constant=st.floats(0.5, 500.0))
def test_two_times_in_one_place_are_as_one_time(start, around, first, second, constant) -> None:
    halfway = temperature_after(start, around, first, constant)
    found = float(temperature_after(halfway, around, second, constant))
    assert found == pytest.approx(float(temperature_after(start, around, first + second, constant)), abs=1e-9)
