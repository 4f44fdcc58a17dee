"""A practice day: which screen is shown, the exercise at hand, and what everybody has practised.

A day is a value: `do` and `go` give the next one. It is kept in memory only; erasing it leaves nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from explorer.model.errors import known
from explorer.model.practice import Action, Remark
from explorer.model.practice_rules import PracticeRules
from explorer.practice import group
from explorer.practice.exercises import EXERCISES
from explorer.practice.group_state import GroupState, nickname_from
from explorer.practice.learner import Learner, rounds_of
from explorer.practice.turn import Exercise, PracticeState

__all__ = ["Day", "Screen", "do", "go", "on_screen"]

Screen = Literal["start", "before", "exercise", "score", "keep", "erase", "map"]
GROUP = group.EXERCISE.code


def on_screen() -> Mapping[str, Exercise[Any]]:
    """Return all that can be chosen: the exercises, and the group as the last.

    Examples
    --------
    >>> list(on_screen())[0], list(on_screen())[-1]
    ('safety', 'group')
    """
    return {**EXERCISES, GROUP: group.EXERCISE}


@dataclass(frozen=True)
class Day:
    """A practice day at one moment.

    Attributes
    ----------
    rules : PracticeRules
        The programme's rules.
    screen : Screen
        What is shown.
    code : str
        Code of the exercise at hand, empty for none.
    state : PracticeState or None
        Where it stands.
    group_state : GroupState or None
        Where the group stands, also while another exercise is at hand.
    learner : Learner
        Whoever works at this screen.
    members : mapping of str to Learner
        What the members of the group have written, by nickname.
    person : str
        Whose page to keep is shown.
    sheet : bytes
        The data sheet with which the exercise at hand has ended, empty for none.
    told : tuple of Remark
        What the last way brought.
    """

    rules: PracticeRules
    screen: Screen = "start"
    code: str = ""
    state: PracticeState | None = None
    group_state: GroupState | None = None
    learner: Learner = field(default_factory=Learner)
    members: Mapping[str, Learner] = field(default_factory=dict)
    person: str = ""
    sheet: bytes = b""
    told: tuple[Remark, ...] = ()

    @property
    def exercise(self) -> Exercise[Any]:
        """The exercise at hand."""
        return known(on_screen(), self.code, "exercise", "among the exercises")

    @property
    def people(self) -> tuple[str, ...]:
        """Nicknames of those who have a page; empty for a learner who took none."""
        return (self.learner.nickname, *(name for name in self.members if name != self.learner.nickname))

    @property
    def shown_learner(self) -> Learner:
        """Whoever's page is shown: what was practised at this screen, and what was written in the group."""
        member = self.members.get(self.person, Learner(self.person))
        if self.person != self.learner.nickname:
            return member
        return replace(self.learner, rounds=member.rounds)


def do(day: Day, code: str, written: str = "") -> Day:
    """Return the day after an action in the exercise at hand; at its end the score is shown.

    Parameters
    ----------
    day : Day
        A day.
    code : str
        Code of an action; whatever cannot be done is told.
    written : str
        What was written with it.

    Examples
    --------
    >>> day = go(go(Day(PracticeRules()), "open:labelling", seed=3), "begin", seed=3)
    >>> do(day, "hand_in").screen
    'score'
    """
    if day.state is None or day.screen != "exercise":
        return day
    exercise, before = day.exercise, day.state
    state = exercise.act(before, Action(code, written))
    after = replace(day, state=state, told=())
    if isinstance(state, GroupState):
        is_shown_now = state.revealed and not (day.group_state is not None and day.group_state.revealed)
        return replace(
            after, group_state=state, members=_with_round(day, state) if is_shown_now else day.members
        )
    if not state.finished:
        return after
    return replace(
        after,
        screen="score",
        learner=day.learner.finished(exercise.code, exercise.score(state)),
        sheet=exercise.data_sheet(state) if exercise.data_sheet else b"",
    )


def _with_round(day: Day, state: GroupState) -> Mapping[str, Learner]:
    """Return the members with the round that was just revealed."""
    members = dict(day.members)
    for name, each in rounds_of(state).items():
        member = members.get(name, Learner(name))
        members[name] = replace(member, rounds=(*member.rounds, each))
    return members


def go(day: Day, way: str, written: str = "", seed: int = 0) -> Day:
    """Return the day after going to another screen; an unknown way leads nowhere.

    Parameters
    ----------
    day : Day
        A day.
    way : str
        "start", "open:<code>", "begin", "again", "keep", "name", "person:<nickname>", "map", "leave_map",
        "erase" or "erase_yes".
    written : str
        What was written with it.
    seed : int
        From which a new try is drawn; no page shows it.

    Examples
    --------
    >>> go(Day(PracticeRules()), "open:disk").screen, go(Day(PracticeRules()), "open:labelling").screen
    ('before', 'exercise')
    """
    deed, _, target = way.partition(":")
    day = replace(day, told=())
    if deed == "open" and target in on_screen():
        opened = replace(day, code=target, screen="before", state=None, sheet=b"")
        return opened if opened.exercise.cautions else _begin(opened, seed)
    if deed in ("begin", "again") and day.code:
        return _begin(day, seed)
    if deed == "name":
        return _take_name(day, written)
    if deed == "person" and target in day.people:
        return replace(day, person=target)
    if deed == "erase_yes":
        return Day(day.rules, told=(Remark("training.erased"),))
    if deed == "keep":
        return replace(day, screen="keep", person=day.learner.nickname)
    if deed == "map" and day.sheet:
        return replace(day, screen="map")
    if deed == "leave_map" and day.screen == "map":
        return replace(day, screen="score")
    if deed == "start":
        return replace(day, screen="start", code="", state=None, sheet=b"")
    return replace(day, screen="erase") if deed == "erase" else day


def _begin(day: Day, seed: int) -> Day:
    if day.code == GROUP and day.group_state is not None:
        return replace(day, screen="exercise", state=day.group_state)
    return replace(day, screen="exercise", state=day.exercise.start(seed, day.rules), sheet=b"")


def _take_name(day: Day, written: str) -> Day:
    name = nickname_from(written)
    if not name:
        return replace(day, told=(Remark("practice_group.no_nickname"),))
    return replace(day, learner=replace(day.learner, nickname=name), person=name)
