"""Reading the disk: the learner's own view down beside the boat, five readings, agreement and bias."""

from collections.abc import Mapping

from explorer.model.practice import Action, Estimate, Option, Remark, Score
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.agreement import bias_of_readings, readings_agree, spread_share
from explorer.practice.disk_deeds import DEEDS, STEPS
from explorer.practice.disk_state import DiskState
from explorer.practice.disk_view import view
from explorer.practice.disk_water import draw_water, secchi_by_rule
from explorer.practice.turn import Exercise, take_turn, tally
from explorer.practice.written_depth import WRITING_FORMS

__all__ = ["COSTS", "EXERCISE", "act", "options", "score", "start", "view"]

COSTS: Mapping[str, int] = {
    f"practice_disk.{code}": points
    for code, points in {
        "wrong_side": 2, "viewer_against_rule": 1, "sunglasses": 1, "mud_in_the_way": 2, "lost_in_plants": 2,
        "line_slanted": 2, "too_coarse": 2, "noted_in_sight": 2, "noted_unseen": 2, "bottom_unmarked": 3,
        "slack_line": 2, "mark_miscounted": 2, "tenths_as_inches": 2, "inches_as_tenths": 2, "wrong_unit": 2,
        "not_by_rule": 2, "written_otherwise": 2, "readings_disagree": 3,
    }.items()
}  # fmt: skip

# What may be said to have gone well, and the mistakes that speak against it.
WELL: Mapping[str, tuple[str, ...]] = {
    f"practice_disk.well_{what}": tuple(f"practice_disk.{code}" for code in against)
    for what, against in {
        "rule": ("wrong_side", "viewer_against_rule"),
        "looking": ("sunglasses", "mud_in_the_way"),
        "line": ("line_slanted", "slack_line", "lost_in_plants"),
        "noting": ("too_coarse", "noted_in_sight", "noted_unseen", "bottom_unmarked"),
        "counting": ("mark_miscounted",),
        "writing": (
            "tenths_as_inches",
            "inches_as_tenths",
            "wrong_unit",
            "not_by_rule",
            "written_otherwise",
        ),
    }.items()
}


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> DiskState:
    """Return the first moment: the boat at anchor over an invented water.

    Parameters
    ----------
    seed : int
        Any whole number; the same gives the same water.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> view(start(7)).figures["readings"]
    0.0
    """
    water = draw_water(seed)
    return DiskState(
        seed=seed, rules=rules, water=water, mud=water.mud, slant_deg=water.drift_deg,
        sunglasses=water.wears_sunglasses,
    )  # fmt: skip


def options(state: DiskState) -> tuple[Option, ...]:
    """Return what is possible now: line, boat and sheet.

    Parameters
    ----------
    state : DiskState
        Where the exercise stands.

    Examples
    --------
    >>> [option.code for option in options(start(7))][:2]
    ['side:shaded', 'side:sunny']
    """
    if state.finished:
        return ()
    hanging = state.halves > 0
    codes: list[tuple[str, str]] = []
    if state.side:
        codes += [("line", f"lower:{step}") for step in STEPS]
    if hanging:
        codes += [("line", f"raise:{step}") for step in STEPS]
        codes += [("line", "straighten"), ("line", "note_gone")]
    if hanging and state.gone is not None:
        codes.append(("line", "note_back"))
    if state.sight.on_bottom and state.sight.is_seen:
        codes.append(("line", "note_bottom"))
    if state.sight.in_plants:
        codes.append(("boat", "move_clear"))
    if state.sunglasses:
        codes.append(("boat", "glasses_off"))
    if not hanging:
        codes += [("boat", f"side:{side}") for side in ("shaded", "sunny") if side != state.side]
        codes.append(("boat", f"viewer:{'off' if state.viewer else 'on'}"))
    codes.append(("boat", "wait"))
    if state.can_write:
        codes += [("sheet", f"write:{form}") for form in WRITING_FORMS]
    return tuple(_option(state, row, code) for row, code in codes)


def _option(state: DiskState, row: str, code: str) -> Option:
    name = code.replace(":", "_")
    label = state.say(f"practice_disk.do_{name}", **_line_words(state))
    asks = state.say(f"practice_disk.ask_{name}") if row == "sheet" else ""
    return Option(code, label, state.say(f"practice_disk.row_{row}"), asks)


def _line_words(state: DiskState) -> dict[str, str]:
    kind = state.rules.line
    return {name: state.say(f"practice_disk.{kind}_{name}") for name in ("long", "mark", "half")}


def act(state: DiskState, action: Action) -> DiskState:
    """Return the state after an action; whatever cannot be done gives a reason instead.

    Parameters
    ----------
    state : DiskState
        Where the exercise stands.
    action : Action
        What the learner does.

    Examples
    --------
    >>> act(start(7), Action("fly")).told[0].code
    'practice.not_now'
    """
    return take_turn(state, action, options(state), DEEDS)


def score(state: DiskState) -> Score:
    """Return points for the procedure, agreement of the readings, and their bias against this water.

    Parameters
    ----------
    state : DiskState
        Where the exercise stands.

    Examples
    --------
    >>> score(start(7)).mistakes[0].code
    'practice.unfinished'
    """
    half_mark = state.line.length_m(1)
    depths = [reading.depth_m for reading in state.readings]
    measured = [reading.depth_m for reading in state.readings if not reading.on_bottom]
    bias = bias_of_readings(measured, secchi_by_rule(state.water, state.rules), half_mark)
    if state.water.bottom_m < secchi_by_rule(state.water, state.rules):
        bias = None  # the water is clearer than it is deep: how clear, nobody can say
    spread = spread_share(depths)
    findings = []
    if spread is not None:
        agree = readings_agree(depths, 2 * half_mark)
        values = {"count": str(len(depths)), "spread": f"{spread:.0f}"}
        findings.append(Remark(f"practice_disk.readings_{'agree' if agree else 'apart'}", values))
        if not agree and state.finished:
            state = state.slip("practice_disk.readings_disagree", **values)
    if bias is not None:
        side = "none" if bias.low <= 0 <= bias.high else "deep" if bias.value > 0 else "shallow"
        findings.append(Remark(f"practice_disk.bias_{side}", _bias_words(bias, side, len(measured))))
    if any(reading.on_bottom for reading in state.readings):
        findings.append(Remark("practice_disk.bottom_means"))
    findings.append(Remark("practice_disk.not_your_eyes"))
    return tally(state, COSTS, findings, bias, spread, well=WELL)


def _bias_words(bias: Estimate, side: str, count: int) -> dict[str, str]:
    """Return a bias and its limits as text; what is too shallow is given as a number above 0."""
    ends = (-bias.high, -bias.low) if side == "shallow" else (bias.low, bias.high)
    low, high = (f"{end:+.0f}" if side == "none" else f"{end:.0f}" for end in ends)
    return {"value": f"{abs(bias.value):.0f}", "low": low, "high": high, "count": str(count)}


EXERCISE = Exercise("disk", start, options, act, view, score, minutes=15, cautions=("boat",))
