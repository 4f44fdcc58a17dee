"""What a learner does when reading the disk, and what each deed brings about."""

from collections.abc import Mapping
from dataclasses import replace
from math import cos, inf, radians

from explorer.model.practice import Action
from explorer.practice.disk_line import line_text
from explorer.practice.disk_state import DiskReading, DiskState
from explorer.practice.disk_water import MUD_SETTLES
from explorer.practice.turn import Deed
from explorer.practice.written_depth import read_depth, writing_slip

__all__ = ["DEEDS", "STEPS"]

LEAST_SLANT_DEG = 5.0  # [deg] below it the line is off by less than half a percent
LEAST_MUD = 0.05  # [1] below it mud changes a reading less than waves do
LONGEST_LINE = 40  # long marks
FARTHEST_FROM_CROSSING = 2  # [half marks] what is noted lies within one mark of where the sight changed
NOWHERE = -1000  # [half marks] the sight changed without the line: the place is yet to be found

STEPS = ("long", "mark", "half")


def _halves_of(state: DiskState, step: str) -> int:
    return {"half": 1, "mark": 2, "long": 2 * state.line.marks_to_long}[step]


def _move_line(state: DiskState, by: int) -> DiskState:
    longest = 2 * state.line.marks_to_long * LONGEST_LINE
    halves = min(max(state.halves + by, 0), longest)
    moved = replace(state, halves=halves)
    if moved.sight.is_seen != state.sight.is_seen:
        moved = replace(moved, crossed_from=state.halves)
    places = range(state.halves + 1, halves + 1) if by > 0 else range(halves, state.halves)
    way = "under" if by > 0 else "up"
    for place in places:
        if state.line.kind(place) >= 2:
            double = "double" if state.line.kind(place) == 3 else "long"
            moved = moved.tell(f"practice_disk.{double}_mark_{way}")
    before, now = state.sight, moved.sight
    if now.on_bottom and not before.on_bottom:
        moved = moved.tell("practice_disk.line_goes_slack")
    if now.in_plants and not before.in_plants:
        moved = moved.tell("practice_disk.goes_into_plants")
    elif now.is_seen != before.is_seen and halves > 0:
        moved = moved.tell(f"practice_disk.{'comes_back' if now.is_seen else 'is_lost'}")
    return moved


def _lower(state: DiskState, action: Action) -> DiskState:
    return _move_line(state, _halves_of(state, action.target))


def _raise(state: DiskState, action: Action) -> DiskState:
    return _move_line(state, -_halves_of(state, action.target))


def _changed(state: DiskState, **changes: object) -> DiskState:
    """Return the state with another boat, look or water; where the disk is lost must then be found anew."""
    changed: DiskState = replace(state, **changes)  # type: ignore[arg-type]
    if changed.sight.is_seen != state.sight.is_seen:
        changed = replace(changed, crossed_from=NOWHERE)
    return changed


def _go_to_side(state: DiskState, action: Action) -> DiskState:
    glare = action.target == "sunny" and state.water.is_sunny and not state.viewer
    code = "glare_here" if glare else f"on_{action.target}_side"
    return _changed(state, side=action.target).tell(f"practice_disk.{code}")


def _use_viewer(state: DiskState, action: Action) -> DiskState:
    return _changed(state, viewer=action.target == "on").tell(f"practice_disk.viewer_is_{action.target}")


def _take_glasses_off(state: DiskState, _: Action) -> DiskState:
    return _changed(state, sunglasses=False).tell("practice_disk.glasses_are_off")


def _wait(state: DiskState, _: Action) -> DiskState:
    mud = state.mud * MUD_SETTLES if state.mud > LEAST_MUD else 0.0
    code = "mud_settles" if mud > LEAST_MUD else "water_is_settled"
    return _changed(state, mud=mud).tell(f"practice_disk.{code}")


def _straighten(state: DiskState, _: Action) -> DiskState:
    return _changed(state, slant_deg=0.0).tell("practice_disk.line_is_straight")


def _move_clear(state: DiskState, _: Action) -> DiskState:
    moved = replace(
        state, water=replace(state.water, plants_m=inf), halves=0, gone=None, back=None, bottom=None
    )
    return moved.tell("practice_disk.clear_of_plants")


