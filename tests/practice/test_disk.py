"""The disk: what is seen follows the water, known biases are found within limits, the bottom is no depth."""

from math import cos, log, radians
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.model.practice import Action
from explorer.model.practice_rules import PracticeRules
from explorer.practice import disk
from explorer.practice.disk_state import DiskState
from explorer.practice.disk_water import GLARE, draw_water, secchi_by_rule

RULES = PracticeRules()
SEEDS = range(60)
DEEP = [s for s in SEEDS if draw_water(s).bottom_m > 1.3 * secchi_by_rule(draw_water(s), RULES)]
SLANTED = [s for s in DEEP if draw_water(s).drift_deg > 12]
SUNNY = [s for s in DEEP if draw_water(s).is_sunny]
SHALLOW = [s for s in SEEDS if s not in DEEP]

COUPLING = log(40 * 0.9 / (40 * 2.718281828459045**-8.69))
SUN_SHARE = 100 * (log(GLARE["sunny", False] / GLARE["shaded", False]) / COUPLING)

# how the learner reads -> the bias that must come out, by seed [%]
KNOWN = {
    "careful": ({}, DEEP, lambda seed: 0.0),
    "one metre too many": (
        {"miscounts": lambda reading: 1}, DEEP,
        lambda seed: 100 / secchi_by_rule(draw_water(seed), RULES)),
    "slanted line": (
        {"straightens": False}, SLANTED,
        lambda seed: 100 * (1 / cos(radians(draw_water(seed).drift_deg)) - 1)),
    "sunny side": ({"side": "sunny"}, SUNNY, lambda seed: SUN_SHARE),
    "a tenth too deep": ({"writes": lambda halves, _: f"{1.1 * halves / 20:.3f}"}, DEEP, lambda seed: 10.0),
    "a fifth too shallow": (
        {"writes": lambda halves, _: f"{0.8 * halves / 20:.3f}"}, DEEP, lambda seed: -20.0),
}  # fmt: skip


@pytest.mark.parametrize("name", KNOWN)
def test_known_bias_is_reported_within_its_limits(name, learners):
    habits, seeds, bias_of = KNOWN[name]
    assert len(seeds) >= 12
    held, widths = 0, []
    for seed in seeds[:25]:
        hand = learners.Hand("disk", seed)
        learners.read_disk(hand, learners.DiskHabits(**habits))
        found = hand.score().bias
        held += found.low <= bias_of(seed) <= found.high
        widths.append(found.high - found.low)
    assert held >= 0.95 * len(seeds[:25])
    assert median(widths) < 9.0, "limits so wide that they hold anything say nothing"


@pytest.mark.parametrize(("habits", "word"), [
    ({}, "those at which this water hides the disk"),
    ({"miscounts": lambda reading: 1}, "too deep"),
    ({"writes": lambda halves, _: f"{0.8 * halves / 20:.3f}"}, "too shallow"),
])  # fmt: skip
def test_bias_is_said_in_words_with_limits_above_zero(habits, word, learners):
    hand = learners.Hand("disk", DEEP[0])
    learners.read_disk(hand, learners.DiskHabits(**habits))
    said = next(str(each) for each in hand.score().findings if "On average" in str(each))
    assert word in said
    assert ("-" in said) == (not habits)  # only a bias of about none has limits on both sides


@pytest.mark.parametrize(("past", "named"), [(1, False), (2, True), (20, True)])
def test_noting_past_the_place_is_named(past, named, learners):
    hand = learners.Hand("disk", DEEP[0])
    learners.read_disk(hand, learners.DiskHabits(lowers_on=past))
    assert ("practice_disk.too_coarse" in [mistake.code for mistake in hand.score().mistakes]) == named


def test_every_score_says_nothing_about_the_eyes(learners):
    hand = learners.Hand("disk", DEEP[0])
    learners.read_disk(hand)
    assert "nothing about your eyes" in str(hand.score().findings[-1])


def test_agreement_is_the_range_over_the_mean(learners):
    hand = learners.Hand("disk", DEEP[0])
    learners.read_disk(hand)
    depths = [reading.depth_m for reading in hand.hidden_state.readings]
    assert hand.score().spread == pytest.approx(100 * (max(depths) - min(depths)) / (sum(depths) / 5))
    assert 0 < hand.score().spread < 10


