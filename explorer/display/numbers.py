"""Numbers, dates and depths as text: rounded once, with their unit."""

from collections.abc import Mapping, Sequence

import numpy as np

from explorer.model.calendar import Period, Season
from explorer.model.quantities import Quantity
from explorer.model.units import FOOT_M
from explorer.model.words import join_words, say

__all__ = [
    "count_text",
    "date_text",
    "display_factor",
    "display_unit",
    "interval_text",
    "length_text",
    "months_text",
    "number_text",
    "period_text",
    "reading_text",
]


def display_unit(quantity: Quantity, length_unit: str) -> str:
    """Return the unit in which a quantity is shown: depths follow the reader's choice.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> display_unit(QUANTITIES["secchi_depth"], "ft")
    'ft'
    """
    return length_unit if quantity.unit == "m" else quantity.unit


def display_factor(quantity: Quantity, length_unit: str) -> float:
    """Return by what a record value is multiplied to be shown. [display unit per record unit]

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> round(display_factor(QUANTITIES["secchi_depth"], "ft"), 4)
    3.2808
    """
    return 1 / FOOT_M if quantity.unit == "m" and length_unit == "ft" else 1.0


def number_text(value: float, decimals: int, language: str = "en") -> str:
    """Return a number with its decimals, and more of them where all would be zero.

    Parameters
    ----------
    value : float
        Number to show.
    decimals : int
        Digits after the point.
    language : str
        Language whose decimal mark is taken.

    Examples
    --------
    >>> number_text(12.34, 1), number_text(0.04, 1), number_text(12.34, 1, "de")
    ('12.3', '0.04', '12,3')
    """
    if value != 0 and abs(value) < 0.5 * 10**-decimals:
        decimals = int(np.ceil(-np.log10(abs(value))))
    whole, point, rest = f"{value:,.{decimals}f}".replace(",", "\N{NO-BREAK SPACE}").partition(".")
    return f"{whole}{point and say('number.decimal_mark', language=language)}{rest}"


def reading_text(value: float, sign: str, quantity: Quantity, length_unit: str, language: str = "en") -> str:
    """Return a reading in words: number and unit, or on which side of its limit it lies.

    Parameters
    ----------
    value : float
        Value or limit. [record unit]
    sign : str
        "=", "<" or ">".
    quantity : Quantity
        What was measured.
    length_unit : {"m", "ft"}
        The reader's choice for depths.
    language : str
        Language of the words.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> reading_text(2.0, "<", QUANTITIES["total_phosphorus"], "m").replace(chr(160), " ")
    'below 2 µg/L'
    """
    unit = display_unit(quantity, length_unit)
    if np.isnan(value):
        return say("reading.unreadable", language=language)
    number = number_text(value * display_factor(quantity, length_unit), quantity.decimals, language)
    text = number if unit == "pH" else f"{number}\N{NO-BREAK SPACE}{unit}"
    code = {"=": "reading.measured", "<": "reading.below", ">": "reading.beyond"}[sign]
    return say(code, {"value": text}, language)


def length_text(length_m: float, length_unit: str, language: str = "en") -> str:
    """Return a depth or distance with its unit, to a tenth.

    Parameters
    ----------
    length_m : float
        [m]
    length_unit : {"m", "ft"}
        The reader's choice.
    language : str
        Language whose decimal mark is taken.

    Examples
    --------
    >>> [length_text(each, "m").replace(chr(160), " ") for each in (0.5, 7.0)]
    ['0.5 m', '7 m']
    """
    shown = length_m / FOOT_M if length_unit == "ft" else length_m
    decimals = 0 if float(f"{shown:.1f}").is_integer() else 1
    return f"{number_text(shown, decimals, language)}\N{NO-BREAK SPACE}{length_unit}"


def date_text(date: np.datetime64, language: str = "en") -> str:
    """Return a date in words.

    Examples
    --------
    >>> date_text(np.datetime64("2025-08-12"))
    '12 August 2025'
    """
    year, month, day = (int(part) for part in str(date.astype("datetime64[D]")).split("-"))
    return say(
        "date.day", {"day": day, "month": say(f"month.{month}", language=language), "year": year}, language
    )


def months_text(months: Sequence[int], language: str = "en") -> str:
    """Return months in words.

    Examples
    --------
    >>> months_text([5, 6])
    'May and June'
    """
    return join_words([say(f"month.{month}", language=language) for month in months], language)


def interval_text(low: float, high: float, quantity: Quantity, length_unit: str, language: str = "en") -> str:
    """Return a value that may be known only as an interval in words.

    Parameters
    ----------
    low, high : float
        Its ends; high may be infinite. [record unit]
    quantity : Quantity
        What was measured.
    length_unit : {"m", "ft"}
        The reader's choice for depths.
    language : str
        Language of the words.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> interval_text(2.4, float("inf"), QUANTITIES["secchi_depth"], "m").replace(chr(160), " ")
    'more than 2.4 m'
    """
    if low == high or np.isnan(low):
        return reading_text(low, "=", quantity, length_unit, language)
    if low <= 0:
        return reading_text(high, "<", quantity, length_unit, language)
    if np.isinf(high):
        return reading_text(low, ">", quantity, length_unit, language)
    first, last = (reading_text(end, "=", quantity, length_unit, language) for end in (low, high))
    return first if first == last else say("reading.between", {"low": first, "high": last}, language)


def count_text(
    code: str, count: int, values: Mapping[str, object] | None = None, language: str = "en"
) -> str:
    """Return a counted noun or a sentence about a count: "no visits", "1 visit", "6 visits".

    Parameters
    ----------
    code : str
        Words code that has a `<code>_none`, a `<code>_one` and a `<code>_many` sentence.
    count : int
        How many.
    values : mapping, optional
        What else stands in the sentence.
    language : str
        Language of the words.

    Examples
    --------
    >>> count_text("count.visit", 0), count_text("count.visit", 6)
    ('no visits', '6 visits')
    """
    form = {0: "none", 1: "one"}.get(count, "many")
    return say(f"{code}_{form}", {**(values or {}), "count": count}, language)


def period_text(period: Period, season: Season, language: str = "en") -> str:
    """Return a period in words.

    Examples
    --------
    >>> period_text(Period(2020, 2025), Season((5, 6, 7, 8, 9)))
    '2020 to 2025'
    """
    first, last = season.label(period.first_year), season.label(period.last_year)
    return first if period.years == 1 else say("period.range", {"first": first, "last": last}, language)
