"""Where a learner stands in a whole visit, and what writing on its data sheet brings about."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from explorer.intake.sample_codes import read_sample_codes
from explorer.model.practice import Action
from explorer.practice.group_state import nickname_from
from explorer.practice.turn import Deed, PracticeState
from explorer.practice.visit_sheet import VisitLabels

__all__ = ["DEEDS", "VisitState"]


@dataclass(frozen=True, kw_only=True)
class VisitState(PracticeState):
    """The visit at one moment.

    Attributes
    ----------
    labels : VisitLabels
        What is printed on the labels, which the learner sees.
    parts : tuple of PracticeState
        Where each part stands, in their order.
    bottle, filter, observer : str
        What the learner has written on the sheet.
    """

    labels: VisitLabels
    parts: tuple[PracticeState, ...]
    bottle: str = ""
    filter: str = ""
    observer: str = ""

    @property
    def part(self) -> int:
        """Index of the part at hand; the number of parts when only the sheet is left."""
        return next((index for index, part in enumerate(self.parts) if not part.finished), len(self.parts))


def _write(state: VisitState, action: Action) -> VisitState:
    line, written = action.target, action.written
    if line == "observer":
        name = nickname_from(written)
        return replace(state, observer=name).tell(
            "practice_visit.observer_written" if name else "practice_group.no_nickname"
        )
    state = replace(state, **{line: written})  # type: ignore[arg-type]
    label = state.labels.bottle if line == "bottle" else state.labels.filter
    read = read_sample_codes([written])
    if read.code[0] == label:
        return state.tell("practice_visit.code_written")
    doubt = "check_fails" if read.problem[0] else "other_code"
    return state.tell(f"practice_visit.{doubt}", found=written)


def _hand_in(state: VisitState, _: Action) -> VisitState:
    for line, label in (("bottle", state.labels.bottle), ("filter", state.labels.filter)):
        written = state.bottle if line == "bottle" else state.filter
        if read_sample_codes([written]).code[0] != label:
            state = state.slip(f"practice_visit.{line}_miscopied", found=written or "–", label=label)
    if not state.observer:
        state = state.slip("practice_visit.no_observer")
    return replace(state.tell("practice_visit.handed_in"), finished=True)


DEEDS: Mapping[str, Deed[VisitState]] = {"write": _write, "hand_in": _hand_in}
