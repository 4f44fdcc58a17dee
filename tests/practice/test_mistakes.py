"""Every mistake that an exercise can name: made by a learner, told at once, named and paid for."""

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

import explorer.model.practice
import explorer.practice.turn
from explorer.model.practice import Action
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.model.words import say, word_codes
from explorer.practice import cold_chain, disk, filtering, group, whole_visit
from explorer.practice.exercises import EXERCISES
from explorer.practice.papers import PLACES, draw_papers, find_misfits

MOST_SEEDS = 80
TENTHS, INCHES = PracticeRules(line="tenths"), PracticeRules(line="inches")
Deed = Callable[[Any, Any], None]


def read(**habits: Any) -> Deed:
    return lambda hand, learners: learners.read_disk(hand, learners.DiskHabits(**habits))


def filters(**habits: Any) -> Deed:
    return lambda hand, learners: learners.filter_water(hand, learners.FilterHabits(**habits))


def day(**changes: str) -> Deed:
    """Plan a day in which one leg is decided otherwise: drive="seat"."""
    return lambda hand, learners: learners.plan_day(
        hand,
        {
            code: f"{leg}:{place}"
            for code in learners.RIGHT_DAY
            for leg, place in changes.items()
            if code.startswith(leg)
        },
    )


def feet_and_short_marks(halves: float, per_foot: int) -> tuple[int, float]:
    feet, marks = divmod(halves / 2, per_foot)
    return int(feet), marks


# mistake -> how it is made, and by which rules
DISK = {
    "wrong_side": (read(side="sunny"), USUAL_RULES),
    "viewer_against_rule": (read(viewer=True), USUAL_RULES),
    "sunglasses": (read(keeps_sunglasses=True), USUAL_RULES),
    "mud_in_the_way": (read(waits=False), USUAL_RULES),
    "lost_in_plants": (read(clears_plants=False), USUAL_RULES),
    "line_slanted": (read(straightens=False), USUAL_RULES),
    "too_coarse": (read(fine=False), USUAL_RULES),
    "noted_in_sight": (read(notes_gone_early=True), USUAL_RULES),
    "noted_unseen": (read(notes_back_late=True), USUAL_RULES),
    "bottom_unmarked": (read(marks_bottom=False), USUAL_RULES),
    "slack_line": (read(slack=True), USUAL_RULES),
    "mark_miscounted": (read(miscounts=lambda reading: 1), USUAL_RULES),
    "tenths_as_inches": (
        read(form="feet_inches", writes=lambda h, _: "{} ft {:g}".format(*feet_and_short_marks(h, 10))),
        TENTHS),
    "inches_as_tenths": (
        read(form="feet", writes=lambda h, _: "{}.{:.0f}".format(*feet_and_short_marks(h, 12))), INCHES),
    "wrong_unit": (read(form="metres", writes=lambda h, _: f"{h / 20:.2f}"), TENTHS),
    "not_by_rule": (read(settles="back", back_step="mark"), USUAL_RULES),
    "written_otherwise": (read(writes=lambda h, _: f"{1.37 * h / 20:.3f}"), USUAL_RULES),
    "readings_disagree": (read(miscounts=lambda reading: reading % 2), USUAL_RULES),
}  # fmt: skip
FILTERING = {
    "not_swirled": filters(swirls=False),
    "read_from_above": filters(eye="above"),
    "rim_at_mark": filters(aims_at="rim_ml"),
    "between_marks": filters(stops_short_ml=5.0),
    "jar_marks": filters(vessel="jar"),
    "vacuum_too_high": filters(pumps_hard=True),
    "filter_blocked": filters(portion_ml=250.0),
    "water_left": filters(leaves_water=True),
    "too_little": filters(stops_early=True, portion_ml=50.0),
    "top_up_forgotten": filters(writes=lambda portions: f"{portions[0]:.0f}"),
    "litres_written": filters(writes=lambda portions: f"{sum(portions) / 1000:g}"),
    "total_otherwise": filters(writes=lambda portions: f"{sum(portions) + 37:g}"),
}
COLD = {
    "no_ice": day(pack="none"),
    "ice_too_little": day(pack="one"),
    "in_shade": day(boat="shade"),
    "in_sun": day(boat="sun"),
    "on_table": day(bench="table"),
    "on_seat": day(drive="seat"),
    "in_light": day(drive="dashboard"),
    "not_frozen": day(home="fridge"),
    "left_out": day(home="counter"),
    "delivered_late": day(delivery="second"),
    "thawed": day(transport="bag"),
}
VISIT: dict[str, Deed] = {
    "bottle_miscopied": lambda hand, learners: learners.make_visit(hand, copies={"bottle": "250123-1"}),
    "filter_miscopied": lambda hand, learners: learners.make_visit(hand, copies={"filter": "250122-2"}),
    "no_observer": lambda hand, learners: learners.make_visit(hand, copies={"observer": "<>"}),
}
SCENARIOS = [
    *(("disk", f"practice_disk.{code}", *made) for code, made in DISK.items()),
    *(("filtering", f"practice_filtering.{code}", deed, USUAL_RULES) for code, deed in FILTERING.items()),
    *(("cold_chain", f"practice_cold.{code}", deed, USUAL_RULES) for code, deed in COLD.items()),
    *(("whole_visit", f"practice_visit.{code}", deed, USUAL_RULES) for code, deed in VISIT.items()),
]


