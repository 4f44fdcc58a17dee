"""Keeping it cold: a day's plan from the bottle's filling to the laboratory, with ice or without.

Holding times: a frozen chlorophyll filter 3.5 weeks at -20 °C (US EPA method 447.0; methods 445.0 and 446.0
from memory). For a frozen raw bottle no figure is published: the programme's plan counts.

Figures of the view: `air_degc`, `bottle_degc`, `filter_degc` (NaN before there is one), `ice_kg`, `minutes`
since the bottle was filled, `course_minutes`, `course_bottle_degc`, `course_filter_degc`, `leg` (0 packing
to 6 the end).
"""

from collections.abc import Mapping
from dataclasses import replace
from math import isnan

import numpy as np

from explorer.analysis.cooling import COOL_DEGC, life_pace
from explorer.model.practice import Action, Card, Option, Remark, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.cold_day import ICE_KG, QUICK_MINUTES, ColdState, draw_day, warm_up
from explorer.practice.turn import Exercise, take_turn, tally

__all__ = [
    "COSTS",
    "EXERCISE",
    "FILTER_HOLDING_DAYS",
    "act",
    "options",
    "score",
    "start",
    "view",
]

FILTER_HOLDING_DAYS = 24  # [d] whole days in 3.5 weeks: US EPA method 447.0
HOT_CAR_DEGC = 15.0  # [°C] how much warmer the air around the cooler is in a car

LEGS = ("pack", "boat", "bench", "drive", "home", "delivery", "transport")
CHOICES: Mapping[str, tuple[str, ...]] = {
    "pack": ("none", "one", "three"),
    "boat": ("cooler", "shade", "sun"),
    "bench": ("cooler", "table"),
    "drive": ("cooler", "seat", "dashboard"),
    "home": ("freezer", "fridge", "counter"),
    "delivery": ("first", "second"),
    "transport": ("frozen", "bag"),
}
SLIPS: Mapping[str, str] = {
    "pack:none": "no_ice", "boat:shade": "in_shade", "boat:sun": "in_sun", "bench:table": "on_table",
    "drive:seat": "on_seat", "drive:dashboard": "in_light", "home:fridge": "not_frozen",
    "home:counter": "left_out", "delivery:second": "delivered_late", "transport:bag": "thawed",
}  # fmt: skip
FORGIVEN_WHEN_QUICK = ("no_ice", "in_shade", "on_table", "on_seat")

COSTS: Mapping[str, int] = {
    f"practice_cold.{code}": points
    for code, points in {
        "no_ice": 3, "ice_too_little": 2, "in_shade": 1, "in_sun": 2, "on_table": 1, "on_seat": 2,
        "in_light": 2, "not_frozen": 3, "left_out": 3, "delivered_late": 2, "thawed": 2,
    }.items()
}  # fmt: skip

WELL: Mapping[str, tuple[str, ...]] = {
    f"practice_cold.well_{what}": tuple(f"practice_cold.{code}" for code in against)
    for what, against in {
        "ice": ("no_ice", "ice_too_little"),
        "cool": ("no_ice", "ice_too_little", "in_shade", "on_table", "on_seat"),
        "dark": ("in_sun", "in_light"),
        "frozen": ("not_frozen", "left_out", "thawed"),
        "in_time": ("delivered_late",),
    }.items()
}


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> ColdState:
    """Return the first moment: the cooler is packed at home.

    Parameters
    ----------
    seed : int
        Any whole number; the same gives the same day.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> [option.code for option in options(start(7))]
    ['pack:none', 'pack:one', 'pack:three']
    """
    day = draw_day(seed)
    return ColdState(seed=seed, rules=rules, day=day, bottle_degc=(day.water_degc,))


def options(state: ColdState) -> tuple[Option, ...]:
    """Return what can be decided now.

    Parameters
    ----------
    state : ColdState
        Where the exercise stands.

    Examples
    --------
    >>> len(options(start(7)))
    3
    """
    if state.finished:
        return ()
    leg = LEGS[state.leg]
    first, second = str(state.day.first_delivery_days), str(state.day.second_delivery_days)
    return tuple(
        Option(f"{leg}:{choice}", state.say(f"practice_cold.do_{leg}_{choice}", first=first, second=second))
        for choice in CHOICES[leg]
    )


def act(state: ColdState, action: Action) -> ColdState:
    """Return the state after a decision; whatever cannot be decided now gives a reason instead.

    Parameters
    ----------
    state : ColdState
        Where the exercise stands.
    action : Action
        What the learner decides.

    Examples
    --------
    >>> act(start(7), Action("pack:three")).ice_kg
    3.0
    """
    return take_turn(state, action, options(state), dict.fromkeys(LEGS, _decide))


