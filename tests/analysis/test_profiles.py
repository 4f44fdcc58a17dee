"""Depth profiles: days, values by depth, thermocline, and the depth where oxygen falls below a mark."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.oxygen import oxygen_saturation
from explorer.analysis.profiles import (
    FEWEST_DEPTHS,
    first_depth_below,
    profile_days,
    profile_values,
    thermocline,
)
from explorer.model.readings import READINGS

NAN = float("nan")
PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "dissolved_oxygen.csv")


def readings(rows: list[tuple[str, float, float]], **same: object) -> pd.DataFrame:
    """Return a visit's readings from quantity, depth and value."""
    frame = pd.DataFrame(rows, columns=["quantity", "depth_m", "value"])
    usual = {
        "visit_id": 1, "taken_on": pd.Timestamp("2024-07-12"), "stratum": "profile", "sign": "=",
        "status": "accepted", "sample_type": "routine",
    }  # fmt: skip
    frame = frame.assign(**usual | same)
    for name, kind in READINGS.items():
        if name not in frame:
            frame[name] = "" if kind == "str" else 0
    return frame


def test_saturation_that_was_not_read_is_that_of_benson_and_krause() -> None:
    """USGS Technical Memorandum 2011.03 and Standard Methods 4500-O, as in tests/published."""
    at_sea = PUBLISHED[(PUBLISHED["pressure_atm"] == 1) & (PUBLISHED["salinity"] == 0)].head(30)
    rows = []
    for depth, (temperature, solubility) in enumerate(
        zip(at_sea["temperature_C"], at_sea["expected"], strict=True), 1
    ):
        rows += [("water_temperature", depth, temperature), ("dissolved_oxygen", depth, solubility)]
    values = profile_values(readings(rows), altitude_m=0.0)
    assert values["saturation_computed"].all()
    assert values["oxygen_saturation"].to_numpy() == pytest.approx(100, abs=0.02)  # printed digits


def test_saturation_that_was_read_stays_as_read() -> None:
    rows = [(code, 1.0, 9.0) for code in ("water_temperature", "dissolved_oxygen", "oxygen_saturation")]
    values = profile_values(readings([*rows, ("dissolved_oxygen", 2.0, 8.0)]), altitude_m=300.0)
    assert values["oxygen_saturation"].tolist()[0] == 9.0
    assert not values["saturation_computed"].any()


def test_saturation_without_an_altitude_is_not_computed() -> None:
    rows = [("water_temperature", 1.0, 9.0), ("dissolved_oxygen", 1.0, 9.0)]
    assert profile_values(readings(rows), altitude_m=NAN)["oxygen_saturation"].isna().all()


def test_saturation_follows_the_altitude_of_the_water() -> None:
    rows = [("water_temperature", 1.0, 20.0), ("dissolved_oxygen", 1.0, 8.0)]
    found = profile_values(readings(rows), altitude_m=500.0)["oxygen_saturation"].iloc[0]
    expected = oxygen_saturation(pd.Series([8.0]), pd.Series([20.0]), altitude_m=500.0).iloc[0]
    assert found == expected
    assert found > 92  # 8.0 of 9.09 mg/L is 88 % at sea level


def test_held_reading_and_surface_sample_are_no_part_of_a_profile() -> None:
    frame = pd.concat(
        [
            readings([("ph", 1.0, 7.0), ("ph", 2.0, 7.1)]),
            readings([("ph", 3.0, 9.9)], status="held"),
            readings([("ph", 0.0, 8.0)], stratum="surface"),
        ],
        ignore_index=True,
    )
    assert profile_values(frame, 0.0).index.tolist() == [1.0, 2.0]


def test_reading_below_a_limit_has_no_value_but_its_limit() -> None:
    frame = readings([("dissolved_oxygen", 1.0, 8.0), ("dissolved_oxygen", 9.0, 0.2)])
    frame["sign"] = ["=", "<"]
    values = profile_values(frame, 0.0)
    assert np.isnan(values["dissolved_oxygen"].loc[9.0])
    assert values["dissolved_oxygen_limit"].tolist()[1] == 0.2