@pytest.mark.parametrize(
    ("exercise", "code", "deed", "rules"), SCENARIOS, ids=[each[1] for each in SCENARIOS]
)
def test_mistake_lowers_the_score_and_names_itself_at_once(exercise, code, deed, rules, learners):
    for seed in range(MOST_SEEDS):  # not every water has plants, not every day is hot
        hand = learners.Hand(exercise, seed, rules)
        deed(hand, learners)
        found = hand.score()
        named = {mistake.code: mistake for mistake in found.mistakes}
        if code in named:
            break
    assert code in named
    careful = learners.Hand(exercise, seed, rules)
    learners.careful[exercise](careful)
    assert hand.view.finished
    assert found.points < careful.score().points == found.of
    sentence = str(named[code])
    assert len(sentence) > 40, "a reason, not only a verdict"
    assert sentence in hand.told or code == "practice_disk.readings_disagree"  # known only at the end


@pytest.mark.parametrize(
    ("costs", "exercise"),
    [
        (disk.COSTS, "disk"), (filtering.COSTS, "filtering"), (cold_chain.COSTS, "cold_chain"),
        (whole_visit.COSTS, "whole_visit"),
    ],
)  # fmt: skip
def test_every_mistake_with_a_cost_has_a_learner_who_makes_it(costs, exercise):
    assert set(costs) == {code for which, code, *_ in SCENARIOS if which == exercise}
    assert min(costs.values()) > 0


@pytest.mark.parametrize("exercise", ["safety", "clean_hands"])
def test_every_wrong_answer_lowers_the_score_names_itself_and_is_asked_again(exercise, learners):
    seen = set()
    for seed in range(12):
        scenes = EXERCISES[exercise].start(seed, USUAL_RULES).scenes
        for answer in {answer for scene in scenes for answer in (*scene.wrong, *scene.risky)}:
            hand = learners.Hand(exercise, seed)
            learners.answer_all(hand, wrongly=(answer,))
            found = hand.score()
            scene_codes = [s.code for s in scenes if answer in (*s.wrong, *s.risky)]
            named = [mistake.code.partition(".")[2] for mistake in found.mistakes]
            assert named == [f"{scene}_{answer}_why" for scene in scene_codes]
            assert found.points < found.of
            assert set(map(str, found.mistakes)) <= set(hand.told)
            seen |= set(named)
    assert len(seen) > 20


