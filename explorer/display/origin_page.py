"""What lies behind one reading, in words: the cell it came from, its batch, who decided what, and when."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from explorer.display.choice import Choice
from explorer.display.numbers import (
    count_text,
    date_text,
    length_text,
    number_text,
    reading_text,
)
from explorer.display.reason_words import reason_text
from explorer.display.station_words import capitalised
from explorer.model.origins import BatchReading, ReadingOrigin
from explorer.model.problems import ProblemOf, no_problem
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.record_changes import ReadingState
from explorer.model.words import has_words, say

__all__ = ["OriginPage", "build_origin_page"]

MOST_COMPANIONS = 12  # blanks and duplicates of one batch that are named; the count tells of the rest


@dataclass(frozen=True, slots=True)
class OriginPage:
    """What lies behind a reading.

    Attributes
    ----------
    reading_id : int
        The reading as it stands now.
    title : str
        Day, quantity and value.
    facts : tuple of (str, str)
        What is known of it, by name; what is not known is missing.
    batch_title : str
        What the lines of the batch are about, empty where it has none.
    batch : tuple of str
        Size, blanks and duplicates.
    states_title : str
        What the lines of states are about.
    states : tuple of str
        Every change of the reading, the first one first.
    """

    reading_id: int
    title: str
    facts: tuple[tuple[str, str], ...]
    batch_title: str
    batch: tuple[str, ...]
    states_title: str
    states: tuple[str, ...]


def build_origin_page(
    origin: ReadingOrigin, choice: Choice, programme: Programme, problem_of: ProblemOf = no_problem
) -> OriginPage:
    """Return what lies behind a reading, in words.

    Parameters
    ----------
    origin : ReadingOrigin
        All that the record holds of it.
    choice : Choice
        Units and language.
    programme : Programme
        Names of the quantities.
    problem_of : callable
        Finds the problem that the reading waits for.

    Returns
    -------
    OriginPage
    """
    language = choice.language
    quantity = programme.quantities[origin.quantity]
    day = date_text(np.datetime64(origin.taken_on), language) if origin.taken_on else ""
    value = _value(origin.value, origin.sign, quantity, choice)
    facts = [
        (say(f"origin.{name}", language=language), text)
        for name, text in _facts(origin, quantity, choice, problem_of).items()
        if text
    ]
    batch = _batch_lines(origin, quantity, choice) if origin.batch else []
    return OriginPage(
        reading_id=origin.reading_id,
        title=say("origin.title", {"date": day, "quantity": quantity.name, "value": value}, language),
        facts=tuple(facts),
        batch_title=say("origin.batch_title", {"batch": origin.batch}, language) if batch else "",
        batch=tuple(batch),
        states_title=say("origin.states_title", language=language),
        states=tuple(_state_line(state, quantity, choice) for state in origin.states),
    )


def _value(value: float, sign: str, quantity: Quantity, choice: Choice) -> str:
    return reading_text(value, sign, quantity, choice.length_unit, choice.language)


def _facts(
    origin: ReadingOrigin, quantity: Quantity, choice: Choice, problem_of: ProblemOf
) -> dict[str, str]:
    """Return what is known, by the words code of its name, in the order in which it is read."""
    source, language = origin.source, choice.language
    row = str(source.row) if source.row else ""
    kind = origin.sample_type.replace(" ", "_")
    written = {"text": origin.as_written, "unit": origin.unit_as_written}
    written_code = "origin.with_unit" if origin.unit_as_written else "origin.without_unit"
    parent = {"parent": origin.parent_sample}
    sample = say(f"origin.sample_{kind}", language=language)
    of_parent = say("origin.of_sample", parent, language) if origin.parent_sample else ""
    filtered = origin.volume_filtered_ml
    return {
        "as_written": say(written_code, written, language) if origin.as_written else "",
        "status": say(f"keep.status_{origin.status.replace(' ', '_')}", language=language),
        "reason": reason_text(origin.reason, source, origin.as_written, problem_of),
        "detection_limit": _limit(origin.detection_limit, quantity, choice),
        "reporting_limit": _limit(origin.reporting_limit, quantity, choice),
        "qualifier": origin.qualifier,
        "method": origin.method,
        "label": origin.sample_code,
        "sample": " ".join(each for each in (sample, of_parent) if each),
        "depth": ""
        if np.isnan(origin.depth_m)
        else length_text(origin.depth_m, choice.length_unit, choice.language),
        "volume": "" if np.isnan(filtered) else f"{number_text(filtered, 0, language)}\N{NO-BREAK SPACE}mL",
        "analysed": date_text(np.datetime64(origin.analysed_on), language) if origin.analysed_on else "",
        "observer": origin.observer,
        "time": origin.taken_time,
        "weather": origin.weather,
        "remark": origin.remark,
        **_visit_facts(origin, choice),
        "file": source.file_name,
        "sheet": source.sheet,
        "row": row,
        "column": source.column,
        "checksum": source.sha256,
    }


def _visit_facts(origin: ReadingOrigin, choice: Choice) -> dict[str, str]:
    """Return what the sheet says of observer, line, probe and sample."""
    visit, language = origin.visit, choice.language
    bottom = visit.bottom_depth_m
    days = {
        name: _day(getattr(visit, name), language)
        for name in ("trained_on", "line_checked_on", "calibrated_on", "frozen_on")
    }
    ice = say("origin.not_on_ice", language=language) if visit.on_ice_time == "no" else visit.on_ice_time
    return {
        "bottom_depth": "" if np.isnan(bottom) else length_text(bottom, choice.length_unit, choice.language),
        "sunglasses": visit.sunglasses,
        "on_ice": ice,
        **days,
    }


def _day(text: str, language: str) -> str:
    """Return a date in words; what is none stays as it was written."""
    try:
        return date_text(np.datetime64(date.fromisoformat(text)), language)
    except ValueError:
        return text


def _limit(limit: float, quantity: Quantity, choice: Choice) -> str:
    return "" if np.isnan(limit) else _value(limit, "=", quantity, choice)


def _batch_lines(origin: ReadingOrigin, quantity: Quantity, choice: Choice) -> list[str]:
    language = choice.language
    counted = {"quantity": name_in_sentence(quantity)}
    lines = [count_text("origin.batch_size", origin.batch_size, counted, language)]
    for each in origin.companions[:MOST_COMPANIONS]:
        lines.append(_companion_line(each, quantity, choice))
    more = len(origin.companions) - MOST_COMPANIONS
    if more > 0:
        lines.append(count_text("origin.batch_more", more, language=language))
    if not origin.companions:
        lines.append(say("origin.batch_alone", language=language))
    return lines


def _companion_line(each: BatchReading, quantity: Quantity, choice: Choice) -> str:
    kind = say(f"origin.sample_{each.sample_type.replace(' ', '_')}", language=choice.language)
    values = {
        "kind": capitalised(kind),
        "value": _value(each.value, each.sign, quantity, choice),
        "label": each.sample_code or "–",
        "parent": each.parent_sample,
    }
    if not each.parent_sign:
        code = "origin.companion_of" if each.parent_sample else "origin.companion"
        return say(code, values, choice.language)
    values["parent_value"] = _value(each.parent_value, each.parent_sign, quantity, choice)
    return say("origin.companion_pair", values, choice.language)


def _state_line(state: ReadingState, quantity: Quantity, choice: Choice) -> str:
    """Return one line: when, who and how, what stood from then on, and why."""
    change, language = state.change, choice.language
    day, _, time = change.at.partition("T")
    kind = f"origin.kind_{change.kind.replace('-', '_').replace(' ', '_')}"
    values = {
        "date": date_text(np.datetime64(day), language),
        "time": time[:5],
        "kind": say(kind, language=language) if has_words(kind) else change.kind,
        "value": _value(state.value, state.sign, quantity, choice),
        "status": say(f"keep.status_{state.status.replace(' ', '_')}", language=language),
        "who": change.who or say("origin.nobody", language=language),
        "version": change.change_id,
        "software": change.software,
    }
    line = say("origin.state", values, language)
    return f"{line} {say('origin.why', {'why': change.why}, language)}" if change.why else line
