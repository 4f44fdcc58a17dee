"""What one learner has practised on a day: kept in memory only, until it is erased."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from explorer.model.practice import Remark, Score
from explorer.practice.agreement import readings_agree, spread_share
from explorer.practice.disk_line import LINES
from explorer.practice.group_state import GroupState, middle_text

__all__ = ["GroupRound", "Learner", "Practised", "rounds_of", "to_practise_again"]


@dataclass(frozen=True, slots=True)
class Practised:
    """One exercise that was taken to its end.

    Attributes
    ----------
    exercise : str
        Its code.
    score : Score
        How it went.
    """

    exercise: str
    score: Score


@dataclass(frozen=True, slots=True)
class GroupRound:
    """What one member wrote in a group, beside what all wrote.

    Attributes
    ----------
    written, middle : str
        The member's reading and the middle one of all, with their unit.
    count : int
        How many wrote.
    spread : float
        Highest less lowest of all, as a share of their mean. [%]
    agrees : bool
        Whether the member's reading agrees with the middle one.
    """

    written: str
    middle: str
    count: int
    spread: float
    agrees: bool


@dataclass(frozen=True, slots=True)
class Learner:
    """A learner's day.

    Attributes
    ----------
    nickname : str
        As chosen, empty for none.
    practised : tuple of Practised
        In the order in which they were finished.
    rounds : tuple of GroupRound
        In their order.
    """

    nickname: str = ""
    practised: tuple[Practised, ...] = ()
    rounds: tuple[GroupRound, ...] = ()

    def finished(self, exercise: str, score: Score) -> "Learner":
        """Return the learner with one more exercise at its end.

        Parameters
        ----------
        exercise : str
            Its code.
        score : Score
            How it went.
        """
        return replace(self, practised=(*self.practised, Practised(exercise, score)))

    def last_tries(self) -> Iterator[tuple[str, int, Score]]:
        """Yield each exercise once: its code, how often it was taken, how it went the last time."""
        tries: dict[str, list[Score]] = {}
        for each in self.practised:
            tries.setdefault(each.exercise, []).append(each.score)
        for exercise, scores in tries.items():
            yield exercise, len(scores), scores[-1]


def to_practise_again(learner: Learner) -> tuple[Remark, ...]:
    """Return the slips of the last try of each exercise, each once.

    Parameters
    ----------
    learner : Learner
        A learner's day.

    Examples
    --------
    >>> to_practise_again(Learner())
    ()
    """
    found: dict[str, Remark] = {}
    for _, _, score in learner.last_tries():
        for mistake in score.mistakes:
            found.setdefault(mistake.code, mistake)
    return tuple(found.values())


def rounds_of(state: GroupState) -> Mapping[str, GroupRound]:
    """Return what each member of a group wrote beside the others, by nickname; nothing before it is revealed.

    Parameters
    ----------
    state : GroupState
        Where the group stands.

    Examples
    --------
    >>> from explorer.practice.group import start
    >>> dict(rounds_of(start()))
    {}
    """
    if not state.revealed:
        return {}
    line, written = LINES[state.rules.line], state.written
    depths = [depth.depth_m for depth in written.values()]
    middle, spread = state.middle_m, spread_share(depths) or 0.0
    return {
        name: GroupRound(
            depth.text,
            middle_text(state),
            len(depths),
            spread,
            readings_agree([middle, depth.depth_m], line.mark_m),
        )
        for name, depth in written.items()
    }
