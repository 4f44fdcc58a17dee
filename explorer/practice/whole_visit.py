"""A whole visit to one invented lake: safety, disk, clean hands, filtering, the way home, and the data sheet.

Each part is the exercise of that name. At the end stand the bytes of a data sheet that a check-in can read;
what was written wrongly stands on it as it was written.

The view is that of the part at hand; of the last part its scene is "papers" with the figures `parts` and
`part`.
"""

from dataclasses import replace
from typing import Any

from explorer.model.practice import Action, Card, Option, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice import clean_hands, cold_chain, disk, filtering, safety
from explorer.practice.turn import Exercise, take_turn, tally
from explorer.practice.visit_deeds import DEEDS, VisitState
from explorer.practice.visit_sheet import draw_labels, sheet_bytes, visit_cells

__all__ = [
    "EXERCISE",
    "PARTS",
    "act",
    "data_sheet",
    "is_risky",
    "options",
    "score",
    "start",
    "view",
]

PARTS: tuple[Exercise[Any], ...] = (
    safety.EXERCISE,
    disk.EXERCISE,
    clean_hands.EXERCISE,
    filtering.EXERCISE,
    cold_chain.EXERCISE,
)
COSTS = {
    "practice_visit.bottle_miscopied": 2,
    "practice_visit.filter_miscopied": 2,
    "practice_visit.no_observer": 1,
}
WELL = {
    "practice_visit.well_copied": ("practice_visit.bottle_miscopied", "practice_visit.filter_miscopied"),
    "practice_visit.well_signed": ("practice_visit.no_observer",),
}


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> VisitState:
    """Return the first moment: the landing at the lake. The disk is read once.

    Parameters
    ----------
    seed : int
        Any whole number; the same gives the same visit.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> start(7).part
    0
    """
    once = replace(rules, readings=1)
    parts = tuple(part.start(seed, once) for part in PARTS)
    return VisitState(seed=seed, rules=rules, labels=draw_labels(seed), parts=parts)


def options(state: VisitState) -> tuple[Option, ...]:
    """Return what is possible in the part at hand, or on the sheet.

    Parameters
    ----------
    state : VisitState
        Where the visit stands.

    Examples
    --------
    >>> len(options(start(7)))
    3
    """
    if state.part < len(PARTS):
        return PARTS[state.part].options(state.parts[state.part])
    if state.finished:
        return ()
    row = state.say("practice_visit.row_sheet")
    fields = tuple(
        Option(
            f"write:{line}",
            state.say("practice_visit.do_write"),
            row,
            state.say(f"practice_visit.ask_{line}"),
        )
        for line in ("bottle", "filter", "observer")
    )
    return (*fields, Option("hand_in", state.say("practice_visit.do_hand_in"), row))


def act(state: VisitState, action: Action) -> VisitState:
    """Return the state after an action; whatever cannot be done gives a reason instead.

    Parameters
    ----------
    state : VisitState
        Where the visit stands.
    action : Action
        What the learner does.

    Examples
    --------
    >>> act(start(7), Action("choose:worn")).part
    0
    """
    index = state.part
    if index == len(PARTS):
        return take_turn(state, action, options(state), DEEDS)
    part = PARTS[index].act(state.parts[index], action)
    moved = replace(state, parts=(*state.parts[:index], part, *state.parts[index + 1 :]), told=part.told)
    if part.finished:
        code = PARTS[index + 1].code if index + 1 < len(PARTS) else "sheet"
        moved = moved.tell("practice_visit.next_part", part=state.say(f"practice.title_{code}"))
    return moved


def is_risky(state: VisitState, action: Action) -> bool:
    """Return whether an action would endanger somebody in the part at hand.

    Parameters
    ----------
    state : VisitState
        Where the visit stands.
    action : Action
        What the learner means to do.

    Examples
    --------
    >>> is_risky(start(7), Action("choose:swimmer"))
    True
    """
    return state.part < len(PARTS) and PARTS[state.part].is_risky(state.parts[state.part], action)


def view(state: VisitState) -> View:
    """Return the view of the part at hand, with what the last action brought; at the end the sheet.

    Parameters
    ----------
    state : VisitState
        Where the visit stands.

    Examples
    --------
    >>> view(start(7)).scene
    'choice'
    """
    if state.part < len(PARTS):
        shown = PARTS[state.part].view(state.parts[state.part])
        return replace(shown, told=state.told_in_words())
    labels = state.labels
    printed = (("bottle", labels.bottle), ("filter", labels.filter))
    cards = (
        Card(
            state.say("practice_visit.card_labels"),
            tuple((state.say(f"practice_visit.ask_{line}"), text) for line, text in printed),
        ),
        Card(state.say("practice_visit.card_sheet"), tuple(_cells(state).items())),
    )
    task = state.say(f"practice_visit.task_{'finished' if state.finished else 'sheet'}")
    figures = {"parts": float(len(PARTS)), "part": float(state.part)}
    return View("papers", task, state.told_in_words(), figures, cards, "", state.finished)


def _cells(state: VisitState) -> dict[str, str]:
    """Return the sheet's headings and cells, as they are written so far."""
    written = {"Bottle": state.bottle, "Filter": state.filter, "Observer": state.observer}
    return visit_cells(state.labels, state.parts, written)


def data_sheet(state: VisitState) -> bytes:
    """Return the visit's data sheet as the bytes of a CSV file.

    Parameters
    ----------
    state : VisitState
        Where the visit stands; what is not written yet is an empty cell.

    Examples
    --------
    >>> data_sheet(start(7)).split(b",")[0]
    b'Station'
    """
    return sheet_bytes(_cells(state))


def score(state: VisitState) -> Score:
    """Return the points of all parts and of the sheet, with all mistakes.

    Parameters
    ----------
    state : VisitState
        Where the visit stands; unfinished, it has no points yet.

    Examples
    --------
    >>> score(start(7)).points
    0
    """
    scores = [part.score(inner) for part, inner in zip(PARTS, state.parts, strict=True)]
    own = tally(state, COSTS, well=WELL)
    mistakes = (
        tuple(m for each in scores for m in each.mistakes if m.code != "practice.unfinished") + own.mistakes
    )
    findings = tuple(finding for each in scores for finding in each.findings)
    well = tuple(remark for each in (*scores, own) for remark in each.well) if state.finished else ()
    points = sum(each.points for each in (*scores, own)) if state.finished else 0
    of = sum(each.of for each in (*scores, own))
    bias = next((each.bias for each in scores if each.bias), None)
    return Score(points, of, mistakes, findings, bias, well=well)


EXERCISE = Exercise(
    "whole_visit", start, options, act, view, score, is_risky, 30, ("boat", "ashore"), data_sheet
)
