"""Where a learner stands in filtering, what can be done, and what each deed brings about."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from explorer.model.practice import Action, Remark
from explorer.practice.filtering_bench import (
    ENOUGH_UG,
    FUNNEL_ML,
    LEVEL_TOLERANCE_ML,
    VESSELS,
    JugWater,
    Level,
    level_in_vessel,
    passed_by_stroke,
    poured_ml,
)
from explorer.practice.turn import Deed, PracticeState, written_number

__all__ = ["DEEDS", "FilteringState", "volume_slip"]

TIPPED_OUT_ML = 6.0
EMPTY_ML = 0.5  # [mL] less than that is an empty funnel


@dataclass(frozen=True, kw_only=True)
class FilteringState(PracticeState):
    """The exercise at one moment.

    Attributes
    ----------
    water : JugWater
        Hidden from the learner.
    vessel : str
        "cylinder", "jar", or empty while none is taken.
    eye : {"above", "level"}
        Where the eye is.
    swirled : bool
        Whether the jug is mixed.
    pours : int
        Pours so far.
    vessel_ml, vessel_ug, funnel_ml, funnel_ug, filter_ug : float
        Water and chlorophyll in the vessel, in the funnel and on the filter. [mL], [µg]
    portions_ml : tuple of float
        What the learner read for each portion. [mL]
    hard_strokes : int
        Strokes with too strong a vacuum.
    blocked, stopped : bool
        Whether the filter is blocked; whether filtering has ended.
    written_ml : float or None
        Total volume as written. [mL]
    """

    water: JugWater
    vessel: str = ""
    eye: str = "above"
    swirled: bool = False
    pours: int = 0
    vessel_ml: float = 0.0
    vessel_ug: float = 0.0
    funnel_ml: float = 0.0
    funnel_ug: float = 0.0
    filter_ug: float = 0.0
    portions_ml: tuple[float, ...] = ()
    hard_strokes: int = 0
    blocked: bool = False
    stopped: bool = False
    written_ml: float | None = None

    @property
    def level(self) -> Level:
        """How the level in the vessel looks."""
        return level_in_vessel(self.water, self.vessel or "cylinder", self.vessel_ml, self.eye)

    @property
    def level_remark(self) -> Remark:
        """The level in words."""
        values = {"bottom": f"{self.level.bottom_ml:.1f}", "rim": f"{self.level.rim_ml:.1f}"}
        return Remark(f"practice_filtering.level_{self.vessel or 'cylinder'}", values)


def _take(state: FilteringState, action: Action) -> FilteringState:
    return replace(state, vessel=action.target).tell(f"practice_filtering.took_{action.target}")


def _look(state: FilteringState, action: Action) -> FilteringState:
    return replace(state, eye=action.target).tell(f"practice_filtering.eye_is_{action.target}")


def _swirl(state: FilteringState, _: Action) -> FilteringState:
    return replace(state, swirled=True).tell("practice_filtering.is_swirled")


def _pour(state: FilteringState, action: Action) -> FilteringState:
    room = VESSELS[state.vessel].holds_ml + VESSELS[state.vessel].rim_ml - state.vessel_ml
    volume = poured_ml(state.seed, state.pours, action.target)
    if volume > room:
        return state.tell("practice_filtering.vessel_full")
    share = 1.0 if state.swirled else state.water.settled_share
    if not state.swirled:
        state = state.slip("practice_filtering.not_swirled")
    gained = volume / 1000.0 * state.water.chlorophyll_a_ug_per_l * share
    poured = replace(
        state, pours=state.pours + 1, vessel_ml=state.vessel_ml + volume, vessel_ug=state.vessel_ug + gained
    )
    return replace(poured, told=(*poured.told, poured.level_remark))


def _tip_out(state: FilteringState, _: Action) -> FilteringState:
    left = max(0.0, 1.0 - TIPPED_OUT_ML / state.vessel_ml)
    tipped = replace(state, vessel_ml=state.vessel_ml * left, vessel_ug=state.vessel_ug * left)
    return replace(tipped, told=(tipped.level_remark,))


def _into_funnel(state: FilteringState, _: Action) -> FilteringState:
    if state.funnel_ml + state.vessel_ml > FUNNEL_ML:
        return state.tell("practice_filtering.funnel_full")
    level = state.level
    read_ml = level.nearest_mark_ml
    if level.mark_ml is None and level.rim_mark_ml is not None:
        read_ml = level.rim_mark_ml
        state = state.slip("practice_filtering.rim_at_mark", mark=f"{read_ml:.0f}")
    elif level.mark_ml is None:
        state = state.slip("practice_filtering.between_marks", mark=f"{read_ml:.0f}")
    if state.eye == "above":
        state = state.slip("practice_filtering.read_from_above")
    if state.vessel == "jar":
        state = state.slip("practice_filtering.jar_marks")
    if not state.told:
        code = "topped_up" if state.portions_ml else "in_funnel"
        state = state.tell(f"practice_filtering.{code}", volume=f"{read_ml:.0f}")
    return replace(
        state, vessel_ml=0.0, vessel_ug=0.0, swirled=False, portions_ml=(*state.portions_ml, read_ml),
        funnel_ml=state.funnel_ml + state.vessel_ml, funnel_ug=state.funnel_ug + state.vessel_ug,
    )  # fmt: skip


def _pump(state: FilteringState, action: Action) -> FilteringState:
    if action.target == "hard":  # the valve lets the air in: nothing is gained, cells have burst
        hard = replace(state, hard_strokes=state.hard_strokes + 1)
        return hard.slip("practice_filtering.vacuum_too_high", most=f"{state.rules.most_vacuum_kpa:g}")
    passed = passed_by_stroke(state.funnel_ml, state.filter_ug)
    if passed == 0.0:
        return replace(state, blocked=True).slip("practice_filtering.filter_blocked")
    caught = state.funnel_ug * passed / state.funnel_ml
    state = replace(
        state, funnel_ml=state.funnel_ml - passed, funnel_ug=state.funnel_ug - caught,
        filter_ug=state.filter_ug + caught,
    )  # fmt: skip
    if state.funnel_ml > EMPTY_ML:
        return state.tell("practice_filtering.water_passes")
    enough = "enough" if state.filter_ug >= ENOUGH_UG else "too_pale"
    return state.tell(f"practice_filtering.funnel_empty_{enough}")


def _take_new_filter(state: FilteringState, _: Action) -> FilteringState:
    fresh = replace(
        state, blocked=False, filter_ug=0.0, funnel_ml=0.0, funnel_ug=0.0, portions_ml=(), hard_strokes=0
    )
    return fresh.tell("practice_filtering.filter_is_new")


def _stop(state: FilteringState, _: Action) -> FilteringState:
    if state.funnel_ml > EMPTY_ML:
        state = state.slip("practice_filtering.water_left")
    if state.filter_ug < ENOUGH_UG:
        state = state.slip("practice_filtering.too_little")
    if not state.told:
        state = state.tell("practice_filtering.has_stopped")
    return replace(state, stopped=True)


def volume_slip(written_ml: float, portions_ml: Sequence[float]) -> str:
    """Return the likeliest slip in a written total, empty where it is the sum of the portions.

    Parameters
    ----------
    written_ml : float
        As written. [mL]
    portions_ml : sequence of float
        What was read for each portion. [mL]

    Returns
    -------
    str
        "top_up_forgotten", "litres_written" or "total_otherwise".

    Examples
    --------
    >>> volume_slip(500, [250, 250]), volume_slip(250, [250, 250]), volume_slip(0.5, [250, 250])
    ('', 'top_up_forgotten', 'litres_written')
    """
    total, near = sum(portions_ml), LEVEL_TOLERANCE_ML
    parts = [sum(portions_ml[:count]) for count in range(1, len(portions_ml))]
    if abs(written_ml - total) <= near:
        return ""
    if any(abs(written_ml - part) <= near for part in (*parts, *(portions_ml if parts else ()))):
        return "top_up_forgotten"
    return "litres_written" if abs(written_ml * 1000.0 - total) <= near else "total_otherwise"


def _write_total(state: FilteringState, action: Action) -> FilteringState:
    written = written_number(action.written)
    if not written:
        return state.tell("practice_filtering.unreadable_total", found=action.written)
    slip = volume_slip(written, state.portions_ml)
    if slip:
        total = sum(state.portions_ml)
        values = {"written": f"{written:g}", "total": f"{total:.0f}", "factor": f"{total / written:.4g}"}
        state = state.slip(f"practice_filtering.{slip}", **values)
    else:
        state = state.tell("practice_filtering.total_written")
    return replace(state, written_ml=written, finished=True)


DEEDS: Mapping[str, Deed[FilteringState]] = {
    "take": _take,
    "eye": _look,
    "swirl": _swirl,
    "pour": _pour,
    "tip_out": _tip_out,
    "into_funnel": _into_funnel,
    "pump": _pump,
    "new_filter": _take_new_filter,
    "stop": _stop,
    "write_total": _write_total,
}
