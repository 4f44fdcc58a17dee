"""The practice day as a widget: a visit reaches the map, erasing removes it, a new exercise is shown."""

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from explorer.model import words
from explorer.model.practice import Card, Option, View
from explorer.model.programme import Programme
from explorer.practice import exercises
from explorer.practice.turn import Exercise, PracticeState, take_turn, tally
from explorer.practice.visit_sheet import PRACTICE_STATION
from explorer.widgets import PracticeDay, StationExplorer

VISIT_SEED = 0


@pytest.fixture
def day():
    return PracticeDay(Programme(), new_seed=lambda: VISIT_SEED)


def press(day, *codes):
    for code, written in ((code, "") if isinstance(code, str) else code for code in codes):
        day.stage._handle_custom_msg({"code": code, "written": written}, [])


SHEET = (
    "Station,Date,Time,Secchi (m),Bottle,Filter,Observer\r\n"
    "PRA1,2025-0{month}-09,10:05,4.35,250122-1,{filter},Ada\r\n"
)


def make_visit(day, monkeypatch, month=7, filter="250122-2"):
    """Take a visit that ends in a sheet at once; the whole one is taken in the browser."""
    sheet = SHEET.format(month=month, filter=filter).encode()
    short = replace(exercises.EXERCISES["labelling"], data_sheet=lambda state: sheet)
    monkeypatch.setitem(exercises.EXERCISES, "labelling", short)
    press(day, "go:open:labelling", "do:hand_in")


def test_rules_are_those_of_the_programme_and_a_record_is_only_read(demo_record):
    version = demo_record.version()
    assert PracticeDay(demo_record).day.rules.line == "decimetres"
    feet = PracticeDay(Programme(length_unit="ft", practice={"readings": 3, "boat_side": "sunny"})).day.rules
    assert (feet.line, feet.readings, feet.boat_side) == ("tenths", 3, "sunny")
    assert demo_record.version() == version


def test_page_never_holds_the_seed_and_each_try_has_another():
    drawn = iter(range(987_654_321, 987_654_421))
    day = PracticeDay(Programme(), new_seed=lambda: next(drawn))
    press(day, "go:open:labelling")
    first = dict(day.stage.page)
    press(day, "go:again")
    assert day.stage.page["papers"] != first["papers"]
    assert "98765" not in repr(day.stage.page)
    assert "98765" not in repr(day.stage.get_state())


@pytest.mark.parametrize("code", ["disk", "filtering"])
def test_key_never_passes_to_another_button_while_an_exercise_goes_on(code):
    day, draw, keys = PracticeDay(Programme(), iter(range(99)).__next__), Random(code), {}
    day.press(f"go:open:{code}")
    if day.day.screen == "before":
        day.press("go:begin")
    for _ in range(40):
        buttons = [each for row in day.stage.page["rows"] for each in row["buttons"]]
        if day.day.screen != "exercise" or [each["code"] for each in buttons] == ["do:write_total"]:
            break
        for each in buttons:
            assert keys.setdefault(each["key"], each["code"]) == each["code"]
        day.press(draw.choice(buttons)["code"], "4.2")
    assert len(keys) == len(set(keys.values())) > 9


def test_questions_have_the_same_keys_each(day):
    for _ in range(3):
        day.press("go:open:safety")
        for _ in range(4):
            buttons = [each for row in day.stage.page["rows"] for each in row["buttons"]]
            assert [each["key"] for each in buttons] == list("123"[: len(buttons)])
            day.press(buttons[0]["code"])


def test_tries_are_drawn_afresh_without_being_told_how():
    seeds = {PracticeDay(Programme())._new_seed() for _ in range(20)}
    assert len(seeds) == 20


def test_visit_goes_through_the_intake_and_appears_on_the_map(day, monkeypatch):
    make_visit(day, monkeypatch)
    assert day.stage.page["kind"] == "score"
    assert any("nothing waits" in line for each in day.stage.page["lists"] for line in each["lines"])
    assert day.practice_record is not None
    assert day.practice_record.exists()
    press(day, "go:map")
    explorer = next(child for child in day.children if isinstance(child, StationExplorer))
    assert explorer.station == PRACTICE_STATION.code
    assert len(explorer.record.history(PRACTICE_STATION.code).readings) == 1
    assert "Practice Mere" in explorer.screen.heading.value
    day.leave_map.click()
    assert day.stage in day.children
    assert day.stage.page["kind"] == "score"


