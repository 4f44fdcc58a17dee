"""How sure a class is: pooling, errors against a reference library and simulation, shares and words."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from explorer.analysis.certainty import (
    DUPLICATE_SPREAD,
    METHOD_SPREADS,
    class_shares,
    log_error,
    pooled_spread,
    sureness_word,
)
from explorer.analysis.class_schemes import schemes
from explorer.model.classes import Limits
from explorer.model.words import word_codes

PHOSPHORUS = Limits("total_phosphorus", "mean", "season", (12.0, 24.0, 96.0), "worse")


def test_pooled_spread_weighs_variances_by_their_degrees_of_freedom() -> None:
    random = np.random.default_rng(1)
    seasons = [random.normal(0, 1, size) for size in (3, 5, 4)]
    spread, freedom = pooled_spread([each.std(ddof=1) for each in seasons], [3, 5, 4], [0, 0, 0])
    within = sum(((each - each.mean()) ** 2).sum() for each in seasons)
    assert spread[0] == pytest.approx(np.sqrt(within / 9))
    assert freedom[0] == 9


def test_pooled_spread_of_a_station_with_single_months_is_unknown() -> None:
    spread, freedom = pooled_spread([np.nan, 0.2], [1, 3], [0, 1])
    assert np.isnan(spread[0])
    assert np.isnan(freedom[0])
    assert spread[1] == pytest.approx(0.2)


@pytest.mark.parametrize("seasons", [1, 4])
@pytest.mark.parametrize("statistic", ["median", "mean", "geometric_mean"])
def test_true_value_lies_beyond_the_outer_twentieths_of_the_shares_one_time_in_ten(
    statistic: str, seasons: int
) -> None:
    random, series = np.random.default_rng(7), 4000
    logs = random.normal(np.log(20.0), 0.8, (series, 4, 5))
    spread = np.sqrt(logs.var(axis=2, ddof=1).mean(axis=1))
    judged = logs[:, :seasons]
    central, truth = {
        "median": (np.median(np.median(np.exp(judged), axis=2), axis=1), 20.0),
        "mean": (np.exp(judged).mean(axis=(1, 2)), 20.0 * np.exp(0.8**2 / 2)),
        "geometric_mean": (np.exp(judged.mean(axis=(1, 2))), 20.0),
    }[statistic]
    limits = Limits("total_phosphorus", statistic, "season", (truth,), "worse")  # type: ignore[arg-type]
    error = log_error(limits, spread, np.full(series, 5 * seasons), np.full(series, seasons))
    below = class_shares(central, error, np.full(series, 16.0), limits, True)[:, 0]
    outside = ((below < 0.05) | (below > 0.95)).mean()
    assert 0.045 < outside < 0.115  # a median of four or five is a little better than its widening


def test_log_error_of_one_season_is_the_standard_error_of_a_reference_library() -> None:
    logs = np.log([14.0, 22.0, 31.0, 25.0, 18.0])
    limits = Limits("total_phosphorus", "geometric_mean", "season", (12.0,), "worse")
    found = log_error(limits, np.array([logs.std(ddof=1)]), np.array([5]), np.array([1]))
    assert found[0] == pytest.approx(stats.sem(logs))


def test_log_error_of_a_mean_follows_the_coefficient_of_variation_of_a_reference_library() -> None:
    lognormal = stats.lognorm(0.8)
    found = log_error(PHOSPHORUS, np.array([0.8]), np.array([1]), np.array([1]))
    assert found[0] == pytest.approx(lognormal.std() / lognormal.mean())


def test_log_error_is_never_smaller_than_the_method_allows() -> None:
    limits = Limits("total_phosphorus", "geometric_mean", "season", (12.0,), "worse")
    found = log_error(limits, np.array([0.0]), np.array([4]), np.array([1]))
    assert found[0] == pytest.approx(DUPLICATE_SPREAD / 2)


def test_log_error_of_a_median_of_one_or_two_values_is_that_of_their_mean() -> None:
    limits = Limits("total_phosphorus", "median", "season", (12.0,), "worse")
    few, many = log_error(limits, np.full(2, 0.4), np.array([4, 16]), np.array([2, 4]))
    assert few == pytest.approx(0.4 / np.sqrt(4))
    assert many == pytest.approx(0.4 / np.sqrt(16) * np.pi / 2)


def test_spread_of_duplicates_lets_nineteen_of_twenty_agree_within_a_quarter() -> None:
    # row DQ20 of the data quality rules: field duplicates within 25 % of their mean
    random = np.random.default_rng(3)
    one, other = np.exp(random.normal(0, DUPLICATE_SPREAD, (2, 100_000)))
    assert (np.abs(one - other) / ((one + other) / 2) <= 0.25).mean() == pytest.approx(0.95, abs=0.005)


@pytest.mark.parametrize("quantity", ["secchi_depth", "transparency_tube"])
def test_spread_of_a_disk_keeps_nineteen_of_twenty_readings_within_a_tenth(quantity: str) -> None:
    # row PP024 of the practice physics: a marked line is right within 10 %
    within = stats.norm(0, METHOD_SPREADS[quantity]).cdf(np.log([0.9, 1.1]))
    assert np.diff(within)[0] == pytest.approx(0.95, abs=0.01)


def test_class_shares_are_the_t_distribution_between_the_limits() -> None:
    error = 0.2
    found = class_shares([20.0], np.array([error]), np.array([8.0]), PHOSPHORUS, True)[0]
    below = stats.t.cdf((np.log(PHOSPHORUS.upper) - np.log(20.0)) / error, 8)
    assert found == pytest.approx(np.diff([0.0, *below, 1.0]))


@given(
    st.sampled_from(["total_phosphorus", "secchi_depth"]),
    st.floats(0.05, 500),
    st.floats(0.01, 2),
    st.integers(1, 100),
)
def test_class_shares_sum_to_one_and_favour_the_class_of_a_sure_value(
    quantity: str, central: float, error: float, freedom: int
) -> None:
    limits = schemes()["carlson_simpson_1996"].limits[quantity]
    known = (np.array([error]), np.array([float(freedom)]), limits, quantity != "secchi_depth")
    shares = class_shares([central], *known)
    assert shares.sum() == pytest.approx(1.0)
    assert (shares > -1e-12).all()
    worse = class_shares([central * 1.5], *known)
    step = np.cumsum(shares) - np.cumsum(worse)
    assert (step > -1e-12).all() if quantity != "secchi_depth" else (step < 1e-12).all()


@pytest.mark.parametrize(
    ("central", "higher_is_worse", "expected"),
    [
        (0.0, True, 0),
        (-1.5, True, 0),
        (np.inf, True, 2),
        (np.inf, False, 0),
        (0.0, False, 2),
        (-1.5, False, 2),
    ],
)
def test_class_shares_at_the_end_of_an_interval_lie_in_the_outermost_class(
    central: float, higher_is_worse: bool, expected: int
) -> None:
    upper = (12.0, 24.0) if higher_is_worse else (4.0, 2.0)
    limits = Limits("any", "median", "season", upper, "worse")
    shares = class_shares([central], np.array([0.3]), np.array([8.0]), limits, higher_is_worse)[0]
    assert shares[expected] == 1.0


def test_class_shares_of_a_mean_of_endless_spread_lie_at_both_ends() -> None:
    error = log_error(PHOSPHORUS, np.array([300.0]), np.array([4]), np.array([1]))
    shares = class_shares([20.0], error, np.array([8.0]), PHOSPHORUS, True)[0]
    assert shares.tolist() == [0.5, 0.0, 0.0, 0.5]


@pytest.mark.parametrize("statistic", ["maximum", "minimum"])
def test_class_shares_of_an_extreme_are_unknown(statistic: str) -> None:
    limits = Limits("chlorophyll_a", statistic, "year", (8.0,), "worse")  # type: ignore[arg-type]
    error = log_error(limits, np.array([0.4]), np.array([4]), np.array([1]))
    assert np.isnan(class_shares([9.0], error, np.array([8.0]), limits, True)).all()


def test_class_shares_without_a_known_spread_are_unknown() -> None:
    found = class_shares([9.0], np.array([np.nan]), np.array([np.nan]), PHOSPHORUS, True)
    assert np.isnan(found).all()


@pytest.mark.parametrize(
    ("share", "word"),
    [
        # lower ends of the ranges in table 1 of the IPCC AR5 guidance note (from memory)
        (0.99, "virtually_certain"), (0.95, "extremely_likely"), (0.90, "very_likely"), (0.66, "likely"),
        (0.50, "more_likely_than_not"), (0.33, "about_as_likely_as_not"), (0.32, "unlikely"),
        (-1e-17, "unlikely"),
    ],
)  # fmt: skip
def test_sureness_word_follows_the_ipcc_ar5_guidance_note(share: float, word: str) -> None:
    assert sureness_word(share, visits=30) == word


@given(st.floats(0, 1), st.integers(0, 4))
def test_sureness_word_with_under_five_visits_never_passes_likely(share: float, visits: int) -> None:
    words = ("likely", "more_likely_than_not", "about_as_likely_as_not", "unlikely")
    assert sureness_word(share, visits) in words
    assert sureness_word(1.0, visits) == "likely"
    assert sureness_word(1.0, visits=5) == "virtually_certain"


@given(st.one_of(st.floats(0, 1), st.just(float("nan"))), st.integers(0, 40))
def test_sureness_word_always_has_a_sentence(share: float, visits: int) -> None:
    assert f"sureness.{sureness_word(share, visits)}" in word_codes()
