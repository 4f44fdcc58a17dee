"""How headings and units are compared, and the forms of dates that they spell out: "Date (MM/DD/YYYY)"."""

import re
import unicodedata

__all__ = ["folded", "folded_unit", "without_form"]

_LETTERS = r"(?:d{1,2}|m{1,4}|y{2,4})"
_DATE = rf"{_LETTERS}(?:[-/. ]{_LETTERS}){{1,2}}"
_TIME = r"h{1,2}:?m{2}(?::?s{2})?(?:[ ]?[ap]m)?|24[ -]?(?:h|hr|hrs|hours?)(?:[ ]clock)?"
_FORM = re.compile(rf"[\s,_]*[(\[]?\s*(?P<date>{_DATE})?[,\s]*(?P<time>{_TIME})?\s*[)\]]?\s*", re.IGNORECASE)
_ORDERS = {"d": "day/month/year", "m": "month/day/year", "y": "year-month-day"}


def folded(text: str) -> str:
    """Return a heading as it is compared: no case, accents, punctuation or underscores.

    Examples
    --------
    >>> folded("Lab_No."), folded("DO (%)")
    ('lab no', 'do %')
    """
    plain = "".join(each for each in unicodedata.normalize("NFKD", text) if not unicodedata.combining(each))
    kept = (each if each.isalnum() or each in "%°<>" else " " for each in plain.casefold())
    return " ".join("".join(kept).split())


def folded_unit(text: str) -> str:
    """Return a unit as its spellings are compared: no case, one micro sign.

    Examples
    --------
    >>> folded_unit("MG/L")
    'mg/l'
    """
    return " ".join(text.replace("μ", "µ").casefold().split())


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
