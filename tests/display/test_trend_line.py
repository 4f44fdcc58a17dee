import numpy as np
import pytest

from explorer.analysis.central_value import SeasonMedians
from explorer.display.axes import Axis
from explorer.display.trend_line import build_trend_line
from explorer.model.calendar import Season

from .trend_examples import NAN, station_trend, trend_of

SUMMER = Season((5, 6, 7, 8, 9))
AXIS = Axis(0.0, 8.0, False, False)
NONE = SeasonMedians.none()


def test_line_passes_through_the_middle_of_the_readings_with_the_slope_of_the_trend():
    line = build_trend_line(station_trend(trend_of()), NONE, AXIS, 1.0, SUMMER)
    assert line.years[[0, -1]] == pytest.approx([2005.54, 2024.54], abs=0.01)
    at_middle = np.interp(2014.5 + 0.54, line.years, line.places * 8.0)
    assert at_middle == pytest.approx(4.3, abs=0.001)
    assert np.ptp(line.places) * 8.0 == pytest.approx(0.0527 * 19)


def test_wedge_holds_the_line_and_is_narrowest_at_the_middle():
    line = build_trend_line(station_trend(trend_of()), NONE, AXIS, 1.0, SUMMER)
    count = line.years.size
    low, high = line.wedge_places[:count], line.wedge_places[count : 2 * count][::-1]
    between = np.minimum(low, high) - 1e-12 <= line.places
    assert (between & (line.places <= np.maximum(low, high) + 1e-12)).all()
    width = np.abs(high - low)
    assert width.argmin() in (count // 2, count // 2 - 1, count // 2 + 1)
    assert line.wedge_years[0] == line.wedge_years[-1]


def test_feet_lie_where_the_metres_lie():
    wide = Axis(0.0, 8.0 / 0.3048, False, False)
    feet = build_trend_line(station_trend(trend_of()), NONE, wide, 1 / 0.3048, SUMMER)
    metres = build_trend_line(station_trend(trend_of()), NONE, AXIS, 1.0, SUMMER)
    assert feet.places == pytest.approx(metres.places)


MEDIANS = SeasonMedians(np.arange(2000, 2025), np.geomspace(2.0, 16.0, 25))
RATIOS = Axis(0.5, 50.0, True, False)


def test_line_goes_from_season_to_season_where_equal_amounts_make_no_straight_line_on_the_panel():
    steep = station_trend(trend_of(slope_per_year=0.4, slope_low=0.3, slope_high=0.5), "chlorophyll_a")
    bent = build_trend_line(steep, MEDIANS, RATIOS, 1.0, SUMMER)
    assert (bent.kind, bent.wedge_years.size) == ("bent", 0)
    assert bent.places[::2] == pytest.approx(RATIOS.place(MEDIANS.values[5:]))
    assert build_trend_line(steep, MEDIANS, Axis(0.0, 50.0, False, False), 1.0, SUMMER).kind == "trend"


def test_line_that_hardly_bends_keeps_its_wedge_on_equal_ratios():
    line = build_trend_line(station_trend(trend_of(), "chlorophyll_a"), MEDIANS, RATIOS, 1.0, SUMMER)
    assert line.kind == "trend"
    assert line.wedge_years.size > 0


def test_line_ends_at_the_edge_where_it_would_leave_a_panel_of_equal_steps():
    line = build_trend_line(station_trend(trend_of()), MEDIANS, Axis(0.0, 4.4, False, False), 1.0, SUMMER)
    assert line.kind == "trend"
    assert np.nanmax(line.places) == pytest.approx(1.0, abs=0.005)
    assert np.isnan(line.places[-1])
    assert not np.isnan(line.wedge_places).any()


def test_line_that_would_pass_zero_goes_from_season_to_season():
    found = station_trend(trend_of("falling", slope_per_year=-0.6), "chlorophyll_a")
    assert found.uneven
    assert build_trend_line(found, MEDIANS, AXIS, 1.0, SUMMER).kind == "uneven"


@pytest.mark.parametrize("verdict", ["no_trend_found", "cannot_tell_yet", "drawn_only", "beyond_limit"])
def test_nothing_is_drawn_where_no_trend_was_found(verdict):
    assert build_trend_line(station_trend(trend_of(verdict)), NONE, AXIS, 1.0, SUMMER).years.size == 0


def test_nothing_is_drawn_without_a_slope_and_no_wedge_without_limits():
    hidden = trend_of(slope_per_year=NAN, slope_low=NAN, slope_high=NAN)
    assert build_trend_line(station_trend(hidden), NONE, AXIS, 1.0, SUMMER).years.size == 0
    unlimited = build_trend_line(station_trend(trend_of(slope_low=NAN)), NONE, AXIS, 1.0, SUMMER)
    assert unlimited.years.size > 0
    assert unlimited.wedge_years.size == 0


def test_winter_season_is_placed_after_new_year():
    line = build_trend_line(station_trend(trend_of()), NONE, AXIS, 1.0, Season((11, 12, 1, 2)))
    assert line.years[0] == pytest.approx(2006.0, abs=0.01)


def test_line_goes_from_season_to_season_where_each_year_resembles_the_one_before():
    medians = SeasonMedians(np.arange(2000, 2025), np.where(np.arange(2000, 2025) < 2014, 6.0, 2.0))
    found = station_trend(trend_of("falling", lag1=0.6))
    line = build_trend_line(found, medians, AXIS, 1.0, SUMMER)
    assert line.kind == "uneven"
    assert line.wedge_years.size == 0
    assert np.floor(line.years[[0, -1]]).tolist() == [2005, 2024]
    assert dict(zip(np.floor(line.years).tolist(), (line.places * 8).tolist(), strict=True)) == {
        year: 6.0 if year < 2014 else 2.0 for year in range(2005, 2025)
    }


def test_line_from_season_to_season_leaves_years_without_readings_open():
    years = np.array([*range(2005, 2011), *range(2015, 2025)])
    medians = SeasonMedians(years, np.linspace(2.0, 6.0, years.size))
    line = build_trend_line(station_trend(trend_of(lag1=0.6)), medians, AXIS, 1.0, SUMMER)
    [gap] = np.flatnonzero(np.isnan(line.places))
    assert np.isnan(line.years[gap])
    assert np.floor(line.years[[gap - 1, gap + 1]]).tolist() == [2010, 2015]
