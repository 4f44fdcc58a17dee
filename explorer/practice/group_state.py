"""Where a group that reads one disk stands: who has written what, and how the readings compare."""

import re
from dataclasses import dataclass
from statistics import median

from explorer.model.practice import Remark
from explorer.model.units import FOOT_M
from explorer.practice.agreement import readings_agree, spread_share
from explorer.practice.disk_line import LINES, line_text
from explorer.practice.turn import PracticeState
from explorer.practice.written_depth import WrittenDepth, writing_slip

__all__ = ["GroupState", "compare_readings", "middle_text", "nickname_from"]

LONGEST_NICKNAME = 20
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


def compare_readings(state: GroupState) -> tuple[Remark, ...]:
    """Return how well the readings agree, and for each that lies apart what may have happened.

    Parameters
    ----------
    state : GroupState
        A group in which somebody has written.
    """
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
