"""The folds under the panels: made only while they are open, and in step with the station on the screen."""

import pytest


@pytest.fixture
def picked(explorer):
    explorer.pick("FER1")
    return explorer


def test_profiles_are_made_only_while_the_fold_is_open(picked):
    view = picked.folds.profiles
    assert view.day.value == ""
    view.fold.expanded = True
    assert "profile-svg" in view.day.value
    assert view.fold.body.layout.display == ""
    view.fold.expanded = False
    before = view.day.value
    picked.pick("VEL1")
    assert view.day.value == before
    assert view.fold.body.layout.display == "none"


def test_profile_of_a_chosen_day_follows_menu_and_trait(picked):
    view = picked.folds.profiles
    view.fold.expanded = True
    label, visit = view.days.options[3]
    view.days.value = visit
    assert picked.profile_visit == visit
    date = label.split(",")[0]
    assert f"The readings of {date}" in view.day.value
    picked.profile_visit = view.days.options[0][1]
    assert view.days.value == view.days.options[0][1]


def test_profile_quantity_follows_the_menu(picked):
    view = picked.folds.profiles
    view.fold.expanded = True
    view.quantities.value = "dissolved_oxygen"
    assert picked.profile_quantity == "dissolved_oxygen"
    assert "Dissolved oxygen on all days" in view.seasons.value


def test_profiles_follow_another_station_and_say_where_there_are_none(picked):
    view = picked.folds.profiles
    view.fold.expanded = True
    picked.pick("VEL1")
    assert "24 September 2022" in view.day.value
    picked.pick("ASK1")
    assert "Nobody has read a probe" in view.fold.region.html
    assert view.day.layout.display == "none"
    picked.pick("FER1")
    assert view.day.layout.display == ""


def strong_days(explorer, panel):
    page = explorer.page.panels[panel]
    rows = page.measured.rows[page.measured.inside]
    return {f"{day:%Y-%m-%d}" for day in page.readings["taken_on"].iloc[rows]}


def test_frame_around_points_picks_their_visits_in_all_views(picked):
    view = picked.folds.relations
    view.fold.expanded = True
    days = sorted({point["day"] for point in view.plots.plots[0]["points"]})[:4]
    view.plots.days = days  # as the frame does
    assert picked.days == tuple(days)
    assert set(view.visits.value) == set(days)
    assert view.picked.value == "4 visits picked."
    for panel in range(3):
        assert strong_days(picked, panel) == set(days)
    view.plots.days = []  # as Escape does
    assert picked.days == ()
    assert len(strong_days(picked, 1)) > 100


def test_list_of_visits_picks_the_same(picked):
    view = picked.folds.relations
    view.fold.expanded = True
    day = view.visits.options[0][1]
    view.visits.value = (day,)
    assert (picked.days, view.plots.days) == ((day,), [day])
    assert view.all_visits.layout.visibility == "visible"
    view.all_visits.click()
    assert (picked.days, view.plots.days, view.visits.value) == ((), [], ())


def test_other_station_lets_go_of_picked_visits_and_is_drawn_once(picked, monkeypatch):
    view = picked.folds.relations
    view.fold.expanded = True
    view.plots.days = [view.visits.options[0][1]]
    drawn = []
    show = picked.screen.show_station
    monkeypatch.setattr(picked.screen, "show_station", lambda *page: drawn.append(page) or show(*page))
    picked.pick("VEL1")
    assert picked.days == ()
    assert len(drawn) == 1
    assert view.plots.days == []


def test_relations_are_made_only_while_the_fold_is_open(picked):
    assert picked.folds.relations.plots.plots == []
