"""Depths as volunteers write them: metres, feet and inches, on the bottom, in plants, line too short.

A disk that was still in sight when something else ended the reading (the bottom, plants, the line) was seen
at least so far: the depth gets the sign ">" and never becomes a measured one.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from explorer.intake.headings import FEET_AND_INCHES
from explorer.model.units import convert
from explorer.records.cells import Column, Texts, is_empty, read_each, read_numbers

__all__ = ["ENDINGS", "Depths", "read_depths"]

INCHES_IN_A_FOOT = 12
ENDINGS = ("on_bottom", "in_plants", "line_too_short")  # what else than clarity ended a reading

_QUOTES = str.maketrans({**dict.fromkeys("’‘′ʹʼ´`", "'"), **dict.fromkeys("”“″ʺ", '"'), "⁄": "/", "−": "-"})
_NUMBER = r"[+-]?[\d.,]*\d[\d.,]*(?:e[+-]?\d+)?"
_FRACTION = r"\d{1,2}/\d{1,2}"
_FEET = re.compile(
    rf"({_NUMBER})\s*(?:'|feet|foot|ft\.?)\s*[,-]?\s*"
    rf"(?:(\d[\d.,]*)?\s*({_FRACTION})?\s*(?:\"|inches|inch|ins|in)?\.?)?"
)
_INCHES = re.compile(rf"({_NUMBER})?\s*({_FRACTION})?\s*(?:\"|inches|inch|ins|in)\.?")
_METRES = re.compile(r"(\d{1,2})\s*m\s*(\d{2})(?:\s*cm)?|(\d{1,2})\s*m\s*(\d{1,2})\s*cm")
_MIXED = re.compile(rf"({_NUMBER})?\s*({_FRACTION})\s*([a-z]*)\.?")
_PLAIN = re.compile(rf"({_NUMBER})\s*([a-zµ]*)\.?")
_TWO = re.compile(r"(.*\d.*?)\s*(?:&|\band\b)\s*(.*\d.*)|(\d+[.,]\d+\s*[a-z]*)\s*/\s*(\d+[.,]\d+\s*[a-z]*)")
_SIGN = re.compile(r"(<=|>=|[<>≤≥])\s*(.*)")
_DOUBT = re.compile(r"(.*\d.*?)\s*\?+|(?:~|≈|ca\.?|about|approx\.?)\s*(.*)")
_LEFT_OVER = re.compile(
    r"^[\s,;:()@-]*(?:at|in|the|was)?[\s,;:()@-]*|[\s,;:()@-]+(?:at|in|the)?[\s,;:()@-]*$"
)
_UNITS = ("m", "cm", "mm", "ft", "in", FEET_AND_INCHES)
_LENGTHS = {
    **dict.fromkeys(("m", "meter", "meters", "metre", "metres"), "m"),
    **dict.fromkeys(("cm", "centimetres", "centimeters"), "cm"),
    **dict.fromkeys(("mm", "millimetres", "millimeters"), "mm"),
    **dict.fromkeys(("ft", "feet", "f"), "ft"),
}


@dataclass(frozen=True, slots=True)
class Depths:
    """Depths of a column, each array of shape (n,).

    Attributes
    ----------
    depth_m : ndarray of float
        [m] NaN where none is written or none can be read.
    sign : ndarray of str
        "=", "<" or ">".
    ended : ndarray of str
        One of `ENDINGS` where the cell says so in words, else empty.
    problem : ndarray of str
        "", "not_a_depth", "depth_not_above_zero", "no_depth_unit", "too_many_inches", "feet_or_inches",
        "doubt_marked", "thousands_or_decimals" or "nothing_beside": the cell waits for an answer.
        "nothing_beside" is a word without a depth.
    note : ndarray of str
        "", "other_length_unit", "fraction_of_unit" or "two_depths".
    """

    depth_m: npt.NDArray[np.float64]
    sign: Texts
    ended: Texts
    problem: Texts
    note: Texts


@dataclass(frozen=True, slots=True)
class _Read:
    value: float = float("nan")
    sign: str = "="
    ended: str = ""
    problem: str = ""
    note: str = ""


def read_depths(
    texts: Column, unit: str, *, decimal: str = "", words: Mapping[str, Sequence[str]] | None = None
) -> Depths:
    """Return the depth, its sign and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "1.9", "6'4\\"", "2 ft 7", "4 1/2", "35 in", "55 cm", "> 2.4", "visible on bottom".
    unit : str
        Unit of the column: "m", "ft", "cm", "mm", "in" or "ft in"; any other counts as none said.
    decimal : {".", ",", ""}
        The mark before decimals in this table.
    words : mapping of str to sequence of str
        Words for each of `ENDINGS`, the longest first.

    References
    ----------
    .. [1] International foot, 1 ft = 0.3048 m exactly (NIST SP 811, appendix B).

    Examples
    --------
    >>> found = read_depths(["6'4\\"", "5.5", "55 cm", "> 8 ft"], "ft")
    >>> found.depth_m.round(3).tolist(), found.sign.tolist()
    ([1.93, 1.676, 0.55, 2.438], ['=', '=', '=', '>'])
    >>> read_depths(["visible on bottom 2.4"], "m", words={"on_bottom": ["visible on bottom"]}).sign.tolist()
    ['>']
    """
    known = words or {}
    unit = unit if unit in _UNITS else ""
    rows = read_each(texts, lambda text: _read(_plain(text), unit, decimal, known))
    problem = np.array([row.problem for row in rows], dtype=object)
    doubtful = _points_for_inches(texts, unit)
    problem[doubtful & (problem == "")] = "feet_or_inches"
    value = np.array([row.value for row in rows], dtype=np.float64)
    value[problem != ""] = np.nan
    return Depths(
        value,
        np.array([row.sign for row in rows], dtype=object),
        np.array([row.ended for row in rows], dtype=object),
        problem,
        np.array([row.note for row in rows], dtype=object),
    )


def _plain(text: str) -> str:
    """Return a cell with its quotation marks, fractions and blanks written in one way."""
    spaced = re.sub(r"(?<=\d)(?=[¼½¾⅓⅔⅛⅜⅝⅞])", " ", text)
    plain = unicodedata.normalize("NFKC", spaced).translate(_QUOTES).replace("''", '"')
    return " ".join(plain.casefold().split())


def _points_for_inches(texts: Column, unit: str) -> npt.NDArray[np.bool_]:
    """Return cells of feet whose decimals may be inches: "5.10", "5.11" beside "5.7", never "5.25".

    In a column of feet *and* inches every number with decimals is such a cell.
    """
    if unit not in ("ft", FEET_AND_INCHES):
        return np.zeros(len(texts), dtype=bool)
    decimals = {text: text.rpartition(".")[2] for text in texts if re.fullmatch(r"\d+\.\d{1,2}", text)}
    two = {part for part in decimals.values() if len(part) == 2}
    if unit == "ft" and (not two or not two <= {"10", "11"}):
        return np.zeros(len(texts), dtype=bool)
    return np.array([text in decimals for text in texts], dtype=bool)


def _read(text: str, unit: str, decimal: str, words: Mapping[str, Sequence[str]]) -> _Read:
    if is_empty(text):
        return _Read()
    ended, rest = _ending(text, words)
    if ended and rest in ("", ">", "≥"):
        return _Read(sign=">", ended=ended, problem="nothing_beside")
    if doubt := _DOUBT.fullmatch(rest):
        read = _read(doubt[1] or doubt[2], unit, decimal, {})
        return _Read(problem=read.problem or "doubt_marked")
    if two := _TWO.fullmatch(rest):
        return _mean_of(
            _read(two[1] or two[3], unit, decimal, {}), _read(two[2] or two[4], unit, decimal, {})
        )
    found = _SIGN.fullmatch(rest)
    sign, rest = (found[1], found[2]) if found else ("=", rest)
    if rest.endswith("+") and sign == "=":
        sign, rest = ">", rest[:-1].rstrip()
    value, own_unit, note, problem = _length(rest, unit, decimal)
    if not problem and not own_unit:
        problem = "no_depth_unit"
    if not problem:
        value = float(convert([value], own_unit, "m")[0])
        problem = "depth_not_above_zero" if value <= 0 else ""
    if problem:
        return _Read(problem=problem)
    same = own_unit == unit or (own_unit in ("ft", "in") and unit == FEET_AND_INCHES)
    note = note or ("" if same or not unit else "other_length_unit")
    return _Read(value, ">" if ended else {"≤": "<", "≥": ">"}.get(sign, sign[0]), ended, "", note)


def _ending(text: str, words: Mapping[str, Sequence[str]]) -> tuple[str, str]:
    """Return what the words say ended the reading, and the text without them."""
    for ending in ENDINGS:
        phrases = tuple(words.get(ending, ()))
        found = _any_of(phrases).search(text) if phrases else None
        if found:
            parts = (text[: found.start()], text[found.end() :])
            rest = " ".join(part for each in parts if (part := _LEFT_OVER.sub("", each).strip(" .!")))
            return ending, rest
    return "", text


@cache
def _any_of(phrases: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, phrases))})(?!\w)")


def _mean_of(first: _Read, second: _Read) -> _Read:
    """Return the mean of two depths in one cell: the disk lowered and raised."""
    if first.problem or second.problem:
        return _Read(problem="not_a_depth")
    sign = ">" if ">" in (first.sign, second.sign) else "="
    value = max(first.value, second.value) if sign == ">" else (first.value + second.value) / 2
    return _Read(value, sign, "", "", "two_depths")


def _length(text: str, unit: str, decimal: str) -> tuple[float, str, str, str]:
    """Return number, unit, note and problem of a length."""
    plain_unit = "ft" if unit == FEET_AND_INCHES else unit
    if (feet := _FEET.fullmatch(text)) and (feet[2] or feet[3] or "'" in text or "f" in text):
        inches, problem = _with_fraction(feet[2], feet[3], decimal)
        whole, wrong = _with_fraction(feet[1], None, decimal)
        if inches >= INCHES_IN_A_FOOT or (inches and whole % 1):
            problem = "too_many_inches"
        return whole + inches / INCHES_IN_A_FOOT, "ft", "", wrong or problem
    if (inch := _INCHES.fullmatch(text)) and (inch[1] or inch[2]):
        value, problem = _with_fraction(inch[1], inch[2], decimal)
        return value, "in", "", problem
    if metres := _METRES.fullmatch(text):
        return int(metres[1] or metres[3]) + int(metres[2] or metres[4]) / 100, "m", "", ""
    if mixed := _MIXED.fullmatch(text):
        own = _LENGTHS.get(mixed[3], "" if mixed[3] else plain_unit)
        if own != "ft" and not mixed[1]:
            return float("nan"), "", "", "not_a_depth"  # "2/3" metres: two depths, or a part of one?
        value, problem = _with_fraction(mixed[1], mixed[2], decimal)
        return value, own, "fraction_of_unit", problem if own or not mixed[3] else "not_a_depth"
    if plain := _PLAIN.fullmatch(text):
        own = _LENGTHS.get(plain[2], "" if plain[2] else plain_unit)
        value, problem = _with_fraction(plain[1], None, decimal)
        return value, own, "", problem if own or not plain[2] else "not_a_depth"
    return float("nan"), "", "", "not_a_depth"


def _with_fraction(number: str | None, fraction: str | None, decimal: str) -> tuple[float, str]:
    """Return a number with a fraction behind it, and the problem."""
    total = 0.0
    if number:
        value, _, problem = read_numbers([number], decimal)
        if problem[0]:
            return float("nan"), "not_a_depth" if problem[0] == "not_a_number" else str(problem[0])
        total = float(value[0])
    if fraction:
        above, below = map(int, fraction.split("/"))
        if not 0 < above < below or total % 1:
            return float("nan"), "not_a_depth"
        total += above / below
    return total, ""