def test_disk_on_the_bottom_has_no_bias_and_says_at_least(learners):
    for seed in SHALLOW[:6]:
        hand = learners.Hand("disk", seed)
        learners.read_disk(hand)
        found = hand.score()
        assert found.bias is None
        assert found.spread is not None
        assert any("at least so clear" in str(finding) for finding in found.findings)
        assert all("on the bottom" in text for _, text in hand.view.cards[-1].lines)


def test_bottom_written_as_gone_gives_no_bias_either(learners):
    hand = learners.Hand("disk", SHALLOW[0])
    learners.read_disk(hand, learners.DiskHabits(marks_bottom=False))
    assert hand.score().bias is None


@given(seed=st.integers(0, 10**6), halves=st.integers(1, 120))
@settings(max_examples=60, deadline=None)
def test_disk_fades_as_the_line_goes_out(seed, halves):
    state = DiskState(seed=seed, rules=RULES, water=draw_water(seed), side="shaded", halves=halves)
    above, below = disk.view(state).figures, disk.view(disk.act(state, Action("lower:half"))).figures
    if not above["on_bottom"]:
        assert above["disk_contrast"] > below["disk_contrast"] or below["disk_contrast"] == 0
    assert 0 <= below["disk_clearness"] <= above["disk_clearness"] <= 1
    assert (above["disk_contrast"] > 0) == (above["disk_clearness"] > 0)


def test_glare_mud_and_sunglasses_hide_the_disk_sooner():
    seed = SUNNY[0]

    def lost_at(**look) -> int:
        state = DiskState(seed=seed, rules=RULES, water=draw_water(seed), **{"side": "shaded", **look})
        while disk.view(state).figures["disk_contrast"] > 0 or state.halves == 0:
            state = disk.act(state, Action("lower:half"))
        return state.halves

    plain = lost_at()
    assert lost_at(side="sunny") < plain
    assert lost_at(sunglasses=True) < plain
    assert lost_at(mud=0.5) < plain
    assert lost_at(slant_deg=25.0) > plain
    assert lost_at(side="sunny", viewer=True) >= plain


def test_waiting_lets_the_mud_settle_and_then_changes_nothing():
    state = DiskState(seed=0, rules=RULES, water=draw_water(0), mud=1.0)
    clouds = [state.mud]
    for _ in range(8):
        state = disk.act(state, Action("wait"))
        clouds.append(state.mud)
    assert clouds == sorted(clouds, reverse=True)
    assert clouds[-1] == 0.0
    assert "settled" in disk.view(state).told[0]


def test_the_rule_can_be_where_the_disk_is_back(learners):
    rules = PracticeRules(settle="back")
    hand = learners.Hand("disk", DEEP[0], rules)
    learners.read_disk(hand, learners.DiskHabits(settles="middle", back_step="mark"))
    assert [mistake.code for mistake in hand.score().mistakes] == ["practice_disk.not_by_rule"]


def test_view_does_not_tell_how_much_line_is_out(learners):
    """The marks must be counted: one metre more shows the same marks."""
    hand = learners.Hand("disk", DEEP[0])
    hand.do("side:shaded")
    hand.do("lower:long")
    first = hand.view
    hand.do("lower:long")
    second = hand.view
    for name in ("mark_at_water", "mark_heights", "marks_past_long"):
        assert first.figures[name] == second.figures[name]


@pytest.mark.parametrize("form", ["metres", "feet", "feet_inches"])
@pytest.mark.parametrize("line", ["decimetres", "tenths", "inches"])
def test_every_form_of_writing_is_right_on_every_line(form, line, learners):
    if (form, line) == ("feet_inches", "decimetres"):
        return  # a quarter of an inch is coarser than this line allows
    hand = learners.Hand("disk", DEEP[1], PracticeRules(line=line))
    learners.read_disk(hand, learners.DiskHabits(form=form))
    assert hand.score().mistakes == ()


@pytest.mark.parametrize(
    ("form", "text"), [("metres", "four"), ("feet", "-3"), ("feet_inches", "12.5"), ("metres", "1e3")]
)
def test_unreadable_depth_is_asked_again_and_kept_off_the_sheet(form, text, learners):
    hand = learners.Hand("disk", DEEP[0])
    learner = learners.Hand("disk", DEEP[0])
    learners.read_disk(learner, readings=1)
    for action in learner.actions[:-1]:
        hand.do(action.code, action.written)
    hand.do(f"write:{form}", text)
    assert text in hand.told[-1]
    assert hand.view.cards[-1].lines == ()
    assert hand.score().mistakes[0].code == "practice.unfinished"
