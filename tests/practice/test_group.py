"""A group: nothing is shown before all is, spread and agreement then, and a likely reason for each apart."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.model.practice import Action
from explorer.model.practice_rules import PracticeRules
from explorer.practice.group import MOST_MEMBERS, act, options, score, start, view
from explorer.practice.group_state import LONGEST_NICKNAME, nickname_from


def group_of(readings: dict[str, str], line: str = "decimetres", reveal: bool = True):
    state = start(0, PracticeRules(line=line))
    for name, text in readings.items():
        state = act(state, Action("join", name))
        state = act(state, Action(f"write:{name}", text))
    return act(state, Action("reveal")) if reveal else state


@given(depths=st.lists(st.floats(10.1, 99.0), min_size=2, max_size=8))
def test_no_view_holds_a_reading_before_all_are_revealed(depths):
    texts = {f"M{'abcdefgh'[number]}": f"{depth:.3f}" for number, depth in enumerate(depths)}
    state = group_of(texts, reveal=False)
    shown = repr(view(state)) + repr(options(state)) + repr(state.told) + repr(score(state))
    assert not [text for text in texts.values() if text in shown]
    assert view(state).figures["written"] == len(texts)
    revealed = act(state, Action("reveal"))
    assert view(revealed).figures["readings_m"] == pytest.approx([float(text) for text in texts.values()])


def test_group_that_agrees_says_so_with_its_spread():
    state = group_of({"Ada": "4.3", "Ben": "4.4", "Cyd": "4.35"})
    assert [remark.code for remark in state.told] == ["practice_group.agree"]
    assert score(state).spread == pytest.approx(100 * 0.1 / 4.35)
    assert view(state).figures["middle_m"] == 4.35
    assert view(state).cards[0].lines == (("Ada", "4.3 m"), ("Ben", "4.4 m"), ("Cyd", "4.35 m"))


@pytest.mark.parametrize(("readings", "line", "code"), [
    ({"Ada": "4.3", "Ben": "4.3", "Cyd": "5.3"}, "decimetres", "mark_miscounted"),
    ({"Ada": "12.5", "Ben": "12.5", "Cyd": "15.1"}, "tenths", "ask"),
    ({"Ada": "6 ft 10 in", "Ben": "6 ft 10 in", "Cyd": "7 ft 10 in"}, "inches", "mark_miscounted"),
    ({"Ada": "4.3", "Ben": "4.3", "Cyd": "4.8"}, "decimetres", "ask"),
    ({"Ada": "4.3", "Ben": "4.3", "Cyd": "2.9"}, "decimetres", "ask"),
    ({"Ada": "3.1", "Ben": "3.1", "Cyd": "9.8"}, "decimetres", "wrong_unit"),
    ({"Ada": "12.5", "Ben": "12.4", "Cyd": "3.9"}, "tenths", "wrong_unit"),
])  # fmt: skip
def test_reading_apart_gets_its_likely_reason(readings, line, code):
    state = group_of(readings, line)
    assert [remark.code for remark in state.told] == ["practice_group.apart", f"practice_group.maybe_{code}"]
    assert "Cyd" in str(state.told[1])


def test_whole_mark_apart_is_pointed_out_even_where_the_water_is_so_deep_that_all_agree():
    state = group_of({"Ada": "12 ft 10 in", "Ben": "12 ft 10 in", "Cyd": "13 ft 10 in"}, "inches")
    assert [remark.code for remark in state.told] == [
        "practice_group.agree", "practice_group.maybe_mark_miscounted",
    ]  # fmt: skip


def test_only_who_lies_apart_is_named():
    told = " ".join(map(str, group_of({"Ada": "4.3", "Ben": "4.3", "Cyd": "9"}).told))
    assert "Cyd" in told
    assert "Ada" not in told


def test_another_round_forgets_the_readings_and_keeps_the_group():
    state = act(group_of({"Ada": "4.3", "Ben": "4.4"}), Action("again"))
    assert (state.members, state.readings, state.revealed) == (("Ada", "Ben"), (), False)


def test_last_reading_of_a_member_counts_and_leaving_takes_it_away():
    state = group_of({"Ada": "4.3", "Ben": "4.4"}, reveal=False)
    state = act(state, Action("write:Ada", "5.0"))
    assert state.written["Ada"].depth_m == 5.0
    assert act(state, Action("leave:Ada")).members == ("Ben",)
    assert "reveal" not in [option.code for option in options(act(state, Action("leave:Ada")))]


@pytest.mark.parametrize(("action", "code"), [
    (Action("join", "ADA"), "nickname_taken"), (Action("join", "<>"), "no_nickname"),
    (Action("write:Ada", "deep"), "unreadable"), (Action("write:Ada", "0"), "unreadable"),
])  # fmt: skip
def test_what_cannot_be_is_refused_with_a_reason(action, code):
    state = group_of({"Ada": "4.3"}, reveal=False)
    refused = act(state, action)
    assert [remark.code for remark in refused.told] == [f"practice_group.{code}"]
    assert (refused.members, refused.readings) == (state.members, state.readings)


def test_group_has_an_end():
    state = start()
    for number in range(MOST_MEMBERS + 1):
        state = act(state, Action("join", f"M{number}"))
    assert len(state.members) == MOST_MEMBERS
    assert state.told[0].code == "practice_group.group_full"


@given(text=st.text(max_size=80))
@settings(max_examples=200)
def test_nickname_holds_nothing_that_runs(text):
    name = nickname_from(text)
    assert len(name) <= LONGEST_NICKNAME
    assert name == name.strip()
    assert not set(name) & set('<>&"=+@|`$\\{}[]():;,\n\t_\u202e\x00')
    assert not name.startswith(("-", "'", "."))
