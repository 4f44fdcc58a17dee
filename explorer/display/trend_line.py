"""The line of a found trend over a panel with the wedge between its limits, or its seasons' middle values."""

import numpy as np

from explorer.analysis.central_value import SeasonMedians
from explorer.display.axes import Axis, decimal_years
from explorer.display.panel_values import NO_TREND_LINE, Floats, TrendLine
from explorer.model.calendar import Season
from explorer.model.station_trends import StationTrend

__all__ = ["build_trend_line"]

STEPS_A_YEAR = 4  # the wedge's edges are bent on a logarithmic scale
MOST_BEND = 0.05  # [1] of the panel's height by which a line may differ from a straight one


def build_trend_line(
    found: StationTrend | None, medians: SeasonMedians, axis: Axis, factor: float, season: Season
) -> TrendLine:
    """Return the line of a trend and its 90 % limits, from the first season's middle to the last one's.

    All three pass through the middle of the readings: their median at the median of their years. Where no
    rate a year describes the change, or where equal amounts a year make no straight line on the panel, the
    line goes from season to season at their middle values: on equal ratios a bent one would run past the
    readings that it sums up.

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
        Without places where no trend was found or its slope is not known. A straight line that leaves the
        panel ends at its edge.

    Examples
    --------
    >>> axis = Axis(0.0, 8.0, False, True)
    >>> build_trend_line(None, SeasonMedians.none(), axis, 1.0, Season((5, 6, 7, 8, 9))).years.size
    0
    """
    if found is None or not found.found or np.isnan(found.trend.slope_per_year):
        return NO_TREND_LINE
    if found.uneven:
        return _season_by_season("uneven", found, medians, axis, factor, season)
    trend, years = found.trend, found.last_year - found.first_year
    slopes = factor * np.array([[trend.slope_per_year], [trend.slope_low], [trend.slope_high]])
    since = np.linspace(0.0, years, STEPS_A_YEAR * years + 1)
    values = factor * trend.median + slopes * (since + found.first_year - found.middle_year)
    places = axis.place(values)
    line, inside = places[0], (values[0] >= axis.low) & (values[0] <= axis.high)
    if axis.log and np.abs(line - np.linspace(line[0], line[-1], line.size)).max() > MOST_BEND:
        return _season_by_season("bent", found, medians, axis, factor, season)
    start, end = season.bounds(found.first_year)
    when = decimal_years(np.array([start + (end - start) // 2]))[0] + since
    line = np.where(inside, line, np.nan)
    if np.isnan(slopes).any():
        return TrendLine(when, line, np.array([]), np.array([]))
    around = np.concatenate([when, when[::-1], when[:1]])
    return TrendLine(when, line, around, np.concatenate([places[1], places[2][::-1], places[1][:1]]))


def _season_by_season(
    kind: str, found: StationTrend, medians: SeasonMedians, axis: Axis, factor: float, season: Season
) -> TrendLine:
    """Return the middle values of the trend's seasons, each as long as its season; a gap stays open."""
    some = (medians.years >= found.first_year) & (medians.years <= found.last_year)
    years = medians.years[some]
    ends = np.array([season.bounds(year) for year in years.tolist()])
    places: Floats = np.repeat(axis.place(factor * medians.values[some]), 2)
    gaps = 2 * (np.flatnonzero(np.diff(years) > 1) + 1)
    when, nothing = decimal_years(ends.ravel()), np.array([])
    return TrendLine(np.insert(when, gaps, np.nan), np.insert(places, gaps, np.nan), nothing, nothing, kind)
