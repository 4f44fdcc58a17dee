"""Unusual readings in words: grouped by what to do next, each with what may be behind it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.display.choice import Choice
from explorer.display.numbers import count_text, date_text, number_text, reading_text
from explorer.model.departure_rows import departures_of
from explorer.model.evidence import NEXT_STEPS, Amount, Departure, evidence_sentence
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.words import say
from explorer.records.corrections import WITH_A_REMARK

__all__ = [
    "UnusualEntry",
    "UnusualGroup",
    "UnusualPage",
    "build_decisions_page",
    "build_unusual_page",
    "unusual_line",
    "what_waits",
]

HELD, DECIDED = "held", "decided"
GROUPS = (*NEXT_STEPS, HELD, DECIDED)  # in the order of the work
RAREST = 1000  # times: how far tails reach beyond that, nobody knows
MOST_LISTED = 200  # of one group, the latest; the count tells of the rest
Row = Mapping[str, Any]
VERDICTS = ("for", "cannot_tell", "against")


@dataclass(frozen=True, slots=True)
class UnusualGroup:
    """Unusual readings with which the same is to be done.

    Attributes
    ----------
    title : str
        What to do, and with how many.
    why : str
        Why that.
    entries : tuple of (str, int)
        What each reading is called in a list, and its id, the latest first.
    """

    title: str
    why: str
    entries: tuple[tuple[str, int], ...]


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


@dataclass(frozen=True, slots=True)
class UnusualPage:
    """Unusual readings to pick from, and what is said of the picked one.

    Attributes
    ----------
    words : str
        What is listed, or that there is nothing.
    groups : tuple of UnusualGroup
        Only those that have a reading.
    reading_id : int
        The picked reading, 0 where none of the listed ones is picked.
    entry : UnusualEntry or None
        What is said of it.
    """

    words: str
    groups: tuple[UnusualGroup, ...]
    reading_id: int
    entry: UnusualEntry | None


def build_unusual_page(
    rows: pd.DataFrame, choice: Choice, programme: Programme, reading_id: int = 0
) -> UnusualPage:
    """Return the unusual readings of one station.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`, of the station.
    choice : Choice
        Units, language and the period, which bounds the list if the reader picked it.
    programme : Programme
        Season and quantities.
    reading_id : int
        The picked reading, 0 for none. It is spoken of whether it lies in the period or not.
    """
    language = choice.language
    inside = _inside(rows, choice, programme) if choice.picked else np.full(len(rows), fill_value=True)
    picked = rows[rows["reading_id"].to_numpy() == reading_id]
    listed = rows[inside]
    code = "unusual.listed_in_period" if choice.picked else "unusual.listed"
    words = count_text(code, len(listed), {"of": len(rows)}, language)
    if rows.empty:
        words = say("departure.none", language=language)
    if reading_id and picked.empty and len(rows):
        words = f"{words} {say('unusual.not_unusual', language=language)}"

    def line(row: Row) -> str:
        return unusual_line(row, choice, programme)

    return UnusualPage(
        words=words,
        groups=_groups(listed, line, language),
        reading_id=reading_id if reading_id in listed["reading_id"].to_numpy() else 0,
        entry=_entry(departures_of(picked)[0], choice, programme) if len(picked) else None,
    )


def what_waits(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the unusual readings that nobody has decided on yet.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`.

    Examples
    --------
    >>> rows = pd.DataFrame({"status": ["accepted", "held", "accepted with a remark"]})
    >>> what_waits(rows)["status"].tolist()
    ['accepted', 'held']
    """
    waiting: pd.DataFrame = rows[rows["status"].to_numpy(dtype=object) != WITH_A_REMARK]
    return waiting


def build_decisions_page(
    rows: pd.DataFrame, names: Mapping[str, str], choice: Choice, programme: Programme
) -> UnusualPage:
    """Return what waits for a decision in the whole record.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`, of all stations.
    names : mapping of str to str
        Name of each station, with its water.
    choice : Choice
        Units and language.
    programme : Programme
        Quantities.
    """
    language = choice.language
    waiting = what_waits(rows)
    stations = waiting["station_code"].nunique()

    def line(row: Row) -> str:
        values = {"station": names[row["station_code"]], "line": unusual_line(row, choice, programme)}
        return say("unusual.at_station", values, language)

    values = {"stations": count_text("count.station", stations, language=language)}
    words = count_text("unusual.waiting", len(waiting), values, language)
    return UnusualPage(
        words=words,
        groups=_groups(waiting, line, language),
        reading_id=0,
        entry=None,
    )


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


def _inside(rows: pd.DataFrame, choice: Choice, programme: Programme) -> npt.NDArray[np.bool_]:
    years = programme.season.year_of(pd.to_datetime(rows["taken_on"]))
    return np.asarray(choice.period.contains(years))


def _groups(rows: pd.DataFrame, line: Callable[[Row], str], language: str) -> tuple[UnusualGroup, ...]:
    status = rows["status"].to_numpy(dtype=object)
    group = np.where(status == "held", HELD, rows["next_step"].to_numpy(dtype=object))
    group = np.where(status == WITH_A_REMARK, DECIDED, group)
    groups = []
    for code in GROUPS:
        members = rows[group == code].sort_values(["taken_on", "reading_id"], ascending=False)
        if members.empty:
            continue
        latest = members.head(MOST_LISTED)
        step = say(f"{'unusual' if code in (HELD, DECIDED) else 'next_step'}.{code}", language=language)
        titled = "unusual.group" if len(latest) == len(members) else "unusual.group_latest"
        values = {"step": step, "count": len(members), "listed": len(latest)}
        entries = tuple((line(row), row["reading_id"]) for row in latest.to_dict("records"))
        groups.append(UnusualGroup(say(titled, values, language), _why(code, language), entries))
    return tuple(groups)


def _why(code: str, language: str) -> str:
    return say(
        f"unusual.{code}_why" if code in (HELD, DECIDED) else f"next_step.{code}_why", language=language
    )


def _entry(told: Departure, choice: Choice, programme: Programme) -> UnusualEntry:
    language, quantity = choice.language, programme.quantities[told.quantity]

    def amount(value: Amount) -> str:
        of = programme.quantities[value.quantity]
        return reading_text(value.number, "=", of, choice.length_unit, language)

    def own(number: float) -> str:
        return amount(Amount(number, told.quantity))

    values = {
        "quantity": _named(quantity, told.stratum, language),
        "value": reading_text(told.value, told.sign, quantity, choice.length_unit, language),
        "date": date_text(np.datetime64(told.taken_on), language),
        "low": own(told.low),
        "high": own(told.high),
        "companion": programme.quantities[told.companion].name.lower() if told.companion else "",
        "beside": own(told.beside) if told.companion else "",
    }
    title = f"departure.{told.direction}_beside" if told.companion else f"departure.{told.direction}"
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


def _named(quantity: Quantity, stratum: str, language: str) -> str:
    """Return the name of a quantity, with where in the water it was measured unless at the surface."""
    if stratum not in ("mid", "bottom"):
        return quantity.name
    return say(f"unusual.at_{stratum}", {"quantity": quantity.name}, language)


def _facts(told: Departure, quantity: Quantity, own: Callable[[float], str], language: str) -> list[str]:
    """Return how far off it is, against how many other values, how rare that is, and where else."""
    facts = []
    if told.expected > 0 and quantity.log_scale:
        ratio = number_text(told.value / told.expected, 1 if told.value > told.expected else 2)
        facts.append(say("unusual.times", {"ratio": ratio, "expected": own(told.expected)}, language))
    else:
        apart = own(abs(told.value - told.expected))
        facts.append(say("unusual.apart", {"apart": apart, "expected": own(told.expected)}, language))
    facts.append(say("departure.behind", {"others": told.others, "years": told.years}, language))
    if not told.companion:
        times = 1 / told.tail_probability if told.tail_probability > 0 else np.inf
        code = "unusual.rare" if times < RAREST else "unusual.very_rare"
        shown = number_text(float(f"{min(times, RAREST):.1g}"), 0)
        facts.append(say(code, {"times": shown}, language))
    facts.append(say(f"unusual.scope_{told.scope}", language=language))
    return facts