def test_miscopied_code_is_named_by_the_check_on_the_page(day, monkeypatch):
    make_visit(day, monkeypatch, filter="250371-2")
    lines = [line for each in day.stage.page["lists"] for line in each["lines"]]
    assert any(line.startswith("practice_sheet_1.csv, row 2") and '"Filter"' in line for line in lines)


def test_erasing_removes_the_practice_record(day, monkeypatch):
    make_visit(day, monkeypatch)
    path: Path = day.practice_record
    press(day, "go:erase")
    assert path.exists(), "it asks first"
    press(day, "go:erase_yes")
    assert not path.parent.exists()
    assert day.practice_record is None
    assert day.stage.page["told"] == ("Everything is erased.",)


def test_each_visit_of_a_day_stands_in_the_same_record(monkeypatch):
    day = PracticeDay(Programme(), new_seed=lambda: VISIT_SEED)
    make_visit(day, monkeypatch)
    first = day.practice_record
    press(day, "go:start")
    make_visit(day, monkeypatch, month=8)
    assert day.practice_record == first
    readings = day._record.history(PRACTICE_STATION.code).readings
    assert readings["taken_on"].dt.month.tolist() == [7, 8]


def test_page_to_keep_is_offered_only_where_it_is_shown(day):
    assert day.keep_bar.about == ""
    press(day, "go:keep", ("go:name", "Ada"))
    assert day.keep_bar.about
    assert day.keep_bar.kinds == ["pdf", "csv"]
    name, content = day.keep("pdf")
    assert name.startswith("practice_ada_")
    assert content.startswith(b"%PDF")


def test_unknown_buttons_change_nothing(day):
    before = day.day
    press(day, "", "do:lower:mark", "go:nowhere", "go:open:moon", "x" * 500)
    assert day.day == before


def test_text_size_and_theme_reach_the_page_and_come_back(day):
    day.text_size = "large"
    day.stage.theme = "dark"
    assert (day.stage.text_size, day.theme) == ("large", "dark")


# The smallest exercise: one module's worth, and one entry.


def knot_options(state):
    return () if state.finished else (Option("bowline", "Bowline"), Option("granny", "Granny knot"))


def knot_act(state, action):
    def tie(state, action):
        told = state.tell("practice.tied") if action.code == "bowline" else state.slip("practice.slips")
        return replace(told, finished=True)

    return take_turn(state, action, knot_options(state), dict.fromkeys(("bowline", "granny"), tie))


ROPE = Card("Rope", (("length", "5 m"),))
KNOT = Exercise(
    "knot",
    lambda seed, rules: PracticeState(seed=seed, rules=rules),
    knot_options,
    knot_act,
    lambda state: View(
        "knot", "Which knot?", state.told_in_words(), {}, (ROPE,), finished=state.finished
    ),
    lambda state: tally(state, {"practice.slips": 3}),
    minutes=2,
    cautions=("boat",),
)  # fmt: skip
KNOT_WORDS = {
    "practice.title_knot": "A knot for the anchor",
    "practice.about_knot": "Tie it so that it holds.",
    "practice.tied": "It holds.",
    "practice.slips": "It slips, and the anchor is gone.",
}


def test_exercise_of_one_module_and_one_entry_is_shown_played_and_scored(day, monkeypatch):
    for code, sentence in KNOT_WORDS.items():
        monkeypatch.setitem(words._known("en"), code, sentence)
    monkeypatch.setitem(exercises.EXERCISES, "knot", KNOT)
    press(day, "go:start")
    tile = next(tile for tile in day.stage.page["tiles"] if tile["button"]["code"] == "go:open:knot")
    assert (tile["button"]["label"], tile["minutes"]) == ("A knot for the anchor", "about 2 minutes")
    press(day, "go:open:knot")
    assert [each["title"] for each in day.stage.page["lists"]] == ["Before the boat", "When to stop"]
    press(day, "go:begin")
    page = day.stage.page
    assert (page["task"], page["picture"], page["papers"][0]["title"]) == ("Which knot?", "", "Rope")
    press(day, "do:granny")
    assert day.stage.page["task"].startswith("0 of 3 points")
    assert day.stage.page["told"] == ("It slips, and the anchor is gone.",)
    press(day, "go:again", "do:bowline")
    assert day.stage.page["task"].startswith("3 of 3 points")
    assert [each.exercise for each in day.day.learner.practised] == ["knot", "knot"]
