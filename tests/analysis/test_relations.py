"""What goes together: nitrogen to phosphorus, and the five relations of Carlson's indices."""

from itertools import product
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.relations import MOLAR_PER_MASS, carlson_deviations, nutrient_relation
from explorer.model.programme import Programme
from explorer.model.words import say, word_codes

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "index_relations.csv", dtype=str)
STEP = Programme().deviation_step

RELATIONS = {
    "TSI(Chl) = TSI(TP) = TSI(SD)": "algae_cloud_the_water",
    "TSI(Chl) > TSI(SD)": "large_particles",
    "TSI(TP) = TSI(SD) > TSI(Chl)": "colour_or_silt",
    "TSI(SD) = TSI(Chl) >= TSI(TP)": "phosphorus_scarce",
    "TSI(TP) > TSI(Chl) = TSI(SD)": "phosphorus_left_over",
}


def ratio(nitrogen: float, phosphorus: float, measured: bool = True) -> pd.Series:
    return nutrient_relation(pd.Series([nitrogen]), pd.Series([phosphorus]), pd.Series([measured])).iloc[0]


def relation(chlorophyll: float, phosphorus: float, secchi: float) -> str:
    three = (pd.Series([each]) for each in (chlorophyll, phosphorus, secchi))
    return carlson_deviations(*three, step=STEP)["code"].item()


def expected(quantity: str) -> float:
    return float(PUBLISHED.loc[PUBLISHED["quantity"] == quantity, "expected"].item())


def test_ratio_by_mole_agrees_with_the_iupac_atomic_weights() -> None:
    assert pytest.approx(expected("molar/mass N:P factor"), abs=1e-4) == MOLAR_PER_MASS
    assert expected("Redfield N:P") / MOLAR_PER_MASS == pytest.approx(
        expected("Redfield N:P by mass"), abs=1e-3
    )
    row = ratio(723.54, 100.0)
    assert row["by_mass"] == pytest.approx(7.2354)
    assert row["by_mole"] == pytest.approx(16.0, abs=1e-3)


def test_ratio_falls_into_the_ranges_of_guildford_and_hecky_2000_as_remembered() -> None:
    rows = PUBLISHED[PUBLISHED["source"].str.contains("Guildford")]
    assert rows["condition"].tolist() == ["<20", ">50"]
    assert set(rows["status"]) == {"memory"}
    for by_mole, code in ((19.9, "nitrogen_few"), (20.1, "nitrogen_middle"), (49.9, "nitrogen_middle"),
                          (50.1, "nitrogen_many")):  # fmt: skip
        assert ratio(10.0 * by_mole / MOLAR_PER_MASS, 10.0)["code"] == code


def test_ratio_is_silent_where_a_value_was_not_measured() -> None:
    row = ratio(700.0, 5.0, measured=False)
    assert np.isnan(row["by_mole"])
    assert np.isnan(row["by_mass"])
    assert row["code"] == ""


def test_ratio_is_silent_where_both_nutrients_are_plentiful_but_still_given() -> None:
    row = ratio(3000.0, 300.0)
    assert row["code"] == ""
    assert row["by_mass"] == 10.0
    assert ratio(3000.0, 90.0)["code"] == "nitrogen_many"
    assert ratio(900.0, 300.0)["code"] == "nitrogen_few"


def test_plentiful_begins_with_the_highest_class_of_nurnberg_1996_as_remembered() -> None:
    classes = pd.read_csv(Path(__file__).parents[1] / "published" / "trophic_classes.csv")
    highest = classes[(classes["scheme"] == "Nuernberg 1996") & (classes["class"] == "hypereutrophic")]
    assert set(highest["status"]) == {"memory"}
    nitrogen, phosphorus = (highest.set_index("variable").loc[name, "lower"] for name in ("TN", "TP"))
    assert ratio(nitrogen, phosphorus)["code"] == ""
    assert ratio(nitrogen * 0.999, phosphorus)["code"] != ""
    assert ratio(nitrogen, phosphorus * 0.999)["code"] != ""


