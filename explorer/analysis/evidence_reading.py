"""Evidence from how one number came about: who read it, how deep the water is, which unit, which digits."""

import numpy as np

from explorer.analysis.departure_scope import SAME_WAY
from explorer.analysis.evidence_case import Case
from explorer.analysis.evidence_odds import clipped, fit_odds, share_odds, slip_odds, verdict
from explorer.analysis.evidence_record import Surroundings
from explorer.model.evidence import Amount, Evidence, Value
from explorer.model.units import FOOT_M

__all__ = ["bottom_lines", "factor_lines", "is_too_deep", "observer_line", "repeated_line"]

FEWEST_SHARED = 3  # days on which two observers read the same
MOST_OBSERVER = 4.0  # [log odds]
CLEAR_DIFFERENCE = 2.0  # standard errors from which an observer reads differently from others

LEVEL_SHARE, LEVEL_M = 0.10, 0.2  # how far the water may stand above its usual depth (common practice)
ON_BOTTOM, AS_DEEP, OFF_BOTTOM = 4.0, 2.5, -2.0  # [log odds]
TOO_DEEP = 3.5  # [log odds] nobody sees a disk below the bottom

REPEATED = 3  # times that a round value stands in the record before it looks like a mark
REPEATED_DEEPER, MOST_REPEATED = 2.0, 10.0  # [log odds] each time that the water is no deeper

UNIT_SLIPS = ("feet", "fahrenheit")  # made all day, where a point slips once
MOST_FIT, MOST_SHEET = 5.0, 4.0  # [log odds]
SELDOM = 1.0  # a thermometer's point slips less often than its scale is mistaken [log odds]
DISK = "secchi_depth"
READ_TO = 0.02  # [1] share within which a value is the number as written
FACTORS = {"ten": 10.0, "thousand": 1000.0}


def observer_line(case: Case, around: Surroundings) -> Evidence | None:
    """Return whether this observer reads differently from others on the days that they share.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.

    Returns
    -------
    Evidence or None
        None for a bottle, and where nobody is named.
    """
    observer = around.said("observer", case.row)
    if not observer or around.said("batch", case.row) or around.said("sample_code", case.row):
        return None
    own_difference, apart = around.judged.differences_of(case.row)
    if apart.size < FEWEST_SHARED:
        return Evidence("observer_alone", "cannot_tell", {"observer": observer, "days": int(apart.size)})
    mean = float(apart.mean())
    error = max(float(apart.std(ddof=1)), case.spread / 2.0) / np.sqrt(apart.size)
    values: dict[str, Value] = {"observer": observer, "days": int(apart.size)}
    if case.quantity.log_scale:
        code, values["ratio"] = "observer", float(np.exp(mean))
    else:
        code, values["apart"] = "observer_offset", Amount(mean, case.quantity.code)
    if mean * case.way < CLEAR_DIFFERENCE * error:
        return Evidence(code, "against", values, -2.0)
    shared = not np.isnan(own_difference)  # then that day's difference tells, not how usual the reading is
    off, spread = (own_difference, error * np.sqrt(apart.size)) if shared else (case.apart, case.spread)
    weight = clipped((off * mean - mean**2 / 2.0) / spread**2, -MOST_OBSERVER, MOST_OBSERVER)
    own, weight = weight, slip_odds(weight, case.agreement)
    return Evidence(code, verdict(own, weight), values, weight)


def bottom_lines(case: Case) -> tuple[Evidence, ...]:
    """Return whether the disk lay on the bottom, or the reading is deeper than the water.

    Parameters
    ----------
    case : Case
        The unusual reading.

    Returns
    -------
    tuple of Evidence
        Empty for a quantity that is no depth, and where the depth of the water is not known.
    """
    bottom = case.bottom_depth_m
    if case.quantity.code != DISK or np.isnan(bottom):
        return ()
    values: dict[str, Value] = {
        "value": Amount(case.value, case.quantity.code),
        "bottom": Amount(bottom, case.quantity.code),
    }
    high = case.way > 0
    if is_too_deep(case):
        return (Evidence("too_deep", "for", values, TOO_DEEP),)
    if case.sign > 0:
        weight = ON_BOTTOM
    elif high and case.value >= bottom * (1.0 - LEVEL_SHARE):
        weight = AS_DEEP
    else:
        weight = OFF_BOTTOM
    return (Evidence("on_bottom", verdict(weight), values, weight),)


