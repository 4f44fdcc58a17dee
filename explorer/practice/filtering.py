"""Filtering for chlorophyll: mix, pour to the mark, keep the vacuum low, watch the stain, write the total.

Figures of the view: `jug_colour` (1 pale, 2 green, 3 very green), `vessel` (0 none, 1 cylinder, 2 jar),
`eye` (0 above, 1 level), `level_ml` and `rim_ml` (bottom and rim of the curved surface against the marks),
`vessel_holds_ml`, `funnel_ml`, `stain` (0 white, 1 blocked), `stain_step` (0 none, 1 pale, 2 clear, 3
dark), `vacuum_kpa`, `swirled`, `portions`, `blocked`, `stopped`.
"""

from collections.abc import Mapping

from explorer.model.practice import Action, Card, Estimate, Option, Remark, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.filtering_bench import (
    BLOCKING_UG,
    ENOUGH_UG,
    LABORATORY_LIMIT_UG,
    LEVEL_TOLERANCE_ML,
    VESSELS,
    chlorophyll_by_laboratory,
    draw_jug_water,
)
from explorer.practice.filtering_deeds import DEEDS, FilteringState
from explorer.practice.turn import Exercise, take_turn, tally

__all__ = ["COSTS", "EXERCISE", "act", "is_risky", "options", "score", "start", "view"]

GREEN_UG_PER_L, VERY_GREEN_UG_PER_L = 15.0, 40.0  # [µg/L] where the jug looks green, and very green
DARK_UG = 7.0  # [µg] on the filter, where the drops slow down
BURST_SHARE = 0.2  # [1] of the chlorophyll lost with each hard stroke (invented; the direction is not)
HARDEST_STROKES = 3

COSTS: Mapping[str, int] = {
    f"practice_filtering.{code}": points
    for code, points in {
        "not_swirled": 2, "read_from_above": 2, "rim_at_mark": 2, "between_marks": 2, "jar_marks": 1,
        "vacuum_too_high": 3, "filter_blocked": 2, "water_left": 2, "too_little": 2, "top_up_forgotten": 3,
        "litres_written": 2, "total_otherwise": 2,
    }.items()
}  # fmt: skip

WELL: Mapping[str, tuple[str, ...]] = {
    f"practice_filtering.well_{what}": tuple(f"practice_filtering.{code}" for code in against)
    for what, against in {
        "mixed": ("not_swirled",),
        "level": ("read_from_above", "rim_at_mark", "between_marks", "jar_marks"),
        "vacuum": ("vacuum_too_high",),
        "amount": ("filter_blocked", "too_little", "water_left"),
        "total": ("top_up_forgotten", "litres_written", "total_otherwise"),
    }.items()
}


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> FilteringState:
    """Return the first moment: a jug of lake water beside a filter stand.

    Parameters
    ----------
    seed : int
        Any whole number; the same gives the same water.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> view(start(7)).figures["vessel"]
    0.0
    """
    return FilteringState(seed=seed, rules=rules, water=draw_jug_water(seed))


def options(state: FilteringState) -> tuple[Option, ...]:
    """Return what is possible now.

    Parameters
    ----------
    state : FilteringState
        Where the exercise stands.

    Examples
    --------
    >>> [option.code for option in options(start(7))]
    ['take:cylinder', 'take:jar', 'swirl']
    """
    if state.finished:
        return ()
    if state.stopped:
        return (_option(state, "sheet", "write_total"),)
    takes = [("pour", f"take:{vessel}") for vessel in VESSELS if vessel != state.vessel]
    codes: list[tuple[str, str]] = [] if state.vessel else takes
    codes = [*codes, ("pour", "swirl")]
    if state.vessel:  # what comes and goes stands last: the others keep their places
        codes += [("pour", f"pour:{manner}") for manner in ("splash", "little", "drops")]
        codes.append(("pour", "eye:level" if state.eye == "above" else "eye:above"))
        codes += [("pour", "tip_out"), ("filter", "into_funnel")] if state.vessel_ml > 0 else takes
    if state.funnel_ml > 0:
        codes += [("filter", "pump:gently"), ("filter", "pump:hard")]
    if state.blocked:
        codes.append(("filter", "new_filter"))
    if state.portions_ml:
        codes.append(("filter", "stop"))
    return tuple(_option(state, row, code) for row, code in codes)


def _option(state: FilteringState, row: str, code: str) -> Option:
    label = state.say(f"practice_filtering.do_{code.replace(':', '_')}")
    asks = state.say("practice_filtering.ask_total") if row == "sheet" else ""
    return Option(code, label, state.say(f"practice_filtering.row_{row}"), asks)


def act(state: FilteringState, action: Action) -> FilteringState:
    """Return the state after an action; whatever cannot be done gives a reason instead.

    Parameters
    ----------
    state : FilteringState
        Where the exercise stands.
    action : Action
        What the learner does.

    Examples
    --------
    >>> act(start(7), Action("swirl")).swirled
    True
    """
    return take_turn(state, action, options(state), DEEDS)