def test_day_with_one_depth_is_no_profile() -> None:
    one = readings([("ph", 1.0, 7.0)], visit_id=1)
    two = readings([("ph", 1.0, 7.0), ("ph", 4.0, 6.9)], visit_id=2, taken_on=pd.Timestamp("2024-06-01"))
    three = readings([("ph", 1.0, 7.0), ("ph", 6.0, 6.9)], visit_id=3, taken_on=pd.Timestamp("2024-05-01"))
    days = profile_days(pd.concat([one, two, three], ignore_index=True))
    assert days["visit_id"].tolist() == [3, 2]
    assert days["deepest_m"].tolist() == [6.0, 4.0]


def test_thermocline_takes_the_steepest_step_and_the_uppermost_of_equals() -> None:
    found = thermocline([0, 2, 4, 6, 8], [20, 18, 14, 10, 9], 1.0)
    assert (found.top_m, found.bottom_m, found.depth_m, found.gradient_degc_per_m) == (2, 4, 3, 2)


@pytest.mark.parametrize(
    ("temperature", "verdict"),
    [
        ([8.0, 8.0, 8.0, 7.9], "mixed"),
        ([0.2, 2.9, 3.8, 4.0], "colder_above"),
        ([20.0, NAN, NAN, 5.0], "too_few"),
        ([20.0, 19.0, 10.0, 9.0], "found"),
    ],
)
def test_thermocline_verdict(temperature: list[float], verdict: str) -> None:
    assert thermocline([0.5, 2, 4, 6], temperature, 1.0).verdict == verdict


DEPTHS = st.lists(st.integers(0, 400), min_size=3, max_size=20, unique=True).map(
    lambda tenths: [tenth / 10 for tenth in sorted(tenths)]
)


@given(DEPTHS, st.data())
def test_thermocline_lies_where_no_other_step_is_steeper(depths: list[float], data: st.DataObject) -> None:
    reading = st.floats(0, 30).map(lambda value: round(value, 1))
    temperature = data.draw(st.lists(reading, min_size=len(depths), max_size=len(depths)))
    found = thermocline(depths, temperature, 1.0)
    steps = -np.diff(temperature) / np.diff(depths)
    assert len(depths) >= FEWEST_DEPTHS
    assert found.gradient_degc_per_m == steps.max()
    if found.verdict == "found":
        assert found.top_m < found.depth_m < found.bottom_m
        assert found.gradient_degc_per_m >= 1.0
    else:
        assert steps.max() < 1.0


def test_oxygen_falls_below_between_two_readings_by_a_straight_line() -> None:
    found = first_depth_below([1, 3, 5], [8.0, 4.0, 0.0], [NAN] * 3, 2.0)
    assert (found.verdict, found.depth_m) == ("found", 4.0)


def test_oxygen_below_a_limit_gives_the_two_depths_only() -> None:
    found = first_depth_below([1, 3, 5], [8.0, 4.0, NAN], [NAN, NAN, 0.2], 2.0)
    assert found.verdict == "found"
    assert (found.top_m, found.bottom_m) == (3, 5)
    assert np.isnan(found.depth_m)


def test_limit_above_the_mark_tells_nothing() -> None:
    assert first_depth_below([1, 3], [8.0, NAN], [NAN, 5.0], 2.0).verdict == "not_reached"


@pytest.mark.parametrize(
    ("oxygen", "verdict"),
    [([1.0, 0.5], "from_the_top"), ([8.0, 7.0], "not_reached"), ([NAN, NAN], "not_read")],
)
def test_oxygen_verdict(oxygen: list[float], verdict: str) -> None:
    assert first_depth_below([1, 3], oxygen, [NAN, NAN], 2.0).verdict == verdict


@given(DEPTHS, st.floats(0.5, 9), st.data())
def test_oxygen_depth_lies_between_its_readings(
    depths: list[float], mark: float, data: st.DataObject
) -> None:
    count = len(depths)
    oxygen = data.draw(st.lists(st.floats(0, 14), min_size=count, max_size=count))
    found = first_depth_below(depths, oxygen, [NAN] * count, mark)
    above = [depth for depth, value in zip(depths, oxygen, strict=True) if value < mark]
    assert (found.verdict in ("found", "from_the_top")) == bool(above)
    if found.verdict == "found":
        assert found.top_m - 1e-6 <= found.depth_m <= found.bottom_m == above[0]
