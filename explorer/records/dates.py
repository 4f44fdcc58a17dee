"""Cells of text → local dates and times of day; a date that could be read in two ways is asked about."""

import datetime
import re
from collections.abc import Sequence

import numpy as np

from explorer.records.cells import Column, Texts, is_empty, read_each

__all__ = ["DATE_FORMS", "read_dates", "read_times"]

DATE_FORMS = ("year-month-day", "day/month/year", "month/day/year", "day of year")
FIRST_YEAR, LAST_YEAR = 1800, 2199  # years that a date may have

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_YEAR_FIRST = re.compile(r"(\d{4})(?:([-/.])(\d{1,2})\2(\d{1,2})|(\d{2})(\d{2}))")
_ORDINAL = re.compile(r"(\d{4})-(\d{3})")  # ISO 8601: year and day of the year
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})")
_NAMED = re.compile(r"(?:(\d{1,2})[\s.-]*([A-Za-z]{3,9})|([A-Za-z]{3,9})\s+(\d{1,2}))[\s.,-]*(\d{4})")
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?:[:.]\d{2}(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?", re.IGNORECASE)
_BEFORE_TIME = re.compile(r"[T\s]+(?=\d{1,2}:\d{2})")
_MIDNIGHT = re.compile(r"0?0:00(:00(\.0+)?)?")  # what a program writes behind a date without a time

_NO_DATE = ("NaT", "not_a_date")


def _day(year: int, month: int, day: int) -> tuple[str, str]:
    try:
        found = datetime.date(year, month, day)
    except ValueError:
        return _NO_DATE
    return (found.isoformat(), "") if FIRST_YEAR <= year <= LAST_YEAR else _NO_DATE


def _day_of_year(year: int, day: int) -> tuple[str, str]:
    if not FIRST_YEAR <= year <= LAST_YEAR or day < 1:
        return _NO_DATE
    found = datetime.date(year, 1, 1) + datetime.timedelta(day - 1)
    return (found.isoformat(), "") if found.year == year else _NO_DATE


def _month(word: str) -> int:
    start = word[:3].casefold()
    return _MONTHS.index(start) + 1 if start in _MONTHS else 0


def _date(text: str, order: str) -> tuple[str, str]:
    """Return the ISO date and the problem; "ambiguous_date" where day and month could change places."""
    if found := _ORDINAL.fullmatch(text):
        return _day_of_year(int(found[1]), int(found[2]))
    if found := _YEAR_FIRST.fullmatch(text):
        return _day(int(found[1]), int(found[3] or found[5]), int(found[4] or found[6]))
    if found := _NAMED.fullmatch(text):
        return _day(int(found[5]), _month(found[2] or found[3]), int(found[1] or found[4]))
    if not (found := _YEAR_LAST.fullmatch(text)):
        return _NO_DATE
    first, mark, second, year = int(found[1]), found[2], int(found[3]), int(found[4])
    if order == "month/day/year":
        return _day(year, first, second)
    if order == "day/month/year" or mark == "." or first == second or first > 12:
        return _day(year, second, first)  # with points the day comes first wherever points are used
    return _day(year, first, second) if second > 12 else ("NaT", "ambiguous_date")


def _order_of(texts: Sequence[str]) -> str:
    """Return the order that the column's own cells prove, "" where none does or two contradict."""
    orders = set()
    for text in set(texts):
        found = _YEAR_LAST.fullmatch(text)
        if found and found[2] != "." and max(int(found[1]), int(found[3])) > 12:
            orders.add("day/month/year" if int(found[1]) > 12 else "month/day/year")
    return orders.pop() if len(orders) == 1 else ""


def read_dates(texts: Column, form: str = "") -> tuple[Texts, Texts]:
    """Return the local date and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "2024-05-17", "17.5.2024", "17 May 2024", "2024-138" (day of the year); a time behind it
        is left to `read_times`.
    form : str
        One of `DATE_FORMS`; empty: the column's own cells must prove which of day and month comes first.

    Returns
    -------
    date : ndarray of str, shape (n,)
        ISO dates, "NaT" where none can be read.
    problem : ndarray of str, shape (n,)
        "", "no_date", "not_a_date" or "ambiguous_date".

    Examples
    --------
    >>> [part.tolist() for part in read_dates(["2024-05-17", "03/04/2020"])]
    [['2024-05-17', 'NaT'], ['', 'ambiguous_date']]
    >>> [part.tolist() for part in read_dates(["17/05/2020", "03/04/2020"])]
    [['2020-05-17', '2020-04-03'], ['', '']]
    """
    days = read_each(texts, lambda text: _BEFORE_TIME.split(text)[0])
    order = form or _order_of(days)
    pairs = read_each(days, lambda text: ("NaT", "no_date") if is_empty(text) else _date(text, order))
    return np.array([pair[0] for pair in pairs], object), np.array([pair[1] for pair in pairs], object)


def _time(text: str) -> tuple[str, str]:
    if is_empty(text):
        return "", ""
    found = _TIME.fullmatch(text)
    if not found:
        return "", "not_a_time"
    hour, minute, half = int(found[1]), int(found[2]), (found[3] or "").casefold()
    if half:
        if not 1 <= hour <= 12:
            return "", "not_a_time"
        hour = hour % 12 + (12 if half.startswith("p") else 0)
    return (f"{hour:02d}:{minute:02d}", "") if hour < 24 and minute < 60 else ("", "not_a_time")


def _time_behind(text: str) -> str:
    parts = _BEFORE_TIME.split(text)
    return parts[1] if len(parts) > 1 and not _MIDNIGHT.fullmatch(parts[1]) else ""


def read_times(texts: Column, dates: Column) -> tuple[Texts, Texts]:
    """Return the time of day as HH:MM, from its own cell or from behind the date, and the problem.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        Cells of a column of times, empty where there is none.
    dates : sequence of str, shape (n,)
        Cells of the column of dates.

    Returns
    -------
    time : ndarray of str, shape (n,)
        "HH:MM", "" where there is none.
    problem : ndarray of str, shape (n,)
        "" or "not_a_time".

    Examples
    --------
    >>> [part.tolist() for part in read_times(["2:30 PM", ""], ["2024-05-17", "2024-05-17 09:05"])]
    [['14:30', '09:05'], ['', '']]
    """
    behind = read_each(dates, _time_behind)
    pairs = read_each([text or other for text, other in zip(texts, behind, strict=True)], _time)
    return np.array([pair[0] for pair in pairs], object), np.array([pair[1] for pair in pairs], object)
