"""A laboratory's results as they are written: below a limit, not detected, flagged, above the range.

A cell can hold a sign, a number, a unit and a mark: "<5", "5 U", "0.3 J", "ND (0.01)", "0.027 mg/L". Here it
is taken apart; what a non-detect without a limit gets its limit from, and what looks like a stand-in for one,
is settled with the columns beside it in `results`.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from explorer.intake.headings import HeadingNames
from explorer.records.cells import UNMEASURED, Column, Texts, is_empty, read_each, read_numbers

__all__ = ["WrittenResults", "read_results"]

_NUMBER = r"[+-]?[\d.,]*\d[\d.,]*(?:[eE][+-]?\d+)?"
_RESULT = re.compile(rf"(?P<sign><=|>=|[<>≤≥=])?\s*(?P<number>{_NUMBER})\s*(?P<behind>.*)", re.DOTALL)
_FLAG_FIRST = re.compile(rf"(?P<flag>[A-Za-z]{{1,2}}[+-]?)\s+(?P<rest>[<>≤≥]?=?\s*{_NUMBER}.*)", re.DOTALL)
_NOT_FOUND = re.compile(
    rf"(?P<word>[A-Za-z][A-Za-z. ]*?)\s*[(\[<@:,=]+\s*(?P<number>{_NUMBER})\s*(?P<behind>[^)\]]*)[)\]]?"
)
_DOUBT = re.compile(r"(?P<text>.*\d.*?)\s*\?+|(?:~|≈|ca\.|about|approx\.?)\s*(?P<rest>.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class WrittenResults:
    """Results of a column taken apart, each array of shape (n,).

    Attributes
    ----------
    number : ndarray of float
        In the unit as written; NaN where no number stands there.
    sign : ndarray of str
        "=", "<" or ">", as the cell's sign, words or marks say.
    unit : ndarray of str
        Unit behind the number, empty where none stands there.
    qualifier : ndarray of str
        The laboratory's marks as written, from the cell and from the column of marks.
    missing_limit : ndarray of str
        "detection", "reporting" or "upper" where a word says that nothing was measured, but no number is the
        limit; else empty.
    estimated, rejected : ndarray of bool
        Whether a mark says so.
    problem : ndarray of str
        "", "not_a_number", "thousands_or_decimals", "doubt_marked" or "unknown_qualifier".
    """

    number: npt.NDArray[np.float64]
    sign: Texts
    unit: Texts
    qualifier: Texts
    missing_limit: Texts
    estimated: npt.NDArray[np.bool_]
    rejected: npt.NDArray[np.bool_]
    problem: Texts


@dataclass(frozen=True, slots=True)
class _Cell:
    number: str = ""
    sign: str = "="
    unit: str = ""
    flag: str = ""
    missing: str = ""
    problem: str = ""


def read_results(texts: Column, flags: Column, names: HeadingNames, *, decimal: str = "") -> WrittenResults:
    """Return what every cell of a column of results says.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        Results as written.
    flags : sequence of str, shape (n,)
        Marks from a column of their own, empty where there is none.
    names : HeadingNames
        Units and the meaning of marks.
    decimal : {".", ",", ""}
        The mark before decimals in this table.

    Examples
    --------
    >>> from explorer.intake.own_headings import heading_names
    >>> texts = ["<5", "5 U", "0.3 J", "ND", "ND (0.01)", "0.027 mg/L"]
    >>> found = read_results(texts, [""] * 6, heading_names())
    >>> found.number.tolist(), found.sign.tolist()
    ([5.0, 5.0, 0.3, nan, 0.01, 0.027], ['<', '<', '=', '<', '<', '='])
    >>> found.qualifier.tolist(), found.missing_limit.tolist()
    (['', 'U', 'J', '', '', ''], ['', '', '', 'detection', '', ''])
    """
    cells = read_each(texts, lambda text: _taken_apart(" ".join(text.replace("−", "-").split()), names))
    marks = read_each(flags, lambda text: _marks(text, names.qualifiers))
    own = read_each([cell.flag for cell in cells], lambda text: _marks(text, names.qualifiers))
    number, _, unread = read_numbers([cell.number for cell in cells], decimal)
    meanings = [(*first, *second) for first, second in zip(own, marks, strict=True)]
    said = {meaning: _has(meanings, meaning) for meaning in ("below", "above", "estimated", "rejected", "")}
    stated = np.array([not is_empty(text) for text in texts], dtype=bool)
    sign = np.array([cell.sign for cell in cells], dtype=object)
    sign[(sign == "=") & said["below"]] = "<"
    sign[(sign == "=") & said["above"]] = ">"
    missing = np.array([cell.missing for cell in cells], dtype=object)
    missing[~stated & said["below"]] = "detection"
    problem = np.array([cell.problem for cell in cells], dtype=object)
    problem = np.where(problem == "", unread, problem)
    return WrittenResults(
        number,
        sign,
        np.array([cell.unit for cell in cells], dtype=object),
        np.array([_joined(cell.flag, flag) for cell, flag in zip(cells, flags, strict=True)], dtype=object),
        missing,
        said["estimated"],
        said["rejected"],
        np.where((problem == "") & said[""] & (stated | (missing != "")), "unknown_qualifier", problem),
    )


def _has(meanings: list[tuple[str, ...]], wanted: str) -> npt.NDArray[np.bool_]:
    return np.array([wanted in each for each in meanings], dtype=bool)


def _marks(text: str, qualifiers: Mapping[str, str]) -> tuple[str, ...]:
    """Return the meaning of each mark, "" for one that nobody knows."""
    if is_empty(text):
        return ()
    whole = text.strip().upper()
    if whole in qualifiers:
        return (qualifiers[whole],)
    return tuple(qualifiers.get(mark, "") for mark in re.split(r"[\s,;/]+", whole) if mark)


def _joined(own: str, flag: str) -> str:
    marks = [mark for mark in (own, "" if is_empty(flag) else flag.strip()) if mark]
    return " ".join(dict.fromkeys(marks))


def _taken_apart(text: str, names: HeadingNames) -> _Cell:
    if is_empty(text):
        return _Cell()
    if kind := UNMEASURED.get(text.casefold(), ""):
        return _Cell(sign=">" if kind == "upper" else "<", missing=kind)
    if names.qualifiers.get(text.upper()) == "below":
        return _Cell(sign="<", flag=text, missing="detection")
    found = _NOT_FOUND.fullmatch(text)
    if found and (kind := UNMEASURED.get(found["word"].strip().casefold(), "")):
        unit, flag = _unit_and_flag(found["behind"], names)
        return _Cell(found["number"], ">" if kind == "upper" else "<", unit, flag)
    if found := _DOUBT.fullmatch(text):
        return _Cell(problem="doubt_marked")
    found = _FLAG_FIRST.fullmatch(text)
    if found and found["flag"].upper() in names.qualifiers:
        cell = _taken_apart(found["rest"], names)
        return replace(cell, flag=_joined(found["flag"], cell.flag))
    found = _RESULT.fullmatch(text)
    if not found:
        return _Cell(problem="not_a_number")
    unit, flag = _unit_and_flag(found["behind"], names)
    sign = {"≤": "<", "≥": ">", "": "="}.get(found["sign"] or "", (found["sign"] or "=")[0])
    is_marked = not flag or re.fullmatch(r"[A-Za-z*]{1,3}[+-]?(?:[\s,;/]+[A-Za-z*]{1,3}[+-]?)*", flag)
    return _Cell(found["number"], sign, unit, flag, "", "" if is_marked else "not_a_number")


def _unit_and_flag(text: str, names: HeadingNames) -> tuple[str, str]:
    """Return the unit and the marks behind a number: "ug/L U" → "µg/L", "U"."""
    bare = text.strip(" ()[]")
    words = bare.split()
    for count in range(len(words), 0, -1):
        written = " ".join(words[:count])
        is_mark = written.upper() in names.qualifiers
        if not is_mark and (unit := names.unit_of(written)):
            return unit, " ".join(words[count:])
    return "", bare
