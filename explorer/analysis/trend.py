"""Trends of whole series: which test, which slope, and their companions.

Only whole series come here. A period that a reader has dragged on the screen gets means and counts from the
season table; no p and no word of trend is made for it, for it was chosen by looking at the readings.
"""

from dataclasses import fields

import numpy as np
import numpy.typing as npt

from explorer.analysis.multiple_tests import adjusted_p
from explorer.analysis.order_statistics import row_medians
from explorer.analysis.recensored import MOST_CENSORED_SLOPE, MOST_CENSORED_TREND, Recensored, recensored
from explorer.analysis.season_medians import counting_years, lag1_correlation, season_medians
from explorer.analysis.seasonal_kendall import (
    kendall_by_season,
    kendall_scores,
    seasons_differ_p,
    standard_score,
)
from explorer.analysis.sen_slope import sen_slopes
from explorer.analysis.series_arrays import checked_series, series_blocks
from explorer.analysis.tail_probability import two_sided_p
from explorer.model.trends import TrendTable

__all__ = ["DRAWN_YEARS", "MINIMUM_MONTHS", "TREND_YEARS", "trends", "values_by_test"]

Floats = npt.NDArray[np.float64]

DRAWN_YEARS = 5  # below it a series is not drawn as one; no setting makes a trend of fewer
TREND_YEARS = 8
MINIMUM_MONTHS = 3
COVARIANCE_YEARS = 10  # above it the covariance between seasons can be estimated: USGS SIR 2005-5275


def trends(
    values: npt.ArrayLike,
    signs: npt.ArrayLike | None = None,
    *,
    years: npt.ArrayLike | None = None,
    trend_years: int = TREND_YEARS,
    minimum_months: int = MINIMUM_MONTHS,
) -> TrendTable:
    """Return test, slope and their companions for every series of one quantity.

    Above ten years the test is seasonal Kendall with the covariance between seasons, else Mann-Kendall on
    season medians; the slope's limits use the variance of that test. All values of a series are held to its
    highest limit first. p is adjusted over all series given: give all of the record.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Monthly values, or the limit where the sign is "<" or ">". [record unit] NaN where nothing was
        measured.
    signs : array_like of str, shape (series, years, seasons), optional
        "=", "<" or ">"; all "=" when left out.
    years : array_like of int, shape (years,), optional
        Season years, rising; 0, 1, 2 ... when left out.
    trend_years : int
        Seasons below which nothing is tested; never fewer than five.
    minimum_months : int
        Months with a value that make a season count.

    Returns
    -------
    TrendTable
        Arrays in the order of the series: years, months and readings that count; test; statistic_s, variance,
        z, p, p_adjusted [1]; slope_per_year, slope_low, slope_high [record unit per year]; percent_per_year
        [%]; median [record unit]; seasons_differ_p, lag1, censored_share [1]; each as at
        `explorer.model.trends.Trend`. NaN and "" where there is no test.

    Raises
    ------
    ValueError
        If the shapes do not fit, a value is infinite, a sign is unknown or the years do not rise.

    References
    ----------
    .. [1] Hirsch, Slack and Smith 1982; Hirsch and Slack 1984; Sen 1968; Gilbert 1987, section 16.4.2;
       Van Belle and Hughes 1984; Benjamini and Hochberg 1995: each at its function.
    .. [2] D. R. Helsel, D. K. Mueller and J. R. Slack, Computer Program for the Kendall Family of Trend
       Tests, USGS SIR 2005-5275, 2006 (covariance only above ten annual values per season).

    Examples
    --------
    >>> rising = np.arange(20.0)[:, None] + np.array([0.0, 5.0, 9.0, 4.0, 1.0])
    >>> table = trends([rising, -rising])
    >>> table.test[0].item(), table.slope_per_year.tolist(), table.statistic_s.tolist()
    ('seasonal_kendall', [1.0, -1.0], [950.0, -950.0])

    As one table, a row a series:

    >>> from dataclasses import asdict
    >>> import pandas as pd
    >>> pd.DataFrame(asdict(table))[["years", "months", "p"]].round(4).values.tolist()
    [[20.0, 5.0, 0.0], [20.0, 5.0, 0.0]]
    """
    number, sign, times = checked_series(values, signs, years)
    enough = max(trend_years, DRAWN_YEARS)
    blocks = [
        _block_table(
            recensored(number[rows], None if sign is None else sign[rows]), times, enough, minimum_months
        )
        for rows in series_blocks(len(number))
    ]
    columns = {
        each.name: np.concatenate([getattr(block, each.name) for block in blocks])
        for each in fields(TrendTable)
    }
    return TrendTable(**{**columns, "p_adjusted": adjusted_p(columns["p"])})


