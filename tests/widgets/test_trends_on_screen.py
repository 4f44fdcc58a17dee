"""Trends where a reader meets them: the heading, the panels, the legend."""

import numpy as np
import pytest

from explorer.display.address import view_of
from explorer.model.calendar import Period


@pytest.fixture
def picked(explorer):
    explorer.pick("FER1")
    return explorer


def lines(explorer):
    return [view.trend for view in explorer.screen.panels]


def drawn(explorer):
    return [not np.isnan(line.x).all() for line in lines(explorer)]


def test_heading_tells_the_trend_of_the_whole_record(picked):
    heading = picked.screen.heading.value
    assert '<p class="change-line">There is more chlorophyll a in the water: about ' in heading
    assert "in 20 seasons × 5 months from 2006 to 2025." in heading
    assert "Also found: less clear by " in heading


def test_trend_lines_are_drawn_where_trends_were_found_and_the_legend_says_what_they_are(picked):
    assert drawn(picked) == [True, True, True, False]
    assert "legend-trend" in picked.screen.legend.value
    before = lines(picked)
    picked.pick("ASK1")
    assert drawn(picked) == [False] * 4
    assert "legend-trend" not in picked.screen.legend.value
    assert all(first is second for first, second in zip(before, lines(picked), strict=True))


def test_picked_period_has_neither_line_nor_word_of_trend(picked):
    picked.period = Period(2010, 2020)
    assert drawn(picked) == [False] * 4
    assert "change-line" not in picked.screen.heading.value
    assert "Period chosen by you." in picked.screen.heading.value
    picked.period = None
    assert drawn(picked)[0]


def test_trend_marks_are_sent_with_the_panel(picked):
    for view in picked.screen.panels:
        assert view.trend in view.figure.marks


def test_map_by_trend_sorts_and_tilts_stations_without_sending_them_anew(picked):
    view = picked.screen.map_view
    layer, classes = view.stations, view.colours
    picked.map_shows = "trend_phosphorus"
    assert view.stations is layer
    assert "marker-start:url(#se-tilt-" in view.colours
    assert view.colours.count("<marker id=") == len(set(view.page.groups.tilts) - {None})
    assert 'class="tilt-line"' in view._legend.value
    worse = view.page.codes.index("FER1")
    assert view.page.groups.indexes[worse] == 2
    assert view.page.groups.labels[worse].startswith("more total phosphorus by 6")
    listed = {code: words for words, code in picked.screen.station_list.found.options}
    assert listed["FER1"].endswith("(+6.2\N{NO-BREAK SPACE}%)".replace("\N{NO-BREAK SPACE}", " "))
    picked.map_shows = "class"
    assert view.colours == classes


def test_picked_period_leaves_the_map_by_trend_as_it_is(picked):
    picked.map_shows = "trend_clarity"
    before = picked.screen.map_view.colours
    picked.period = Period(2010, 2020)
    assert picked.screen.map_view.colours == before


def test_address_holds_the_map_by_trend(picked):
    picked.map_shows = "trend_clarity"
    assert "map=trend_clarity" in picked.screen.page_link.address
    picked.map_shows = "class"
    picked.follow(view_of("map=trend_nitrogen"))
    assert picked.map_shows == "trend_nitrogen"


def test_fold_says_what_is_changing_and_follows_another_station(picked):
    view = picked.folds.trends
    assert view.trends.value == ""
    view.fold.expanded = True
    assert "The water has become less clear: about " in view.trends.value
    assert "Kendall&#x27;s S" in view.numbers.value
    picked.pick("ASK1")
    assert "No trend found in clarity" in view.trends.value


def test_date_that_was_entered_is_compared_and_stays_with_the_reader(picked):
    view = picked.folds.trends
    view.fold.expanded = True
    picked.pick("TES1")
    view.date.value = "2014-04-15"
    assert picked.change_on == "2014-04-15"
    assert "Before and after 15 April 2014" in view.change.value
    assert "The water is clearer than before" in view.change.value
    picked.pick("TES2")
    assert view.date.value == "2014-04-15"
    assert "The water is clearer than before" in view.change.value
    picked.change_on = "<script>"
    assert view.date.value == "<script>"
    assert "&lt;script&gt;" in view.change.value


def test_fold_tells_no_trend_of_a_picked_period_but_still_compares_a_date(picked):
    view = picked.folds.trends
    view.fold.expanded = True
    picked.period = Period(2010, 2015)
    assert "You picked 2010 to 2015." in view.fold.region.html
    assert (view.trends.value, view.numbers.value) == ("", "")
    picked.change_on = "2014-04-15"
    assert "Before and after 15 April 2014" in view.change.value
