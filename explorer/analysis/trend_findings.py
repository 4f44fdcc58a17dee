"""What may be said of each trend: a finding, none with what could have been missed, or not yet."""

import numpy as np
import numpy.typing as npt

from explorer.analysis.power import smallest_found, years_needed
from explorer.analysis.recensored import recensored
from explorer.analysis.series_arrays import series_blocks
from explorer.analysis.trend import DRAWN_YEARS, MINIMUM_MONTHS, TREND_YEARS, values_by_test
from explorer.model.trends import TrendFindings, TrendTable

__all__ = ["LARGE_PERCENT_PER_YEAR", "LEVEL", "judged_findings", "smallest_changes"]

Floats = npt.NDArray[np.float64]

LEVEL = 0.05  # [1] share of false findings that is borne over the record
LARGE_PERCENT_PER_YEAR = 5.0  # [% per year] a change by half within ten years; common practice


def smallest_changes(
    number: Floats,
    sign: npt.NDArray[np.str_] | None,
    times: npt.NDArray[np.int64],
    table: TrendTable,
    *,
    level: float,
    minimum_months: int = MINIMUM_MONTHS,
) -> Floats:
    """Return the smallest change that would have been found in each series that has a slope.

    Parameters
    ----------
    number, sign, times : ndarray
        From `checked_series`. [record unit, sign, year]
    table : TrendTable
        Tests and slopes of the same series.
    level : float
        The p that a finding takes. [1]
    minimum_months : int
        As for `trends`. [months]

    Returns
    -------
    ndarray, shape (series,)
        As `Trend.smallest_found`. [record unit per year] NaN for the others.

    Examples
    --------
    >>> from explorer.analysis.trend import trends
    >>> flat = np.random.default_rng(7).normal(20.0, 2.0, (2, 20, 5))
    >>> flat[1, 4:] = np.nan
    >>> found = smallest_changes(flat, None, np.arange(20), trends(flat), level=0.05)
    >>> bool(0.05 < found[0] < 0.5), bool(np.isnan(found[1]))
    (True, True)
    """
    chosen = ~np.isnan(table.slope_per_year)
    smallest = np.full(len(table), np.nan)
    for rows in series_blocks(len(number)):
        held = recensored(number[rows], None if sign is None else sign[rows])
        for test, tested in values_by_test(held, minimum_months):
            some = np.flatnonzero(chosen[rows] & (table.test[rows] == test))
            place = rows.start + some
            smallest[place] = smallest_found(
                tested[some],
                table.slope_per_year[place],
                (table.slope_low[place], table.slope_high[place]),
                times=times,
                below=held.below[some],
                above=held.above[some],
                level=level,
            )
    return smallest


def judged_findings(table: TrendTable, smallest: Floats, *, trend_years: int = TREND_YEARS) -> TrendFindings:
    """Return the words' codes of tests whose p is adjusted and whose smallest change is known.

    A finding is an adjusted p up to 0.05. Where there is none, and a change of five percent of the median a
    year could have been missed, the word is "cannot_tell_yet".

    Parameters
    ----------
    table : TrendTable
        All series of the record, one quantity.
    smallest : ndarray, shape (series,)
        From `smallest_changes`; what stands beside a finding does not count. [record unit per year]
    trend_years : int
        Seasons below which nothing is tested. [years]

    Returns
    -------
    TrendFindings
        `years_needed` counts up to `trend_years` where a series is too short, else up to the year in which
        so large a change could be found.

    References
    ----------
    .. [1] Helsel et al. 2020, chapter 12: a test without a finding is no proof of no trend.

    Examples
    --------
    >>> judged_findings(TrendTable.empty(1), np.array([np.nan])).years_needed.tolist()
    [8.0]
    """
    smallest = np.where(table.p_adjusted <= LEVEL, np.nan, smallest)
    wanted = np.where(table.median > 0, LARGE_PERCENT_PER_YEAR / 100.0 * table.median, np.nan)
    enough = max(trend_years, DRAWN_YEARS)
    more = years_needed(smallest, table.years, wanted)
    more = np.where(table.years < enough, enough - table.years, more)
    return TrendFindings(table, smallest, more, _verdicts(table, smallest, wanted, enough))


def _verdicts(table: TrendTable, smallest: Floats, wanted: Floats, enough: int) -> npt.NDArray[np.str_]:
    """Return the code of the words: the first that holds, in the order written."""
    found = table.p_adjusted <= LEVEL
    return np.select(
        [
            table.years < DRAWN_YEARS,
            table.years < enough,
            table.test == "",
            found & (table.statistic_s > 0),
            found,
            np.isfinite(smallest) & ~(smallest > wanted),
        ],
        ["too_few_years", "drawn_only", "beyond_limit", "rising", "falling", "no_trend_found"],
        default="cannot_tell_yet",
    )
