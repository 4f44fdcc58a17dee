"""Why a reading may be unusual: lines of evidence with their numbers, and what to do next."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from explorer.model.quantities import QUANTITIES, Quantity, name_in_sentence
from explorer.model.words import has_words, say

__all__ = [
    "EVIDENCE_CODES",
    "NEXT_STEPS",
    "Amount",
    "Departure",
    "Evidence",
    "NextStep",
    "Value",
    "Verdict",
    "evidence_sentence",
]

Verdict = Literal["for", "against", "cannot_tell"]
NextStep = Literal["look_at_the_sheet", "ask_the_laboratory", "measure_again", "accept"]
NEXT_STEPS: tuple[NextStep, ...] = ("look_at_the_sheet", "ask_the_laboratory", "measure_again", "accept")

# What a line can be about; each has a sentence for every verdict that it can bear.
EVIDENCE_CODES = (
    "district",  # other waters are unusual in the same way at the same time
    "lake",  # the other stations of the same water are
    "together",  # the other quantities of the visit fit
    "season",  # the station's other visits of the year are unusual in the same way: a trend or a step
    "weather",  # visits with the same weather on the sheet were unusual in the same way
    "batch",  # the whole batch is
    "blank",  # the batch's blank is not clean
    "duplicate",  # the batch's duplicates do not agree
    "observer",  # on shared days this observer reads so
    "observer_alone",  # too few such days
    "observer_offset",  # the same where readings differ by an amount, not by a factor: temperature
    "on_bottom",  # the disk lay on the bottom
    "too_deep",  # deeper than the water
    "repeated",  # one round value again and again, deeper than the water
    "volume",  # the volume filtered, or a top-up left out
    "feet",  # a factor of 3.28
    "ten",  # a factor of 10
    "thousand",  # a factor of 1000
    "fahrenheit",  # degrees Fahrenheit taken for degrees Celsius
    "remark",  # what else the sheet says, to be read before deciding
    "handling",  # the sheet says that the sample was warm
    "holding_time",  # days to the analysis
    "qualifier",  # the laboratory's mark for a sample kept too long
    "unexplained",  # nothing in the record speaks for anything
)


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of a quantity, in the record's unit; whoever shows it turns it into the reader's.

    Attributes
    ----------
    number : float
        [record unit]
    quantity : str
        Code of the quantity.
    """

    number: float
    quantity: str


Value = float | int | str | Amount  # a ratio, a count, a code or a text, an amount


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that speaks for, or against, one explanation of an unusual reading.

    Attributes
    ----------
    code : str
        One of `EVIDENCE_CODES`: the explanation.
    verdict : {"for", "against", "cannot_tell"}
        What the record says of it. The sentence is `words[evidence.<code>_<verdict>]`.
    values : mapping
        What stands in the sentence: `Amount`, whole number, ratio or code (batch, observer), days.
    weight : float
        Natural logarithm of the odds that this explains the reading rather than something else; lines stand
        in its order. [1]

    Examples
    --------
    >>> Evidence("lake", "for", {"count": 3, "of": 3}, 4.0).verdict
    'for'
    """

    code: str
    verdict: Verdict
    values: Mapping[str, Value] = field(default_factory=dict)
    weight: float = 0.0


@dataclass(frozen=True, slots=True)
class Departure:
    """A reading that is unusual, with what may be behind it, the likeliest first.

    Attributes
    ----------
    reading_id : int
        The reading.
    station_code, quantity : str
        Where and what.
    taken_on : str
        Local date, ISO 8601.
    value : float
        Value, or the limit where `sign` is not "=". [record unit]
    sign, status, stratum : str
        As the reading's.
    tail_probability : float
        Two-sided, for the month. [1]
    others, years : int
        Months of other years that it was held against, and in how many years.
    expected, low, high : float
        Usual value for the month, and the range of what is not unusual. [record unit]
    direction : {"higher", "lower"}
        Which way it departs.
    by : {"month", "together", "observer", "beside"}
        What makes it unusual: the month's other years; those and other readings that depart with it; what
        somebody else read of the same on the same visit; the companion.
    companion : str
        The quantity beside which it is unusual; empty where it is so by anything else.
    beside : float
        What the companion lets expect, or what somebody else read of the same. [record unit] NaN where it is
        unusual by anything else.
    scope : {"district", "lake", "station", "unknown"}
        Whether many waters, this water, or this station alone depart the same way; unknown where no other
        station was visited.
    evidence : tuple of Evidence
        At least one line; the first is the likeliest.
    next_step : str
        One of `NEXT_STEPS`.
    """

    reading_id: int
    station_code: str
    quantity: str
    taken_on: str
    value: float
    sign: str
    status: str
    stratum: str
    tail_probability: float
    others: int
    years: int
    expected: float
    low: float
    high: float
    direction: Literal["higher", "lower"]
    by: Literal["month", "together", "observer", "beside"]
    companion: str
    beside: float
    scope: Literal["district", "lake", "station", "unknown"]
    evidence: tuple[Evidence, ...]
    next_step: NextStep


_COUNTS = ("of", "days", "count")  # of 0 of these there is another sentence: nothing there, or none of it


def _ratio_text(ratio: float) -> str:
    """Return a ratio with two digits: 0.45, 2.1, 13."""
    return f"{ratio:.2g}" if ratio < 10 else f"{ratio:.0f}"


def evidence_sentence(
    evidence: Evidence,
    amount_text: Callable[[Amount], str],
    quantities: Mapping[str, Quantity] = QUANTITIES,
    language: str = "en",
) -> str:
    """Return a line of evidence as a sentence.

    Parameters
    ----------
    evidence : Evidence
        The line.
    amount_text : callable
        Writes an amount with its unit, in the reader's units.
    quantities : mapping of str to Quantity
        The programme's, for their names.
    language : str
        Two-letter name of the language file.

    Raises
    ------
    UnknownNameError
        If the language has no such sentence, or it wants a value that the line lacks.

    Examples
    --------
    >>> line = Evidence("lake", "for", {"count": 3, "of": 3}, 4.0)
    >>> evidence_sentence(line, lambda amount: f"{amount.number:g}")
    'Within a few days 3 of 3 other stations of this water departed from their usual in the same direction.'
    """
    texts: dict[str, object] = {}
    for name, value in evidence.values.items():
        if isinstance(value, Amount):
            texts[name] = amount_text(value)
            texts[f"{name}_name"] = name_in_sentence(quantities[value.quantity])
        else:
            texts[name] = _ratio_text(value) if isinstance(value, float) else value
    code = f"evidence.{evidence.code}_{evidence.verdict}"
    counts = [evidence.values[name] for name in _COUNTS if name in evidence.values]
    if counts and not all(counts):
        special = f"{code}_{'none' if counts[0] else 'nothing'}"
        code = special if has_words(special) else code
    return say(code, texts, language)