def test_ratio_without_a_value_is_silent() -> None:
    assert ratio(np.nan, 20.0)["code"] == ""


def test_ratio_of_nothing_to_phosphorus_is_refused_with_its_place() -> None:
    with pytest.raises(ValueError, match=r"Total nitrogen must be above 0 µg/L; found 0 µg/L at 0"):
        ratio(0.0, 20.0)


def test_carlson_relations_are_the_five_published_ones() -> None:
    listed = PUBLISHED[PUBLISHED["quantity"] == "TSI relation"]
    assert listed["condition"].tolist() == list(RELATIONS)
    assert relation(50.0, 50.0, 50.0) == "algae_cloud_the_water"
    assert relation(60.0, 60.0, 50.0) == "large_particles"
    assert relation(50.0, 60.0, 60.0) == "colour_or_silt"
    assert relation(60.0, 50.0, 60.0) == "phosphorus_scarce"
    assert relation(50.0, 60.0, 50.0) == "phosphorus_left_over"


def test_carlson_deviation_step_is_the_common_practice_as_remembered() -> None:
    row = PUBLISHED[PUBLISHED["quantity"] == "deviation not interpretable"].iloc[0]
    assert row["status"] == "memory"
    assert f"below about {STEP:g} TSI units" in row["condition"]


def test_carlson_relation_of_a_stained_lake_short_of_phosphorus_is_none_of_the_five() -> None:
    assert relation(50.0, 44.0, 60.0) == ""


@pytest.mark.parametrize(
    "indices",
    [(50.0, 56.0, 52.0), (50.0, 46.0, 55.0), (50.0, 44.0, 47.0)],  # chlorophyll, phosphorus, Secchi
)
def test_carlson_relation_of_indices_that_are_equal_one_way_only_is_none_of_the_five(
    indices: tuple[float, float, float],
) -> None:
    assert relation(*indices) == ""


def test_carlson_deviations_below_the_step_say_that_the_indices_are_equal() -> None:
    assert relation(50.0, 50.0 + STEP - 0.1, 50.0) == "algae_cloud_the_water"
    assert relation(50.0, 50.0 + STEP, 50.0) == "phosphorus_left_over"
    assert relation(50.0, 50.0 - STEP, 50.0) == "phosphorus_scarce"


@given(*[st.integers(40, 60).map(float)] * 3)
def test_carlson_relation_holds_as_it_is_written(
    chlorophyll: float, phosphorus: float, secchi: float
) -> None:
    code = relation(chlorophyll, phosphorus, secchi)
    equal = {
        pair: abs(one - other) < STEP
        for pair, (one, other) in {
            "cp": (chlorophyll, phosphorus), "cs": (chlorophyll, secchi), "ps": (phosphorus, secchi),
        }.items()
    }  # fmt: skip
    holds = {
        "algae_cloud_the_water": all(equal.values()),
        "large_particles": chlorophyll > secchi and not equal["cs"],
        "colour_or_silt": equal["ps"] and chlorophyll < secchi and not (equal["cs"] or equal["cp"]),
        "phosphorus_scarce": equal["cs"] and phosphorus < secchi and not (equal["cp"] or equal["ps"]),
        "phosphorus_left_over": equal["cs"] and phosphorus > secchi and not (equal["cp"] or equal["ps"]),
    }
    assert [name for name, true in holds.items() if true] == ([code] if code else [])


def test_carlson_relation_with_an_index_missing_is_none() -> None:
    for gap in range(3):
        values = [50.0, 60.0, 50.0]
        values[gap] = np.nan
        assert relation(*values) == ""


def test_relations_all_have_a_sentence_that_names_no_cause() -> None:
    codes = [*RELATIONS.values(), "nitrogen_few", "nitrogen_middle", "nitrogen_many"]
    for code, cause in product(codes, ("because", "drives", "cause", "limits")):
        assert f"relation.{code}" in word_codes()
        assert cause not in say(f"relation.{code}", {"mole": "16", "mass": "7.2"})
