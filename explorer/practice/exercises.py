"""The registry of exercises, and playing an attempt again from its seed and its actions."""

from collections.abc import Mapping
from typing import Any

from explorer.model.errors import known
from explorer.model.practice import Attempt, Score
from explorer.practice import clean_hands, cold_chain, disk, filtering, labelling, safety, whole_visit
from explorer.practice.turn import Exercise, PracticeState

__all__ = ["EXERCISES", "find_exercise", "replay", "score"]

# In the order in which a practice day takes them: safety first.
EXERCISES: Mapping[str, Exercise[Any]] = {
    module.EXERCISE.code: module.EXERCISE
    for module in (safety, disk, clean_hands, filtering, labelling, cold_chain, whole_visit)
}


def find_exercise(code: str) -> Exercise[Any]:
    """Return an exercise.

    Parameters
    ----------
    code : str
        Its code.

    Raises
    ------
    UnknownNameError
        If there is none; the message names the nearest.

    Examples
    --------
    >>> find_exercise("disc")
    Traceback (most recent call last):
    explorer.model.errors.UnknownNameError: No exercise "disc" among the exercises. Did you mean "disk"? ...
    """
    return known(EXERCISES, code, "exercise", "among the exercises")


def replay(attempt: Attempt) -> PracticeState:
    """Return the state at the end of an attempt.

    Parameters
    ----------
    attempt : Attempt
        Exercise, seed, rules and actions.

    Raises
    ------
    UnknownNameError
        If there is no such exercise.

    Examples
    --------
    >>> replay(Attempt("disk", 1, ())).finished
    False
    """
    exercise = find_exercise(attempt.exercise)
    state: PracticeState = exercise.start(attempt.seed, attempt.rules)
    for action in attempt.actions:
        state = exercise.act(state, action)
    return state


def score(attempt: Attempt) -> Score:
    """Return how an attempt went.

    Parameters
    ----------
    attempt : Attempt
        Exercise, seed, rules and actions.

    Raises
    ------
    UnknownNameError
        If there is no such exercise.

    Examples
    --------
    >>> score(Attempt("disk", 1, ())).mistakes[0].code
    'practice.unfinished'
    """
    return find_exercise(attempt.exercise).score(replay(attempt))
