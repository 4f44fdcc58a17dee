"""One turn of an exercise: an action is looked up among those possible, carried out, or kindly refused."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Generic, Self, TypeVar

from explorer.model.practice import Action, Estimate, Option, Remark, Score, View
from explorer.model.practice_rules import PracticeRules
from explorer.model.words import say

__all__ = ["Deed", "Exercise", "PracticeState", "take_turn", "tally", "written_number"]

MOST_WRITTEN = 40  # characters of what a learner writes in one field
_NUMBER = re.compile(r"[0-9]{1,6}([.,][0-9]{1,6})?")


@dataclass(frozen=True, kw_only=True)
class PracticeState:
    """What every exercise keeps; each adds its own.

    Attributes
    ----------
    seed : int
        What the exercise was drawn from; no view holds it.
    rules : PracticeRules
        The programme's rules.
    told : tuple of Remark
        What the last action brought.
    mistakes : tuple of Remark
        All so far, in their order.
    finished : bool
        Whether the exercise is at its end.
    """

    seed: int
    rules: PracticeRules
    told: tuple[Remark, ...] = ()
    mistakes: tuple[Remark, ...] = ()
    finished: bool = False

    def tell(self, code: str, **values: str) -> Self:
        """Return the state with one more remark on the last action.

        Parameters
        ----------
        code : str
            "group.code" of the sentence.
        **values : str
            What stands in its braces.
        """
        return replace(self, told=(*self.told, Remark(code, values)))

    def slip(self, code: str, **values: str) -> Self:
        """Return the state with one more mistake, whose reason is told at once.

        Parameters
        ----------
        code : str
            "group.code" of the mistake and its reason.
        **values : str
            What stands in its braces.
        """
        return replace(self.tell(code, **values), mistakes=(*self.mistakes, Remark(code, values)))

    def say(self, code: str, **values: str) -> str:
        """Return a sentence in the language of the rules.

        Parameters
        ----------
        code : str
            "group.code" of the sentence.
        **values : str
            What stands in its braces.
        """
        return say(code, values, self.rules.language)

    def told_in_words(self) -> tuple[str, ...]:
        """Return what the last action brought, as sentences."""
        return tuple(remark.say(self.rules.language) for remark in self.told)


S = TypeVar("S", bound=PracticeState)
Deed = Callable[[S, Action], S]


def _never_risky(_state: Any, _action: Action) -> bool:
    """Return False: nothing in most exercises endangers anybody."""
    return False


@dataclass(frozen=True)
class Exercise(Generic[S]):
    """An exercise as the registry holds it.

    Attributes
    ----------
    code : str
        Its code; `practice.title_<code>` and `practice.about_<code>` name and explain it.
    start : callable
        Seed and rules to the first state.
    options : callable
        State to the actions possible in it.
    act : callable
        State and action to the next state; never raises, whatever the action.
    view : callable
        State to what the learner may see.
    score : callable
        State to how it went.
    is_risky : callable
        Whether an action in a state would endanger somebody. Such an action brings its mistake and no gain.
    minutes : int
        How long it takes. [min]
    cautions : tuple of str
        Keys of `explorer.practice.cautions.CAUTIONS` that are shown before it begins.
    data_sheet : callable or None
        State to the bytes of a data sheet, where the exercise ends in one.
    """

    code: str
    start: Callable[[int, PracticeRules], S]
    options: Callable[[S], tuple[Option, ...]]
    act: Callable[[S, Action], S]
    view: Callable[[S], View]
    score: Callable[[S], Score]
    is_risky: Callable[[S, Action], bool] = _never_risky
    minutes: int = 5
    cautions: tuple[str, ...] = ()
    data_sheet: Callable[[S], bytes] | None = None


def take_turn(state: S, action: object, options: Iterable[Option], deeds: Mapping[str, Deed[S]]) -> S:
    """Return the state after an action; one that cannot be gives the same state and a reason.

    Parameters
    ----------
    state : PracticeState
        Where the exercise stands.
    action : Action
        What the learner does; whatever is no action is refused kindly.
    options : iterable of Option
        What is possible now.
    deeds : mapping of str to callable
        What carries an action out, by the part of its code before the colon.

    Examples
    --------
    >>> state = take_turn(PracticeState(seed=1, rules=PracticeRules()), "jump", (), {})
    >>> str(state.told[0])
    'This was not understood. Choose one of the buttons.'
    """
    state = replace(state, told=())
    if (
        not isinstance(action, Action)
        or not isinstance(action.code, str)
        or not isinstance(action.written, str)
    ):
        return state.tell("practice.not_understood")
    if state.finished:
        return state.tell("practice.finished_already")
    offered = next((option for option in options if option.code == action.code), None)
    if offered is None:
        return state.tell("practice.not_now")
    written = " ".join(action.written.split())
    if offered.asks and not written:
        return state.tell("practice.nothing_written", asked=offered.asks)
    if len(written) > MOST_WRITTEN:
        return state.tell("practice.written_too_long", most=str(MOST_WRITTEN))
    return deeds[action.deed](state, replace(action, written=written))


def written_number(text: str) -> float | None:
    """Return a written number of 0 or more, with decimal point or comma; None where it is none.

    Parameters
    ----------
    text : str
        As the learner wrote it.

    Examples
    --------
    >>> written_number("4,35"), written_number("nan"), written_number("-2")
    (4.35, None, None)
    """
    return float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else None


def tally(
    state: PracticeState,
    costs: Mapping[str, int],
    findings: Iterable[Remark] = (),
    bias: Estimate | None = None,
    spread: float | None = None,
    of: int | None = None,
    well: Mapping[str, Iterable[str]] = MappingProxyType({}),
) -> Score:
    """Return the score of a state: all points there are, less what each kind of mistake costs.

    Parameters
    ----------
    state : PracticeState
        Where the exercise stands; unfinished, it has no points yet.
    costs : mapping of str to int
        What each mistake costs, by its code. A mistake made again costs no more.
    findings : iterable of Remark
        What came out.
    bias : Estimate, optional
        See `Score`. [%]
    spread : float, optional
        See `Score`. [%]
    of : int, optional
        Points that there are, where it is not the sum of the costs.
    well : mapping of str to iterable of str
        What may be said to have gone well, by the code of its sentence, unless such a mistake was made.

    Raises
    ------
    KeyError
        If a mistake has no cost: every mistake that an exercise can name has one.

    Examples
    --------
    >>> state = PracticeState(seed=1, rules=PracticeRules(), finished=True).slip("practice.unfinished")
    >>> score = tally(state, {"practice.unfinished": 2, "practice.not_now": 3})
    >>> score.points, score.of
    (3, 5)
    """
    first: dict[str, Remark] = {}
    for mistake in state.mistakes:
        first.setdefault(mistake.code, mistake)
    lost = sum(costs[code] for code in first)
    of = sum(costs.values()) if of is None else of
    mistakes = tuple(first.values())
    if not state.finished:
        return Score(0, of, (*mistakes, Remark("practice.unfinished")), tuple(findings), bias, spread)
    went_well = tuple(Remark(code) for code, against in well.items() if first.keys().isdisjoint(against))
    return Score(of - lost, of, mistakes, tuple(findings), bias, spread, went_well)
