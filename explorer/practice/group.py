"""A group reads the same disk: each writes down privately, then all are revealed at once and compared.

The same functions as an exercise has, so that the same screen can show it; it has no points and no truth,
only how well the readings agree. Before all are revealed, no view holds a reading.

Figures of the view: `joined`, `written`, `revealed`; once revealed those of
`explorer.practice.agreement.agreement_figures`, in the order of the card's lines.
"""

from dataclasses import replace

from explorer.model.practice import Action, Card, Option, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.agreement import agreement_figures, spread_share
from explorer.practice.disk_line import LINES
from explorer.practice.group_state import GroupState, compare_readings, nickname_from
from explorer.practice.turn import Exercise, take_turn
from explorer.practice.written_depth import read_depth

__all__ = ["EXERCISE", "act", "options", "score", "start", "view"]

MOST_MEMBERS = 40
FORMS = {"decimetres": "metres", "tenths": "feet", "inches": "feet_inches"}


def start(seed: int = 0, rules: PracticeRules = USUAL_RULES) -> GroupState:
    """Return an empty group.

    Parameters
    ----------
    seed : int
        Not used: the group reads a real disk, or a picture that all see.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> [option.code for option in options(start())]
    ['join']
    """
    return GroupState(seed=seed, rules=rules)


def options(state: GroupState) -> tuple[Option, ...]:
    """Return what is possible now: joining, writing down, revealing, another round.

    Parameters
    ----------
    state : GroupState
        Where the group stands.

    Examples
    --------
    >>> [option.code for option in options(act(start(), Action("join", "Ada")))]
    ['write:Ada', 'join', 'leave:Ada']
    """
    if state.revealed:
        return (Option("again", state.say("practice_group.do_again")),)
    row, asks = (
        state.say("practice_group.row_write"),
        state.say(f"practice_group.ask_{FORMS[state.rules.line]}"),
    )
    found = [
        Option(f"write:{name}", state.say("practice_group.do_write", name=name), row, asks)
        for name in state.members
    ]
    row, asks = state.say("practice_group.row_group"), state.say("practice_group.ask_nickname")
    found.append(Option("join", state.say("practice_group.do_join"), row, asks))
    if len(state.written) >= 2:
        found.append(Option("reveal", state.say("practice_group.do_reveal"), row))
    row = state.say("practice_group.row_leave")
    found += [
        Option(f"leave:{name}", state.say("practice_group.do_leave", name=name), row)
        for name in state.members
    ]
    return tuple(found)


def act(state: GroupState, action: Action) -> GroupState:
    """Return the group after an action; whatever cannot be done gives a reason instead.

    Parameters
    ----------
    state : GroupState
        Where the group stands.
    action : Action
        What somebody does.

    Examples
    --------
    >>> act(start(), Action("join", "Ada")).members
    ('Ada',)
    """
    deeds = {"join": _join, "leave": _leave, "write": _write, "reveal": _reveal, "again": _again}
    return take_turn(state, action, options(state), deeds)


def _join(state: GroupState, action: Action) -> GroupState:
    name = nickname_from(action.written)
    if not name:
        return state.tell("practice_group.no_nickname")
    if name.casefold() in {member.casefold() for member in state.members}:
        return state.tell("practice_group.nickname_taken", name=name)
    if len(state.members) >= MOST_MEMBERS:
        return state.tell("practice_group.group_full", most=str(MOST_MEMBERS))
    return replace(state, members=(*state.members, name)).tell("practice_group.joined", name=name)


def _leave(state: GroupState, action: Action) -> GroupState:
    members = tuple(member for member in state.members if member != action.target)
    readings = tuple(reading for reading in state.readings if reading[0] != action.target)
    return replace(state, members=members, readings=readings)


def _write(state: GroupState, action: Action) -> GroupState:
    form = FORMS[state.rules.line]
    written = read_depth(form, action.written)
    if written is None or written.depth_m <= 0:
        return state.tell("practice_group.unreadable")
    others = tuple(reading for reading in state.readings if reading[0] != action.target)
    written_down = replace(state, readings=(*others, (action.target, written)))
    return written_down.tell("practice_group.written_down", name=action.target)


def _reveal(state: GroupState, _: Action) -> GroupState:
    revealed = replace(state, revealed=True)
    return replace(revealed, told=compare_readings(revealed))


def _again(state: GroupState, _: Action) -> GroupState:
    return replace(state, readings=(), revealed=False)


def view(state: GroupState) -> View:
    """Return who has written; once revealed, all readings and how they agree.

    Parameters
    ----------
    state : GroupState
        Where the group stands.

    Examples
    --------
    >>> view(start()).figures["revealed"]
    0.0
    """
    written = state.written
    figures: dict[str, float | tuple[float, ...]] = {
        "joined": float(len(state.members)),
        "written": float(len(written)),
        "revealed": float(state.revealed),
    }
    if state.revealed:
        depths = tuple(written[name].depth_m for name in state.members if name in written)
        figures |= agreement_figures(depths, LINES[state.rules.line].mark_m)
        lines = tuple((name, written[name].text) for name in state.members if name in written)
    else:
        said = {
            True: state.say("practice_group.has_written"),
            False: state.say("practice_group.has_not_written"),
        }
        lines = tuple((name, said[name in written]) for name in state.members)
    task = state.say(f"practice_group.task_{'talk' if state.revealed else 'write'}")
    card = Card(state.say("practice_group.card"), lines)
    return View("group", task, state.told_in_words(), figures, (card,))


def score(state: GroupState) -> Score:
    """Return how well the readings agree; a group has no points.

    Parameters
    ----------
    state : GroupState
        Where the group stands.

    Examples
    --------
    >>> score(start()).spread is None
    True
    """
    if not state.revealed:
        return Score(0, 0, ())
    return Score(
        0, 0, (), compare_readings(state), None, spread_share([d.depth_m for d in state.written.values()])
    )


EXERCISE = Exercise("group", start, options, act, view, score, minutes=15, cautions=("boat",))
