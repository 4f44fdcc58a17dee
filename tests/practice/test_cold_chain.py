"""The cold day: temperatures follow Newton, ice lasts as long as its heat, quick ways may go without."""

import re
from math import isnan
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.cooling import temperature_after
from explorer.practice.cold_chain import FILTER_HOLDING_DAYS
from explorer.practice.cold_day import ICE_KG, PLACES, draw_day, warm_up

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
QUICK = [seed for seed in range(60) if draw_day(seed).is_quick]
LONG = [seed for seed in range(60) if draw_day(seed).minutes > 90]


def test_filter_keeps_as_long_as_epa_method_447_says():
    weeks = float(PUBLISHED.set_index("quantity").loc["filter holding time", "expected"])
    assert int(7 * weeks) == FILTER_HOLDING_DAYS


@given(seed=st.integers())
def test_first_delivery_is_in_time_and_the_second_is_not(seed):
    day = draw_day(seed)
    assert day.first_delivery_days <= FILTER_HOLDING_DAYS < day.second_delivery_days
    assert day.water_degc < day.air_degc


@pytest.mark.parametrize("place", [place for place in PLACES if place != "cooler"])
def test_temperature_in_the_open_follows_the_law_of_newton(place):
    leg = warm_up(25.0, place, 30, 18.0, 20.0, 0.0)
    there = PLACES[place]
    time = np.arange(1, 31)
    around = 25.0 + there.warmer_degc
    assert leg.bottle_degc == pytest.approx(temperature_after(18.0, around, time, there.bottle_minutes))
    assert leg.filter_degc == pytest.approx(temperature_after(20.0, around, time, there.filter_minutes))


def test_bottle_cools_on_ice_and_warms_again_when_it_has_melted():
    leg = warm_up(30.0, "cooler", 300, 22.0, float("nan"), 1.0)
    coldest = int(leg.bottle_degc.argmin())
    assert 60 < coldest < 200
    assert leg.bottle_degc[-1] > leg.bottle_degc[coldest] + 3
    assert leg.ice_kg == 0.0


@given(
    ice=st.floats(0.0, 5.0), more=st.floats(0.0, 3.0), air=st.floats(5.0, 45.0), minutes=st.integers(1, 300)
)
def test_more_ice_never_warms(ice, more, air, minutes):
    less_ice, more_ice = (warm_up(air, "cooler", minutes, 20.0, 20.0, kg) for kg in (ice, ice + more))
    assert (more_ice.bottle_degc <= less_ice.bottle_degc + 1e-9).all()
    assert more_ice.ice_kg >= less_ice.ice_kg


@given(seed=st.integers())
def test_three_bags_last_the_day_wherever_it_goes(seed):
    day, kg = draw_day(seed), ICE_KG["three"]
    for air, minutes in ((0.0, day.boat_minutes), (0.0, day.bench_minutes), (15.0, day.drive_minutes)):
        kg = warm_up(day.air_degc + air, "cooler", minutes, 10.0, 10.0, kg).ice_kg
    assert kg > 0


def test_beside_the_freezer_no_ice_is_no_mistake_and_far_away_it_is(learners):
    changes = {"pack:three": "pack:none", "boat:cooler": "boat:shade", "bench:cooler": "bench:table"}
    quick, far = learners.Hand("cold_chain", QUICK[0]), learners.Hand("cold_chain", LONG[0])
    learners.plan_day(quick, changes)
    learners.plan_day(far, changes)
    assert quick.score().mistakes == ()
    assert "15 minutes" in quick.told[0]
    assert {m.code.partition(".")[2] for m in far.score().mistakes} == {"no_ice", "in_shade", "on_table"}


def test_cooler_without_ice_is_never_said_to_be_cold(learners):
    hand = learners.Hand("cold_chain", LONG[0])
    hand.do("pack:none")
    for leg in ("boat", "bench", "drive"):
        hand.do(f"{leg}:cooler")
        warm = hand.figure("bottle_degc")
        assert hand.told[-1].startswith("A cooler without ice")
        assert hand.told[-1].endswith(f"the bottle has {warm:.0f} °C.")
    assert not any("cool" in remark.code for remark in hand.score().well)


def test_sun_is_never_forgiven(learners):
    hand = learners.Hand("cold_chain", QUICK[0])
    learners.plan_day(hand, {"boat:cooler": "boat:sun"})
    assert [m.code for m in hand.score().mistakes] == ["practice_cold.in_sun"]


def test_warmer_places_give_warmer_bottles_and_a_faster_pace(learners):
    cold, warm = learners.Hand("cold_chain", LONG[0]), learners.Hand("cold_chain", LONG[0])
    learners.plan_day(cold)
    learners.plan_day(warm, {"boat:cooler": "boat:sun", "drive:cooler": "drive:seat"})
    assert warm.figure("bottle_degc") > cold.figure("bottle_degc") + 10

    def hours(hand) -> float:
        said = next(str(each) for each in hand.score().findings if each.code.endswith("pace"))
        return float(re.search(r"like ([\d.]+) hours", said)[1])

    assert hours(warm) > 1.5 * hours(cold)


def test_filter_has_no_temperature_before_it_is_made(learners):
    hand = learners.Hand("cold_chain", LONG[0])
    hand.do("pack:three")
    hand.do("boat:cooler")
    assert isnan(hand.figure("filter_degc"))
    hand.do("bench:cooler")
    warm = hand.figure("filter_degc")
    hand.do("drive:cooler")
    assert hand.figure("filter_degc") < warm
    assert len(hand.view.figures["course_minutes"]) == len(hand.view.figures["course_bottle_degc"])
