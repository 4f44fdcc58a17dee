"""Robust regression on order statistics: published values, a reference library, and where it stays silent."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.imputation.ros import impute_ros

from explorer.analysis.censored_mean import ros_values
from explorer.model.readings import reading_interval

FOLDER = Path(__file__).parents[1] / "published"
VALUES = pd.read_csv(FOLDER / "censored_values.csv")
PUBLISHED = pd.read_csv(FOLDER / "censored_statistics.csv")
RUNS = pd.read_csv(FOLDER / "censored_reference_runs.csv")


def filled(name: str) -> np.ndarray:
    rows = VALUES[VALUES["input"] == name]
    return ros_values(*reading_interval(rows["value"], rows["sign"]), np.zeros(len(rows), int))


def published(name: str, beginning: str) -> pd.DataFrame:
    rows = PUBLISHED[(PUBLISHED["input"] == name) & PUBLISHED["quantity"].str.startswith(beginning)]
    assert len(rows) > 0
    return rows


def run(name: str, statistic: str) -> str:
    rows = RUNS[(RUNS["input"] == name) & RUNS["function"].str.contains("ros")]
    return rows.loc[rows["statistic"] == statistic, "value"].item()


@pytest.mark.parametrize(
    ("quantity", "statistic"),
    [("ROS mean", np.mean), ("ROS sd", lambda each: np.std(each, ddof=1)), ("ROS median", np.median)],
)
def test_ros_statistics_agree_with_helsel_2005(quantity: str, statistic: object) -> None:
    expected = published("arsenic", quantity)["expected"].astype(float).item()
    assert statistic(filled("arsenic")) == pytest.approx(expected, abs=0.001)  # type: ignore[operator]


def test_ros_values_agree_with_helsel_2005() -> None:
    expected = published("arsenic", "ROS imputed value")["expected"].astype(float)
    assert np.sort(filled("arsenic")) == pytest.approx(np.sort(expected), abs=0.01)


def test_ros_values_agree_with_helsel_and_cohn_1988() -> None:
    expected = published("helsel_cohn_1988", "ROS values sorted")["expected"].astype(float)
    assert np.sort(filled("helsel_cohn_1988")) == pytest.approx(np.sort(expected), abs=0.02)


@pytest.mark.parametrize("name", ["arsenic", "helsel_cohn_1988"])
@pytest.mark.parametrize(
    ("statistic", "of"),
    [
        ("mean", np.mean),
        ("median", np.median),
        ("sd (ddof=1)", lambda each: np.std(each, ddof=1)),
        ("geometric_mean", lambda each: np.exp(np.log(each).mean())),
    ],
)
def test_ros_statistics_agree_with_a_run_of_a_reference_library(
    name: str, statistic: str, of: object
) -> None:
    expected = float(run(name, statistic))
    assert of(filled(name)) == pytest.approx(expected, rel=1e-9)  # type: ignore[operator]


@pytest.mark.parametrize("name", ["arsenic", "helsel_cohn_1988"])
def test_ros_values_agree_with_a_run_of_a_reference_library(name: str) -> None:
    expected = [float(each) for each in run(name, "values_sorted").split()]
    assert np.sort(filled(name)) == pytest.approx(expected, abs=5e-5)  # four digits are printed


@settings(deadline=None, max_examples=15)
@given(st.integers(0, 10**6), st.integers(10, 40), st.integers(1, 5))
def test_ros_values_of_many_groups_equal_those_of_a_reference_library(
    seed: int, size: int, groups: int
) -> None:
    random = np.random.default_rng(seed)
    number = np.repeat(np.arange(groups), size)
    value = np.round(np.exp(random.normal(1, 1, number.size)), 2) + 0.01
    limit = random.choice([0.5, 1.0, 3.0, 8.0], number.size)
    below = value < limit
    value = np.where(below, limit, value)
    order = random.permutation(number.size)
    found = np.empty(number.size)
    low = np.where(below, 0.0, value)
    found[order] = ros_values(low[order], value[order], number[order])
    for group in range(groups):
        rows = number == group
        greatest = value[rows & ~below].max(initial=0.0)
        used = rows & (value <= greatest)
        if (used & ~below).sum() < 3 or used.sum() < 10 or (used & below).sum() > 0.8 * used.sum():
            assert np.isnan(found[rows & below]).all()
            continue
        assert np.isnan(found[rows & below & ~used]).all()
        if (used & below).any():
            expected = impute_ros(value[used], below[used])
            assert np.sort(found[used]) == pytest.approx(np.sort(np.asarray(expected)), rel=1e-9)


@pytest.mark.parametrize(
    ("value", "sign"),
    [
        ([1.0, 1.0, 1.0, *range(2, 8)], "<<<======"),  # nine values
        ([1.0] * 8 + [2.0, 3.0], "<<<<<<<<=="),  # two measured
        ([1.0] * 13 + [2.0, 3.0, 4.0], "<" * 13 + "==="),  # 81 % below the limit
        ([1.0, 1.0, 0.0, *range(2, 10)], "<<" + "=" * 9),  # a measured zero has no logarithm
    ],
)
def test_ros_values_of_a_group_outside_its_rules_are_missing(value: list[float], sign: str) -> None:
    below = np.array(list(sign)) == "<"
    found = ros_values(*reading_interval(value, list(sign)), [0] * len(value))
    assert np.isnan(found[below]).all()
    assert found[~below].tolist() == np.array(value)[~below].tolist()


def test_ros_values_with_three_measured_of_twelve_are_given() -> None:
    low, high = reading_interval([1.0] * 9 + [2.0, 3.0, 4.0], ["<"] * 9 + ["="] * 3)
    assert not np.isnan(ros_values(low, high, [0] * 12)).any()


def test_ros_values_for_a_disk_on_the_bottom_are_missing() -> None:
    low, high = reading_interval([1.0] * 2 + [2.0, 3.0, 4.0] * 4 + [5.0], ["<"] * 2 + ["="] * 12 + [">"])
    found = ros_values(low, high, [0] * 15)
    assert np.isnan(found[-1])
    assert not np.isnan(found[:-1]).any()