def is_risky(state: FilteringState, action: Action) -> bool:
    """Return whether an action would endanger somebody: a strong vacuum over glass.

    Parameters
    ----------
    state : FilteringState
        Where the exercise stands.
    action : Action
        What the learner means to do.

    Examples
    --------
    >>> is_risky(start(7), Action("pump:hard"))
    True
    """
    return action.code == "pump:hard"


def view(state: FilteringState) -> View:
    """Return jug, vessel and filter as they look, in numbers for a picture and in words.

    Parameters
    ----------
    state : FilteringState
        Where the exercise stands.

    Examples
    --------
    >>> view(start(7)).scene
    'bench'
    """
    level = state.level
    figures = {
        "jug_colour": float(_jug_step(state)),
        "vessel": float(("", *VESSELS).index(state.vessel)),
        "vessel_holds_ml": VESSELS[state.vessel or "cylinder"].holds_ml,
        "eye": float(state.eye == "level"),
        "level_ml": level.bottom_ml,
        "rim_ml": level.rim_ml,
        "funnel_ml": state.funnel_ml,
        "stain": min(1.0, state.filter_ug / BLOCKING_UG),
        "stain_step": float(_stain_step(state)),
        "vacuum_kpa": 0.75 * state.rules.most_vacuum_kpa if state.funnel_ml > 0 else 0.0,
        "swirled": float(state.swirled),
        "portions": float(len(state.portions_ml)),
        "blocked": float(state.blocked),
        "stopped": float(state.stopped),
    }
    steps = {"finished": state.finished, "write": state.stopped, "pump": state.funnel_ml > 0, "pour": True}
    step = next(name for name, is_now in steps.items() if is_now)
    task = state.say(f"practice_filtering.task_{step}", most=f"{state.rules.most_vacuum_kpa:g}")
    caution = state.say("practice_filtering.caution")
    return View("bench", task, state.told_in_words(), figures, (_bench_card(state),), caution, state.finished)


def _jug_step(state: FilteringState) -> int:
    chlorophyll = state.water.chlorophyll_a_ug_per_l
    return 1 + (chlorophyll >= GREEN_UG_PER_L) + (chlorophyll >= VERY_GREEN_UG_PER_L)


def _stain_step(state: FilteringState) -> int:
    return (state.filter_ug > 0) + (state.filter_ug >= ENOUGH_UG) + (state.filter_ug >= DARK_UG)


def _bench_card(state: FilteringState) -> Card:
    lines: list[tuple[str, str, dict[str, str]]] = [
        ("see_jug", f"jug_{_jug_step(state)}", {}),
        ("see_mixed", "jug_moving" if state.swirled else "jug_still", {}),
        ("see_eye", f"eye_{state.eye}", {}),
        ("see_stain", f"stain_{_stain_step(state)}", {}),
    ]
    if state.funnel_ml > 0:
        lines.append(("see_funnel", "funnel_holds", {"volume": f"{state.funnel_ml:.0f}"}))
    if state.written_ml is not None:
        lines.append(("see_written", "total_is", {"volume": f"{state.written_ml:g}"}))
    group = "practice_filtering"
    said = tuple((state.say(f"{group}.{name}"), state.say(f"{group}.{text}", **v)) for name, text, v in lines)
    if state.vessel:
        level = (state.say(f"{group}.see_level"), state.level_remark.say(state.rules.language))
        said = (*said[:2], level, *said[2:])
    return Card(state.say(f"{group}.card_bench"), said)


def score(state: FilteringState) -> Score:
    """Return points, and the laboratory's result from what was written beside the true one.

    Parameters
    ----------
    state : FilteringState
        Where the exercise stands.

    Examples
    --------
    >>> score(start(7)).points
    0
    """
    if state.written_ml is None:
        return tally(state, COSTS)
    truth = state.water.chlorophyll_a_ug_per_l
    found_ug = state.filter_ug * (1.0 - BURST_SHARE * min(state.hard_strokes, HARDEST_STROKES))
    shown = {"written": f"{state.written_ml:g}", "truth": f"{truth:.3g}"}
    if found_ug < LABORATORY_LIMIT_UG:
        limit = chlorophyll_by_laboratory(LABORATORY_LIMIT_UG, state.written_ml)
        below = Remark("practice_filtering.result_below", {**shown, "limit": f"{limit:.3g}"})
        return tally(state, COSTS, [below], well=WELL)
    result = chlorophyll_by_laboratory(found_ug, state.written_ml)
    factor = result / truth
    findings = [
        Remark("practice_filtering.result", {**shown, "result": f"{result:.3g}", "factor": f"{factor:.3g}"})
    ]
    read_ml = max(sum(state.portions_ml), LEVEL_TOLERANCE_ML)
    unsure = len(state.portions_ml) * LEVEL_TOLERANCE_ML / read_ml + VESSELS[state.vessel].tolerance
    low, high = (100.0 * (factor * (1.0 + side * unsure) - 1.0) for side in (-1, 1))
    return tally(state, COSTS, findings, Estimate(100.0 * (factor - 1.0), low, high), well=WELL)


EXERCISE = Exercise("filtering", start, options, act, view, score, is_risky, minutes=10, cautions=("ashore",))