def values_by_test(held: Recensored, minimum_months: int) -> tuple[tuple[str, Floats], ...]:
    """Return what each of the two tests is run on.

    Parameters
    ----------
    held : Recensored
        Monthly values, shape (series, years, seasons).
    minimum_months : int
        Months with a value that make a season count.

    Returns
    -------
    tuple of (name, values)
        "seasonal_kendall" with the monthly values, "season_medians" with one median a year, shape
        (series, years, 1). [record unit] NaN where nothing was measured, or too little.

    Examples
    --------
    >>> held = recensored([[[1.0, 2.0, 9.0], [4.0, np.nan, 6.0]]])
    >>> [(name, tested.shape) for name, tested in values_by_test(held, 3)]
    [('seasonal_kendall', (1, 2, 3)), ('season_medians', (1, 2, 1))]
    """
    medians = season_medians(held, counting_years(held, minimum_months))
    return ("seasonal_kendall", held.numbers), ("season_medians", medians[:, :, None])


def _block_table(
    held: Recensored, times: npt.NDArray[np.int64], enough: int, minimum_months: int
) -> TrendTable:
    series = len(held.numbers)
    measured = ~np.isnan(held.numbers)
    table = TrendTable.empty(series)
    table.years[:] = counting_years(held, minimum_months).sum(axis=1)
    table.months[:] = measured.any(axis=1).sum(axis=1)
    table.readings[:] = measured.sum(axis=(1, 2))
    table.median[:] = row_medians(held.numbers.reshape(series, measured[0].size if series else 0))
    table.censored_share[:] = held.censored_share
    tested = (table.years >= enough) & (held.censored_share <= MOST_CENSORED_TREND)
    name = np.where(table.years > COVARIANCE_YEARS, "seasonal_kendall", "season_medians")
    table.test[:] = np.where(tested, name, "")
    (_, monthly), (_, medians) = tests = values_by_test(held, minimum_months)
    for test, values in tests:
        _fill_test(table, np.flatnonzero(table.test == test), values, times)
    table.seasons_differ_p[tested] = seasons_differ_p(kendall_by_season(monthly[tested]))
    table.lag1[:] = lag1_correlation(medians[:, :, 0] - table.slope_per_year[:, None] * times, times)
    positive = np.where(table.median > 0, table.median, np.nan)
    table.percent_per_year[:] = 100.0 * table.slope_per_year / positive
    return table


def _fill_test(
    table: TrendTable, rows: npt.NDArray[np.int64], tested: Floats, times: npt.NDArray[np.int64]
) -> None:
    """Put test and slope of some rows into a table that is being made."""
    scores = kendall_scores(tested[rows])
    table.statistic_s[rows] = scores.statistic_s
    table.variance[rows] = scores.variance
    table.z[rows] = standard_score(scores.statistic_s, scores.variance)
    table.p[rows] = two_sided_p(table.z[rows])
    sloped = table.censored_share[rows] <= MOST_CENSORED_SLOPE
    found = sen_slopes(tested[rows[sloped]], scores.variance[sloped], times)
    table.slope_per_year[rows[sloped]] = found.slope
    table.slope_low[rows[sloped]] = found.low
    table.slope_high[rows[sloped]] = found.high
