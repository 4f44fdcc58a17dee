"""The open boundaries of the OECD study against the table as remembered."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm

from explorer.analysis.open_boundaries import OPEN_CLASSES, naming_shares
from explorer.model.errors import UnknownNameError

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "trophic_classes.csv")
OPEN = PUBLISHED[PUBLISHED["scheme"] == "OECD 1982 open boundary"]
VARIABLES = {"TP": "total_phosphorus", "chl_a mean": "chlorophyll_a", "secchi": "secchi_depth"}


def test_open_boundaries_are_from_memory_and_have_no_hypertrophic_row() -> None:
    assert set(OPEN["status"]) == {"memory"}
    assert set(OPEN["class"]) == set(OPEN_CLASSES)


@pytest.mark.parametrize("variable", VARIABLES)
def test_naming_shares_at_each_classs_mean_favour_that_class(variable: str) -> None:
    rows = OPEN[(OPEN["variable"] == variable) & (OPEN["statistic"] == "geometric mean")]
    assert rows["class"].tolist() == list(OPEN_CLASSES)
    shares = naming_shares(rows["lower"].to_numpy(), VARIABLES[variable])
    assert shares.argmax(axis=1).tolist() == [0, 1, 2]


@pytest.mark.parametrize("variable", VARIABLES)
@pytest.mark.parametrize(
    ("statistic", "deviations", "off"),
    [
        ("mean +/- 2 SD (log10 scale)", 4, 1e-9),
        ("mean +/- 1 SD (log10 scale)", 2, 0.05),  # rounded otherwise: they differ by a few percent
    ],
)
def test_naming_shares_follow_normal_curves_with_the_tables_deviations(
    variable: str, statistic: str, deviations: int, off: float
) -> None:
    rows = OPEN[OPEN["variable"] == variable]
    middle = rows[rows["statistic"] == "geometric mean"]["lower"].to_numpy()
    ends = rows[rows["statistic"] == statistic]
    deviation = np.log(ends["upper"].to_numpy() / ends["lower"].to_numpy()) / deviations
    for value in middle:
        curves = [norm.pdf(np.log(value), *each) for each in zip(np.log(middle), deviation, strict=True)]
        expected = np.array(curves) / sum(curves)
        assert naming_shares([value], VARIABLES[variable])[0] == pytest.approx(expected, abs=off)


@pytest.mark.parametrize("variable", VARIABLES)
def test_naming_shares_allow_a_class_wherever_a_lake_of_the_study_had_it(variable: str) -> None:
    ranges = OPEN[(OPEN["variable"] == variable) & (OPEN["statistic"] == "range")]
    assert ranges["class"].tolist() == list(OPEN_CLASSES)
    lakes = ranges["note"].str.extract(r"n=(\d+) lakes")[0].astype(float).to_numpy()
    for end in ("lower", "upper"):
        shares = naming_shares(ranges[end].to_numpy(), VARIABLES[variable])
        assert (shares.diagonal() > 1.0 / lakes).all()


@pytest.mark.parametrize("quantity", VARIABLES.values())
def test_naming_shares_never_turn_back_outside_the_table(quantity: str) -> None:
    shares = naming_shares(np.geomspace(1e-3, 1e5, 2000), quantity)
    mean_class = shares @ np.arange(3)
    steps = np.diff(mean_class if quantity != "secchi_depth" else -mean_class)
    assert (steps >= -1e-12).all()
    assert shares.sum(axis=1) == pytest.approx(np.ones(2000))


def test_naming_shares_for_nitrogen_are_refused() -> None:
    with pytest.raises(
        UnknownNameError, match='No quantity "total_nitrogen" in the table of open boundaries'
    ):
        naming_shares([500.0], "total_nitrogen")


def test_naming_shares_of_a_missing_value_are_missing() -> None:
    assert np.isnan(naming_shares([np.nan], "secchi_depth")).all()
