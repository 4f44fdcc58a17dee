"""A long table of readings, one value a row, under the explorer's own column names."""

from collections import Counter
from collections.abc import Mapping

import numpy as np

from explorer.model.errors import UnknownNameError, nearest_name
from explorer.model.quantities import Quantity, find_quantity
from explorer.model.readings import ENTRIES
from explorer.records.cells import Texts, read_each
from explorer.records.columns import ColumnsFile
from explorer.records.findings import Findings
from explorer.records.text_tables import TextTable
from explorer.records.written import WrittenReadings

__all__ = ["LONG_COLUMNS", "is_long_table", "read_long_table"]

NEEDED = ("station_code", "taken_on", "quantity", "value", "unit")
_OURS = ("sign", "as_written", "file_name", "sheet", "row", "sha256", "column", "unit_as_written", "reason")
LONG_COLUMNS = (*NEEDED, *(name for name in ENTRIES if name not in (*NEEDED, *_OURS)))


def _name_of(heading: str) -> str:
    return "_".join(heading.replace("_", " ").casefold().split())


def is_long_table(table: TextTable) -> bool:
    """Return whether a table has a column of quantities and one of values.

    Parameters
    ----------
    table : TextTable
        Any table.

    Examples
    --------
    >>> from explorer.records.text_tables import read_table
    >>> is_long_table(read_table("a.csv", b"station_code,quantity,value\\nA1,pH,7\\n"))
    True
    """
    return {"quantity", "value"} <= {_name_of(heading) for heading in table.headings}


def read_long_table(
    table: TextTable, columns: ColumnsFile, quantities: Mapping[str, Quantity], findings: Findings
) -> WrittenReadings | None:
    """Return a long table's readings as written, None where a column is missing or unknown.

    Parameters
    ----------
    table : TextTable
        Columns station_code, taken_on, quantity, value, unit and any other of `LONG_COLUMNS`.
    columns : ColumnsFile
        Answers from the file beside it; empty where there is none.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    findings : Findings
        Takes the problems.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> from explorer.records.text_tables import read_table
    >>> content = b"station_code,taken_on,quantity,value,unit\\nA1,2024-05-17,TP,<5,ug/L\\n"
    >>> table = read_table("a.csv", content)
    >>> written = read_long_table(table, ColumnsFile(), QUANTITIES, Findings())
    >>> written.texts["quantity"].tolist(), written.texts["value"].tolist()
    (['total_phosphorus'], ['<5'])
    """
    headings = _headings(table, columns, findings)
    missing = [name for name in NEEDED if name not in headings]
    for name in missing:
        findings.add("missing_column", "refuse", table.source(1), name, known=", ".join(table.headings))
    if missing:
        return None
    texts = {name: np.array(table.column(heading), dtype=object) for name, heading in headings.items()}
    written = texts["quantity"].tolist()
    codes = read_each(written, lambda text: _quantity_of(text, quantities))
    if not _all_placed(table, texts, codes, headings, quantities, findings):
        return None
    texts["quantity"] = np.array(codes, dtype=object)
    texts["column"] = np.full(len(codes), headings["value"], dtype=object)
    rows = np.array(table.row_numbers, dtype=np.int64)
    return WrittenReadings(table, rows, texts, headings, columns.answers, date_form=columns.date_form)


def _headings(table: TextTable, columns: ColumnsFile, findings: Findings) -> dict[str, str]:
    headings: dict[str, str] = {}
    for heading in table.headings:
        name = _name_of(heading)
        if heading in columns.left_out:
            continue
        if name not in LONG_COLUMNS:
            near = nearest_name(name, LONG_COLUMNS)
            findings.add("unknown_column", "refuse", table.source(1, heading), heading, near=near,
                         known=", ".join(LONG_COLUMNS))  # fmt: skip
        elif name in headings:
            findings.add("heading_twice", "refuse", table.source(1), heading)
        else:
            headings[name] = heading
    return headings


def _quantity_of(text: str, quantities: Mapping[str, Quantity]) -> str:
    try:
        return find_quantity(text, quantities).code
    except UnknownNameError:
        return ""


def _all_placed(
    table: TextTable,
    texts: Mapping[str, Texts],
    codes: list[str],
    headings: Mapping[str, str],
    quantities: Mapping[str, Quantity],
    findings: Findings,
) -> bool:
    """Return whether every row names a quantity and a station; refuse the ones that do not."""
    names = [name for each in quantities.values() for name in (each.name, *each.names)]
    nameless = np.flatnonzero(np.array(codes, dtype=object) == "")
    placeless = np.flatnonzero(texts["station_code"] == "")
    for text, count in Counter(texts["quantity"][nameless].tolist()).items():
        row = table.row_numbers[int(np.flatnonzero(texts["quantity"] == text)[0])]
        near = nearest_name(text, names)
        findings.add(
            "unknown_quantity", "refuse", table.source(row, headings["quantity"]), text, count, near=near
        )
    for place in placeless.tolist():
        findings.add(
            "station_missing", "refuse", table.source(table.row_numbers[place], headings["station_code"])
        )
    return not nameless.size and not placeless.size
