"""A practice day: where each way leads, what is remembered of whom, and that erasing leaves nothing."""

from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.model.practice_rules import PracticeRules
from explorer.practice.cautions import CAUTIONS, caution_lists
from explorer.practice.day import Day, do, go, on_screen
from explorer.practice.exercises import EXERCISES
from explorer.practice.learner import to_practise_again

RULES = PracticeRules()
WAYS = (
    "start", "begin", "again", "keep", "name", "map", "leave_map", "erase", "erase_yes", "nowhere",
    "open:none",
    "person:Ada", "person:nobody", *(f"open:{code}" for code in on_screen()),
)  # fmt: skip


def begun(code: str, seed: int = 3) -> Day:
    day = go(Day(RULES), f"open:{code}", seed=seed)
    return go(day, "begin", seed=seed) if day.screen == "before" else day


def group_of(day: Day, readings: dict[str, str]) -> Day:
    for name, depth in readings.items():
        day = do(do(day, "join", name), f"write:{name}", depth)
    return day


@pytest.mark.parametrize("code", on_screen())
def test_cautions_stand_before_every_exercise_where_the_act_is(code):
    day = go(Day(RULES), f"open:{code}")
    wanted = {"disk": {"boat"}, "whole_visit": {"boat", "ashore"}, "filtering": {"ashore"}, "group": {"boat"}}
    assert set(day.exercise.cautions) >= wanted.get(code, set())
    assert (day.screen == "before") == bool(day.exercise.cautions)


def test_cautions_name_what_the_programme_has_set():
    lines = [
        line
        for each in caution_lists(("boat", "ashore"), PracticeRules(most_vacuum_kpa=15.0))
        for line in each.lines
    ]
    assert len(lines) == sum(map(len, CAUTIONS.values()))
    assert any("15 kPa" in line for line in lines)
    assert any("30 minutes" in line for line in lines)


def test_finished_exercise_shows_its_score_and_is_remembered():
    day = do(begun("labelling"), "hand_in")
    assert (day.screen, [each.exercise for each in day.learner.practised]) == ("score", ["labelling"])
    again = do(go(day, "again", seed=4), "hand_in")
    assert next(again.learner.last_tries())[:2] == ("labelling", 2)


def test_only_the_last_try_says_what_to_practise_again():
    seed = next(
        seed
        for seed in range(50)
        if do(begun("labelling", seed), "hand_in").learner.practised[0].score.mistakes
    )
    day = do(begun("labelling", seed), "hand_in")
    assert to_practise_again(day.learner) == day.learner.practised[0].score.mistakes
    clear = next(
        s
        for s in range(50)
        if not do(go(day, "again", seed=s), "hand_in").learner.practised[1].score.mistakes
    )
    assert to_practise_again(do(go(day, "again", seed=clear), "hand_in").learner) == ()


def test_new_try_draws_other_papers():
    day = begun("labelling", 1)
    seen = {repr(day.exercise.view(go(day, "again", seed=seed).state)) for seed in range(8)}
    assert len(seen) == 8


def test_group_is_kept_while_another_exercise_is_at_hand():
    day = group_of(begun("group"), {"Ada": "4.3"})
    day = go(go(go(day, "open:labelling", seed=1), "start"), "open:group")
    assert go(day, "begin").state.members == ("Ada",)


def test_each_round_is_on_every_members_page_once():
    day = do(group_of(begun("group"), {"Ada": "4.3", "Ben": "4.4", "Cyd": "5.4"}), "reveal")
    day = do(day, "nonsense")
    assert {name: len(each.rounds) for name, each in day.members.items()} == {"Ada": 1, "Ben": 1, "Cyd": 1}
    assert [day.members[name].rounds[0].agrees for name in ("Ada", "Ben", "Cyd")] == [True, True, False]
    assert day.members["Cyd"].rounds[0].middle == "4.4 m"
    day = do(group_of(do(day, "again"), {"Ada": "4.5", "Ben": "4.4"}), "reveal")
    assert [len(day.members[name].rounds) for name in ("Ada", "Ben", "Cyd")] == [2, 2, 1]


def test_before_all_is_shown_no_members_page_holds_a_reading():
    day = group_of(begun("group"), {"Ada": "4.3", "Ben": "4.4"})
    assert day.members == {}


def test_page_of_a_member_holds_what_was_practised_only_where_the_nickname_is_the_learners():
    day = do(begun("labelling"), "hand_in")
    day = do(group_of(go(go(day, "open:group"), "begin"), {"Ada": "4.3", "Ben": "4.4"}), "reveal")
    day = go(go(day, "keep"), "name", " Ada ")
    assert (day.people, day.shown_learner.nickname) == (("Ada", "Ben"), "Ada")
    assert (len(day.shown_learner.practised), len(day.shown_learner.rounds)) == (1, 1)
    ben = go(day, "person:Ben").shown_learner
    assert (len(ben.practised), len(ben.rounds)) == (0, 1)


def test_nickname_without_letters_is_refused_and_the_old_one_stays():
    day = go(go(Day(RULES), "name", "Ada"), "name", "<>")
    assert (day.learner.nickname, day.told[0].code) == ("Ada", "practice_group.no_nickname")


def test_erasing_leaves_the_rules_and_nothing_else():
    day = do(group_of(begun("group"), {"Ada": "4.3", "Ben": "4.4"}), "reveal")
    day = go(go(do(go(day, "open:labelling", seed=2), "hand_in"), "name", "Ada"), "erase")
    assert day.screen == "erase"
    erased = go(day, "erase_yes")
    fresh = Day(RULES)
    assert [each.name for each in fields(Day) if getattr(erased, each.name) != getattr(fresh, each.name)] == [
        "told"
    ]


@given(
    st.lists(st.tuples(st.sampled_from(("go", "do")), st.sampled_from(WAYS), st.integers(0, 5)), max_size=25)
)
@settings(max_examples=60, deadline=None)
def test_no_order_of_ways_and_actions_fails(steps):
    day = Day(RULES)
    for kind, way, number in steps:
        if kind == "go":
            day = go(day, way, "Ada", seed=number)
        elif day.state is not None:
            options = day.exercise.options(day.state)
            day = do(day, options[number % len(options)].code if options else "none", "4.35")
        assert day.screen != "score" or day.state is not None
        assert day.code in {*EXERCISES, "group", ""}
        assert day.people