def repeated_line(case: Case, around: Surroundings) -> Evidence | None:
    """Return whether one round value stands in the record again and again where the water is no deeper.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.

    Returns
    -------
    Evidence or None
        None for a value that is not round or stands alone, where the water is always deeper, and for a
        quantity that is no depth.
    """
    if case.quantity.code != DISK or not _is_round(around.said("as_written", case.row)):
        return None
    rows = around.judged.of_value.with_row(case.row)
    if rows.size < REPEATED:
        return None
    deeper = sum(case.value > around.bottom_depth_m(int(row)) for row in rows)
    if not deeper:
        return None
    values: dict[str, Value] = {
        "value": Amount(case.value, case.quantity.code),
        "count": int(rows.size),
        "deeper": deeper,
    }
    own = clipped(REPEATED_DEEPER * deeper, 0.0, MOST_REPEATED)
    weight = slip_odds(own, case.agreement)
    return Evidence("repeated", verdict(own, weight), values, weight)


def _is_round(text: str) -> bool:
    """Return whether a number has but one digit beside noughts, or nines only: 100, 10, 99."""
    digits = "".join(each for each in text if each.isdigit()).strip("0")
    return len(digits) == 1 or (len(digits) > 1 and set(digits) == {"9"})


def factor_lines(case: Case, around: Surroundings) -> tuple[Evidence, ...]:
    """Return whether a usual slip of unit or digits brings the reading back to the usual.

    Tried are feet for metres, a factor of ten or a thousand, and degrees Fahrenheit for Celsius. The other
    numbers of the same sheet speak too: whoever takes one unit for another does so all day.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.

    Returns
    -------
    tuple of Evidence
        One line for each slip that the quantity's unit allows and that points the right way.
    """
    lines: list[Evidence] = []
    if case.sign != 0:
        return ()
    for code, corrected in _corrections(case, around).items():
        own = clipped(_fit(case, corrected), -MOST_FIT, MOST_FIT)
        sheet, of = _sheet_fits(case, around, code)
        if own > 0 and sheet:
            own += clipped(sum(sheet), 0.0, MOST_FIT) + clipped(share_odds(len(sheet), of), 0.0, MOST_SHEET)
        if is_too_deep(case) and corrected <= case.bottom_depth_m:
            own += TOO_DEEP
        if (code, case.quantity.unit) == ("ten", "°C"):
            own -= SELDOM
        weight = slip_odds(own, case.agreement)
        values: dict[str, Value] = {
            "corrected": Amount(corrected, case.quantity.code),
            "usual": Amount(case.expected, case.quantity.code),
        }
        if code in UNIT_SLIPS:
            values["count"] = len(sheet)
        lines.append(Evidence(code, verdict(own, weight), values, weight))
    return tuple(lines)


def _corrections(case: Case, around: Surroundings) -> dict[str, float]:
    """Return what the value would be without each slip."""
    unit, value = case.quantity.unit, case.value
    factors = dict(FACTORS) if unit == "µg/L" else {"ten": FACTORS["ten"]}
    if unit == "m" and _feet_point_so(case, around.said("as_written", case.row)):
        factors["feet"] = 1.0 / FOOT_M
    corrected = {code: value / factor if case.way > 0 else value * factor for code, factor in factors.items()}
    if unit == "°C" and case.way > 0:
        corrected["fahrenheit"] = (value - 32.0) / 1.8
    return corrected


def _feet_point_so(case: Case, as_written: str) -> bool:
    """Return whether the number can be feet under metres, too high, or metres under feet, too low.

    The number as written tells what its column is in; where it cannot be read, both are tried.
    """
    try:
        written = float(as_written.strip().lstrip("<>").replace(",", "."))
    except ValueError:
        return True
    in_metres = abs(case.value - written) <= READ_TO * abs(written)
    in_feet = abs(case.value - written * FOOT_M) <= READ_TO * abs(written)
    return in_metres == in_feet or in_metres == (case.way > 0)


def _fit(case: Case, corrected: float) -> float:
    return fit_odds(case.on_scale(corrected), case.apart, case.spread, case.quantity.log_scale)


def _sheet_fits(case: Case, around: Surroundings, code: str) -> tuple[list[float], int]:
    """Return what each other number on the sheet with the same slip speaks, and how many others there are."""
    if code not in UNIT_SLIPS:
        return [], 0
    judged = around.judged
    rows = judged.of_sheet.with_row(case.row)
    rows = rows[(rows != case.row) & ~np.isnan(judged.score[rows])]
    others = [around.case(int(row)) for row in rows[judged.score[rows] * case.way >= SAME_WAY]]
    corrected = [(other, _corrections(other, around).get(code, np.nan)) for other in others]
    return [fit for fit in (_fit(other, value) for other, value in corrected) if fit > 0], int(rows.size)


def is_too_deep(case: Case) -> bool:
    """Return whether a disk is said to have been seen below the bottom, the level's ups and downs allowed.

    Parameters
    ----------
    case : Case
        The unusual reading.
    """
    return case.quantity.code == DISK and case.value > case.bottom_depth_m * (1.0 + LEVEL_SHARE) + LEVEL_M
