"""Kaplan-Meier quantiles of partly censored values: published curves, brute force, what must always hold."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.censored import censored_quantile, plain_quantile
from explorer.model.readings import reading_interval

FOLDER = Path(__file__).parents[1] / "published"
VALUES = pd.read_csv(FOLDER / "censored_values.csv")
PUBLISHED = pd.read_csv(FOLDER / "censored_statistics.csv")
RUNS = pd.read_csv(FOLDER / "censored_reference_runs.csv")

# A reading as value and sign; few different values, so that ties and limits equal to values come often.
reading = st.tuples(st.integers(1, 12).map(float), st.sampled_from("==<"))
any_reading = st.tuples(st.integers(1, 12).map(float), st.sampled_from("==<>"))


def interval(name: str) -> tuple[np.ndarray, np.ndarray]:
    rows = VALUES[VALUES["input"] == name]
    return reading_interval(rows["value"], rows["sign"])


def quantile(low: np.ndarray, high: np.ndarray, share: float = 0.5) -> tuple[float, float, float]:
    found = censored_quantile(low, high, np.zeros(len(low), int), share)
    return found.value[0], found.low[0], found.high[0]


def product_limit(readings: list[tuple[float, str]]) -> float:
    """Return the median of left-censored values by the product-limit formula, one step at a time."""
    measured = sorted({value for value, sign in readings if sign == "="})
    cumulated, below = 1.0, {}
    for value in reversed(measured):
        at_risk = sum(each <= value for each, _ in readings)
        deaths = sum(each == value and sign == "=" for each, sign in readings)
        below[value] = (cumulated, cumulated * (1.0 - deaths / at_risk))  # F at the value, and just below it
        cumulated = below[value][1]
    for position, value in enumerate(measured):
        at, under = below[value]
        if at >= 0.5 - 1e-9:
            if under >= 0.5 - 1e-9:
                return float("nan")
            tied = abs(at - 0.5) < 1e-9
            return (value + measured[position + 1]) / 2.0 if tied else value
    return float("nan")


def test_censored_median_agrees_with_helsel_2005() -> None:
    rows = PUBLISHED[(PUBLISHED["quantity"] == "Kaplan-Meier median") & (PUBLISHED["input"] == "arsenic")]
    assert quantile(*interval("arsenic"))[0] == pytest.approx(
        rows["expected"].astype(float).item(), abs=0.001
    )


@pytest.mark.parametrize("name", ["arsenic", "helsel_cohn_1988", "ponds"])
def test_censored_median_agrees_with_two_survival_libraries(name: str) -> None:
    medians = RUNS["statistic"].isin(["median", "KM_median", "median Secchi"]) & (RUNS["input"] == name)
    rows = RUNS[medians & ~RUNS["function"].str.contains("ros")]
    assert len(rows) > 0
    for expected in rows["value"].astype(float):
        assert quantile(*interval(name))[0] == pytest.approx(expected)


@pytest.mark.parametrize("name", ["arsenic", "ponds"])
def test_censored_quantiles_follow_every_step_of_a_published_survival_curve(name: str) -> None:
    rows = RUNS[RUNS["statistic"].str.match(r"(S\(|P\(X<)") & (RUNS["input"] == name)]
    rows = rows[~rows["value"].astype(float).round(9).duplicated()]  # two libraries agree on some steps
    assert not rows["statistic"].duplicated().any()
    at = rows["statistic"].str.extract(r"([\d.]+)\)")[0].astype(float).to_numpy()
    curve = rows["value"].astype(float).to_numpy()
    cumulated = 1.0 - curve if name == "ponds" else curve  # at the value; just below it
    order = np.argsort(at)
    at, cumulated = at[order], cumulated[order]
    edges = [0.0, *cumulated] if name == "ponds" else [*cumulated, 1.0]
    for value, lower, upper in zip(at, edges[:-1], edges[1:], strict=True):
        assert quantile(*interval(name), share=(lower + upper) / 2)[0] == value


def test_censored_quantiles_reach_each_limit_at_the_share_of_helsel_and_cohn_1988() -> None:
    low, high = interval("helsel_cohn_1988")
    rows = PUBLISHED[PUBLISHED["quantity"].str.startswith("P exceed limit")]
    assert len(rows) == 2
    for quantity, exceeding in rows[["quantity", "expected"]].itertuples(index=False):
        limit, share = float(quantity.split()[-1]), 1.0 - float(exceeding)
        under, over = (quantile(low, high, share + step)[0] for step in (-1e-4, 1e-4))
        assert np.isnan(under) or under < limit  # under the lowest limit nothing is known
        assert over >= limit


def test_counts_of_disks_on_the_bottom_are_those_of_two_survival_libraries() -> None:
    low, high = interval("ponds")
    counts = {"n": len(low), "events": (low == high).sum(), "n_censored": np.isposinf(high).sum()}
    rows = RUNS[(RUNS["input"] == "ponds") & RUNS["statistic"].isin(list(counts))]
    assert dict(zip(rows["statistic"], rows["value"].astype(float), strict=True)) == counts


def test_censored_median_where_half_the_values_lie_below_is_the_middle_of_the_stretch() -> None:
    low, high = reading_interval([10.0, 3.0, 4.0], ["<", "=", "="])  # F is 0.5 from 3 to 4
    assert quantile(low, high) == (3.5, 3.0, 4.0)


def test_censored_median_with_more_than_half_below_the_limit_is_only_an_interval() -> None:
    low, high = reading_interval([5.0, 5.0, 5.0, 7.0], ["<", "<", "<", "="])
    found = quantile(low, high)
    assert np.isnan(found[0])
    assert found[1:] == (0.0, 5.0)


def test_censored_median_with_the_disk_mostly_on_the_bottom_has_no_upper_end() -> None:
    low, high = reading_interval([2.0, 2.0, 1.5], [">", ">", "="])
    found = quantile(low, high)
    assert np.isnan(found[0])
    assert found[1:] == (2.0, np.inf)


def test_censored_median_with_a_limit_under_the_median_is_the_usual_median() -> None:
    low, high = reading_interval([1.0, 4.0, 9.0, 12.0, 2.0], ["<", "=", "=", "=", "="])
    assert quantile(low, high) == (4.0, 4.0, 4.0)


def test_censored_median_with_both_signs_is_given_only_where_they_do_not_matter() -> None:
    both = ["<", "=", "=", "=", ">"]
    assert quantile(*reading_interval([1.0, 3.0, 4.0, 5.0, 6.0], both)) == (4.0, 4.0, 4.0)
    found = quantile(*reading_interval([4.5, 3.0, 4.0, 5.0, 3.5], both))
    assert np.isnan(found[0])
    assert found[1] < found[2]


def test_censored_quantile_of_no_values_has_no_groups() -> None:
    assert censored_quantile([], [], []).value.shape == (0,)


@given(st.lists(st.lists(reading, min_size=1, max_size=9), min_size=1, max_size=8), st.randoms())
def test_censored_medians_of_many_groups_equal_the_product_limit_formula(
    groups: list[list[tuple[float, str]]], shuffler: object
) -> None:
    rows = [(number, *each) for number, group in enumerate(groups) for each in group]
    shuffler.shuffle(rows)  # type: ignore[attr-defined]
    number, value, sign = zip(*rows, strict=True)
    found = censored_quantile(*reading_interval(value, sign), number)
    expected = [product_limit(group) for group in groups]
    assert found.value.tolist() == pytest.approx(expected, nan_ok=True)


@given(st.lists(any_reading, min_size=1, max_size=12), st.data())
def test_interval_of_a_censored_median_contains_the_median_for_any_value_beyond_the_limit(
    readings: list[tuple[float, str]], data: st.DataObject
) -> None:
    value, sign = zip(*readings, strict=True)
    estimate, low, high = quantile(*reading_interval(value, sign))
    truth = [
        each if mark == "=" else data.draw(st.floats(0.0, each) if mark == "<" else st.floats(each, 1e3))
        for each, mark in readings
    ]
    assert low <= np.median(truth) <= high
    assert np.isnan(estimate) or low <= estimate <= high


@given(st.lists(reading, min_size=1, max_size=12))
def test_censored_median_of_values_above_a_limit_mirrors_that_of_values_below(
    readings: list[tuple[float, str]],
) -> None:
    value, sign = zip(*readings, strict=True)
    below = quantile(*reading_interval(value, sign))[0]
    turned = [">" if mark == "<" else "=" for mark in sign]
    above = quantile(*reading_interval([20.0 - each for each in value], turned))[0]
    assert above == pytest.approx(20.0 - below, nan_ok=True)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=30), st.sampled_from([0.1, 0.25, 0.5, 0.9]))
def test_quantile_of_measured_values_is_definition_2_of_hyndman_and_fan(
    values: list[float], share: float
) -> None:
    expected = np.quantile(values, share, method="averaged_inverted_cdf")
    assert plain_quantile(values, [0] * len(values), share)[0] == pytest.approx(expected)
    assert quantile(np.array(values), np.array(values), share)[0] == pytest.approx(expected)
