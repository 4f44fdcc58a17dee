"""How sure a class is: pooling, intervals against a reference library and simulation, shares and words."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from explorer.analysis.certainty import (
    DUPLICATE_SPREAD,
    METHOD_SPREADS,
    central_interval,
    class_shares,
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


def test_central_interval_of_one_season_is_the_t_interval_of_a_reference_library() -> None:
    logs = np.log([14.0, 22.0, 31.0, 25.0, 18.0])
    low, high = central_interval(
        [np.exp(logs.mean())], np.array([logs.std(ddof=1)]), np.array([4.0]), [5], PHOSPHORUS, share=0.9
    )
    expected = stats.t.interval(0.9, 4, loc=logs.mean(), scale=stats.sem(logs))
    assert [low[0], high[0]] == pytest.approx(np.exp(expected))


@pytest.mark.parametrize("statistic", ["median", "geometric_mean"])
def test_central_interval_holds_the_true_value_at_least_as_often_as_it_says(statistic: str) -> None:
    random = np.random.default_rng(7)
    logs = random.normal(np.log(20.0), 0.5, (4000, 4, 5))
    spread = np.sqrt(logs.var(axis=2, ddof=1).mean(axis=1))
    last = np.exp(logs[:, -1])
    central = np.median(last, axis=1) if statistic == "median" else np.exp(np.log(last).mean(axis=1))
    limits = Limits("total_phosphorus", statistic, "season", (12.0,), "worse")  # type: ignore[arg-type]
    low, high = central_interval(central, spread, np.full(4000, 16.0), np.full(4000, 5), limits)
    held = ((low <= 20.0) & (high >= 20.0)).mean()
    assert 0.88 < held < 0.95  # 0.90 is said; a median of five is a little better than its widening


def test_central_interval_is_never_narrower_than_the_method_allows() -> None:
    low, high = central_interval([20.0], np.array([0.0]), np.array([40.0]), [4], PHOSPHORUS)
    assert np.log(high / low)[0] == pytest.approx(2 * stats.t.ppf(0.95, 40) * DUPLICATE_SPREAD / 2)


def test_spread_of_duplicates_lets_nineteen_of_twenty_agree_within_a_quarter() -> None:
    # row DQ20 of the data quality rules: field duplicates within 25 % of their mean
    random = np.random.default_rng(3)
    one, other = np.exp(random.normal(0, DUPLICATE_SPREAD, (2, 100_000)))
    assert (np.abs(one - other) / ((one + other) / 2) <= 0.25).mean() == pytest.approx(0.95, abs=0.005)
    assert METHOD_SPREADS["secchi_depth"] < DUPLICATE_SPREAD


def test_class_shares_are_the_t_distribution_between_the_limits() -> None:
    error = 0.4 / np.sqrt(4)
    found = class_shares([20.0], np.array([0.4]), np.array([8.0]), [4], PHOSPHORUS, True)[0]
    below = stats.t.cdf((np.log(PHOSPHORUS.upper) - np.log(20.0)) / error, 8)
    assert found == pytest.approx(np.diff([0.0, *below, 1.0]))


@given(
    st.sampled_from(["total_phosphorus", "secchi_depth"]),
    st.floats(0.05, 500),
    st.floats(0.01, 2),
    st.integers(1, 100),
    st.integers(1, 30),
)
def test_class_shares_sum_to_one_and_favour_the_class_of_a_sure_value(
    quantity: str, central: float, spread: float, freedom: int, months: int
) -> None:
    limits = schemes()["carlson_simpson_1996"].limits[quantity]
    known = (np.array([spread]), np.array([float(freedom)]), [months], limits, quantity != "secchi_depth")
    shares = class_shares([central], *known)
    assert shares.sum() == pytest.approx(1.0)
    assert (shares > -1e-12).all()
    worse = class_shares([central * 1.5], *known)
    step = np.cumsum(shares) - np.cumsum(worse)
    assert (step > -1e-12).all() if quantity != "secchi_depth" else (step < 1e-12).all()


@pytest.mark.parametrize(("central", "higher_is_worse", "expected"), [(0.0, True, 0), (np.inf, False, 0)])
def test_class_shares_at_the_end_of_an_interval_lie_in_the_outermost_class(
    central: float, higher_is_worse: bool, expected: int
) -> None:
    upper = (12.0, 24.0) if higher_is_worse else (4.0, 2.0)
    limits = Limits("any", "median", "season", upper, "worse")
    shares = class_shares([central], np.array([0.3]), np.array([8.0]), [4], limits, higher_is_worse)[0]
    assert shares[expected] == 1.0


@pytest.mark.parametrize("statistic", ["maximum", "minimum"])
def test_class_shares_of_an_extreme_are_unknown(statistic: str) -> None:
    limits = Limits("chlorophyll_a", statistic, "year", (8.0,), "worse")  # type: ignore[arg-type]
    assert np.isnan(class_shares([9.0], np.array([0.4]), np.array([8.0]), [4], limits, True)).all()


def test_class_shares_without_a_known_spread_are_unknown() -> None:
    found = class_shares([9.0], np.array([np.nan]), np.array([np.nan]), [4], PHOSPHORUS, True)
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


@given(st.one_of(st.floats(0, 1), st.just(float("nan"))), st.integers(0, 40))
def test_sureness_word_always_has_a_sentence(share: float, visits: int) -> None:
    assert f"sureness.{sureness_word(share, visits)}" in word_codes()
