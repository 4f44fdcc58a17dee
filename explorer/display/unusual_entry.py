"""One unusual reading in words: what is unusual, how far, where else, what may be behind it, what to do."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from explorer.display.choice import Choice
from explorer.display.numbers import date_text, number_text, reading_text
from explorer.model.evidence import Amount, Departure, evidence_sentence
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["Row", "UnusualEntry", "unusual_entry", "unusual_line"]

Row = Mapping[str, Any]  # of `DEPARTURE_ROWS`
RAREST = 1000  # times: how far tails reach beyond that, nobody knows
MOST_FINER = 2  # decimals more than a quantity has, to part a value from an end of its usual range
VERDICTS = ("for", "cannot_tell", "against")


@dataclass(frozen=True, slots=True)
class UnusualEntry:
    """All that is said of one unusual reading.

    Attributes
    ----------
    title : str
        What is unusual: day, quantity, value, which way.
    facts : tuple of str
        How far, against how many other values, and where else.
    evidence : tuple of (str, tuple of str)
        What speaks for explanations, what does not decide, what speaks against; a title and lines each.
    step : str
        What to do next.
    why : str
        Why that.
    """

    title: str
    facts: tuple[str, ...]
    evidence: tuple[tuple[str, tuple[str, ...]], ...]
    step: str
    why: str


def unusual_line(row: Row, choice: Choice, programme: Programme) -> str:
    """Return an unusual reading in one line: day, quantity, value, which way, and where else.

    Parameters
    ----------
    row : mapping of str to value
        One row of `DEPARTURE_ROWS`.
    choice : Choice
        Units and language.
    programme : Programme
        Quantities.
    """
    quantity = programme.quantities[row["quantity"]]
    values = {
        "date": date_text(np.datetime64(row["taken_on"]), choice.language),
        "quantity": _named(quantity, row["stratum"], choice.language),
        "value": reading_text(row["value"], row["sign"], quantity, choice.length_unit, choice.language),
        "way": say(f"unusual.{row['direction']}", language=choice.language),
        "where": say(f"unusual.short_{row['scope']}", language=choice.language),
    }
    return say("unusual.line", values, choice.language)


def unusual_entry(told: Departure, choice: Choice, programme: Programme) -> UnusualEntry:
    """Return what is said of an unusual reading.

    Parameters
    ----------
    told : Departure
        The reading with its evidence.
    choice : Choice
        Units and language.
    programme : Programme
        Quantities.
    """
    language, quantity = choice.language, programme.quantities[told.quantity]

    def amount(value: Amount) -> str:
        of = programme.quantities[value.quantity]
        return reading_text(value.number, "=", of, choice.length_unit, language)

    def own(number: float) -> str:
        return amount(Amount(number, told.quantity))

    values = {
        "quantity": _named(quantity, told.stratum, language),
        "date": date_text(np.datetime64(told.taken_on), language),
        "expected": own(told.expected),
        **_beside_range(told, quantity, choice),
        "companion": programme.quantities[told.companion].name.lower() if told.companion else "",
        "beside": "" if np.isnan(told.beside) else own(told.beside),
    }
    title = f"departure.{told.direction}" + ("" if told.by == "month" else f"_{told.by}")
    lines = {
        verdict: tuple(
            evidence_sentence(each, amount, programme.quantities, language)
            for each in told.evidence
            if each.verdict == verdict
        )
        for verdict in VERDICTS
    }
    return UnusualEntry(
        title=say(title, values, language),
        facts=tuple(_facts(told, quantity, own, language)),
        evidence=tuple(
            (say(f"unusual.speaks_{verdict}", language=language), said)
            for verdict, said in lines.items()
            if said
        ),
        step=say("unusual.next", {"step": say(f"next_step.{told.next_step}", language=language)}, language),
        why=say(f"next_step.{told.next_step}_why", language=language),
    )


def _beside_range(told: Departure, quantity: Quantity, choice: Choice) -> dict[str, str]:
    """Return the value and the range of what is not unusual, finer where the value seems to lie on an end."""

    def text(number: float, more: int, sign: str = "=") -> str:
        finer = replace(quantity, decimals=quantity.decimals + more)
        return reading_text(number, sign, finer, choice.length_unit, choice.language)

    ends = {"low": told.low, "high": told.high}
    apart = (
        more
        for more in range(MOST_FINER)
        if text(told.value, more) not in [text(end, more) for end in ends.values()]
    )
    more = next(apart, MOST_FINER)
    return {"value": text(told.value, more, told.sign)} | {
        name: text(end, more) for name, end in ends.items()
    }


def _named(quantity: Quantity, stratum: str, language: str) -> str:
    """Return the name of a quantity, with where in the water it was measured unless at the surface."""
    if stratum not in ("mid", "bottom"):
        return quantity.name
    return say(f"unusual.at_{stratum}", {"quantity": quantity.name}, language)


def _facts(told: Departure, quantity: Quantity, own: Callable[[float], str], language: str) -> list[str]:
    """Return how far off it is, against how many other values, how rare that is, and where else."""
    facts = []
    if told.expected > 0 and quantity.log_scale:
        ratio = number_text(told.value / told.expected, 1 if told.value > told.expected else 2, language)
        facts.append(say("unusual.times", {"ratio": ratio, "expected": own(told.expected)}, language))
    else:
        apart = own(abs(told.value - told.expected))
        facts.append(say("unusual.apart", {"apart": apart, "expected": own(told.expected)}, language))
    facts.append(say("departure.behind", {"others": told.others, "years": told.years}, language))
    if told.by == "month":
        times = 1 / told.tail_probability if told.tail_probability > 0 else np.inf
        code = "unusual.rare" if times < RAREST else "unusual.very_rare"
        shown = number_text(float(f"{min(times, RAREST):.1g}"), 0, language)
        facts.append(say(code, {"times": shown}, language))
    facts.append(say(f"unusual.scope_{told.scope}", language=language))
    return facts