def test_every_misfit_left_on_the_papers_lowers_the_score_and_names_itself(learners):
    seen = set()
    for seed in range(150):
        misfits = {f"practice_labelling.{m.code}" for m in find_misfits(draw_papers(seed))}
        if not misfits:
            continue
        hand = learners.Hand("labelling", seed)
        learners.check_papers(hand, leaves=len(PLACES))
        found = hand.score()
        assert {mistake.code for mistake in found.mistakes} == misfits
        assert found.points == found.of - 2 * len(misfits)
        assert {str(mistake) for mistake in found.mistakes} <= set(hand.told)
        seen |= misfits
    assert len(seen) >= 11


def test_marking_what_corresponds_costs_each_time_and_says_why(learners):
    seed = next(seed for seed in range(99) if not find_misfits(draw_papers(seed)))
    points = []
    for count in range(5):
        hand = learners.Hand("labelling", seed)
        learners.check_papers(hand, also_marks=PLACES[:count])
        points.append(hand.score().points)
    assert points == [6, 4, 2, 0, 0]
    assert "nothing speaks against it" in hand.told[0]


def test_marking_everything_is_no_way_to_full_marks(learners):
    for seed in range(30):
        hand = learners.Hand("labelling", seed)
        for place in PLACES:
            hand.do(f"mark:{place}")
        hand.do("hand_in")
        assert hand.score().points < hand.score().of


def test_every_sentence_of_the_practice_is_said_to_somebody(learners, monkeypatch):
    said: set[str] = set()

    def remember(code: str, values: Any = None, language: str = "en") -> str:
        said.add(code)
        return say(code, values, language)

    monkeypatch.setattr(explorer.practice.turn, "say", remember)
    monkeypatch.setattr(explorer.model.practice, "say", remember)
    for exercise, _, deed, rules in SCENARIOS:
        for seed in (0, 6):
            hand = learners.Hand(exercise, seed, rules)
            deed(hand, learners)
            found = hand.score()
            _ = [str(remark) for remark in (*found.mistakes, *found.findings, *found.well)]
    for code in [*EXERCISES, "group"]:
        for seed in range(9):
            wander(code, seed)
    rare = {  # each is looked for in the test file of its exercise
        "practice.not_understood", "practice_group.group_full",
        "practice_group.agree", "practice_filtering.result_below",
        "practice_filtering.filter_is_new", "practice_filtering.do_new_filter",
        "practice_filtering.vessel_full",
        "practice_filtering.filter_blocked", "practice_filtering.funnel_full", "practice_filtering.stain_3",
    }  # fmt: skip
    maybe = ("practice_group.maybe_", "practice_labelling.")
    apart = ("practice_safety.", "practice_clean.", "practice.title_", "practice.about_")
    unsaid = (
        {c for c in word_codes() if c.startswith("practice") and not c.startswith((*apart, *maybe))}
        - said
        - rare
    )
    assert sorted(unsaid) == [], "\n".join(sorted(unsaid))


WRITTEN = (
    "4.35",
    "12.5",
    "12 ft 5 in",
    "500",
    "250122-1",
    "Ada",
    "ada",
    "Ben",
    "3.1",
    "9.8",
    "?",
    "",
    "x" * 50,
    "0.25",
)


@pytest.mark.long
@pytest.mark.parametrize("code", [*EXERCISES, "group"])
def test_long_wanderings_never_fail(code):
    for seed in range(1000, 1060):
        wander(code, seed, steps=300)


def wander(code: str, seed: int, steps: int = 120) -> None:
    """Do anything that is possible, and now and then what is not."""
    module = group if code == "group" else EXERCISES[code]
    draw = Random(seed)
    line = draw.choice(("decimetres", "tenths", "inches"))
    state = module.start(
        seed,
        PracticeRules(
            line, draw.choice(("shaded", "sunny")), draw.random() < 0.5, draw.choice(("middle", "back"))
        ),
    )
    for _ in range(steps):
        possible = module.options(state)
        action = Action(draw.choice(possible).code, draw.choice(WRITTEN)) if possible else Action("again")
        state = module.act(state, action if draw.random() < 0.97 else Action("fly"))
        module.view(state)
        found = module.score(state)
        _ = [str(remark) for remark in (*found.mistakes, *found.findings, *found.well)]
