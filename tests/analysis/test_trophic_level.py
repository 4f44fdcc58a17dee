"""The trophic level of Burns against its published equations, class limits and a printed worked example."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.trophic_level import (
    trophic_level_from_chlorophyll_a,
    trophic_level_from_secchi,
    trophic_level_from_total_nitrogen,
    trophic_level_from_total_phosphorus,
    trophic_level_index,
)

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "trophic_equations.csv", dtype=str)

LEVELS = {
    "chl": trophic_level_from_chlorophyll_a,
    "tp": trophic_level_from_total_phosphorus,
    "tn": trophic_level_from_total_nitrogen,
    "sdA": lambda depth: trophic_level_from_secchi(depth, "1999"),
    "sdB": lambda depth: trophic_level_from_secchi(depth, "2000"),
}
EQUATIONS = {
    "chl": "TL from chlorophyll",
    "tp": "TL from phosphorus",
    "tn": "TL from nitrogen",
    "sdA": "TL from Secchi, version A",
    "sdB": "TL from Secchi, version B",
}


def rows_of(beginning: str) -> pd.DataFrame:
    rows = PUBLISHED[PUBLISHED["quantity"].str.startswith(beginning)]
    assert len(rows) > 0
    return rows


def distances(rows: pd.DataFrame, level: object) -> pd.Series:
    found = level(rows["input_value"].astype(float))  # type: ignore[operator]
    return (found - rows["expected"].astype(float)).abs()


@pytest.mark.parametrize("quantity", LEVELS)
def test_trophic_level_agrees_with_the_equations_of_burns_1999_and_2000(quantity: str) -> None:
    rows = rows_of(EQUATIONS[quantity])
    assert (distances(rows, LEVELS[quantity]) <= rows["tolerance"].astype(float)).all()


@pytest.mark.parametrize("quantity", LEVELS)
def test_trophic_level_at_the_class_limits_is_a_whole_number(quantity: str) -> None:
    # the printed limits are rounded: the tolerance is that of their last digit
    rows = rows_of(f"TLI class limit vs equation ({quantity})")
    assert (distances(rows, LEVELS[quantity]) <= rows["tolerance"].astype(float)).all()


def test_trophic_level_index_agrees_with_a_printed_worked_example() -> None:
    rows = rows_of("TLI3 printed worked example, component")
    by_name = dict(zip(rows["input_name"], rows["input_value"].astype(float), strict=True))
    levels = [
        trophic_level_from_chlorophyll_a(pd.Series([by_name["chl_a"]])),
        trophic_level_from_total_nitrogen(pd.Series([by_name["total_nitrogen"]])),
        trophic_level_from_total_phosphorus(pd.Series([by_name["total_phosphorus"]])),
    ]
    assert [level[0] for level in levels] == pytest.approx(
        rows["expected"].astype(float).tolist(), abs=0.0005
    )
    mean = rows_of("TLI3 printed worked example, mean")["expected"].astype(float).item()
    assert trophic_level_index(*levels)[0] == pytest.approx(mean, abs=0.0005)


def test_trophic_level_with_coefficients_mixed_from_both_versions_fits_neither_set_of_limits() -> None:
    def mixed(depth: pd.Series) -> pd.Series:
        return 5.10 + 2.60 * np.log10(1.0 / depth - 1.0 / 40.0)

    for version in ("sdA", "sdB"):
        rows = rows_of(f"TLI class limit vs equation ({version})")
        assert distances(rows, mixed).max() > 0.3
        assert distances(rows, LEVELS[version]).max() <= 0.12


def test_trophic_level_index_without_one_of_its_levels_is_missing() -> None:
    found = trophic_level_index(pd.Series([4.0, 4.0]), pd.Series([5.0, np.nan]))
    assert found.iloc[0] == 4.5
    assert np.isnan(found.iloc[1])


def test_trophic_level_index_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="found none"):
        trophic_level_index()


def test_trophic_level_from_secchi_of_forty_metres_is_refused_with_its_place() -> None:
    with pytest.raises(ValueError, match=r"found 41 m at A2 \(1 in all\). Check the unit"):
        trophic_level_from_secchi(pd.Series([5.0, 41.0], index=["A1", "A2"]))


def test_trophic_level_from_secchi_of_an_unknown_version_is_refused() -> None:
    with pytest.raises(ValueError, match='found "2001"'):
        trophic_level_from_secchi(pd.Series([5.0]), version="2001")
