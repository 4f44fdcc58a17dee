"""Practice pages: what is on them, which key presses what, and that nothing hidden is among it."""

import json
from dataclasses import asdict
from random import Random
from xml.etree import ElementTree

import pytest

from explorer.display.practice_day_page import build_day_page
from explorer.display.practice_page import build_exercise_page
from explorer.display.practice_pictures import PICTURES, picture_of
from explorer.model.practice import Card, Option, View
from explorer.model.practice_rules import PracticeRules
from explorer.practice.day import Day, do, go, on_screen
from explorer.practice.exercises import EXERCISES

RULES = PracticeRules()
LINES = ("decimetres", "tenths", "inches")
WRITTEN = ("4.35", "12.5", "12 ft 5 in", "500", "Ada", "<b>Ben</b>", "0.25")


def wandered(code: str, seed: int, steps: int = 40):
    """Yield the pages of somebody who does anything that is possible."""
    draw, rules = Random(seed), PracticeRules(line=LINES[seed % 3], viewer=bool(seed % 2))
    day = go(Day(rules), f"open:{code}", seed=900_000_000 + seed)
    yield build_day_page(day)
    day = go(day, "begin", seed=900_000_000 + seed) if day.screen == "before" else day
    for _ in range(steps):
        yield build_day_page(day)
        options = day.exercise.options(day.state)
        if day.screen != "exercise" or not options:
            break
        day = do(day, draw.choice(options).code, draw.choice(WRITTEN))
    yield build_day_page(day)


@pytest.mark.parametrize("code", on_screen())
@pytest.mark.parametrize("seed", range(4))
def test_every_page_can_be_sent_and_its_picture_is_sound(code, seed):
    for page in wandered(code, seed):
        text = json.dumps(asdict(page), allow_nan=False)
        assert "9000000" not in text, "the seed stands on no page"
        assert page.title
        assert page.task
        if page.picture:
            svg = ElementTree.fromstring(page.picture)
            assert svg.get("role") == "img"
            assert svg.get("aria-label")
            assert "nan" not in page.picture
            assert "inf" not in page.picture.replace("infl", "")


@pytest.mark.parametrize("code", on_screen())
def test_keys_press_one_button_each_and_buttons_differ(code):
    for page in wandered(code, 1):
        buttons = [
            *(tile.button for tile in page.tiles),
            *(each for row in page.rows for each in row.buttons),
            *page.ways,
            *(line.button for paper in page.papers for line in paper.lines if line.button),
        ]  # fmt: skip
        keys = [button.key for button in buttons if button.key]
        assert sorted(keys) == sorted(set(keys))
        asked_first = [each for row in page.rows for each in row.buttons] or page.ways
        assert all(each.key for each in asked_first), "everything can be done by one key"
        codes = [button.code for button in buttons]
        assert sorted(codes) == sorted(set(codes))


def test_every_scene_of_an_exercise_has_a_picture_or_papers():
    scenes = set()
    for code in on_screen():
        for page in wandered(code, 2):
            scenes.add(page.scene)
    assert scenes - PICTURES.keys() == {"", "papers"}


def test_start_page_has_every_exercise_with_its_minutes_and_safety_first():
    page = build_day_page(Day(RULES))
    assert [tile.button.code for tile in page.tiles] == [f"go:open:{code}" for code in on_screen()]
    assert page.tiles[0].button.label == "Safety first"
    assert all(tile.minutes.startswith("about ") for tile in page.tiles)
    assert "decide" in page.caution


def test_what_is_written_next_stands_first_and_keys_stay_with_their_buttons():
    view = View("none", "Write", (), {}, ())
    options = [Option("lower", "Lower", "Line"), Option("write", "Write", "Sheet", "Depth")]
    page = build_exercise_page("exercise", "Test", view, options, (), RULES)
    assert [row.title for row in page.rows] == ["Sheet", "Line"]
    assert [row.buttons[0].key for row in page.rows] == ["2", "1"]


def test_option_of_a_line_stands_at_the_line_of_its_paper():
    view = View(
        "papers",
        "Mark",
        (),
        {},
        (Card("Label", (("date", "May"), ("code", "1"))), Card("Sheet", (("date", "June"),))),
    )
    options = [Option("mark:a", "date: May", "Label", line="date"), Option("stop", "Stop", "Done")]
    page = build_exercise_page("exercise", "Test", view, options, (), RULES)
    at_lines = [[line.button.code if line.button else "" for line in paper.lines] for paper in page.papers]
    assert at_lines == [["do:mark:a", ""], [""]]
    assert [row.title for row in page.rows] == ["Done"]


def test_score_page_says_what_went_well_and_each_slip_with_its_reason():
    day = go(go(Day(RULES), "open:filtering", seed=5), "begin", seed=5)
    for code, written in (
        ("take:cylinder", ""), ("pour:splash", ""), ("into_funnel", ""), ("pump:hard", ""), ("stop", ""),
        ("write_total", "0.5"),
    ):  # fmt: skip
        day = do(day, code, written)
    page = build_day_page(day)
    again = next(each for each in page.lists if each.kind == "slip")
    assert any("bursts cells" in line for line in again.lines)
    assert any("was not mixed" in line for line in again.lines)
    assert page.title == "Filtering: how it went"
    assert "go:map" not in [way.code for way in page.ways]


def test_picture_of_an_unknown_scene_is_none_and_its_page_stands():
    view = View("moon", "Which?", (), {}, ())
    assert picture_of(view, RULES) == ""
    assert build_exercise_page("exercise", "Test", view, [], ("start",), RULES).ways[0].key == "1"


def test_all_pages_are_in_the_registry_order_of_a_day():
    assert list(on_screen()) == [*EXERCISES, "group"]
