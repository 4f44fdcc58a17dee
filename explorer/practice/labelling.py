"""Labels and sheet: find what does not correspond, or is missing, before the sample leaves the hand.

The view has no figures but `marked`; its cards are the bottle's label, the filter's label and the data
sheet.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from explorer.model.practice import Action, Card, Option, Remark, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.papers import PLACES, Misfit, draw_papers, find_misfits
from explorer.practice.turn import Exercise, PracticeState, take_turn, tally

__all__ = ["EXERCISE", "LabellingState", "act", "options", "score", "start", "view"]

MISSED_COST = FALSE_ALARM_COST = 2
MOST_FOR_FALSE_ALARMS = 6
FALSE_ALARM = "practice_labelling.corresponds"


@dataclass(frozen=True, kw_only=True)
class LabellingState(PracticeState):
    """The exercise at one moment.

    Attributes
    ----------
    papers : mapping of str to str
        What is written where.
    marked : tuple of str
        Places that the learner has marked.
    """

    papers: Mapping[str, str]
    marked: tuple[str, ...] = ()

    @property
    def misfits(self) -> tuple[Misfit, ...]:
        """What does not correspond: hidden from the learner."""
        return find_misfits(self.papers)


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> LabellingState:
    """Return the first moment: three papers on the table.

    Parameters
    ----------
    seed : int
        Any whole number; the same gives the same papers.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> [card.title for card in view(start(7)).cards]
    ['Label on the bottle', 'Label on the filter', 'Data sheet']
    """
    return LabellingState(seed=seed, rules=rules, papers=draw_papers(seed))


def options(state: LabellingState) -> tuple[Option, ...]:
    """Return every line that can be marked, and handing in.

    Parameters
    ----------
    state : LabellingState
        Where the exercise stands.

    Examples
    --------
    >>> [option.code for option in options(start(7))][-1]
    'hand_in'
    """
    if state.finished:
        return ()
    marks = [
        Option(
            f"mark:{place}",
            state.say(
                "practice_labelling.do_mark", line=_line_name(state, place), text=state.papers[place] or "–"
            ),
            state.say(f"practice_labelling.card_{place.partition('.')[0]}"),
            line=_line_name(state, place),
        )
        for place in PLACES
        if place not in state.marked
    ]
    row = state.say("practice_labelling.row_done")
    return (*marks, Option("hand_in", state.say("practice_labelling.do_hand_in"), row))


def _line_name(state: LabellingState, place: str) -> str:
    return state.say(f"practice_labelling.line_{place.replace('.', '_')}")


def act(state: LabellingState, action: Action) -> LabellingState:
    """Return the state after an action; whatever cannot be done gives a reason instead.

    Parameters
    ----------
    state : LabellingState
        Where the exercise stands.
    action : Action
        What the learner does.

    Examples
    --------
    >>> act(start(7), Action("mark:sheet.date")).marked
    ('sheet.date',)
    """
    return take_turn(state, action, options(state), {"mark": _mark, "hand_in": _hand_in})


def _mark(state: LabellingState, action: Action) -> LabellingState:
    place = action.target
    marked = replace(state, marked=(*state.marked, place))
    misfits = [misfit for misfit in state.misfits if place in misfit.places]
    if not misfits:
        return marked.slip(FALSE_ALARM, line=_line_name(state, place), text=state.papers[place] or "–")
    for misfit in misfits:
        marked = marked.tell(f"practice_labelling.{misfit.code}", **misfit.values)
    return marked


def _hand_in(state: LabellingState, _: Action) -> LabellingState:
    for misfit in state.misfits:
        if not set(misfit.places) & set(state.marked):
            state = state.slip(f"practice_labelling.{misfit.code}", **misfit.values)
    if not state.told:
        state = state.tell("practice_labelling.nothing_missed")
    return replace(state, finished=True)


def view(state: LabellingState) -> View:
    """Return the three papers.

    Parameters
    ----------
    state : LabellingState
        Where the exercise stands.

    Examples
    --------
    >>> view(start(7)).scene
    'papers'
    """
    cards = tuple(
        Card(
            state.say(f"practice_labelling.card_{paper}"),
            tuple(
                (_line_name(state, place), _shown(state, place))
                for place in PLACES
                if place.startswith(f"{paper}.")
            ),
        )
        for paper in ("bottle", "filter", "sheet")
    )
    task = state.say(f"practice_labelling.task_{'finished' if state.finished else 'mark'}")
    figures = {"marked": float(len(state.marked))}
    return View("papers", task, state.told_in_words(), figures, cards, "", state.finished)


def _shown(state: LabellingState, place: str) -> str:
    text = state.papers[place] or state.say("practice_labelling.empty")
    return state.say("practice_labelling.is_marked", text=text) if place in state.marked else text


def score(state: LabellingState) -> Score:
    """Return points: for everything found, and for leaving alone what corresponds.

    Parameters
    ----------
    state : LabellingState
        Where the exercise stands.

    Examples
    --------
    >>> score(act(start(7), Action("hand_in"))).of >= 6
    True
    """
    alarms = sum(mistake.code == FALSE_ALARM for mistake in state.mistakes)
    costs = {f"practice_labelling.{misfit.code}": MISSED_COST for misfit in state.misfits}
    of = sum(costs.values()) + MOST_FOR_FALSE_ALARMS
    costs[FALSE_ALARM] = min(FALSE_ALARM_COST * alarms, MOST_FOR_FALSE_ALARMS)
    findings = [Remark("practice_labelling.count_planted", {"count": str(len(state.misfits))})]
    missable = [code for code in costs if code != FALSE_ALARM]
    well: dict[str, Iterable[str]] = {"practice_labelling.well_found": missable} if missable else {}
    well["practice_labelling.well_left_alone"] = (FALSE_ALARM,)
    return tally(state, costs, findings if state.finished else (), of=of, well=well)


EXERCISE = Exercise("labelling", start, options, act, view, score)
