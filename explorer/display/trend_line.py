"""The line of a found trend over a panel, with the wedge between its limits."""

import numpy as np

from explorer.display.axes import Axis, decimal_years
from explorer.display.panel_values import NO_TREND_LINE, TrendLine
from explorer.model.calendar import Season
from explorer.model.station_trends import StationTrend

__all__ = ["build_trend_line"]

STEPS_A_YEAR = 4  # a straight line is bent on a logarithmic scale


def build_trend_line(found: StationTrend | None, axis: Axis, factor: float, season: Season) -> TrendLine:
    """Return the line of a trend and its 90 % limits, from the first season's middle to the last one's.

    All three pass through the middle of the readings: their median at the median of their years.

    Parameters
    ----------
    found : StationTrend or None
        The trend of the quantity on the panel.
    axis : Axis
        The panel's vertical axis.
    factor : float
        [display unit per record unit]
    season : Season
        Months of the season.

    Returns
    -------
    TrendLine
        Without places where no trend was found or its slope is not known. What lies beyond the panel is
        not drawn.

    Examples
    --------
    >>> build_trend_line(None, Axis(0.0, 8.0, False, True), 1.0, Season((5, 6, 7, 8, 9))).years.size
    0
    """
    if found is None or not found.found or np.isnan(found.trend.slope_per_year):
        return NO_TREND_LINE
    trend, years = found.trend, found.last_year - found.first_year
    since = np.linspace(0.0, years, STEPS_A_YEAR * years + 1)
    slopes = np.array([[trend.slope_per_year], [trend.slope_low], [trend.slope_high]])
    values = factor * (trend.median + slopes * (found.first_year + since - found.middle_year))
    places = axis.place(values)
    start, end = season.bounds(found.first_year)
    when = decimal_years(np.array([start + (end - start) // 2]))[0] + since
    inside = (values[0] >= axis.low) & (values[0] <= axis.high)
    line = np.where(inside, places[0], np.nan)
    if np.isnan(slopes).any():
        return TrendLine(when, line, np.array([]), np.array([]))
    around = np.concatenate([when, when[::-1], when[:1]])
    return TrendLine(when, line, around, np.concatenate([places[1], places[2][::-1], places[1][:1]]))
