"""Readings of extracts in a laboratory's file: absorbances or fluorescences, volumes and the cell's path.

They become concentrations once the volume filtered is known from the data sheet: see `concentrations`.
"""

import re
from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.intake.file_rows import EXTRACTS, filled_frame
from explorer.intake.headings import FEET_AND_INCHES, LIMITS
from explorer.intake.layout import Layout
from explorer.intake.table_reader import TableReader
from explorer.intake.visits import read_volumes_of
from explorer.model.units import UNITS, convert
from explorer.records.cells import read_numbers

__all__ = ["is_extract_table", "read_extracts"]

_NUMBER_UNIT = re.compile(r"(.*?)\s*(mm|cm|)", re.IGNORECASE | re.DOTALL)

# Readings that each procedure needs, and those that it takes as nought where the file has no column for them.
PROCEDURES: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "acidified": (("absorbance_664_before", "absorbance_665_after"),
                  ("absorbance_750_before", "absorbance_750_after")),
    "trichromatic": (("absorbance_664", "absorbance_647", "absorbance_630"), ("absorbance_750",)),
    "fluorometric": (("fluorescence_before", "fluorescence_after", "acid_ratio", "response"), ()),
}  # fmt: skip


def is_extract_table(layout: Layout) -> bool:
    """Return whether a table has a column of readings from which chlorophyll a is computed.

    Parameters
    ----------
    layout : Layout
        A laboratory's table.
    """
    return bool(_procedures(layout))


def _procedures(layout: Layout) -> list[str]:
    return [name for name, (needed, _) in PROCEDURES.items() if layout.columns_of(needed[0])]


def read_extracts(reader: TableReader, shared: Mapping[str, Any]) -> pd.DataFrame:
    """Return the readings of every extract in a laboratory's table.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    shared : mapping of str to ndarray
        Sample code, method, batch, volume and dates of every row.

    Returns
    -------
    DataFrame
        `EXTRACTS`, one row an extract and procedure; a held one has its reason.
    """
    frames = []
    volume = read_volumes_of(reader, "extract_volume")[0]
    path = _path_length(reader)
    qualifier = reader.texts("qualifier")
    limits = {role: _limit(reader, role) for role in LIMITS}
    for name in _procedures(reader.layout):
        needed, usual = PROCEDURES[name]
        numbers = {role: _numbers(reader, role) for role in (*needed, *usual)}
        columns = [column for role in (*needed, *usual) for column in reader.layout.columns_of(role)]
        stated = np.any([reader.filled(column) for column in columns], axis=0)
        for role in usual:
            if not reader.layout.columns_of(role) and role not in reader.layout.stated:
                numbers[role] = np.zeros(reader.count)
        parts = [*numbers.values(), volume, *(() if name == "fluorometric" else (path,))]
        lacking = stated & np.any(np.isnan(parts), axis=0)
        first = reader.layout.columns_of(needed[0])[0]
        reader.hold(reader.cells(first), np.where(lacking, "extract_incomplete", ""),
                    needed=", ".join(needed).replace("_", " "))  # fmt: skip
        reason = np.full(reader.count, "", dtype=object)
        for column in columns:
            own = np.where(lacking & reader.filled(column), "extract_incomplete", "")
            waits = reader.waiting(reader.cells(column).some(stated), own[stated])
            reason[stated] = np.where(reason[stated] == "", waits, reason[stated])
        written = zip(*(reader.column_texts(column) for column in columns), strict=True)
        values = {
            **{name: shared[name] for name in EXTRACTS if name in shared},
            **numbers,
            **limits,
            "row": reader.rows,
            "column": first.heading,
            "as_written": np.array([" | ".join(cells) for cells in written], dtype=object),
            "procedure": name,
            "extract_volume_ml": volume,
            "path_length_cm": path,
            "qualifier": qualifier,
            "reason": reason,
        }
        frames.append(filled_frame(EXTRACTS, values, reader.count)[stated & ~reader.refused_rows])
    full = [frame for frame in frames if len(frame)]
    return pd.concat(full, ignore_index=True) if full else filled_frame(EXTRACTS, {}, 0)


def _numbers(reader: TableReader, role: str) -> npt.NDArray[np.float64]:
    number, sign, problem = read_numbers(reader.texts(role), reader.decimal)
    problem = np.where((problem == "") & (sign != "="), "not_a_number", problem)
    reader.hold(reader.cells(role), problem)
    return np.where(problem == "", number, np.nan)


def _limit(reader: TableReader, role: str) -> npt.NDArray[np.float64]:
    """Return a limit of chlorophyll in the lake. [µg/L] That is its unit unless its heading has another."""
    number, sign, problem = read_numbers(reader.texts(role), reader.decimal)
    problem = np.where((problem == "") & ((sign == ">") | (number <= 0)), "not_a_number", problem)
    column = reader.first(role)
    unit = (column.unit if column else "") or "µg/L"
    if reader.names.dimension_of(unit) != UNITS["µg/L"].dimension:
        unit, problem = "µg/L", np.where((problem == "") & ~np.isnan(number), "heading_unit_wrong", problem)
    reader.hold(reader.cells(role), problem, quantity="chlorophyll a", wanted="µg/L")
    return convert(np.where(problem == "", number, np.nan), unit, "µg/L")


def _path_length(reader: TableReader) -> npt.NDArray[np.float64]:
    """Return the path of the cell. [cm] It is in centimetres unless its cell or heading says otherwise."""
    column = reader.first("path_length")
    parts = [_NUMBER_UNIT.fullmatch(text) for text in reader.texts("path_length")]
    texts = [part[1] if part else "?" for part in parts]
    own = np.array([part[2].casefold() if part else "" for part in parts], dtype=object)
    number, sign, problem = read_numbers(texts, reader.decimal)
    problem = np.where((problem == "") & ((sign != "=") | (number <= 0)), "not_a_number", problem)
    unit = (column.unit if column else "") or "cm"
    if unit == FEET_AND_INCHES:
        unit, problem = "cm", np.where((problem == "") & ~np.isnan(number), "unknown_unit_beside", problem)
    reader.hold(reader.cells("path_length"), problem, wanted="cm")
    number = np.where(problem == "", number, np.nan)
    in_cells = np.where(own == "mm", convert(number, "mm", "cm"), number)
    return np.where(own != "", in_cells, convert(number, unit, "cm"))
