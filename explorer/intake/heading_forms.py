"""Forms of dates and times that a heading spells out: "Date (MM/DD/YYYY)", "Time (24 h)"."""

import re

__all__ = ["without_form"]

_LETTERS = r"(?:d{1,2}|m{1,4}|y{2,4})"
_DATE = rf"{_LETTERS}(?:[-/. ]{_LETTERS}){{1,2}}"
_TIME = r"h{1,2}:?m{2}(?::?s{2})?(?:[ ]?[ap]m)?|24[ -]?(?:h|hr|hrs|hours?)(?:[ ]clock)?"
_FORM = re.compile(rf"[\s,_]*[(\[]?\s*(?P<date>{_DATE})?[,\s]*(?P<time>{_TIME})?\s*[)\]]?\s*", re.IGNORECASE)
_ORDERS = {"d": "day/month/year", "m": "month/day/year", "y": "year-month-day"}


def without_form(heading: str) -> tuple[str, str]:
    """Return a heading without the form that stands behind it, and the order of a date's parts.

    Parameters
    ----------
    heading : str
        As written.

    Returns
    -------
    heading, order : str
        The order is one of `explorer.records.dates.DATE_FORMS`; empty where the heading tells none, or only
        day and month.

    Examples
    --------
    >>> without_form("Date (MM/DD/YYYY)"), without_form("Time (HH:MM)")
    (('Date', 'month/day/year'), ('Time', ''))
    >>> without_form("Secchi (m)")
    ('Secchi (m)', '')
    """
    for place in range(1, len(heading)):
        if heading[place - 1].isalpha() and heading[place].isalpha():
            continue  # a form begins a word
        found = _FORM.fullmatch(heading, place)
        if found and (found["date"] or found["time"]):
            first = (found["date"] or "")[:1].casefold()
            parts = {each[0] for each in re.split(r"[-/. ]", (found["date"] or "").casefold()) if each}
            return heading[:place].rstrip(" ([,_"), _ORDERS[first] if parts == {"d", "m", "y"} else ""
    return heading, ""
