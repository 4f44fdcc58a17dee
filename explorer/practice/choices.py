"""Exercises made of choices: a scene asks, each answer brings its reason, a wrong one is asked again."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from random import Random

from explorer.model.practice import Action, Card, Option, Remark, Score, View
from explorer.model.practice_rules import PracticeRules
from explorer.practice.turn import PracticeState, take_turn, tally

__all__ = ["ChoiceState", "Scene", "act", "begin", "is_risky", "options", "score", "view"]


@dataclass(frozen=True, slots=True)
class Scene:
    """One question. Its words are `<group>.<code>`, `…_<answer>` and `…_<answer>_why`.

    Attributes
    ----------
    code : str
        Name of the scene.
    right, wrong, risky : tuple of str
        Answers that are right, that spoil a sample, that endanger somebody.
    values : mapping of str to str
        What stands in the braces of its sentences.
    """

    code: str
    right: tuple[str, ...]
    wrong: tuple[str, ...] = ()
    risky: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)

    @property
    def answers(self) -> tuple[str, ...]:
        """All answers."""
        return (*self.right, *self.wrong, *self.risky)


@dataclass(frozen=True, kw_only=True)
class ChoiceState(PracticeState):
    """The exercise at one moment.

    Attributes
    ----------
    group : str
        Group of its sentences.
    scenes : tuple of Scene
        All questions, in their order.
    orders : tuple of tuple of str
        The answers of each scene as they are shown.
    index : int
        The scene that is asked now.
    """

    group: str
    scenes: tuple[Scene, ...]
    orders: tuple[tuple[str, ...], ...]
    index: int = 0

    @property
    def scene(self) -> Scene:
        """The scene that is asked now, the last one at the end."""
        return self.scenes[min(self.index, len(self.scenes) - 1)]


def begin(group: str, scenes: Iterable[Scene], seed: int, rules: PracticeRules) -> ChoiceState:
    """Return the first moment of an exercise made of choices.

    Parameters
    ----------
    group : str
        Group of its sentences.
    scenes : iterable of Scene
        Its questions; the answers are shown in an order drawn from the seed.
    seed : int
        Any whole number.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> scene = Scene("filter_count", ("one",), ("two", "torn"))
    >>> state = begin("practice_clean", [scene], 1, PracticeRules())
    >>> sorted(state.orders[0])
    ['one', 'torn', 'two']
    """
    scenes, draw = tuple(scenes), Random(f"{group} order {seed}")
    orders = tuple(tuple(draw.sample(scene.answers, len(scene.answers))) for scene in scenes)
    return ChoiceState(seed=seed, rules=rules, group=group, scenes=scenes, orders=orders)


def options(state: ChoiceState) -> tuple[Option, ...]:
    """Return the answers of the scene that is asked now.

    Parameters
    ----------
    state : ChoiceState
        Where the exercise stands.
    """
    if state.finished:
        return ()
    words = f"{state.group}.{state.scene.code}"
    return tuple(
        Option(f"choose:{answer}", state.say(f"{words}_{answer}", **state.scene.values))
        for answer in state.orders[state.index]
    )


def act(state: ChoiceState, action: Action) -> ChoiceState:
    """Return the state after an answer; a wrong one is told why and asked again.

    Parameters
    ----------
    state : ChoiceState
        Where the exercise stands.
    action : Action
        What the learner answers.
    """
    return take_turn(state, action, options(state), {"choose": _choose})


def _choose(state: ChoiceState, action: Action) -> ChoiceState:
    scene, why = state.scene, f"{state.group}.{state.scene.code}_{action.target}_why"
    if action.target not in scene.right:
        return state.slip(why, **scene.values)
    index = state.index + 1
    return replace(state.tell(why, **scene.values), index=index, finished=index == len(state.scenes))


def is_risky(state: ChoiceState, action: Action) -> bool:
    """Return whether an answer would endanger somebody.

    Parameters
    ----------
    state : ChoiceState
        Where the exercise stands.
    action : Action
        What the learner means to answer.
    """
    return action.deed == "choose" and action.target in state.scene.risky


def view(state: ChoiceState) -> View:
    """Return the question, and what the last answer brought.

    Parameters
    ----------
    state : ChoiceState
        Where the exercise stands.
    """
    words = "finished" if state.finished else state.scene.code
    task = state.say(f"{state.group}.{words}", **state.scene.values)
    figures = {"scene": float(state.index), "scenes": float(len(state.scenes))}
    number, of = str(min(state.index + 1, len(state.scenes))), str(len(state.scenes))
    card = Card(
        state.say("practice.questions"), ((state.say("practice.question", number=number, of=of), task),)
    )
    caution = state.say(f"{state.group}.caution")
    return View("choice", task, state.told_in_words(), figures, (card,), caution, state.finished)


def score(state: ChoiceState) -> Score:
    """Return points: one for every answer that spoils a sample and was left alone, two for every risk.

    Parameters
    ----------
    state : ChoiceState
        Where the exercise stands.
    """
    costs = {
        f"{state.group}.{scene.code}_{answer}_why": 2 if answer in scene.risky else 1
        for scene in state.scenes
        for answer in (*scene.wrong, *scene.risky)
    }
    found = tally(state, costs, [Remark(f"{state.group}.finding")])
    if not state.finished:
        return found
    missed = {
        scene.code
        for scene in state.scenes
        for answer in (*scene.wrong, *scene.risky)
        if any(mistake.code == f"{state.group}.{scene.code}_{answer}_why" for mistake in found.mistakes)
    }
    values = {"count": str(len(state.scenes) - len(missed)), "of": str(len(state.scenes))}
    return replace(found, well=(Remark("practice.right_at_once", values),))
