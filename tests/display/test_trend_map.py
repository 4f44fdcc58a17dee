from dataclasses import replace

import pytest

from explorer.display.choice import Choice
from explorer.display.map_groups import MAP_SHOWS, Tilt
from explorer.display.trend_map import TREND_MAPS, tilt_of, trend_groups
from explorer.model.calendar import Period
from explorer.model.programme import Programme
from explorer.model.quantities import QUANTITIES

from .trend_examples import NAN, station_trend, trend_of

CHOICE = Choice("", Period(2024, 2024), map_shows="trend_clarity")
VERDICTS = (
    "rising", "falling", "no_trend_found", "cannot_tell_yet", "beyond_limit", "drawn_only", "too_few_years",
)  # fmt: skip


def groups(quantity, shows, verdicts=VERDICTS):
    trends = {verdict: {quantity: station_trend(trend_of(verdict), quantity)} for verdict in verdicts}
    return trend_groups([*verdicts, "unmeasured"], trends, replace(CHOICE, map_shows=shows), Programme())


def test_every_map_of_trends_is_in_the_menu_and_each_of_its_quantities_is_known():
    assert set(TREND_MAPS) < set(MAP_SHOWS)
    assert all(code in QUANTITIES for codes in TREND_MAPS.values() for code in codes)


def test_clarity_that_rises_is_clearer_and_phosphorus_that_rises_is_more():
    clarity = groups("secchi_depth", "trend_clarity")
    assert clarity.names == ("clearer", "no trend found", "less clear", "we cannot tell yet")
    assert clarity.indexes == (0, 2, 1, 3, 3, -1, -1, -1)
    phosphorus = groups("total_phosphorus", "trend_phosphorus")
    assert phosphorus.names[::2] == ("less total phosphorus", "more total phosphorus")
    assert phosphorus.indexes == (2, 0, 1, 3, 3, -1, -1, -1)


def test_what_cannot_be_told_and_what_has_too_few_years_stand_apart_from_no_trend_found():
    found = groups("secchi_depth", "trend_clarity")
    assert len(set(found.patterns)) == len(found.names)
    assert found.rest == "too few years, or not measured"
    assert found.labels[2:] == (
        "no trend found", "cannot tell yet", "too much beyond what can be measured",
        "too few years (18 seasons)", "too few years (18 seasons)", "not measured",
    )  # fmt: skip


def test_found_trend_is_labelled_with_its_number():
    assert groups("secchi_depth", "trend_clarity").labels[:2] == (
        "clearer by 1.2 % a year",
        "less clear by 1.2 % a year",
    )


def test_line_tilts_as_on_the_panel_and_its_wedge_is_the_interval_of_the_slope():
    steep = trend_of(median=1.0, slope_per_year=0.05, slope_low=0.0, slope_high=0.4)
    assert tilt_of(station_trend(steep, "chlorophyll_a"), QUANTITIES["chlorophyll_a"]) == Tilt(45, 0, 85)
    assert tilt_of(station_trend(steep), QUANTITIES["secchi_depth"]) == Tilt(-45, -85, 0)


def test_change_that_may_be_one_step_has_neither_a_tilted_line_nor_a_rate():
    step = station_trend(trend_of("falling", lag1=0.6), "total_phosphorus")
    found = trend_groups(
        ["HM1"], {"HM1": {"total_phosphorus": step}}, replace(CHOICE, map_shows="trend_phosphorus"),
        Programme(),
    )  # fmt: skip
    assert (found.indexes, found.tilts) == ((0,), (None,))
    assert found.labels == ("less total phosphorus (perhaps in one step)",)
    assert found.marks == ("\N{MINUS SIGN} step?",)


@pytest.mark.parametrize("further", [{"slope_per_year": NAN}, {"slope_low": NAN}, {"median": 0.0}])
def test_trend_without_slope_limits_or_median_has_no_line(further):
    assert tilt_of(station_trend(trend_of(**further)), QUANTITIES["secchi_depth"]) is None


def test_samples_in_the_legend_tilt_as_the_stations_do():
    for quantity, shows in (("secchi_depth", "trend_clarity"), ("total_nitrogen", "trend_nitrogen")):
        found = groups(quantity, shows)
        for station, group in enumerate(found.indexes[:2]):
            assert found.tilts[station].degrees * found.sample_tilts[group].degrees > 0


def test_stream_shows_what_it_measures_more_often():
    tube = station_trend(trend_of("rising", readings=90), "transparency_tube")
    disk = station_trend(trend_of("falling", readings=40))
    trends = {"BR1": {"secchi_depth": disk, "transparency_tube": tube}}
    assert trend_groups(["BR1"], trends, CHOICE, Programme()).indexes == (0,)
