"""Carlson's indices and the one for nitrogen against their published values."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.indices import (
    tsi_from_chlorophyll_a,
    tsi_from_secchi,
    tsi_from_total_nitrogen,
    tsi_from_total_phosphorus,
)

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "trophic_equations.csv", dtype=str)

Index = Callable[[pd.Series], pd.Series]
INDICES: dict[str, Index] = {
    "TSI(SD)": tsi_from_secchi,
    "TSI(CHL)": tsi_from_chlorophyll_a,
    "TSI(TP)": tsi_from_total_phosphorus,
    "TSI(TN)": tsi_from_total_nitrogen,
    "Carlson completed table SD->TSI": tsi_from_secchi,
    "Carlson completed table CHL->TSI": tsi_from_chlorophyll_a,
    "Carlson completed table TP->TSI": tsi_from_total_phosphorus,
}


def check_rows(quantity: str, index: Index) -> None:
    rows = PUBLISHED[PUBLISHED["quantity"] == quantity]
    assert len(rows) > 0
    found = index(rows["input_value"].astype(float))
    off = (found - rows["expected"].astype(float)).abs()
    assert (off <= rows["tolerance"].astype(float)).all(), rows.assign(found=found)[
        ["id", "expected", "found"]
    ]


@pytest.mark.parametrize("quantity", ["TSI(SD)", "TSI(CHL)", "TSI(TP)"])
def test_tsi_agrees_with_the_equations_of_carlson_1977(quantity: str) -> None:
    check_rows(quantity, INDICES[quantity])


@pytest.mark.parametrize("quantity", [name for name in INDICES if name.startswith("Carlson")])
def test_tsi_agrees_with_the_completed_table_of_carlson_1977(quantity: str) -> None:
    check_rows(quantity, INDICES[quantity])


def test_tsi_from_total_nitrogen_agrees_with_kratzer_and_brezonik_1981() -> None:
    check_rows("TSI(TN)", tsi_from_total_nitrogen)


def test_tsi_at_the_printed_chlorophyll_of_6_4_is_not_the_50_beside_it() -> None:
    at_printed, at_corrected = tsi_from_chlorophyll_a(pd.Series([6.4, 7.3]))
    assert at_printed < 49.0
    assert at_corrected == pytest.approx(50.0, abs=0.2)


@pytest.mark.parametrize(("index", "units"), [(tsi_from_secchi, -9.988), (tsi_from_chlorophyll_a, 6.8)])
def test_tsi_when_the_value_doubles_moves_by_the_rule_of_carlson_and_simpson_1996(
    index: Index, units: float
) -> None:
    found = index(pd.Series([0.7, 1.4, 2.8, 5.6]))
    assert found.diff().dropna().to_numpy() == pytest.approx(np.full(3, units), abs=0.01)


def test_tsi_takes_the_natural_logarithm_and_not_the_decimal_one() -> None:
    # a decimal logarithm circulates in published code: it would give 51.3 and 55.7
    assert tsi_from_total_phosphorus(pd.Series([24.0]))[0] == pytest.approx(50.0, abs=0.05)
    assert tsi_from_secchi(pd.Series([2.0]))[0] == pytest.approx(50.0, abs=0.05)


def test_tsi_from_total_nitrogen_takes_milligrams_where_phosphorus_takes_micrograms() -> None:
    in_record = pd.Series([735.0])  # µg/L
    assert tsi_from_total_nitrogen(in_record / 1000)[0] == pytest.approx(50.0, abs=0.05)
    assert tsi_from_total_nitrogen(in_record)[0] > 140.0  # what the wrong unit would give


def test_tsi_of_one_lake_differs_between_its_quantities() -> None:
    # inputs of row TE023; the three stand side by side, no mean is offered
    values = [
        tsi_from_secchi(pd.Series([5.0]))[0],
        tsi_from_chlorophyll_a(pd.Series([4.0]))[0],
        tsi_from_total_phosphorus(pd.Series([10.0]))[0],
    ]
    assert values == pytest.approx([36.8, 44.2, 37.35], abs=0.06)


@pytest.mark.parametrize("index", list(INDICES.values())[:4])
@pytest.mark.parametrize("value", [0.0, -1.5])
def test_tsi_of_a_value_that_is_not_above_zero_is_refused_with_its_place(index: Index, value: float) -> None:
    values = pd.Series([2.0, value, value, np.nan], index=["A1", "A2", "A3", "A4"])
    with pytest.raises(ValueError, match=rf"found {value:g} .* at A2 \(2 in all\)"):
        index(values)


@pytest.mark.parametrize("index", list(INDICES.values())[:4])
def test_tsi_of_a_missing_value_is_missing_and_keeps_its_place(index: Index) -> None:
    values = pd.Series([np.nan, 1.0], index=["A1", "A2"])
    found = index(values)
    assert np.isnan(found["A1"])
    assert found.index.equals(values.index)
    assert values.isna().sum() == 1


@given(st.floats(0.1, 30), st.floats(0, 30))
def test_tsi_of_a_disk_on_the_bottom_is_the_highest_it_can_be(bottom_m: float, further_m: float) -> None:
    # row SE020 of the rules for Secchi readings: the depth is a lower bound, the index an upper one
    on_bottom, true = tsi_from_secchi(pd.Series([bottom_m, bottom_m + further_m]))
    assert true <= on_bottom
