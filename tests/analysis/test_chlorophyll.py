"""Chlorophyll a and pheophytin a against the worked equations of the procedures, and rules for any input."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.chlorophyll import (
    chlorophyll_from_absorbances,
    chlorophyll_from_fluorescences,
    chlorophyll_uncorrected,
)
from explorer.analysis.extract import Extract, detection_limit_at_volume

PUBLISHED = pd.read_csv(
    Path(__file__).parents[1] / "published" / "chlorophyll.csv", dtype=str, keep_default_na=False
)


def rows(starting: str) -> list[pd.Series]:
    chosen = PUBLISHED[PUBLISHED["quantity"].str.startswith(starting)]
    assert len(chosen) > 0, starting
    return [row for _, row in chosen.iterrows()]


def readings(row: pd.Series) -> dict[str, pd.Series]:
    pairs = (part.split("=") for part in row["inputs"].split(";"))
    return {name.strip(): pd.Series([float(value)]) for name, value in pairs}


def extract(row: pd.Series) -> Extract:
    path = float(row["path_cm"]) if row["path_cm"] else 1.0
    if not row["volume_filtered_mL"]:  # the concentration in the extract itself, in mg/L
        return Extract(1.0, 1000.0, path)
    return Extract(float(row["extract_volume_mL"]), float(row["volume_filtered_mL"]), path)


def check(row: pd.Series, found: float) -> None:
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["id"]


def acidified(row: pd.Series) -> pd.DataFrame:
    read = readings(row)
    return chlorophyll_from_absorbances(
        read["664b"],
        read["665a"],
        extract(row),
        absorbance_750_before=read["750b"],
        absorbance_750_after=read["750a"],
    )


@pytest.mark.parametrize(
    "row", rows("chlorophyll a corrected for pheopigment (monochromatic"), ids=lambda row: row["id"]
)
def test_chlorophyll_from_absorbances_agrees_with_lorenzen_1967(row: pd.Series) -> None:
    check(row, acidified(row)["chlorophyll_a"].iloc[0])


@pytest.mark.parametrize("row", rows("pheopigment (monochromatic"), ids=lambda row: row["id"])
def test_pheophytin_from_absorbances_agrees_with_lorenzen_1967_and_stays_negative(row: pd.Series) -> None:
    check(row, acidified(row)["pheophytin_a"].iloc[0])


@pytest.mark.parametrize("row", rows("ratio 664b/665a"), ids=lambda row: row["id"])
def test_acid_ratio_agrees_with_standard_methods_10200(row: pd.Series) -> None:
    check(row, acidified(row)["acid_ratio"].iloc[0])


def test_acid_ratio_of_pure_and_of_no_chlorophyll_is_the_published_range() -> None:
    high, low = (float(row["expected"]) for row in rows("ratio range"))  # from memory, as the rows say
    pure, none = (
        chlorophyll_from_absorbances(pd.Series([before]), pd.Series([0.1]), Extract(10, 500))
        for before in (0.17, 0.1)
    )
    assert pure["acid_ratio"].iloc[0] == pytest.approx(high)
    assert pure["pheophytin_a"].iloc[0] == pytest.approx(0.0, abs=1e-9)
    assert none["acid_ratio"].iloc[0] == pytest.approx(low)
    assert none["chlorophyll_a"].iloc[0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("row", rows("chlorophyll a in"), ids=lambda row: row["id"])
def test_chlorophyll_uncorrected_agrees_with_jeffrey_and_humphrey_1975(row: pd.Series) -> None:
    read = readings(row)
    found = chlorophyll_uncorrected(
        read["664"], read["647"], read["630"], extract(row), absorbance_750=read["750"]
    )
    check(row, found.iloc[0])


@pytest.mark.parametrize("quantity", ["chlorophyll a corrected (fluorometric", "pheophytin a (fluorometric"])
def test_chlorophyll_from_fluorescences_agrees_with_epa_445(quantity: str) -> None:
    for row in rows(quantity):
        read = readings(row)
        found = chlorophyll_from_fluorescences(
            read["Fb"],
            read["Fa"],
            extract(row),
            acid_ratio=read["r"],
            response_ug_per_l=read["Fs(ug/L per unit)"],
        )
        check(row, found["chlorophyll_a" if quantity.startswith("chl") else "pheophytin_a"].iloc[0])


def test_detection_limit_scales_with_the_volume_filtered_as_published() -> None:
    stated, scaled = rows("detection limit")
    at_200 = Extract(float(stated["extract_volume_mL"]), float(stated["volume_filtered_mL"]))
    at_1000 = Extract(float(scaled["extract_volume_mL"]), float(scaled["volume_filtered_mL"]))
    limit = detection_limit_at_volume(float(stated["expected"]), at_200, at_1000)
    assert limit == pytest.approx(float(scaled["expected"]))


def test_half_the_volume_written_is_twice_the_chlorophyll() -> None:
    (rule,) = rows("volume rule")
    whole, half = (
        chlorophyll_from_absorbances(pd.Series([0.178]), pd.Series([0.106]), Extract(10, volume))
        for volume in (500, 250)
    )
    assert (half / whole)["chlorophyll_a"].iloc[0] == pytest.approx(float(rule["expected"]))


@given(
    before=st.floats(0.01, 2),
    after=st.floats(0.01, 2),
    filtered_ml=st.floats(10, 5000),
    times=st.floats(1, 1000),
)
def test_a_wrong_volume_is_a_wrong_result_in_proportion(
    before: float, after: float, filtered_ml: float, times: float
) -> None:
    # The published rule: half the volume, twice the chlorophyll; a millilitre for a litre, 1000 times.
    first, second = (
        chlorophyll_from_absorbances(pd.Series([before]), pd.Series([after]), Extract(10, volume))
        for volume in (filtered_ml, filtered_ml * times)
    )
    for quantity in ("chlorophyll_a", "pheophytin_a"):
        assert first[quantity].iloc[0] == pytest.approx(times * second[quantity].iloc[0], rel=1e-9, abs=1e-9)


@given(st.lists(st.floats(0.001, 1), min_size=1, max_size=5))
def test_chlorophyll_keeps_the_index_and_what_is_missing(values: list[float]) -> None:
    index = [f"A{place}" for place in range(len(values) + 1)]
    before = pd.Series([*values, float("nan")], index=index)
    found = chlorophyll_from_absorbances(before, before / 1.5, Extract(10, 500))
    assert list(found.index) == index
    assert found["chlorophyll_a"].isna().tolist() == [False] * len(values) + [True]


@pytest.mark.parametrize(
    ("extract_ml", "filtered_ml", "path_cm", "named"),
    [(0, 500, 1, "volume of extract"), (10, 0, 1, "volume filtered"), (10, 500, -1, "path")],
)
def test_extract_without_a_volume_or_a_path_is_refused(
    extract_ml: float, filtered_ml: float, path_cm: float, named: str
) -> None:
    with pytest.raises(ValueError, match=f"The {named} must be above 0"):
        Extract(extract_ml, filtered_ml, path_cm)


def test_fluorescences_with_an_acid_ratio_of_one_are_refused() -> None:
    one = pd.Series([1.0])
    with pytest.raises(ValueError, match=r"must be above 1 .*property of the instrument"):
        chlorophyll_from_fluorescences(one, one, Extract(10, 500), acid_ratio=1.0, response_ug_per_l=1.0)
