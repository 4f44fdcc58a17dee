"""A group reads the same disk: each writes down privately, then all are revealed at once and compared.

The same functions as an exercise has, so that the same screen can show it; it has no points and no truth,
only how well the readings agree. Before all are revealed, no view holds a reading.

Figures of the view: `joined`, `written`, `revealed`; once revealed those of
`explorer.practice.agreement.agreement_figures`, in the order of the card's lines.
"""

import re
from dataclasses import dataclass, replace
from statistics import median

from explorer.model.practice import Action, Card, Option, Remark, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.model.units import FOOT_M
from explorer.practice.agreement import agreement_figures, readings_agree, spread_share
from explorer.practice.disk_line import LINES, line_text
from explorer.practice.turn import Exercise, PracticeState, take_turn
from explorer.practice.written_depth import WrittenDepth, read_depth, writing_slip

__all__ = [
    "EXERCISE",
    "GroupState",
    "act",
    "middle_text",
    "nickname_from",
    "options",
    "score",
    "start",
    "view",
]

MOST_MEMBERS = 40
LONGEST_NICKNAME = 20
FORMS = {"decimetres": "metres", "tenths": "feet", "inches": "feet_inches"}
_NOT_IN_NICKNAMES = re.compile(r"[^\w .'-]|_")


@dataclass(frozen=True, kw_only=True)
class GroupState(PracticeState):
    """The group at one moment.

    Attributes
    ----------
    members : tuple of str
        Nicknames, in the order in which they joined.
    readings : tuple of (str, WrittenDepth)
        Who wrote what.
    revealed : bool
        Whether the readings are shown.
    """

    members: tuple[str, ...] = ()
    readings: tuple[tuple[str, WrittenDepth], ...] = ()
    revealed: bool = False

    @property
    def written(self) -> dict[str, WrittenDepth]:
        """The last reading of each member."""
        return dict(self.readings)

    @property
    def middle_m(self) -> float:
        """The middle of all readings. [m]"""
        return median(depth.depth_m for depth in self.written.values())


def nickname_from(text: str) -> str:
    """Return a nickname of letters, digits, blanks, points, dashes and apostrophes; empty where none is left.

    Parameters
    ----------
    text : str
        As typed.

    Examples
    --------
    >>> nickname_from(" =Ada  <b>"), nickname_from("O'Malley-2")
    ('Ada b', "O'Malley-2")
    """
    plain = " ".join(_NOT_IN_NICKNAMES.sub("", text).split())
    return plain.lstrip("-'. ")[:LONGEST_NICKNAME].strip()


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
    return replace(revealed, told=_comparison(revealed))


def _again(state: GroupState, _: Action) -> GroupState:
    return replace(state, readings=(), revealed=False)


def _comparison(state: GroupState) -> tuple[Remark, ...]:
    """Return how well the readings agree, and for each that lies apart what may have happened."""
    line, depths = LINES[state.rules.line], [depth.depth_m for depth in state.written.values()]
    middle = state.middle_m
    spread = spread_share(depths) or 0.0
    agree = readings_agree(depths, line.mark_m)
    values = {"count": str(len(depths)), "spread": f"{spread:.0f}"}
    remarks = [Remark(f"practice_group.{'agree' if agree else 'apart'}", values)]
    halves = 2 * middle / line.mark_m
    per_other_unit = FOOT_M if line.unit == "m" else 1 / FOOT_M
    for name, depth in state.written.items():
        slip = writing_slip(line, depth, halves, halves, round(halves))
        if readings_agree([middle, depth.depth_m * per_other_unit], line.mark_m):
            slip = "wrong_unit"
        near = abs(depth.depth_m - middle) < line.mark_m * line.marks_to_long / 2
        if readings_agree([middle, depth.depth_m], line.mark_m) and (near or slip != "mark_miscounted"):
            continue
        known = slip in ("tenths_as_inches", "inches_as_tenths", "wrong_unit", "mark_miscounted")
        code = f"practice_group.maybe_{slip if known else 'ask'}"
        remarks.append(Remark(code, {"name": name, "depth": depth.text, "middle": middle_text(state)}))
    return tuple(remarks)


def middle_text(state: GroupState) -> str:
    """Return the middle of a group's readings as its line gives it.

    Parameters
    ----------
    state : GroupState
        A group in which somebody has written.
    """
    line = LINES[state.rules.line]
    return line_text(line, 2 * state.middle_m / line.mark_m)


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
        0, 0, (), _comparison(state), None, spread_share([d.depth_m for d in state.written.values()])
    )


EXERCISE = Exercise("group", start, options, act, view, score, minutes=15, cautions=("boat",))
