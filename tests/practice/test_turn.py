"""A turn: what cannot be gets a reason, a mistake costs once, a number is read with point or comma."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.model.practice import Action, Option, Remark
from explorer.model.practice_rules import PracticeRules
from explorer.model.programme import Programme
from explorer.practice.agreement import (
    AGREEING_SHARE,
    agreeing_range,
    bias_of_readings,
    readings_agree,
    spread_share,
)
from explorer.practice.safety import LIGHTNING_WAIT_MINUTES
from explorer.practice.turn import PracticeState, take_turn, tally, written_number

STATE = PracticeState(seed=1, rules=PracticeRules())
OPTIONS = (Option("write:depth", "Write", asks="Depth"), Option("wait", "Wait"))
DEEDS = {
    "write": lambda state, action: state.tell("practice.question", number=action.written, of=action.target),
    "wait": lambda state, _: state,
}


@pytest.mark.parametrize(("action", "code"), [
    (Action("fly"), "not_now"), (Action("write"), "not_now"), (Action("write:depth"), "nothing_written"),
    (Action("write:depth", "   "), "nothing_written"), (Action("write:depth", "9" * 41), "written_too_long"),
    ("wait", "not_understood"), (None, "not_understood"), (Action(3), "not_understood"),
    (Action("wait", None), "not_understood"),
])  # fmt: skip
def test_action_that_cannot_be_changes_nothing_and_says_why(action, code):
    found = take_turn(STATE, action, OPTIONS, DEEDS)
    assert [remark.code for remark in found.told] == [f"practice.{code}"]
    assert (found.mistakes, found.finished) == ((), False)


def test_action_gets_its_target_and_what_was_written_without_its_blanks():
    found = take_turn(STATE, Action("write:depth", "  4.35 "), OPTIONS, DEEDS)
    assert str(found.told[0]) == "Question 4.35 of depth"


def test_reason_of_the_last_action_goes_with_the_next():
    told = take_turn(STATE, Action("fly"), OPTIONS, DEEDS)
    assert take_turn(told, Action("wait"), OPTIONS, DEEDS).told == ()


def test_finished_exercise_takes_no_action():
    done = PracticeState(seed=1, rules=PracticeRules(), finished=True)
    assert take_turn(done, Action("wait"), OPTIONS, DEEDS).told[0].code == "practice.finished_already"


def test_mistake_made_again_costs_once_and_is_named_once():
    done = PracticeState(seed=1, rules=PracticeRules(), finished=True)
    done = done.slip("practice.not_now").slip("practice.not_now").slip("practice.unfinished")
    found = tally(done, {"practice.not_now": 2, "practice.unfinished": 1, "practice.questions": 4})
    assert (found.points, found.of) == (4, 7)
    assert [m.code for m in found.mistakes] == ["practice.not_now", "practice.unfinished"]


def test_mistake_without_a_cost_is_an_error_of_the_exercise():
    with pytest.raises(KeyError):
        tally(PracticeState(seed=1, rules=PracticeRules(), finished=True).slip("practice.not_now"), {})


@pytest.mark.parametrize(("text", "number"), [("4.35", 4.35), ("4,35", 4.35), ("0", 0.0), ("007", 7.0)])
def test_number_is_read_with_point_or_comma(text, number):
    assert written_number(text) == number


@given(text=st.text(max_size=40))
def test_any_text_is_a_number_of_zero_or_more_or_none(text):
    found = written_number(text)
    assert found is None or 0 <= found < 1e6 + 1


def test_rules_of_a_programme_are_its_unit_and_language():
    assert Programme(length_unit="ft").practice_rules.line == "tenths"
    assert Programme().practice_rules.line == "decimetres"


def test_remark_says_its_values():
    assert str(Remark("practice.question", {"number": "1", "of": "2"})) == "Question 1 of 2"


@given(readings=st.lists(st.floats(0.5, 20.0), min_size=2, max_size=8), factor=st.floats(0.1, 10.0))
def test_agreement_does_not_depend_on_the_unit(readings, factor):
    scaled = [factor * reading for reading in readings]
    assert spread_share(scaled) == pytest.approx(spread_share(readings), abs=1e-6)
    bias, same = bias_of_readings(readings, 5.0, 0.1), bias_of_readings(scaled, 5.0 * factor, 0.1 * factor)
    assert (bias.low, bias.value, bias.high) == pytest.approx((same.low, same.value, same.high), abs=1e-6)
    assert bias.low < bias.value < bias.high


def test_agreement_of_too_few_readings_is_not_known():
    assert (spread_share([4.0]), spread_share([0.0, 0.0]), bias_of_readings([4.0], 4.0, 0.1)) == (
        None,
        None,
        None,
    )
    assert readings_agree([4.0], 0.1)


def test_limits_of_a_bias_agree_with_students_table():
    # t for 4 degrees of freedom, two-sided 95 %: 2.776 (Student's table, from memory); no resolution
    bias = bias_of_readings([9.0, 9.5, 10.0, 10.5, 11.0], 10.0, 0.0)
    assert bias.high - bias.value == pytest.approx(2.776 * 7.9057 / 5**0.5, abs=0.005)


def test_two_coarse_steps_apart_still_agree():
    assert readings_agree([0.4, 0.6], 0.1)
    assert not readings_agree([0.4, 0.7], 0.1)


def published(quantity: str) -> float:
    table = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
    return float(table.set_index("quantity").loc[quantity, "expected"])


def test_wait_after_thunder_is_that_of_the_published_rule():
    assert published("wait after thunder") == LIGHTNING_WAIT_MINUTES


def test_readings_agree_within_what_the_published_check_of_a_line_allows():
    assert published("line check within") == AGREEING_SHARE


@given(st.floats(0.2, 20.0), st.floats(0.2, 20.0), st.sampled_from([0.0254, 0.03048, 0.1]))
def test_readings_inside_the_agreeing_range_are_those_that_agree(middle, other, resolution):
    low, high = agreeing_range(middle, resolution)
    if min(abs(other - low), abs(other - high)) > 1e-9:
        assert (low <= other <= high) == readings_agree([middle, other], resolution)
