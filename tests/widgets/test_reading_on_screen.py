"""Behind a reading on the screen, and marks: who may write, what is written, what is then shown."""

import shutil

import pytest

from explorer import open_record
from explorer.records.past import changes_of
from explorer.widgets import StationExplorer


@pytest.fixture
def writing(demo_record, tmp_path):
    """The explorer on a record in one file, opened by somebody who may write."""
    path = shutil.copy(demo_record.path, tmp_path / "lakes.gpkg")
    explorer = StationExplorer(open_record(path), writer=" Ada ")
    explorer.pick("FER1")
    return explorer


@pytest.fixture
def reading(explorer):
    explorer.pick("FER1")
    return explorer


def place_of(explorer, panel, row):
    page = explorer.page
    reading = page.panels[panel].readings.iloc[row]
    return (reading["when"] - page.first_year) / (page.last_year + 1 - page.first_year), reading["place"]


def test_click_on_a_dot_opens_the_fold_behind_it(reading):
    row = int(reading.page.panels[2].measured.rows[-1])
    across, up = place_of(reading, 2, row)
    sent = []
    reading.folds.origin.fold.region.send = sent.append
    reading.screen.pointer._handle_custom_msg({"panel": 2, "across": across, "up": up, "clicked": True}, [])
    assert reading.reading == reading.page.panels[2].readings["reading_id"].iloc[row]
    assert reading.folds.origin.fold.expanded
    assert sent == [{"part": ""}]
    assert "Total phosphorus on" in reading.folds.origin.origin.value
    assert reading.folds.origin.readings.value == reading.reading


def test_pointer_that_only_moves_opens_nothing(reading):
    across, up = place_of(reading, 2, 3)
    reading.screen.pointer._handle_custom_msg({"panel": 2, "across": across, "up": up}, [])
    assert (reading.reading, reading.folds.origin.fold.expanded) == (0, False)


def test_click_beside_all_dots_opens_nothing(reading):
    reading.screen.pointer._handle_custom_msg({"panel": 2, "across": 0.0, "up": 1.0, "clicked": True}, [])
    assert not reading.folds.origin.fold.expanded


def test_list_picks_a_reading_from_the_keyboard(reading):
    view = reading.folds.origin
    view.fold.expanded = True
    assert view.origin.value == ""
    view.quantities.value = 1
    latest = int(reading.page.panels[1].readings["reading_id"].iloc[-1])
    assert reading.reading == view.readings.value == latest
    assert "Chlorophyll a on" in view.origin.value
    view.readings.value = view.readings.options[4][1]
    assert reading.reading == view.readings.options[4][1]


def test_other_station_has_nothing_picked(reading):
    view = reading.folds.origin
    view.fold.expanded = True
    view.quantities.value = 1
    reading.pick("VEL1")
    assert (view.readings.value, view.origin.value) == (None, "")
    assert view.form.widget.layout.display == "none"


def words_of(form):
    return " ".join(getattr(part, "value", "") for part in form.widget.children)


def test_screen_that_only_reads_has_no_form_and_says_how(reading):
    form = reading.folds.origin.form
    assert form.write not in form.widget.children
    assert "--write --as NAME" in words_of(form)


def test_screen_that_only_reads_writes_nothing_whatever_is_sent(reading):
    view = reading.folds.origin
    view.fold.expanded = True
    view.quantities.value = 1
    version = reading.record.version()
    view.form.marks.value, view.form.remark.value = "accept", "why"
    view.form.write.click()
    assert "This screen only reads" in view.form.said.value
    assert reading.record.version() == version


def test_demo_cannot_be_marked_and_says_so_kindly(demo_record):
    explorer = StationExplorer(demo_record, writer="Ada")
    form = explorer.folds.origin.form
    assert form.write not in form.widget.children
    assert "is read afresh at each opening" in words_of(form)


def picked_to_mark(explorer):
    view = explorer.folds.origin
    view.fold.expanded = True
    view.quantities.value = 2
    return view


def test_mark_is_written_and_shown_at_once(writing):
    view = picked_to_mark(writing)
    before, count = writing.reading, len(writing.page.panels[2].held.rows)
    view.form.marks.value = "ask_the_laboratory"
    view.form.remark.value = "Ten times too high"
    view.form.write.click()
    assert "Written as version 2" in view.form.said.value
    assert view.form.remark.value == ""
    assert writing.reading != before
    assert "marked by Ada" in view.origin.value
    assert "Why: Ten times too high" in view.origin.value
    assert len(writing.page.panels[2].held.rows) == count + 1
    assert (changes_of(writing.record)[-1].who, writing.record.version()) == ("Ada", 2)


def test_hasty_press_decides_nothing(writing):
    view = picked_to_mark(writing)
    assert view.form.marks.value == ""
    view.form.remark.value = "seen"
    view.form.write.click()
    assert "Choose first" in view.form.said.value
    assert view.form.remark.value == "seen"
    assert writing.record.version() == 1
    view.form.marks.value = "hold"
    assert "left out of all values" in view.form.what.value
    view.quantities.value = 1
    assert view.form.marks.value == "", "what was chosen for one reading is not chosen for the next"


def test_choice_is_gone_once_it_is_written(writing):
    view = picked_to_mark(writing)
    view.form.marks.value, view.form.remark.value = "hold", "seen"
    view.form.write.click()
    assert view.form.marks.value == ""
    view.form.write.click()
    assert writing.record.version() == 2


def test_mark_without_a_remark_is_kindly_refused(writing):
    view = picked_to_mark(writing)
    view.form.marks.value = "accept"
    view.form.remark.value = "   "
    view.form.write.click()
    assert "A mark needs a remark" in view.form.said.value
    assert writing.record.version() == 1


def test_two_screens_mark_the_same_reading_and_the_second_is_told(writing):
    other = StationExplorer(open_record(writing.record.path), writer="Bea")
    other.pick("FER1")
    for explorer in (writing, other):
        form = picked_to_mark(explorer).form
        form.marks.value, form.remark.value = "accept", f"by {explorer.writer}"
    writing.folds.origin.form.write.click()
    other.folds.origin.form.write.click()
    assert other.folds.origin.form.remark.value == "by Bea"
    assert "Written" not in other.folds.origin.form.said.value
    assert [change.who for change in changes_of(writing.record)] == ["", "Ada"]


def test_accepting_gives_a_held_reading_back(writing):
    view = picked_to_mark(writing)
    for decided in ("hold", "accept"):
        view.form.marks.value = decided
        view.form.remark.value = decided
        view.form.write.click()
    panel = writing.page.panels[2]
    row = panel.readings.index[panel.readings["reading_id"] == writing.reading][0]
    assert panel.readings["status"].iloc[row] == "accepted with a remark"
    assert row in panel.measured.rows
    assert writing.record.version() == 3


def test_picked_reading_stays_ringed_while_the_pointer_is_elsewhere(reading):
    view = reading.folds.origin
    view.fold.expanded = True
    view.quantities.value = 1
    panel = reading.screen.panels[1]
    assert str(reading.page.panels[1].readings["taken_on"].iloc[-1].year) in panel.said.value
    reading.point(-1, 0.0, 0.0)
    assert panel.said.value != ""
    reading.pick("VEL1")
    assert all(each.said.value == "" for each in reading.screen.panels)


def test_words_of_a_mark_are_gone_with_the_next_reading(writing):
    view = picked_to_mark(writing)
    view.form.remark.value = "seen"
    view.form.write.click()
    view.readings.value = view.readings.options[3][1]
    assert (view.form.said.value, view.form.remark.value) == ("", "")
