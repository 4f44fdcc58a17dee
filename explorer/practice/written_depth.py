"""Depths as the learner writes them, and the usual slips between the line and the sheet."""

from dataclasses import dataclass

from explorer.intake.depths import read_depths
from explorer.intake.headings import FEET_AND_INCHES
from explorer.model.units import FOOT_M
from explorer.practice.disk_line import INCHES_IN_FOOT, LINES, MarkedLine
from explorer.practice.turn import written_number

__all__ = ["WRITING_FORMS", "WrittenDepth", "read_depth", "writing_slip"]

WRITING_FORMS = ("metres", "feet", "feet_inches")
NEAR_HALVES = 0.51  # [half marks] half of half a mark either way is lost in rounding


@dataclass(frozen=True, slots=True)
class WrittenDepth:
    """A depth as the learner wrote it.

    Attributes
    ----------
    form : {"metres", "feet", "feet_inches"}
        In which manner.
    text : str
        The characters, with their unit.
    depth_m : float
        What they say. [m]
    """

    form: str
    text: str
    depth_m: float


def read_depth(form: str, text: str) -> WrittenDepth | None:
    """Return the depth that a text gives, None where it gives none.

    Feet and inches are read as the check-in of data sheets reads them.

    Parameters
    ----------
    form : {"metres", "feet", "feet_inches"}
        The manner in which it is written.
    text : str
        As written: "4,35", "12.5", "12 ft 5", "12' 5\\"".

    Examples
    --------
    >>> read_depth("feet_inches", "12' 5").text, read_depth("feet", "12,5").text, read_depth("metres", "four")
    ('12 ft 5 in', '12.5 ft', None)
    """
    if form == "feet_inches":
        found = read_depths([text], FEET_AND_INCHES)
        is_depth = not found.problem[0] and found.depth_m[0] > 0 and found.sign[0] == "="
        if not is_depth or found.note[0] == "other_length_unit":
            return None
        feet, inches = _feet_and_inches(float(found.depth_m[0]))
        return WrittenDepth(form, f"{feet:.0f} ft {inches:g} in", float(found.depth_m[0]))
    number = written_number(text)
    if number is None:
        return None
    digits = text.replace(",", ".")
    in_metres = form == "metres"
    return WrittenDepth(
        form, f"{digits} {'m' if in_metres else 'ft'}", number if in_metres else number * FOOT_M
    )


def _feet_and_inches(depth_m: float) -> tuple[float, float]:
    inches = round(depth_m / FOOT_M * INCHES_IN_FOOT, 2)
    return inches // INCHES_IN_FOOT, round(inches % INCHES_IN_FOOT, 2)


def writing_slip(line: MarkedLine, written: WrittenDepth, gone: float, back: float, wanted: float) -> str:
    """Return the likeliest slip between line and sheet, empty where the depth is the one to be written.

    Parameters
    ----------
    line : MarkedLine
        The line.
    written : WrittenDepth
        What stands on the sheet.
    gone, back, wanted : float
        Where the disk was lost and was back, and what the rule makes of both. [half marks]

    Returns
    -------
    str
        "tenths_as_inches", "inches_as_tenths", "wrong_unit", "mark_miscounted", "not_by_rule" or
        "written_otherwise".

    Examples
    --------
    >>> line = LINES["tenths"]
    >>> writing_slip(line, read_depth("feet_inches", "12 ft 5"), 250, 250, 250)
    'tenths_as_inches'
    """
    halves = 2 * written.depth_m / line.mark_m

    def is_at(place: float) -> bool:
        return abs(halves - place) <= NEAR_HALVES

    if is_at(wanted):
        return ""
    if _takes_tenths_for_inches(line, written, wanted):
        return "tenths_as_inches"
    if _takes_inches_for_tenths(line, written, wanted):
        return "inches_as_tenths"
    is_foreign = (written.form == "metres") != (line.unit == "m")
    one_long = 2 * line.marks_to_long
    is_miscounted = any(is_at(wanted + step) for step in (one_long, -one_long, 2, -2))
    is_same_number = abs(halves / (FOOT_M if is_foreign and line.unit == "m" else 1 / FOOT_M) - wanted) <= 1.0
    if is_foreign and is_same_number:
        return "wrong_unit"
    if is_at(gone) or is_at(back) or is_at((gone + back) / 2):
        return "not_by_rule"
    return "mark_miscounted" if is_miscounted else "written_otherwise"


def _takes_tenths_for_inches(line: MarkedLine, written: WrittenDepth, wanted: float) -> bool:
    if written.form != "feet_inches" or line != LINES["tenths"]:
        return False
    feet, inches = _feet_and_inches(written.depth_m)
    return feet == wanted / 2 // line.marks_to_long and abs(inches - line.past_long(wanted)) <= 0.5


def _takes_inches_for_tenths(line: MarkedLine, written: WrittenDepth, wanted: float) -> bool:
    if written.form != "feet" or line != LINES["inches"]:
        return False
    feet, _, decimals = written.text.removesuffix(" ft").partition(".")
    if not decimals or float(feet) != wanted / 2 // line.marks_to_long:
        return False
    inches = line.past_long(wanted)
    return abs(float(decimals) - inches) <= 0.5 or abs(float(f"0.{decimals}") * 10 - inches) <= 0.5
