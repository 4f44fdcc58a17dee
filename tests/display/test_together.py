import pandas as pd
import pytest

from explorer.display.choice import Choice
from explorer.display.together import together_lines
from explorer.model.calendar import Period
from explorer.model.programme import Programme

CHOICE = Choice("HM1", Period(2024, 2024))


def seasons(**middles):
    rows = [
        {"quantity": code, "window": "season", "year": 2024, "visits": 5, "months": 5, "median_low": low,
         "median_high": high}
        for code, (low, high) in middles.items()
    ]  # fmt: skip
    return pd.DataFrame(rows)


def exact(**middles):
    return seasons(**{code: (value, value) for code, value in middles.items()})


def test_indices_stand_side_by_side_as_carlson_1977_has_them():
    # Carlson 1977, table 1: index 50 is 2 m and 24 µg/L phosphorus; by his equation 7.3 µg/L chlorophyll.
    lines = together_lines(
        exact(secchi_depth=2.0, chlorophyll_a=7.3, total_phosphorus=24.0), CHOICE, Programme()
    )
    assert "chlorophyll a 50, total phosphorus 50 and clarity 50" in lines[0]
    assert any(line.startswith("Algae, phosphorus and clarity go together here") for line in lines)


def test_ratio_is_said_by_atoms_and_by_weight_with_its_source():
    lines = together_lines(
        exact(chlorophyll_a=7.3, total_phosphorus=20.0, total_nitrogen=700.0), CHOICE, Programme()
    )
    # 35 by weight is 77 by number of atoms (standard atomic weights of IUPAC, from memory: factor 2.211)
    assert any("77 by number of atoms, 35 by weight" in line for line in lines)
    assert any("from memory" in line for line in lines)


@pytest.mark.parametrize(("low", "high"), [(0.0, 6.0), (2.4, float("inf"))])
def test_value_known_as_a_limit_only_is_left_out(low, high):
    found = seasons(
        total_phosphorus=(low, high),
        chlorophyll_a=(7.3, 7.3),
        secchi_depth=(2.0, 2.0),
        total_nitrogen=(700, 700),
    )
    lines = together_lines(found, CHOICE, Programme())
    assert "total phosphorus" not in lines[0]
    assert not any("by weight" in line for line in lines)


def test_index_of_nitrogen_is_not_called_carlson_s():
    # Kratzer and Brezonik 1981: 54.45 at 1 mg/L.
    found = exact(secchi_depth=2.0, chlorophyll_a=7.3, total_nitrogen=1000.0)
    first, second, *_ = together_lines(found, CHOICE, Programme())
    assert "nitrogen" not in first
    assert second.startswith("By the index of Kratzer and Brezonik (1981)")
    assert second.endswith("total nitrogen 54.")


def test_one_index_alone_says_nothing():
    assert together_lines(exact(secchi_depth=2.0), CHOICE, Programme()) == []