def _decide(state: ColdState, action: Action) -> ColdState:
    day, leg = state.day, action.deed
    if leg == "pack":
        state = replace(state, ice_kg=ICE_KG[action.target])
    elif leg in ("boat", "bench", "drive"):
        minutes = {"boat": day.boat_minutes, "bench": day.bench_minutes, "drive": day.drive_minutes}[leg]
        state = _passed(state, action.target, minutes, leg)
    slip = SLIPS.get(action.code, "")
    values = {
        "days": str(day.second_delivery_days),
        "holding": str(FILTER_HOLDING_DAYS),
        "quick": str(QUICK_MINUTES),
    }
    if slip and not (day.is_quick and slip in FORGIVEN_WHEN_QUICK):
        state = state.slip(f"practice_cold.{slip}", **values)
    elif slip:
        state = state.tell("practice_cold.quick_enough", **values)
    elif not state.told:
        state = state.tell(f"practice_cold.{leg}_is_right", **values)
    return replace(state, leg=state.leg + 1, finished=state.leg + 1 == len(LEGS))


def _passed(state: ColdState, place: str, minutes: int, leg: str) -> ColdState:
    """Return the state after one part of the day; the filter is made at the end of the work at the bench."""
    in_car = HOT_CAR_DEGC if leg == "drive" and place == "cooler" else 0.0
    air, filter_degc, had_ice = state.day.air_degc + in_car, state.filter_degc[-1], state.ice_kg > 0
    passed = warm_up(air, place, minutes, state.bottle_degc[-1], filter_degc, state.ice_kg)
    filters = passed.filter_degc.tolist()
    if leg == "bench":
        filters[-1] = state.day.air_degc
    state = replace(
        state,
        ice_kg=passed.ice_kg,
        bottle_degc=(*state.bottle_degc, *passed.bottle_degc.tolist()),
        filter_degc=(*state.filter_degc, *filters),
    )
    if had_ice and state.ice_kg == 0.0 and not state.day.is_quick:
        return state.slip("practice_cold.ice_too_little", bottle=f"{state.bottle_degc[-1]:.0f}")
    if place == "cooler" and state.ice_kg == 0.0:
        return state.tell("practice_cold.cooler_without_ice", bottle=f"{state.bottle_degc[-1]:.0f}")
    return state


def view(state: ColdState) -> View:
    """Return the day's plan and the temperatures so far.

    Parameters
    ----------
    state : ColdState
        Where the exercise stands.

    Examples
    --------
    >>> view(start(7)).scene
    'road'
    """
    day = state.day
    figures: dict[str, float | tuple[float, ...]] = {
        "air_degc": day.air_degc,
        "bottle_degc": state.bottle_degc[-1],
        "filter_degc": state.filter_degc[-1],
        "ice_kg": state.ice_kg,
        "minutes": float(len(state.bottle_degc) - 1),
        "course_minutes": tuple(float(minute) for minute in range(len(state.bottle_degc))),
        "course_bottle_degc": state.bottle_degc,
        "course_filter_degc": state.filter_degc,
        "leg": float(state.leg),
    }
    plan = (
        ("plan_air", f"{day.air_degc:.0f} °C"),
        ("plan_boat", f"{day.boat_minutes} min"),
        ("plan_bench", f"{day.bench_minutes} min"),
        ("plan_drive", f"{day.drive_minutes} min"),
    )
    now = [("now_bottle", f"{state.bottle_degc[-1]:.0f} °C"), ("now_ice", f"{state.ice_kg:.1f} kg")]
    if not isnan(state.filter_degc[-1]):
        now.insert(1, ("now_filter", f"{state.filter_degc[-1]:.0f} °C"))
    cards = tuple(
        Card(
            state.say(f"practice_cold.card_{card}"),
            tuple((state.say(f"practice_cold.{n}"), t) for n, t in lines),
        )
        for card, lines in (("plan", plan), ("now", tuple(now)))
    )
    task = state.say(f"practice_cold.task_{'finished' if state.finished else LEGS[state.leg]}")
    return View("road", task, state.told_in_words(), figures, cards, "", state.finished)


def score(state: ColdState) -> Score:
    """Return points, how long the bottle was warm, and what that does.

    Parameters
    ----------
    state : ColdState
        Where the exercise stands.

    Examples
    --------
    >>> score(start(7)).of
    23
    """
    bottle = np.array(state.bottle_degc[1:])
    findings = []
    if bottle.size:
        warm = int((bottle > COOL_DEGC).sum())
        values = {"cool": f"{COOL_DEGC:g}", "minutes": str(warm), "warmest": f"{bottle.max():.0f}"}
        hours = float(life_pace(bottle).sum()) / 60.0
        pace = {"hours": f"{hours:.1f}", "real": f"{bottle.size / 60.0:.1f}", "cool": f"{COOL_DEGC:g}"}
        findings = [Remark("practice_cold.warm_for", values), Remark("practice_cold.pace", pace)]
    findings.append(Remark("practice_cold.holding", {"holding": str(FILTER_HOLDING_DAYS)}))
    return tally(state, COSTS, findings, well=WELL)


EXERCISE = Exercise("cold_chain", start, options, act, view, score)
