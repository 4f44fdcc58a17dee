"""Filtering: each slip has its own consequence in the laboratory's result."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.model.practice_rules import PracticeRules
from explorer.practice.filtering_bench import (
    VESSELS,
    chlorophyll_by_laboratory,
    draw_jug_water,
    level_in_vessel,
    passed_by_stroke,
    poured_ml,
)
from explorer.practice.filtering_deeds import volume_slip

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
PALE = [s for s in range(60) if draw_jug_water(s).chlorophyll_a_ug_per_l < 8]  # more than one portion
GREEN = [s for s in range(60) if draw_jug_water(s).chlorophyll_a_ug_per_l > 45]


def result(hand) -> float:
    return 1 + hand.score().bias.value / 100


@pytest.mark.parametrize("seed", PALE[:6])
def test_forgotten_top_up_shows_as_its_factor(seed, learners):
    hand = learners.Hand("filtering", seed)
    learners.filter_water(hand, learners.FilterHabits(writes=lambda portions: f"{portions[0]:.0f}"))
    portions = len(hand.hidden_state.portions_ml)
    assert portions >= 2
    bias = hand.score().bias
    assert bias.low <= 100 * (portions - 1) <= bias.high
    assert result(hand) == pytest.approx(portions, rel=0.02)
    [mistake] = hand.score().mistakes
    assert f"{portions} times too high" in str(mistake)
    assert f"factor of {result(hand):.3g}" in str(hand.score().findings[0])


@pytest.mark.parametrize(("quantity", "habits"), [
    ("volume rule", {"writes": lambda portions: f"{sum(portions) / 2:g}"}),
    ("litre for millilitre", {"writes": lambda portions: f"{sum(portions) / 1000:g}"}),
])  # fmt: skip
def test_written_share_of_the_volume_multiplies_the_result(quantity, habits, learners):
    row = PUBLISHED.set_index("quantity").loc[quantity]
    expected, share = float(row["expected"]), float(row["inputs"].split("=")[1])
    assert chlorophyll_by_laboratory(5.0, 500.0 * share) == pytest.approx(expected * 10.0)
    hand = learners.Hand("filtering", PALE[0])
    learners.filter_water(hand, learners.FilterHabits(**habits))
    assert result(hand) == pytest.approx(expected, rel=0.02)
    bias = hand.score().bias
    assert bias.low <= 100 * (expected - 1) <= bias.high


@given(seed=st.integers(0, 10**6))
@settings(max_examples=30, deadline=None)
def test_careful_learner_gets_the_true_result_within_the_limits(seed, learners):
    hand = learners.Hand("filtering", seed)
    learners.filter_water(hand)
    bias = hand.score().bias
    assert bias.low <= 0 <= bias.high
    assert bias.high - bias.low < 10


@pytest.mark.parametrize(("habits", "sign"), [
    ({"swirls": False}, -1),  # fewer algae poured
    ({"eye": "above"}, -1),  # less poured than read
    ({"aims_at": "rim_ml"}, -1),
    ({"pumps_hard": True}, -1),  # burst cells
    ({"writes": lambda portions: f"{sum(portions) + 100:g}"}, -1),
])  # fmt: skip
def test_each_slip_moves_the_result_its_own_way(habits, sign, learners):
    for seed in range(6):
        careful, slipping = learners.Hand("filtering", seed), learners.Hand("filtering", seed)
        learners.filter_water(careful)
        learners.filter_water(slipping, learners.FilterHabits(**habits))
        assert sign * (result(slipping) - result(careful)) > 0


def test_water_left_over_the_filter_makes_the_result_too_low(learners):
    hand = learners.Hand("filtering", GREEN[0])
    learners.filter_water(hand, learners.FilterHabits(leaves_water=True, portion_ml=100.0))
    assert "less than" in str(hand.score().findings[0])  # nothing has gone through
    assert hand.score().bias is None
    assert "practice_filtering.result_below" in [finding.code for finding in hand.score().findings]


def test_blocked_filter_is_replaced_and_nothing_of_the_old_one_counts(learners):
    hand = learners.Hand("filtering", GREEN[0])
    hand.do("take:cylinder")
    hand.do("eye:level")
    hand.do("swirl")
    while hand.figure("level_ml") < 200:
        hand.do("pour:splash")
    hand.do("into_funnel")
    while not hand.figure("blocked"):
        hand.do("pump:gently")
    assert dict(hand.view.cards[0].lines)["Filter"] == "dark; the drops are slow"
    assert "how much went through nobody can say" in hand.told[-1]
    hand.do("new_filter")
    assert (hand.figure("stain"), hand.figure("portions"), hand.figure("funnel_ml")) == (0.0, 0.0, 0.0)
    assert "fresh filter" in hand.told[-1]


def test_vessel_and_funnel_do_not_run_over(learners):
    hand = learners.Hand("filtering", 3)
    hand.do("take:cylinder")
    hand.do("eye:level")
    hand.do("swirl")
    while "does not fit" not in (hand.told or [""])[-1]:
        hand.do("pour:splash")
    assert hand.figure("level_ml") <= 250
    hand.do("into_funnel")
    while hand.figure("level_ml") < 150:
        hand.do("pour:splash")
    hand.do("into_funnel")
    assert "does not fit into the funnel" in hand.told[-1]
    assert hand.figure("funnel_ml") <= 300


@given(seed=st.integers(0, 10**6), pours=st.integers(0, 50))
def test_what_runs_out_is_drawn_within_its_manner(seed, pours):
    assert 42 <= poured_ml(seed, pours, "splash") <= 50
    assert 8 <= poured_ml(seed, pours, "little") <= 10


def test_eye_above_reads_too_high_and_the_jar_is_off_by_its_tolerance():
    for seed in range(20):
        water = draw_jug_water(seed)
        level = {eye: level_in_vessel(water, "cylinder", 200.0, eye).bottom_ml for eye in ("level", "above")}
        assert level["above"] > level["level"] == 200.0
        off = abs(level_in_vessel(water, "jar", 200.0, "level").bottom_ml / 200.0 - 1)
        assert VESSELS["cylinder"].tolerance < off <= VESSELS["jar"].tolerance


@given(volume=st.floats(1, 300), first=st.floats(0, 12), more=st.floats(0.01, 5))
def test_the_more_on_the_filter_the_less_passes(volume, first, more):
    assert 0 <= passed_by_stroke(volume, first + more) <= passed_by_stroke(volume, first) <= volume


@pytest.mark.parametrize(("written", "portions", "slip"), [
    (750, [250, 250, 250], ""), (500, [250, 250, 250], "top_up_forgotten"), (250, [250], ""),
    (100, [250], "total_otherwise"), (0.75, [250, 250, 250], "litres_written"),
    (50, [250, 50], "top_up_forgotten"), (5000, [250, 250], "total_otherwise"),
])  # fmt: skip
def test_slip_in_the_total_is_named(written, portions, slip):
    assert volume_slip(written, portions) == slip


def test_most_vacuum_is_that_of_the_epa_methods(learners):
    highest = float(PUBLISHED.set_index("quantity").loc["highest vacuum", "expected"])
    assert PracticeRules().most_vacuum_kpa == highest
    hand = learners.Hand("filtering", 1)
    learners.filter_water(hand, learners.FilterHabits(pumps_hard=True))
    assert f"more than {highest:g} kPa" in str(hand.score().mistakes[0])
    assert 0 < learners.Hand("filtering", 1).figure("vacuum_kpa") + 1 <= highest


@pytest.mark.parametrize("text", ["", "0", "half a litre", "-250", "1e3", "NaN"])
def test_unreadable_total_is_asked_again(text, learners):
    hand, done = learners.Hand("filtering", 1), learners.Hand("filtering", 1)
    learners.filter_water(done)
    for action in done.actions[:-1]:
        hand.do(action.code, action.written)
    hand.do("write_total", text)
    assert hand.told[-1].startswith(("Nothing is written", f'"{text}" is not a volume'))
    assert not hand.view.finished
