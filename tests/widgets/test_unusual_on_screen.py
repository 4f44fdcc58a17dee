"""Unusual readings on the screen: a pick there rings its dot, a picked dot shows its entry."""

import shutil

import pytest

from explorer.display.reading_choice import reading_at
from explorer.model.calendar import Period
from explorer.records.opening import open_record
from explorer.widgets import StationExplorer


@pytest.fixture
def picked(explorer):
    explorer.pick("FER1")
    explorer.folds.unusual.fold.expanded = True
    return explorer


def ids(view):
    return [number for _, entries in view.readings.groups for _, number in entries]


def on_a_panel(explorer, view):
    return next(each for each in ids(view) if reading_at(explorer.page, each))


def test_list_is_made_only_while_the_fold_is_open(explorer):
    explorer.pick("FER1")
    assert explorer.folds.unusual.readings.groups == []


def test_pick_in_the_list_picks_the_reading_and_opens_what_is_behind_it(picked):
    view = picked.folds.unusual
    number = on_a_panel(picked, view)
    view.readings.picked = number
    assert picked.reading == number
    assert picked.folds.origin.fold.expanded
    assert "<h3>" in picked.folds.origin.origin.value
    assert "unusual-next" in view.entry.value


def test_picked_dot_shows_its_entry(picked):
    view = picked.folds.unusual
    number = on_a_panel(picked, view)
    picked.reading = number
    assert view.readings.picked == number
    assert "unusual-next" in view.entry.value
    usual = next(
        each for each in picked.page.panels[2].readings["reading_id"].tolist() if each not in ids(view)
    )
    picked.reading = usual
    assert view.readings.picked == 0
    assert view.entry.value == ""
    assert "is not one of them" in view.fold.region.html


def test_reading_that_is_on_no_panel_shows_where_it_comes_from(picked):
    view = picked.folds.unusual
    number = next(each for each in ids(view) if reading_at(picked.page, each) is None)
    view.readings.picked = number
    assert "<h3>" in picked.folds.origin.origin.value
    menus = picked.folds.origin
    assert menus.quantities.label == "on no panel"
    assert [reading for _, reading in menus.readings.options] == [number]
    menus.quantities.value = 1
    assert reading_at(picked.page, picked.reading)[0] == 1
    assert "on no panel" not in [name for name, _ in menus.quantities.options]


def test_other_station_lets_go_of_the_entry(picked):
    view = picked.folds.unusual
    view.readings.picked = ids(view)[0]
    before = ids(view)
    picked.pick("HOL1")
    assert view.entry.value == ""
    assert picked.folds.origin.origin.value == ""
    assert not {*before} & {*ids(view)}


def test_list_of_what_waits_leads_to_station_and_reading(picked):
    view = picked.folds.decisions
    view.fold.expanded = True
    rows = picked.pages.departures
    other = rows[rows["station_code"] == "VEL1"]["reading_id"].iloc[0]
    picked.reading = ids(picked.folds.unusual)[0]
    seen = []
    view.readings.observe(lambda change: seen.append(change["new"]), names="picked")
    view.readings.picked = int(other)
    assert set(seen) == {other}, "the earlier pick does not come back between"
    assert (picked.station, picked.reading) == ("VEL1", other)
    assert picked.folds.unusual.fold.expanded
    assert picked.folds.unusual.readings.picked == other
    assert view.readings.picked == other


def test_what_waits_is_listed_before_a_station_is_picked(explorer):
    explorer.folds.decisions.fold.expanded = True
    assert len(ids(explorer.folds.decisions)) > 100


def test_mark_takes_a_reading_off_what_waits(demo_record, tmp_path):
    path = shutil.copy(demo_record.path, tmp_path / "lakes.gpkg")
    explorer = StationExplorer(open_record(path), writer="Ada Reed")
    explorer.pick("FER1")
    explorer.folds.decisions.fold.expanded = True
    explorer.folds.unusual.fold.expanded = True
    before = len(explorer.pages.departures)
    number = ids(explorer.folds.unusual)[0]
    explorer.folds.unusual.readings.picked = number
    explorer.folds.mark("accept", "The sheet says the same.")
    assert len(explorer.pages.departures) == before
    assert explorer.reading not in ids(explorer.folds.decisions)
    title, entries = explorer.folds.unusual.readings.groups[-1]
    assert (title, [each for _, each in entries]) == ("Decided on (1)", [explorer.reading])
    assert explorer.folds.unusual.readings.picked == explorer.reading
    explorer.record.close()


def test_map_by_unusual_readings_follows_the_period_and_stands_in_the_address(picked):
    picked.map_shows = "unusual"
    assert "map=unusual" in picked.screen.page_link.address
    groups = picked.screen.map_view.page.groups
    assert groups.caption.endswith("in 2025")
    picked.pick_period(Period(2021, 2021))
    flooded = picked.screen.map_view.page.groups
    assert flooded.caption.endswith("in 2021")
    assert sum(index >= 0 for index in flooded.indexes) > sum(index >= 0 for index in groups.indexes)
    assert "stroke-dasharray" in picked.screen.map_view.colours
