"""The marked line of a disk: its marks, and what it says at the water."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.model.practice_rules import LineMarks
from explorer.model.units import FOOT_M

__all__ = ["INCHES_IN_FOOT", "LINES", "MarkedLine", "line_text", "marks_in_air"]

INCHES_IN_FOOT = 12
LONG_MARKS_TO_DOUBLE = 5  # every fifth long mark is a double one, as on many lines (common practice)


@dataclass(frozen=True, slots=True)
class MarkedLine:
    """A line with short marks, longer ones at every whole unit and a double one at every fifth of these.

    Attributes
    ----------
    unit : {"m", "ft"}
        Where a long mark stands.
    mark_m : float
        Distance of two short marks. [m]
    marks_to_long : int
        Short marks from one long mark to the next.

    Examples
    --------
    >>> round(LINES["tenths"].length_m(25), 4)
    0.381
    """

    unit: str
    mark_m: float
    marks_to_long: int

    def length_m(self, halves: float) -> float:
        """Return a length of line.

        Parameters
        ----------
        halves : float
            Length in half marks.

        Returns
        -------
        float
            [m]
        """
        return halves * self.mark_m / 2

    def past_long(self, halves: float) -> float:
        """Return how many short marks lie between the last long mark and a place on the line.

        Parameters
        ----------
        halves : float
            Place on the line, in half marks from the disk.
        """
        return (halves / 2) % self.marks_to_long

    def kind(self, halves: int) -> int:
        """Return which mark stands at a place: 0 none, 1 short, 2 long, 3 double.

        Parameters
        ----------
        halves : int
            Place on the line, in half marks from the disk.
        """
        mark, between = divmod(halves, 2)
        if between or mark == 0:
            return 0
        longs, rest = divmod(mark, self.marks_to_long)
        return 1 if rest else 3 if longs % LONG_MARKS_TO_DOUBLE == 0 else 2


LINES: Mapping[LineMarks, MarkedLine] = {
    "decimetres": MarkedLine("m", 0.1, 10),
    "tenths": MarkedLine("ft", FOOT_M / 10, 10),
    "inches": MarkedLine("ft", FOOT_M / INCHES_IN_FOOT, INCHES_IN_FOOT),
}


def marks_in_air(line: MarkedLine, halves: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the marks between water and hand: how high each stands, and which it is.

    Parameters
    ----------
    line : MarkedLine
        The line.
    halves : int
        Line in the water. [half marks]

    Returns
    -------
    heights, kinds : tuple of float
        Height over the water [short marks], and 1 short, 2 long, 3 double.

    Examples
    --------
    >>> heights, kinds = marks_in_air(LINES["decimetres"], 17)
    >>> heights[:3], kinds[:3]
    ((0.5, 1.5, 2.5), (1.0, 2.0, 1.0))
    """
    places = [place for place in range(halves, halves + 2 * line.marks_to_long + 1) if line.kind(place)]
    return tuple((place - halves) / 2 for place in places), tuple(float(line.kind(place)) for place in places)


def line_text(line: MarkedLine, halves: float) -> str:
    """Return a length as its line gives it: "4.35 m", "12.5 ft", "12 ft 5.5 in".

    Parameters
    ----------
    line : MarkedLine
        The line.
    halves : float
        Length. [half marks]

    Examples
    --------
    >>> line_text(LINES["decimetres"], 87), line_text(LINES["inches"], 299)
    ('4.35 m', '12 ft 5.5 in')
    """
    marks = halves / 2
    if line.marks_to_long == INCHES_IN_FOOT:
        feet, inches = divmod(round(marks * 4) / 4, INCHES_IN_FOOT)
        return f"{feet:.0f} ft {inches:g} in"
    return f"{round(marks / line.marks_to_long, 3):g} {line.unit}"
