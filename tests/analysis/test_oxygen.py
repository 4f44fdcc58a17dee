"""Oxygen solubility against the published equation, two printed tables and a general-purpose library."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.oxygen import (
    STANDARD_PRESSURE_HPA,
    oxygen_saturation,
    oxygen_solubility,
    standard_pressure,
)

PUBLISHED = pd.read_csv(
    Path(__file__).parents[1] / "published" / "dissolved_oxygen.csv", dtype=str, keep_default_na=False
)


def rows(starting: str) -> pd.DataFrame:
    chosen = PUBLISHED[PUBLISHED["quantity"].str.startswith(starting)]
    assert len(chosen) > 0, starting
    return chosen


def numbers(chosen: pd.DataFrame, name: str) -> pd.Series:
    return chosen[name].replace("", "nan").astype(float)


def check(chosen: pd.DataFrame, found: pd.Series) -> None:
    off = (found - numbers(chosen, "expected")).abs()
    assert (off <= numbers(chosen, "tolerance")).all(), chosen.assign(found=found)[
        ["id", "expected", "found"]
    ]


def solubility(chosen: pd.DataFrame) -> pd.Series:
    return oxygen_solubility(
        numbers(chosen, "temperature_C"),
        pressure_hpa=numbers(chosen, "pressure_atm") * STANDARD_PRESSURE_HPA,
        salinity=numbers(chosen, "salinity").fillna(0.0),
    )


@pytest.mark.parametrize(
    "quantity",
    [
        "DO saturation, fresh water, 1 atm",
        "DO saturation with pressure correction",
        "DO saturation with salinity",
    ],
)
def test_oxygen_solubility_agrees_with_benson_and_krause_1984(quantity: str) -> None:
    chosen = rows(quantity)
    check(chosen, solubility(chosen))


def test_oxygen_solubility_agrees_with_the_printed_table_of_standard_methods_4500() -> None:
    chosen = rows("DO saturation, printed handbook table")  # the table's numbers are from memory
    check(chosen, solubility(chosen))


def test_oxygen_solubility_agrees_with_the_table_of_en_25814() -> None:
    chosen = rows("DO saturation, standard table")
    check(chosen, solubility(chosen))


def test_oxygen_solubility_agrees_with_the_gibbs_seawater_library() -> None:
    chosen = rows("DO saturation from gsw")
    near = chosen.assign(tolerance="0.0015")  # the two fits of one equation differ by so much, as noted there
    check(near, solubility(near))


def test_oxygen_solubility_falls_with_salt_near_the_table_of_en_25814() -> None:
    chosen = rows("salinity correction K")
    fresh = solubility(chosen.assign(salinity="0"))
    drop = fresh - solubility(chosen)
    stated = chosen["note"].str.extract(r"drop for S=1: ([\d.]+)")[0].astype(float)
    assert (drop - stated).abs().max() < 1e-4
    # The standard counts grams of salt a kilogram, the equation practical salinity: near, not the same.
    assert (drop / numbers(chosen, "expected")).between(1.0, 1.2).all()


def test_standard_pressure_agrees_with_iso_2533() -> None:
    chosen = rows("standard-atmosphere pressure")
    check(chosen, pd.Series(standard_pressure(numbers(chosen, "altitude_m"))))


def test_oxygen_solubility_at_altitude_agrees_with_the_published_memorandum() -> None:
    chosen = rows("DO saturation at altitude")
    found = oxygen_solubility(numbers(chosen, "temperature_C"), altitude_m=numbers(chosen, "altitude_m"))
    check(chosen, found)


def test_oxygen_saturation_agrees_with_published_shares() -> None:
    chosen = rows("DO percent saturation")
    reading = chosen["note"].str.extract(r"input DO ([\d.]+) mg/L")[0].astype(float)
    found = oxygen_saturation(
        reading,
        numbers(chosen, "temperature_C"),
        pressure_hpa=numbers(chosen, "pressure_atm") * STANDARD_PRESSURE_HPA,
    )
    check(chosen, found)


def test_oxygen_solubility_is_not_the_old_table_that_circulates() -> None:
    trap = rows("TRAP")
    assert abs(solubility(trap).iloc[0] - float(trap["expected"].iloc[0])) > 0.1


def test_oxygen_under_pressure_is_not_a_plain_ratio_of_pressures() -> None:
    warm = pd.Series([20.0])
    at_sea, high = (oxygen_solubility(warm, pressure_hpa=each).iloc[0] for each in (1013.25, 709.275))
    assert high < 0.7 * at_sea - 0.05


def test_oxygen_with_pressure_and_altitude_is_refused_and_so_is_neither() -> None:
    warm = pd.Series([20.0])
    for given_ in ({"pressure_hpa": 1013.0, "altitude_m": 300.0}, {}):
        with pytest.raises(ValueError, match="one of the two"):
            oxygen_solubility(warm, **given_)


@pytest.mark.parametrize("pressure", [1.0, 101.3, 760.0 * 2, 101325.0])
def test_oxygen_with_a_pressure_in_another_unit_is_refused(pressure: float) -> None:
    with pytest.raises(ValueError, match="Give it in hPa"):
        oxygen_solubility(pd.Series([20.0]), pressure_hpa=pressure)


@given(st.floats(0, 40), st.floats(0, 40), st.floats(0, 4000))
def test_warmer_or_higher_water_never_holds_more_oxygen(
    first: float, second: float, altitude_m: float
) -> None:
    cold, warm = sorted((first, second))
    temperatures = pd.Series([cold, warm])
    low, high = (
        oxygen_solubility(temperatures, altitude_m=0.0),
        oxygen_solubility(temperatures, altitude_m=altitude_m),
    )
    assert low.iloc[1] <= low.iloc[0]
    assert (high <= low + 1e-12).all()


@given(st.floats(0, 40), st.floats(0, 4000))
def test_water_in_balance_is_saturated_to_a_hundred_percent(temperature: float, altitude_m: float) -> None:
    warm = pd.Series([temperature, np.nan], index=["A1", "A2"])
    full = oxygen_saturation(oxygen_solubility(warm, altitude_m=altitude_m), warm, altitude_m=altitude_m)
    assert full["A1"] == pytest.approx(100.0)
    assert np.isnan(full["A2"])