def _with_slips_of_looking(state: DiskState) -> DiskState:
    """Return the state with what is wrong about how the learner looks, whatever is noted."""
    if state.side != state.rules.boat_side:
        state = state.slip(
            "practice_disk.wrong_side", side=state.say(f"practice_disk.side_{state.rules.boat_side}")
        )
    if state.viewer != state.rules.viewer:
        rule = state.say(f"practice_disk.viewer_{'with' if state.rules.viewer else 'without'}")
        state = state.slip("practice_disk.viewer_against_rule", rule=rule)
    if state.sunglasses:
        state = state.slip("practice_disk.sunglasses")
    if state.mud > LEAST_MUD:
        state = state.slip("practice_disk.mud_in_the_way")
    if state.slant_deg > LEAST_SLANT_DEG:
        cosine = cos(radians(state.slant_deg))
        state = state.slip(
            "practice_disk.line_slanted",
            angle=f"{state.slant_deg:.0f}",
            cosine=f"{cosine:.2f}",
            percent=f"{100 * (1 / cosine - 1):.0f}",
        )
    return state


def _note_gone(state: DiskState, _: Action) -> DiskState:
    sight = state.sight
    state = replace(state, gone=state.halves, bottom=None)
    if sight.is_seen and sight.on_bottom:
        return _with_slips_of_looking(state.slip("practice_disk.bottom_unmarked"))
    if sight.is_seen:
        return _with_slips_of_looking(state.slip("practice_disk.noted_in_sight"))
    if sight.in_plants:
        return _with_slips_of_looking(state.slip("practice_disk.lost_in_plants"))
    return _noted(state, "gone_is_noted")


def _note_back(state: DiskState, _: Action) -> DiskState:
    seen = state.sight.is_seen
    state = replace(state, back=state.halves, bottom=None)
    if not seen:
        return _with_slips_of_looking(state.slip("practice_disk.noted_unseen"))
    return _noted(state, "back_is_noted")


def _noted(state: DiskState, code: str) -> DiskState:
    if abs(state.halves - state.crossed_from) > FARTHEST_FROM_CROSSING:
        state = state.slip("practice_disk.too_coarse")
    state = _with_slips_of_looking(state)
    return state if state.told else state.tell(f"practice_disk.{code}")


def _note_bottom(state: DiskState, _: Action) -> DiskState:
    sight = state.sight
    state = replace(state, bottom=state.halves, gone=None, back=None)
    if sight.slack_m > state.line.length_m(FARTHEST_FROM_CROSSING):
        state = state.slip("practice_disk.slack_line")
    state = _with_slips_of_looking(state)
    return state if state.told else state.tell("practice_disk.bottom_is_noted")


def _write(state: DiskState, action: Action) -> DiskState:
    written = read_depth(action.target, action.written)
    if written is None:
        return state.tell(f"practice_disk.unreadable_{action.target}", found=action.written)
    gone = float(state.wanted if state.gone is None else state.gone)
    back = float(state.wanted if state.back is None else state.back)
    slip = writing_slip(state.line, written, gone, back, state.wanted)
    on_bottom = state.bottom is not None
    if slip:
        stood = line_text(state.line, state.wanted)
        state = state.slip(f"practice_disk.{slip}", written=written.text, stood=stood)
    else:
        state = state.tell("practice_disk.bottom_written" if on_bottom else "practice_disk.depth_written")
    reading = DiskReading(written.depth_m, written.text, on_bottom, state.line.length_m(state.wanted))
    readings = (*state.readings, reading)
    finished = len(readings) >= state.rules.readings
    return replace(
        state, readings=readings, finished=finished, halves=0, crossed_from=0, gone=None, back=None,
        bottom=None, slant_deg=state.water.drift_deg,
    )  # fmt: skip


DEEDS: Mapping[str, Deed[DiskState]] = {
    "lower": _lower,
    "raise": _raise,
    "side": _go_to_side,
    "viewer": _use_viewer,
    "glasses_off": _take_glasses_off,
    "wait": _wait,
    "straighten": _straighten,
    "move_clear": _move_clear,
    "note_gone": _note_gone,
    "note_back": _note_back,
    "note_bottom": _note_bottom,
    "write": _write,
}
