"""How fast trends are, beside general-purpose libraries in the same run; ratios, for machines differ.

Run with `pytest -m benchmark -s tests/benchmarks/test_trend_speed.py`.
"""

import time
from collections.abc import Callable

import numpy as np
import pymannkendall
import pytest
from scipy import stats

from explorer.analysis.trend import trends
from explorer.analysis.trend_findings import trend_findings

pytestmark = pytest.mark.benchmark

SERIES, YEARS, MONTHS = 500, 20, 12
LIBRARY_SERIES = 20  # a library takes one series at a time: so many are enough to know its time for each


def best_time(work: Callable[[], object], rounds: int = 7) -> float:
    """Return the shortest of some rounds, the one least disturbed by other work. [s]"""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture(scope="module")
def values() -> np.ndarray:
    return np.random.default_rng(1).lognormal(2.5, 0.4, (SERIES, YEARS, MONTHS))


@pytest.fixture(scope="module")
def seasonal_test_s(values: np.ndarray) -> float:
    """Time of one series with pymannkendall.seasonal_test. [s]"""
    rows = [series.ravel() for series in values[:LIBRARY_SERIES]]
    whole = best_time(lambda: [pymannkendall.seasonal_test(row, period=MONTHS) for row in rows], 3)
    return whole / LIBRARY_SERIES


def test_trends_are_sixty_times_as_fast_as_pymannkendall(values: np.ndarray, seasonal_test_s: float) -> None:
    """Ours adds covariance, limits, re-censoring, agreement of the months, lag 1 and adjusted p."""
    signs = np.full(values.shape, "=")
    ours = best_time(lambda: trends(values, signs)) / SERIES
    ratio = seasonal_test_s / ours
    print(f"\ntrends, {MONTHS} x {YEARS}, {SERIES} series: {ours * 1e6:.0f} µs a series, ", end="")
    print(f"{ratio:.0f} times as fast as pymannkendall.seasonal_test ({seasonal_test_s * 1e6:.0f} µs)")
    assert ratio >= 60


def test_trends_are_faster_than_scipy_slopes_alone(values: np.ndarray) -> None:
    ours = best_time(lambda: trends(values)) / SERIES
    year = np.arange(YEARS)

    def slopes() -> None:
        for series in values[:LIBRARY_SERIES]:
            for month in range(MONTHS):
                stats.theilslopes(series[:, month], year)
                stats.kendalltau(series[:, month], year)

    scipy_s = best_time(slopes, 3) / LIBRARY_SERIES
    print(f"\n{scipy_s / ours:.0f} times as fast as scipy theilslopes and kendalltau month by month")
    assert scipy_s / ours >= 60


def test_findings_of_a_record_of_500_stations_and_4_quantities_take_two_seconds() -> None:
    """The season's five months, twenty years: a part of the three seconds of a record's summary."""
    rng = np.random.default_rng(2)
    four = rng.lognormal(2.5, 0.4, (4, SERIES, YEARS, 5))
    four[rng.random(four.shape) < 0.15] = np.nan
    whole = best_time(lambda: [trend_findings(quantity) for quantity in four], 2)
    print(f"\n500 stations x 4 quantities x 20 years: {whole:.2f} s")
    assert whole < 2.0
