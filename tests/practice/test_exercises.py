"""What holds for every exercise: full marks by the rules, no failure by nonsense, no gain by a risk."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import explorer.model.words
from explorer.model.errors import UnknownNameError
from explorer.model.practice import Action, Attempt
from explorer.model.practice_rules import PracticeRules
from explorer.practice import group
from explorer.practice.disk_water import secchi_by_rule
from explorer.practice.exercises import EXERCISES, find_exercise, replay, score
from explorer.practice.turn import PracticeState

RISKY = ("safety", "filtering", "whole_visit")
SEEDS = st.integers(-(2**40), 2**40)
RULES = st.builds(
    PracticeRules,
    line=st.sampled_from(["decimetres", "tenths", "inches"]),
    boat_side=st.sampled_from(["shaded", "sunny"]),
    viewer=st.booleans(),
    settle=st.sampled_from(["middle", "back"]),
)
WRITTEN = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        ["", "0", "4.35", "4,35", "nan", "-3", "1e400", "999999", "12 ft 5 in", "> 3", "500", "٣", "=1+1"]
    ),
    st.floats(0, 2000).map(lambda number: f"{number:.2f}"),
)
NONSENSE = st.one_of(
    st.none(), st.integers(), st.text(max_size=10), st.builds(Action, st.text(max_size=12), WRITTEN),
    st.builds(Action, st.none(), st.integers()),
)  # fmt: skip


@pytest.mark.parametrize("code", EXERCISES)
@given(seed=SEEDS, rules=RULES)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_learner_who_follows_the_rules_from_the_view_scores_full_marks(code, seed, rules, learners):
    hand = learners.Hand(code, seed, rules)
    learners.careful[code](hand)
    found = hand.score()
    assert [str(mistake) for mistake in found.mistakes] == []
    assert (found.points, hand.view.finished) == (found.of, True)
    assert found.of > 0


@pytest.mark.parametrize("code", [*EXERCISES, "group"])
@given(data=st.data(), seed=SEEDS, rules=RULES)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_actions_never_raise_and_always_leave_something_to_do(code, data, seed, rules):
    start, options, act, view, score_of = functions_of(code)
    state = start(seed, rules)
    for _ in range(data.draw(st.integers(0, 40))):
        possible = options(state)
        assert possible or view(state).finished
        assert len({option.code for option in possible}) == len(possible)
        if possible and data.draw(st.integers(0, 3)):
            action = Action(data.draw(st.sampled_from(possible)).code, data.draw(WRITTEN))
            before = state
            state = act(state, action)
            assert state != before or view(state).told, "an action changes something or says why not"
        else:
            state = act(state, data.draw(NONSENSE))
            assert view(state).told, "whatever is not possible gets a reason"
        shown, found = view(state), score_of(state)
        assert all(label.label and "{" not in label.label for label in options(state))
        assert 0 <= found.points <= found.of
        assert {mistake.code for mistake in found.mistakes} <= {m.code for m in state_mistakes(state)} | {
            "practice.unfinished", "practice_disk.readings_disagree"}  # fmt: skip
        assert all(str(remark) for remark in (*found.mistakes, *found.findings))
        assert shown.task
        assert all(isinstance(number, float) for value in shown.figures.values() for number in numbers(value))


def functions_of(code):
    if code == "group":
        return group.start, group.options, group.act, group.view, group.score
    exercise = EXERCISES[code]
    return exercise.start, exercise.options, exercise.act, exercise.view, exercise.score


def numbers(value):
    return value if isinstance(value, tuple) else (value,)


def state_mistakes(state: PracticeState):
    return (*state.mistakes, *(m for part in getattr(state, "parts", ()) for m in part.mistakes))


@pytest.mark.parametrize("code", RISKY)
@given(data=st.data(), seed=SEEDS)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_risky_action_never_raises_the_score(code, data, seed, learners):
    exercise = EXERCISES[code]
    hand = learners.Hand(code, seed)
    learners.careful[code](hand)
    actions = hand.actions
    state, risks = exercise.start(seed, hand.rules), []
    for place in range(len(actions) + 1):
        risks += [(place, each) for each in risky_actions(exercise, state)]
        if place < len(actions):
            state = exercise.act(state, actions[place])
    taken = data.draw(st.lists(st.sampled_from(risks), min_size=1, max_size=4, unique_by=lambda risk: risk))
    end = data.draw(st.integers(0, len(actions)))
    without = tuple(actions[:end])
    with_risk: list[Action] = []
    for place, action in enumerate((*without, None)):
        with_risk += [risk for at, risk in taken if at == place]
        with_risk += [action] if action else []
    safe, risky = score(Attempt(code, seed, without)), score(Attempt(code, seed, tuple(with_risk)))
    assert risky.points <= safe.points
    if any(at <= end for at, _ in taken) and end == len(actions) and min(at for at, _ in taken) < end:
        assert risky.points < safe.points
        assert {m.code for m in risky.mistakes} > {m.code for m in safe.mistakes}


def risky_actions(exercise, state):
    actions = [Action(option.code, "1") for option in exercise.options(state)]
    return [action for action in actions if exercise.is_risky(state, action)]


def test_exercises_with_a_risk_say_who_decides(learners):
    for code, exercise in EXERCISES.items():
        state, seen = exercise.start(3, learners.Hand(code, 3).rules), False
        hand = learners.Hand(code, 3)
        learners.careful[code](hand)
        for action in hand.actions:
            if risky_actions(exercise, state):
                seen = True
                assert "decide" in exercise.view(state).caution
            state = exercise.act(state, action)
        assert seen == (code in RISKY)


@given(seed=st.integers(10**6, 10**12), code=st.sampled_from(sorted(EXERCISES)))
@settings(max_examples=30, deadline=None)
def test_view_never_holds_the_seed(seed, code, learners):
    hand = learners.Hand(code, seed)
    assert str(seed) not in repr(hand.view)
    learners.careful[code](hand)
    assert str(seed) not in repr(hand.view)


@given(seed=st.integers(0, 10**6))
@settings(max_examples=12, deadline=None)
def test_view_never_holds_the_hidden_truth(seed, learners):
    water = learners.Hand("disk", seed).hidden_state.water
    hidden = {water.beam_per_m, water.diffuse_per_m, water.bottom_m, water.plants_m, *water.waves}
    jug = learners.Hand("filtering", seed).hidden_state.water
    hidden |= {
        secchi_by_rule(water, PracticeRules()),
        jug.chlorophyll_a_ug_per_l,
        jug.jar_error,
        jug.settled_share,
    }
    for code in ("disk", "filtering"):
        hand = learners.Hand(code, seed)
        actions = learners.Hand(code, seed)
        learners.careful[code](actions)
        for action in actions.actions:
            hand.do(action.code, action.written)
            assert not hidden & {number for value in hand.view.figures.values() for number in numbers(value)}


@pytest.mark.parametrize("code", EXERCISES)
def test_replaying_an_attempt_gives_the_same_end(code, learners):
    hand = learners.Hand(code, 11)
    learners.careful[code](hand)
    attempt = Attempt(code, 11, tuple(hand.actions), hand.rules)
    assert replay(attempt).mistakes == hand.hidden_state.mistakes
    assert score(attempt) == hand.score()


@pytest.mark.parametrize("code", EXERCISES)
def test_an_unfinished_attempt_has_no_points_and_says_so(code):
    found = score(Attempt(code, 5, ()))
    assert (found.points, found.mistakes[-1].code) == (0, "practice.unfinished")


@pytest.mark.parametrize("code", EXERCISES)
def test_seeds_differ(code):
    exercise = EXERCISES[code]
    rules = PracticeRules()
    starts = [exercise.start(seed, rules) for seed in range(6)]
    hidden = {repr(start).replace(f"seed={start.seed}", "") for start in starts}
    assert len(hidden) > 1


def test_an_unknown_exercise_is_named_with_its_neighbour():
    with pytest.raises(UnknownNameError, match='Did you mean "filtering"'):
        find_exercise("filtring")


@pytest.mark.parametrize("code", [*EXERCISES, "group"])
def test_every_exercise_has_a_name_and_an_explanation(code):
    for word in ("title", "about"):
        assert explorer.model.words.say(f"practice.{word}_{code}")


@pytest.mark.parametrize("code", ["safety", "clean_hands"])
def test_every_sentence_of_choices_belongs_to_a_scene(code):
    exercise, rules = EXERCISES[code], PracticeRules()
    scenes = [scene for seed in range(40) for scene in exercise.start(seed, rules).scenes]
    wanted = {"caution", "finding", "finished"}
    for scene in scenes:
        wanted |= {scene.code, *(f"{scene.code}_{a}{end}" for a in scene.answers for end in ("", "_why"))}
    group_name = exercise.start(1, rules).group
    said = {c.partition(".")[2] for c in explorer.model.words.word_codes() if c.startswith(f"{group_name}.")}
    assert said == wanted


def test_figures_are_never_infinite(learners):
    for seed in range(20):
        hand = learners.Hand("disk", seed)
        values = [number for value in hand.view.figures.values() for number in numbers(value)]
        assert all(math.isfinite(number) for number in values)
