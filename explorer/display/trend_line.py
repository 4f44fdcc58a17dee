"""The line of a found trend over a panel with the wedge between its limits, or its seasons' middle values."""

import numpy as np

from explorer.analysis.central_value import SeasonMedians
from explorer.display.axes import Axis, decimal_years
from explorer.display.panel_values import NO_TREND_LINE, Floats, TrendLine
from explorer.model.calendar import Season
from explorer.model.station_trends import StationTrend

__all__ = ["build_trend_line"]

STEPS_A_YEAR = 4  # a straight line is bent on a logarithmic scale


def build_trend_line(
    found: StationTrend | None, medians: SeasonMedians, axis: Axis, factor: float, season: Season
) -> TrendLine:
    """Return the line of a trend and its 90 % limits, from the first season's middle to the last one's.

    All three pass through the middle of the readings: their median at the median of their years. Where each
    year resembles the one before, a straight line may cross a single step and its limits are too narrow:
    there the line goes from season to season at their middle values.

    Parameters
    ----------
    found : StationTrend or None
        The trend of the quantity on the panel.
    medians : SeasonMedians
        The seasons' middle values of that quantity.
    axis : Axis
        The panel's vertical axis.
    factor : float
        [display unit per record unit]
    season : Season
        Months of the season.

    Returns
    -------
    TrendLine
        Without places where no trend was found or its slope is not known. A line that leaves the panel ends
        at its edge.

    Examples
    --------
    >>> axis = Axis(0.0, 8.0, False, True)
    >>> build_trend_line(None, SeasonMedians.none(), axis, 1.0, Season((5, 6, 7, 8, 9))).years.size
    0
    """
    if found is None or not found.found or np.isnan(found.trend.slope_per_year):
        return NO_TREND_LINE
    if found.trend.persistent:
        return _steps(found, medians, axis, factor, season)
    trend, years = found.trend, found.last_year - found.first_year
    slopes = factor * np.array([[trend.slope_per_year], [trend.slope_low], [trend.slope_high]])
    middle, since_middle = factor * trend.median, found.first_year - found.middle_year
    with np.errstate(divide="ignore", invalid="ignore"):  # a level line crosses no edge
        crossings = (np.array([axis.low, axis.high]) - middle) / slopes[0] - since_middle
    crossings = crossings[(crossings > 0) & (crossings < years)]
    since = np.union1d(np.linspace(0.0, years, STEPS_A_YEAR * years + 1), crossings)
    values = middle + slopes * (since + since_middle)
    places = axis.place(values)
    start, end = season.bounds(found.first_year)
    when = decimal_years(np.array([start + (end - start) // 2]))[0] + since
    inside = ((values[0] >= axis.low) & (values[0] <= axis.high)) | np.isin(since, crossings)
    line = np.where(inside, places[0], np.nan)
    if np.isnan(slopes).any():
        return TrendLine(when, line, np.array([]), np.array([]))
    around = np.concatenate([when, when[::-1], when[:1]])
    return TrendLine(when, line, around, np.concatenate([places[1], places[2][::-1], places[1][:1]]))


def _steps(
    found: StationTrend, medians: SeasonMedians, axis: Axis, factor: float, season: Season
) -> TrendLine:
    """Return the middle values of the trend's seasons, each as long as its season."""
    some = (medians.years >= found.first_year) & (medians.years <= found.last_year)
    ends = np.array([season.bounds(year) for year in medians.years[some].tolist()])
    places: Floats = np.repeat(axis.place(factor * medians.values[some]), 2)
    nothing = np.array([])
    return TrendLine(decimal_years(ends.ravel()), places, nothing, nothing, straight=False)
