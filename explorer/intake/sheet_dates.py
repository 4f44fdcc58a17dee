"""Dates as volunteers write them: two-digit years, day and month in either order, cells that a spreadsheet
turned into dates.

Reading a full date is `records.dates`. Here the years are completed and the column's own cells are asked
which of day and month comes first; what they do not prove stays a question.
"""

import datetime
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from explorer.records.cells import Column, Texts, read_each
from explorer.records.dates import read_dates

__all__ = ["SheetDates", "read_sheet_dates"]

FIRST_OF_THE_CENTURY = 69  # two-digit years from here on belong to 1900 (POSIX, strptime %y)
_SHORT = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{2})(?!\d)(.*)", re.DOTALL)
_NAMED_SHORT = re.compile(r"(\d{1,2}[\s.-]*[A-Za-z]{3,9}|[A-Za-z]{3,9}\s+\d{1,2})([\s.,'-]+)(\d{2})")
_YEARLESS = re.compile(r"\d{1,2}([-/.])\d{1,2}\1?")
_SERIAL = re.compile(r"[2-6]\d{4}")  # a spreadsheet's day number, 1954 to 2091
_ISO = re.compile(r"\d{4}-(\d{2})-(\d{2})")
_DAY_FIRST = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.]\d{2,4}")
_SERIAL_ORIGIN = datetime.date(1899, 12, 30)
_SPREAD_YEARS = 2  # dates of one sheet lie in so few years


@dataclass(frozen=True, slots=True)
class SheetDates:
    """Dates of a column, each array of shape (n,).

    Attributes
    ----------
    date : ndarray of str
        ISO dates, "NaT" where none can be read.
    problem : ndarray of str
        "", "no_date", "not_a_date", "ambiguous_sheet_date", "date_without_year", "date_serial",
        "date_turned" or "date_swapped": the date waits for an answer.
    settled : ndarray of bool
        Whether the cell alone could be read in two ways and the other cells of the column proved the order.
    likely : ndarray of str
        For "date_serial" and "date_swapped": the date that the cell is likely to mean, ISO.
    """

    date: Texts
    problem: Texts
    settled: np.ndarray[tuple[int], np.dtype[np.bool_]]
    likely: Texts


def read_sheet_dates(texts: Column, form: str = "", *, in_order: bool = False) -> SheetDates:
    """Return the local date and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "4/12/25", "17.5.2025", "12 Apr 25", "2025-04-12".
    form : str
        Order of day and month that the heading spells out, one of `explorer.records.dates.DATE_FORMS`; empty:
        the column's own cells must prove it.
    in_order : bool
        Whether neighbouring rows are of the same days, as on a data sheet: then a date whose day and month
        in the other order are those of a neighbouring row, and which stands alone as read, is asked about.

    Examples
    --------
    >>> found = read_sheet_dates(["4/12/25", "5/15/25", "9/31/25", "10.09."])
    >>> found.date.tolist()
    ['2025-04-12', '2025-05-15', 'NaT', 'NaT']
    >>> found.problem.tolist(), found.settled.tolist()
    (['', '', 'not_a_date', 'date_without_year'], [True, False, False, False])
    """
    written = [text.strip() for text in texts]
    full = _with_years(written, form)
    date, problem = read_dates(full, form)
    alone = np.array(read_each(full, lambda text: read_dates([text])[1][0] == "ambiguous_date"), dtype=bool)
    settled = alone & (problem == "") & (form == "")
    likely = np.full(len(full), "", dtype=object)
    unclear = np.array(read_each(full, lambda text: bool(_SHORT.fullmatch(text))), dtype=bool)
    problem[(problem == "ambiguous_date") | unclear] = "ambiguous_sheet_date"
    problem[np.array([bool(_YEARLESS.fullmatch(text)) for text in written], dtype=bool)] = "date_without_year"
    for row in np.flatnonzero(problem == "not_a_date"):
        if _SERIAL.fullmatch(written[row]):
            problem[row] = "date_serial"
            likely[row] = (_SERIAL_ORIGIN + datetime.timedelta(int(written[row]))).isoformat()
    problem[_turned(written, problem == "")] = "date_turned"
    if in_order:
        swapped = _swapped(written, date, problem)
        problem[swapped != ""] = "date_swapped"
        likely = np.where(swapped != "", swapped, likely)
    date[problem != ""] = "NaT"
    return SheetDates(date, problem, settled, likely)


def _year(two_digits: str) -> str:
    return ("19" if int(two_digits) >= FIRST_OF_THE_CENTURY else "20") + two_digits


def _with_years(texts: Sequence[str], form: str) -> list[str]:
    """Return dates with years of four digits; year-month-day with a short year only where nothing else fits.

    With points and slashes the year stands last (common practice). With dashes it may stand first: the order
    that puts the dates of the column into fewer years is taken, and where both do, none.
    """
    dashed = [found for text in set(texts) if (found := _SHORT.fullmatch(text)) and found[2] == "-"]
    first_years = {int(found[1]) for found in dashed}
    last_years = {int(found[4]) for found in dashed}
    year_is_first = bool(dashed) and len(first_years) < len(last_years) and len(first_years) <= _SPREAD_YEARS
    unclear = bool(dashed) and len(first_years) == len(last_years)
    if form:
        year_is_first, unclear = form == "year-month-day", False

    def full(text: str) -> str:
        found = _SHORT.fullmatch(text)
        if found is None:
            named = _NAMED_SHORT.fullmatch(text)
            return f"{named[1]} {_year(named[3])}" if named else text
        first, mark, second, last, rest = found.groups()
        if mark == "-" and len(first) == 2:
            if year_is_first:
                return f"{_year(first)}-{second}-{last}{rest}"
            if unclear and int(last) <= 31:
                return text  # the short year stays, and the date is asked about
        return f"{first}{mark}{second}{mark}{_year(last)}{rest}"

    return read_each(texts, full)


def _turned(
    texts: Sequence[str], readable: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return the cells that a spreadsheet is likely to have turned into dates with day and month exchanged.

    It does so where it expects the month first: of dates written day first, those up to the 12th become
    dates, the others stay text. Both in one column, the dates all up to the 12th, tell that it happened.
    """
    iso = [_ISO.match(text) for text in texts]
    pairs = zip(texts, readable, strict=True)
    written = [_DAY_FIRST.fullmatch(text) if is_read else None for text, is_read in pairs]
    proves_day_first = any(found and int(found[1]) > 12 for found in written)
    all_early = all(int(found[2]) <= 12 for found in iso if found)
    if not proves_day_first or not all_early:
        return np.zeros(len(texts), dtype=bool)
    doubtful = np.array([found is not None and found[1] != found[2] for found in iso], dtype=bool)
    turned: np.ndarray[tuple[int], np.dtype[np.bool_]] = readable & doubtful
    return turned


def _swapped(texts: Sequence[str], date: Texts, problem: Texts) -> Texts:
    """Return, for dates whose day and month are likely to have changed places, the other date.

    With points the day comes first wherever points are used: those are let be.
    """
    found = np.full(len(texts), "", dtype=object)
    times = Counter(str(each) for each in date)
    for row in np.flatnonzero((problem == "") & (date != "NaT")).tolist():
        text = str(date[row])
        year, month, day = text.split("-")
        other = f"{year}-{day}-{month}"
        if month == day or int(day) > 12 or "." in texts[row] or times[other] <= times[text]:
            continue
        around = {str(date[near]) for near in (row - 1, row + 1) if 0 <= near < len(texts)}
        if other in around and text not in around:
            found[row] = other
    return found
