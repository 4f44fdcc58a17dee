"""A wide table, one column a quantity: as its headings say, or as the columns file beside it says."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from explorer.model.errors import UnknownNameError
from explorer.model.quantities import Quantity, find_quantity
from explorer.model.units import UNITS, find_unit
from explorer.records.cells import Texts
from explorer.records.columns import ALSO, ColumnsFile, toml_key
from explorer.records.findings import Findings
from explorer.records.stated_places import stated_places
from explorer.records.text_tables import TextTable
from explorer.records.wide_roles import WITH_UNIT, cells_under, date_texts, roles_of, station_texts
from explorer.records.written import Answer, StatedPlace, WrittenReadings, columns_file_of

__all__ = ["read_wide_table"]


@dataclass(frozen=True, slots=True)
class _Column:
    """A column that holds readings."""

    heading: str
    quantity: str
    unit: str
    answer: Answer


def read_wide_table(
    table: TextTable, columns: ColumnsFile, quantities: Mapping[str, Quantity], findings: Findings
) -> WrittenReadings | None:
    """Return a wide table's readings as written, None where something must be asked first.

    Parameters
    ----------
    table : TextTable
        One row a visit, one column a quantity.
    columns : ColumnsFile
        What the file beside it says; empty where there is none.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    findings : Findings
        Takes every question at once.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> from explorer.records.text_tables import read_table
    >>> table = read_table("a.csv", b"station,date,Secchi (ft),TP\\nA1,2024-05-17,5,12\\n")
    >>> findings = Findings()
    >>> read_wide_table(table, ColumnsFile(), QUANTITIES, findings) is None
    True
    >>> print(findings.problems[0])
    a.csv, row 1, "TP": in which unit is Total phosphorus? Write into a.columns.toml, under [column.TP], ...
    """
    roles = roles_of(table, columns, findings)
    stations = station_texts(table, columns, roles, findings)
    dates = date_texts(table, columns, roles, findings)
    taken = {*roles.values(), *columns.left_out, columns.year}
    headings = [heading for heading in table.headings if heading not in taken]
    meant = {heading: _meaning(heading, columns, quantities) for heading in headings}
    _ask_unknown(table, [heading for heading in headings if not meant[heading][0]], findings)
    known = [
        column for heading, (quantity, unit) in meant.items() if quantity
        for column in [_column(table, heading, quantities[quantity], unit, columns, findings)] if column
    ]  # fmt: skip
    if not headings:
        findings.add("no_reading_column", "refuse", table.source(1), ", ".join(table.headings))
    if stations is None or dates is None or len(known) < len(headings) or not known:
        return None
    places = stated_places(table, stations, roles, columns, findings)
    row_texts = {name: cells_under(table, roles[name]) for name in ALSO if name in roles}
    row_texts |= {"station_code": stations, "taken_on": dates}
    if "time" in roles:
        row_texts["taken_time"] = cells_under(table, roles["time"])
    if depth := WITH_UNIT.fullmatch(roles.get("depth_m", "")):
        row_texts["depth_unit"] = np.full(len(table.rows), depth[2], dtype=object)
    return _melted(table, columns, roles, row_texts, known, places)


def _meaning(heading: str, columns: ColumnsFile, quantities: Mapping[str, Quantity]) -> tuple[str, str]:
    """Return the quantity and the unit of a column, "" where neither its heading nor the file says it."""
    answer = columns.answers.get(heading, Answer())
    quantity, unit = answer.quantity or _quantity(heading, quantities), answer.unit
    named = WITH_UNIT.fullmatch(heading)
    if named and not answer.quantity and not quantity:
        quantity, unit = _quantity(named[1], quantities), unit or named[2]
    if quantity and not unit and quantities[quantity].unit == "pH":
        unit = "pH"  # it has no other unit, and is written without one
    return quantity, unit


def _ask_unknown(table: TextTable, headings: list[str], findings: Findings) -> None:
    """Ask about all columns at once whose quantity is not known."""
    if headings:
        quoted = ", ".join(f'"{heading}"' for heading in headings)
        section = f"[column.{toml_key(headings[0])}]"
        findings.add(
            "headings_unknown", "refuse", table.source(1), headings[0], 1,
            listed=quoted, file=columns_file_of(table.name), section=section,
        )  # fmt: skip


def _column(
    table: TextTable, heading: str, quantity: Quantity, unit: str, columns: ColumnsFile, findings: Findings
) -> _Column | None:
    """Return a column of readings, None where its unit is missing or cannot be; then ask."""
    asked: dict[str, str] = {
        "file": columns_file_of(table.name), "section": f"[column.{toml_key(heading)}]",
        "quantity": quantity.name, "wanted": quantity.unit, "choices": _units_of(quantity),
    }  # fmt: skip
    source = table.source(1, heading)
    if not unit:
        findings.add("heading_without_unit", "refuse", source, heading, 1, **asked)
        return None
    try:
        fits = find_unit(unit).dimension == find_unit(quantity.unit).dimension
    except UnknownNameError:
        fits = False
    if not fits:
        findings.add("heading_unit", "refuse", source, unit, 1, **asked)
        return None
    return _Column(heading, quantity.code, unit, columns.answers.get(heading, Answer()))


def _units_of(quantity: Quantity) -> str:
    """Return the units that a quantity may be written in, for a question."""
    dimension = find_unit(quantity.unit).dimension
    names = [
        f'"{unit.name}"' for unit in UNITS.values() if unit.dimension == dimension and " as " not in unit.name
    ]
    return ", ".join(names)


def _quantity(text: str, quantities: Mapping[str, Quantity]) -> str:
    try:
        return find_quantity(text, quantities).code
    except UnknownNameError:
        return ""


def _melted(
    table: TextTable,
    columns: ColumnsFile,
    roles: Mapping[str, str],
    row_texts: Mapping[str, Texts],
    found: list[_Column],
    places: Mapping[str, StatedPlace],
) -> WrittenReadings:
    """Return one row for every cell of the columns that hold readings, column after column."""
    count, times = len(table.rows), len(found)

    def each(values: Iterator[str]) -> Texts:
        return np.repeat(np.array(list(values), dtype=object), count)

    texts = {name: np.tile(cells, times) for name, cells in row_texts.items()}
    texts |= {
        "value": np.concatenate([cells_under(table, column.heading) for column in found]),
        "column": each(column.heading for column in found),
        "quantity": each(column.quantity for column in found),
        "unit": each(column.unit for column in found),
        "detection_limit": each(column.answer.detection_limit for column in found),
        "reporting_limit": each(column.answer.reporting_limit for column in found),
    }
    methods = each(column.answer.method for column in found)
    texts["method"] = np.where(methods != "", methods, texts.get("method", methods))
    headings = {name: roles[name] for name in ALSO if name in roles}
    headings |= {"station_code": roles.get("station", ""), "taken_on": roles.get("date", ""),
                 "taken_time": roles.get("time", "")}  # fmt: skip
    return WrittenReadings(
        table,
        np.tile(np.array(table.row_numbers, dtype=np.int64), times),
        texts,
        headings,
        columns.answers,
        True,
        "" if columns.date_form == "day of year" else columns.date_form,
        places,
    )
