"""How fast trends are, beside general-purpose libraries in the same run; ratios, for machines differ.

Run with `pytest -m benchmark tests/benchmarks/test_trend_speed.py`.
"""

import time
from collections.abc import Callable

import numpy as np
import pandas as pd
import pymannkendall
import pytest
from best_times import best_time
from scipy import stats
from statsmodels.stats.multitest import multipletests
from trend_judgement import trend_findings

from explorer.analysis.multiple_tests import adjusted_p
from explorer.analysis.recensored import recensored
from explorer.analysis.season_medians import counting_years, season_medians
from explorer.analysis.trend import trends

pytestmark = pytest.mark.benchmark

SERIES, YEARS, MONTHS = 500, 20, 12
LIBRARY_SERIES = 20  # a library takes one series at a time: so many are enough to know its time for each
LEAST_TIMES = 60  # as fast as a library, for each series

Report = Callable[[str, float, str, float], float]


@pytest.fixture(scope="module")
def values() -> np.ndarray:
    return np.random.default_rng(1).lognormal(2.5, 0.4, (SERIES, YEARS, MONTHS))


@pytest.fixture(scope="module")
def seasonal_test_s(values: np.ndarray) -> float:
    """Time of one series with pymannkendall.seasonal_test. [s]"""
    rows = [series.ravel() for series in values[:LIBRARY_SERIES]]
    whole = best_time(
        lambda: [pymannkendall.seasonal_test(row, period=MONTHS) for row in rows], 3, time.perf_counter
    )
    return whole / LIBRARY_SERIES


def test_trends_are_sixty_times_as_fast_as_pymannkendall(
    values: np.ndarray, seasonal_test_s: float, report: Report
) -> None:
    """Ours adds covariance, limits, re-censoring, agreement of the months, lag 1 and adjusted p."""
    signs = np.full(values.shape, "=")
    ours = best_time(lambda: trends(values, signs), 9, time.perf_counter) / SERIES
    ratio = report("one trend, 12 x 20", ours, "pymannkendall.seasonal_test", seasonal_test_s)
    assert ratio <= 1 / LEAST_TIMES


def test_trends_are_sixty_times_as_fast_as_scipy_month_by_month(values: np.ndarray, report: Report) -> None:
    ours = best_time(lambda: trends(values), 9, time.perf_counter) / SERIES
    year = np.arange(YEARS)

    def slopes() -> None:
        for series in values[:LIBRARY_SERIES]:
            for month in range(MONTHS):
                stats.theilslopes(series[:, month], year)
                stats.kendalltau(series[:, month], year)

    scipy_s = best_time(slopes, 3, time.perf_counter) / LIBRARY_SERIES
    assert report("one trend, 12 x 20", ours, "scipy theilslopes and kendalltau", scipy_s) <= 1 / LEAST_TIMES


def test_adjusted_p_is_no_slower_than_statsmodels(report: Report) -> None:
    p = np.random.default_rng(3).random(5000)
    ours = best_time(lambda: adjusted_p(p), 20, time.perf_counter)
    library = best_time(lambda: multipletests(p, method="fdr_bh"), 20, time.perf_counter)
    assert report("adjusted p of 5000 tests", ours, "statsmodels multipletests", library) <= 1.5


def test_season_medians_are_no_slower_than_pandas(values: np.ndarray, report: Report) -> None:
    held = recensored(values)
    long = pd.DataFrame(
        {
            "series": np.repeat(np.arange(SERIES), YEARS * MONTHS),
            "year": np.tile(np.repeat(np.arange(YEARS), MONTHS), SERIES),
            "value": values.ravel(),
        }
    )
    ours = best_time(lambda: season_medians(held, counting_years(held, 3)), 9, time.perf_counter)
    library = best_time(lambda: long.groupby(["series", "year"])["value"].median(), 9, time.perf_counter)
    assert report("season medians of 500 x 20 x 12", ours, "pandas groupby", library) <= 1.5


def test_findings_of_a_record_take_less_than_the_tests_alone_in_a_library(
    seasonal_test_s: float, report: Report
) -> None:
    """500 stations x 4 quantities x 20 years x 5 months, with what could have been missed at each."""
    rng = np.random.default_rng(2)
    four = rng.lognormal(2.5, 0.4, (4, SERIES, YEARS, 5))
    four[rng.random(four.shape) < 0.15] = np.nan
    whole = best_time(lambda: [trend_findings(quantity) for quantity in four], 2, time.perf_counter)
    library = seasonal_test_s * 5 / MONTHS * 4 * SERIES  # as many tests, of five months each
    assert report("findings of 500 x 4 series", whole, "pymannkendall's tests alone", library) < 1.0
