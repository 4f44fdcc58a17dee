"""Reads a columns file; every mistake in it is named with its line."""

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from explorer.model.errors import UnknownNameError, nearest_name
from explorer.model.places import WATER_KINDS
from explorer.model.problems import Source
from explorer.model.quantities import Quantity, find_quantity
from explorer.model.setting_place import line_of_key
from explorer.model.units import find_unit
from explorer.records.columns import ALSO, ANSWER_KEYS, KEYS, OUTSIDE, REPEATED, TEXT_KEYS, ColumnsFile
from explorer.records.dates import DATE_FORMS, read_dates
from explorer.records.findings import Findings
from explorer.records.text_decoding import decode_text
from explorer.records.written import Answer

__all__ = ["read_columns_file"]


class _Reading:
    """Reads one columns file; every mistake becomes a problem with its line."""

    def __init__(self, name: str, text: str, findings: Findings) -> None:
        self.name, self.text, self.findings = name, text, findings

    def wrong(self, code: str, key: str, found: object = "", **values: Any) -> None:
        source = Source(self.name, row=line_of_key(self.text, key), column=key)
        self.findings.add(code, "refuse", source, str(found), **values)

    def text_of(self, key: str, value: object) -> str:
        """Return a value as text; a date or a number is taken as written."""
        if isinstance(value, (dict, list, bool)):
            self.wrong("columns_value", key, value, wanted="a text in quotation marks")
            return ""
        return str(value).strip()

    def one_of(self, key: str, value: object, known: tuple[str, ...]) -> str:
        text = self.text_of(key, value)
        if text not in known:
            self.wrong("columns_word", key, text, known=", ".join(f'"{word}"' for word in known))
            return ""
        return text

    def table_of(self, key: str, value: object) -> Iterator[tuple[str, Any]]:
        if not isinstance(value, dict):
            self.wrong("columns_value", key, value, wanted=f"a table: [{key}] and its lines below it")
            return iter(())
        return iter(value.items())

    def unknown(self, key: str, known: tuple[str, ...]) -> None:
        self.wrong("columns_key", key, key, near=nearest_name(key, known), known=", ".join(known))


def read_columns_file(
    name: str, content: bytes, quantities: Mapping[str, Quantity], findings: Findings
) -> ColumnsFile:
    """Return what a columns file says.

    Parameters
    ----------
    name : str
        File name.
    content : bytes
        TOML.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    findings : Findings
        Takes every mistake, with its line.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> content = b'station = "site"\\n[column.disk]\\nunit = "cm"\\nrepeated.100 = "at least"'
    >>> columns = read_columns_file("a.columns.toml", content, QUANTITIES, Findings())
    >>> columns.station, columns.answers["disk"].unit, columns.answers["disk"].repeated
    ('site', 'cm', {100.0: 'at least'})
    """
    text = decode_text(content) or ""
    try:
        found = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        findings.add("not_toml", "refuse", Source(name), str(error))
        return ColumnsFile(name)
    reading = _Reading(name, text, findings)
    values: dict[str, Any] = {}
    answers: dict[str, Answer] = {}
    for key, value in found.items():
        if key == "left_out":
            values[key] = _headings(reading, value)
        elif key in ("dates", "also"):
            values[key] = dict(_pairs(reading, key, value))
        elif key in ("column", "quantity"):
            for heading, entry in reading.table_of(key, value):
                answers[heading] = _answer(reading, heading, entry, quantities)
        elif key in TEXT_KEYS:
            values[key] = reading.text_of(key, value)
        else:
            reading.unknown(key, KEYS)
    _check(reading, values)
    return ColumnsFile(name, answers=answers, **values)


def _headings(reading: _Reading, value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        reading.wrong("columns_value", "left_out", value, wanted='a list: ["one heading", "another"]')
        return ()
    return tuple(reading.text_of("left_out", each) for each in value)


def _pairs(reading: _Reading, key: str, value: object) -> Iterator[tuple[str, str]]:
    for name, each in reading.table_of(key, value):
        text = reading.text_of(name, each)
        if key == "also" and name not in ALSO:
            reading.unknown(name, ALSO)
        elif key == "dates" and read_dates([text])[1][0]:
            reading.wrong("not_a_date", name, text)
        else:
            yield name, text


def _check(reading: _Reading, values: Mapping[str, Any]) -> None:
    if values.get("date_form"):
        reading.one_of("date_form", values["date_form"], DATE_FORMS)
    if values.get("water_kind"):
        reading.one_of("water_kind", values["water_kind"], WATER_KINDS)
    if values.get("one_date") and read_dates([values["one_date"]])[1][0]:
        reading.wrong("not_a_date", "one_date", values["one_date"])
    if values.get("bottom_depth_unit"):
        _unit(reading, "bottom_depth_unit", values["bottom_depth_unit"])


def _unit(reading: _Reading, key: str, value: object) -> str:
    text = reading.text_of(key, value)
    try:
        find_unit(text)
    except UnknownNameError as error:
        reading.wrong("columns_unit", key, text, reason=str(error))
    return text


def _answer(reading: _Reading, heading: str, entry: object, quantities: Mapping[str, Quantity]) -> Answer:
    values: dict[str, Any] = {}
    for key, value in reading.table_of(heading, entry):
        if key not in ANSWER_KEYS:
            reading.unknown(key, ANSWER_KEYS)
        elif key == "quantity":
            try:
                values[key] = find_quantity(reading.text_of(key, value), quantities).code
            except UnknownNameError as error:
                reading.wrong("columns_unit", key, value, reason=str(error))
        elif key == "unit":
            values[key] = _unit(reading, key, value)
        elif key == "factor":
            if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value < float("inf"):
                values[key] = float(value)
            else:
                reading.wrong("columns_value", key, value, wanted="a number above zero")
        elif key == "repeated":
            values[key] = dict(_repeated(reading, value))
        elif key == "outside":
            values[key] = reading.one_of(key, value, OUTSIDE)
        else:
            values[key] = reading.text_of(key, value)
    return Answer(**values)


def _repeated(reading: _Reading, value: object) -> Iterator[tuple[float, str]]:
    for written, answer in reading.table_of("repeated", value):
        if isinstance(answer, dict):  # repeated.2.5 is read by TOML as a table in a table
            inner = [(f"{written}.{rest}", each) for rest, each in answer.items()]
        else:
            inner = [(written, answer)]
        for number, word in inner:
            try:
                yield float(number), reading.one_of("repeated", word, REPEATED)
            except ValueError:
                reading.wrong("not_a_number", "repeated", number)
