"""All series of one quantity at once, tested and judged as the trends of a record are."""

import numpy.typing as npt

from explorer.analysis.multiple_tests import level_of_next_finding
from explorer.analysis.series_arrays import checked_series
from explorer.analysis.trend import TREND_YEARS, trends
from explorer.analysis.trend_findings import LEVEL, judged_findings, smallest_changes
from explorer.model.trends import TrendFindings


def trend_findings(
    values: npt.ArrayLike, signs: npt.ArrayLike | None = None, *, trend_years: int = TREND_YEARS
) -> TrendFindings:
    number, sign, times = checked_series(values, signs)
    table = trends(number, sign, trend_years=trend_years)
    smallest = smallest_changes(number, sign, times, table, level=level_of_next_finding(table.p, LEVEL))
    return judged_findings(table, smallest, trend_years=trend_years)
