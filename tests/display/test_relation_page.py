"""What goes together, visit by visit: the points, the limits, the line, the list and the words."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from explorer import demo_folder, open_record
from explorer.analysis.pairs import visit_pairs
from explorer.display.choice import Choice
from explorer.display.record_pages import RecordPages
from explorer.display.relation_page import build_relation_page
from explorer.display.together import together_lines
from explorer.model.calendar import Period
from explorer.model.history import StationHistory


@pytest.fixture(scope="module")
def pages():
    return RecordPages(open_record(demo_folder()))


@pytest.fixture(scope="module")
def shown(pages):
    return pages.station(Choice("TES1", Period(2025, 2025)))


@pytest.fixture(scope="module")
def page(pages, shown):
    return pages.relations(shown)


def test_every_pair_of_the_record_is_one_point(page, shown):
    for plot, (across, up) in zip(
        page.plots, [("total_phosphorus", "chlorophyll_a"), ("chlorophyll_a", "secchi_depth")], strict=True
    ):
        pairs = visit_pairs(shown.history.readings, across, up)
        assert [point.day for point in plot.points] == [f"{day:%Y-%m-%d}" for day in pairs["taken_on"]]
        places = [point.across for point in plot.points]
        slope = np.polyfit(np.log(pairs["first"]), places, 1)
        assert np.polyval(slope, np.log(pairs["first"])) == pytest.approx(places, abs=1e-9)
        assert all(0 <= point.across <= 1 and 0 <= point.up <= 1 for point in plot.points)


def test_clarity_runs_down_from_the_surface(page):
    plot = page.plots[1]
    deepest = min(plot.points, key=lambda point: point.up)
    depth = [float(dict(point.readings)["clarity"].split("\N{NO-BREAK SPACE}")[0]) for point in plot.points]
    assert float(dict(deepest.readings)["clarity"].split("\N{NO-BREAK SPACE}")[0]) == max(depth)
    assert plot.up_title == "Clarity, m, down from the surface"


def test_plot_of_a_single_visit_has_ticks_on_both_axes(pages, shown):
    readings = shown.history.readings
    day = readings.loc[readings["quantity"] == "chlorophyll_a", "taken_on"].iloc[0]
    alone = replace(shown.history, readings=readings[readings["taken_on"] == day])
    for plot in build_relation_page(alone, shown.seasons, shown.choice, pages.programme).plots:
        assert len(plot.points) == 1
        assert plot.across_ticks
        assert plot.up_ticks


def test_list_names_every_visit_once_the_latest_first(page):
    days = [day for _, day in page.days]
    assert days == sorted({point.day for plot in page.plots for point in plot.points}, reverse=True)
    assert page.days_title == "Visits: total phosphorus, chlorophyll a, clarity"
    assert all(words.count(",") == 2 for words, _ in page.days)


def test_words_are_those_of_what_goes_together(page, pages, shown):
    assert page.lines == tuple(together_lines(shown.seasons, shown.choice, pages.programme))
    assert page.lines_title == "Carlson's relations in 2025"


def test_points_outside_the_picked_period_are_not_inside(pages, shown):
    choice = replace(shown.choice, period=Period(2010, 2011), picked=True)
    plot = build_relation_page(shown.history, shown.seasons, choice, pages.programme).plots[0]
    assert {point.day[:4] for point in plot.points if point.inside} == {"2010", "2011"}


SIGNS = [  # sign of phosphorus, of chlorophyll, of clarity; turns of the two triangles
    ("=", "=", "=", None, None),
    ("<", "=", "=", 90.0, None),
    ("=", "<", "=", 0.0, 90.0),
    ("<", "<", ">", 45.0, 45.0),
    ("=", "=", ">", None, 0.0),
    ("=", ">", "<", 180.0, 225.0),
]


@pytest.mark.parametrize(("phosphorus", "chlorophyll", "clarity", "first", "second"), SIGNS)
def test_triangle_of_a_limit_points_to_where_the_value_lies(
    pages, shown, phosphorus, chlorophyll, clarity, first, second
):
    day = shown.history.readings["taken_on"].max()
    readings = shown.history.readings
    readings = readings[(readings["taken_on"] == day) & (readings["stratum"] == "surface")].copy()
    codes = {"total_phosphorus": phosphorus, "chlorophyll_a": chlorophyll, "secchi_depth": clarity}
    readings["sign"] = readings["quantity"].map(codes).fillna("=")
    history = StationHistory(shown.history.station, shown.history.lake, readings, 1)
    made = build_relation_page(history, shown.seasons, shown.choice, pages.programme)
    turns = [plot.points[0].turn for plot in made.plots]
    assert turns == [first, second]


def test_station_without_pairs_says_so(pages, shown):
    empty = StationHistory(shown.history.station, shown.history.lake, shown.history.readings.iloc[:0], 1)
    made = build_relation_page(empty, shown.seasons.iloc[:0], shown.choice, pages.programme)
    assert made.plots == ()
    assert made.message.startswith("No visit measured two of these together")


def test_stream_has_no_line_and_no_relations(pages):
    stream = next(
        station.code
        for station in pages.record.station_list()
        if pages.record.lakes()[station.lake_code].kind == "stream"
    )
    made = pages.relations(pages.station(Choice(stream, Period(2025, 2025))))
    assert made.lines == ()
    assert all(plot.line == () for plot in made.plots)


def test_picked_days_stay_strong_on_the_panels_and_in_no_file(pages, shown):
    days = tuple(day for _, day in pages.relations(shown).days[:3])
    picked = pages.station(replace(shown.choice, days=days)).page
    for panel in picked.panels:
        strong = panel.readings["taken_on"].isin(pd.to_datetime(days))
        dots = panel.measured
        assert dots.inside.tolist() == strong.iloc[dots.rows].tolist()
        assert panel.readings["inside"].all()
