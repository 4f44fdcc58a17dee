"""A value beside the limits of its class, in words: never rounded onto the other side of a limit."""

import numpy as np

from explorer.display.choice import Choice
from explorer.display.numbers import display_factor, display_unit, number_text
from explorer.model.classes import ClassResult, ClassScheme, Limits
from explorer.model.quantities import Quantity
from explorer.model.words import has_words, say

__all__ = ["class_span_lines", "class_text", "limit_text", "value_text"]

MOST_DECIMALS = 4


def value_text(
    value: float, low: float, high: float, limits: Limits, quantity: Quantity, choice: Choice
) -> str:
    """Return a season's or period's value in words, or the interval in which it lies.

    Parameters
    ----------
    value : float
        The value, NaN where only the interval is known. [record unit]
    low, high : float
        The interval; zero or infinity where it has no end. [record unit]
    limits : Limits
        The limits that it is held against.
    quantity : Quantity
        What was measured.
    choice : Choice
        Unit of depths, and language.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> from explorer.model.calendar import Period
    >>> from explorer.model.quantities import QUANTITIES
    >>> phosphorus, choice = QUANTITIES["total_phosphorus"], Choice("HM1", Period(2024, 2024))
    >>> limits = schemes()["carlson_simpson_1996"].limits["total_phosphorus"]
    >>> value_text(23.8, 23.8, 23.8, limits, phosphorus, choice).replace(chr(160), " ")
    '23.8 µg/L'
    >>> value_text(float("nan"), 0.0, 8.0, limits, phosphorus, choice).replace(chr(160), " ")
    'below 8 µg/L'
    """
    language = choice.language
    open_above, open_below = bool(np.isinf(high)), low <= 0
    ends = {"low": _apart(low, limits, quantity, choice), "high": _apart(high, limits, quantity, choice)}
    interval = ""
    if open_above and open_below:
        interval = say("explanation.value_open", language=language)
    elif open_above:
        interval = say("reading.beyond", {"value": ends["low"]}, language)
    elif open_below and high > 0:
        interval = say("reading.below", {"value": ends["high"]}, language)
    elif low < high:
        interval = say("reading.between", ends, language)
    if np.isnan(value):
        return interval or say("explanation.value_open", language=language)
    known = _apart(value, limits, quantity, choice)
    return (
        say("explanation.value_about", {"value": known, "interval": interval}, language)
        if interval
        else known
    )


def _apart(value: float, limits: Limits, quantity: Quantity, choice: Choice) -> str:
    """Return a value with so many decimals that it looks like a limit only where it is on it."""
    if not np.isfinite(value):
        return ""
    factor = display_factor(quantity, choice.length_unit)
    near = [limit for limit in limits.upper if not np.isclose(limit, value, rtol=1e-9)]
    on = [limit for limit in limits.upper if limit not in near]
    fewest = max([quantity.decimals, *(_limit_decimals(limit, quantity, choice) for limit in on)])
    for decimals in range(fewest, MOST_DECIMALS + 1):
        text = number_text(value * factor, decimals, choice.language)
        if text not in {number_text(limit * factor, decimals, choice.language) for limit in near}:
            break
    return f"{text}\N{NO-BREAK SPACE}{display_unit(quantity, choice.length_unit)}"


def _limit_decimals(limit: float, quantity: Quantity, choice: Choice) -> int:
    """Return how many decimals a limit is printed with; in feet those of the quantity."""
    if display_factor(quantity, choice.length_unit) != 1:
        return quantity.decimals
    return next((places for places in range(MOST_DECIMALS) if round(limit, places) == limit), MOST_DECIMALS)


def limit_text(limit: float, quantity: Quantity, choice: Choice) -> str:
    """Return a class limit with all of its printed digits; in feet with the quantity's own decimals.

    Parameters
    ----------
    limit : float
        The limit. [record unit]
    quantity : Quantity
        Of what.
    choice : Choice
        Unit of depths.

    Examples
    --------
    >>> from explorer.model.calendar import Period
    >>> from explorer.model.quantities import QUANTITIES
    >>> choice = Choice("HM1", Period(2024, 2024), length_unit="ft")
    >>> [limit_text(2.0, QUANTITIES[code], choice).replace(chr(160), " ")
    ...  for code in ("secchi_depth", "total_phosphorus")]
    ['6.6 ft', '2 µg/L']
    """
    number = limit * display_factor(quantity, choice.length_unit)
    unit = display_unit(quantity, choice.length_unit)
    text = number_text(number, _limit_decimals(limit, quantity, choice), choice.language)
    return f"{text}\N{NO-BREAK SPACE}{unit}"


def class_text(label: str, language: str = "en") -> str:
    """Return what a class is called in a language; a programme's own class keeps its name.

    Parameters
    ----------
    label : str
        The class, as its scheme names it.
    language : str
        Language of the words.

    Examples
    --------
    >>> class_text("eutrophic"), class_text("eutrophic", "de"), class_text("middling", "de")
    ('eutrophic', 'eutroph', 'middling')
    """
    code = f"class_name.{label}"
    return say(code, language=language) if has_words(code) else label


def class_span_lines(
    result: ClassResult, scheme: ClassScheme, quantity: Quantity, choice: Choice
) -> list[str]:
    """Return between which limits a class lies, and what a value exactly on a limit counts as.

    Parameters
    ----------
    result : ClassResult
        A result with a class.
    scheme : ClassScheme
        The scheme that gave it.
    quantity : Quantity
        The quantity that gave it.
    choice : Choice
        Unit of depths, and language.

    Returns
    -------
    list of str
        Whole sentences.
    """
    limits = scheme.limits[quantity.code]
    index = scheme.classes.index(str(result.label))
    texts = [limit_text(limit, quantity, choice) for limit in limits.upper]
    language = choice.language
    values = {"class_name": class_text(str(result.label), language), "scheme": scheme.name}
    rising = quantity.higher_is_worse is not False
    if 0 < index < len(texts):
        ends = texts[index - 1 : index + 1] if rising else texts[index - 1 : index + 1][::-1]
        lines = [say("explanation.span_between", {**values, "low": ends[0], "high": ends[1]}, language)]
    else:
        below = rising if index == 0 else not rising
        code = "explanation.span_below" if below else "explanation.span_above"
        lines = [say(code, {**values, "limit": texts[0] if index == 0 else texts[-1]}, language)]
    for number in (index - 1, index):
        if 0 <= number < len(texts):
            side = scheme.classes[number if limits.boundary == "better" else number + 1]
            on = {"limit": texts[number], "class_name": class_text(side, language)}
            lines.append(say("explanation.on_limit", on, language))
    return lines
