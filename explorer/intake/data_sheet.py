"""A volunteer's data sheet → candidate readings, visits, containers; every doubt a problem, no cell lost."""

from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.containers import read_containers
from explorer.intake.file_rows import VISIT_COLUMNS, FileRows, filled_frame
from explorer.intake.headings import READING, HeadingNames
from explorer.intake.layout import Cells, Column, Layout
from explorer.intake.results import ResultCells, read_result_cells
from explorer.intake.secchi import SECCHI, read_secchi
from explorer.intake.station_names import StationNames
from explorer.intake.table_reader import TableReader
from explorer.intake.visits import read_depths_of, read_visits
from explorer.model.readings import ENTRIES, STRATA
from explorer.records.cells import Texts, read_words
from explorer.records.entries import SURFACE_LAYER_M

__all__ = ["constant_results", "entries_of", "read_data_sheet", "visit_values"]

FEWEST_ALIKE = 4  # cells with text that two rows share when one was typed twice


def read_data_sheet(layout: Layout, names: HeadingNames, stations: StationNames) -> FileRows:
    """Return all that a data sheet says.

    Parameters
    ----------
    layout : Layout
        The sheet's table.
    names : HeadingNames
        Names, units and words.
    stations : StationNames
        What stations are called.

    Returns
    -------
    FileRows
        Entries in record units; visits, with the volumes filtered; bottles and filters.
    """
    reader = TableReader(layout, names)
    _refuse_rows_typed_twice(reader)
    visits = read_visits(reader, stations, in_order=True)
    containers = read_containers(reader)
    depth = read_depths_of(reader, "depth_m")
    stratum, problem = read_words(reader.texts("stratum"), STRATA, "")
    reader.hold(reader.cells("stratum"), problem, known=", ".join(STRATA))
    stratum = np.where(stratum != "", stratum, np.where(depth > SURFACE_LAYER_M, "profile", "surface"))
    visits |= {"depth_m": depth, "stratum": stratum}
    frames = [_secchi_entries(reader, visits)]
    for column in layout.columns_of(READING):
        if column.quantity == SECCHI:
            continue
        cells = reader.cells(column)
        values = read_result_cells(reader, constant_results(reader, column))
        values |= {"depth_m": depth, "stratum": stratum, "quantity": column.quantity}
        frames.append(entries_of(reader, cells, {**values, **visit_values(visits)}, column))
    entries = _in_row_order(frames, ENTRIES)
    kept = ~reader.refused_rows
    frame = filled_frame(VISIT_COLUMNS, visits, reader.count)[kept].reset_index(drop=True)
    return reader.finish(entries, visits=frame, containers=containers)


def _refuse_rows_typed_twice(reader: TableReader) -> None:
    """Leave out rows that repeat another cell by cell: the same visit was typed twice."""
    first: dict[tuple[str, ...], int] = {}
    again = np.zeros(reader.count, dtype=bool)
    of_row = np.zeros(reader.count, dtype=np.int64)
    for place, row in enumerate(reader.layout.table.rows):
        if sum(map(bool, row)) >= FEWEST_ALIKE:
            again[place] = row in first
            of_row[place] = first.setdefault(row, int(reader.rows[place]))
    reader.refuse_rows(again, "row_twice", other=of_row)


def constant_results(reader: TableReader, column: Column, **beside: Texts) -> ResultCells:
    """Return the results of one column, which are all of one quantity and in the heading's unit."""

    def each(text: str) -> Texts:
        return np.full(reader.count, text, dtype=object)

    return ResultCells(
        reader.cells(column),
        reader.column_texts(column),
        each(column.quantity),
        each(column.unit),
        beside.get("flag", each("")),
        beside.get("detection", each("")),
        beside.get("reporting", each("")),
        {},
    )


def visit_values(visits: dict[str, Any]) -> dict[str, Any]:
    """Return what entries take over from their visit."""
    taken = ("station_code", "taken_on", "taken_time", "observer", "weather", "remark")
    return {name: visits[name] for name in taken}


def _secchi_entries(reader: TableReader, visits: dict[str, Any]) -> pd.DataFrame:
    found = read_secchi(reader, visits["bottom_depth_m"])
    if found is None:
        return filled_frame(ENTRIES, {}, 0)
    values: dict[str, Any] = {
        "value": found.depth_m, "sign": found.sign, "as_written": found.as_written, "column": found.heading,
        "unit_as_written": found.unit, "reason": found.reason, "stated": found.stated, "quantity": SECCHI,
        "stratum": "surface",
    }  # fmt: skip
    return entries_of(reader, found.cells, {**values, **visit_values(visits)}, None)


def entries_of(
    reader: TableReader, cells: Cells, values: dict[str, Any], column: Column | None, columns: Any = ENTRIES
) -> pd.DataFrame:
    """Return the entries of some cells: those that state something, in rows that were not refused.

    Parameters
    ----------
    reader : TableReader
        The table; cells whose reading waits are held there.
    cells : Cells
        n cells.
    values : dict of str to array_like
        Columns of the entries, each of shape (n,), or one for all; `stated` says which cells hold anything.
    column : Column, optional
        Their column, where they have one.
    columns : mapping of str to str
        `ENTRIES`, or `LABORATORY_ENTRIES`.
    """
    table = reader.layout.table
    chosen = np.asarray(values.pop("stated")) & ~reader.refused_rows[cells.rows]
    rejected = np.broadcast_to(np.asarray(values.get("status", ""), dtype=object) == "rejected", chosen.shape)
    own = np.where(rejected, "", np.asarray(values["reason"], dtype=object))
    reason = np.where(rejected, values["reason"], "").astype(object)
    waits = np.full(len(cells.rows), "", dtype=object)
    waits[chosen] = reader.waiting(cells.some(chosen), own[chosen])
    reason = np.where(waits != "", waits, reason)
    defaults: dict[str, Any] = {
        "stratum": "surface",
        "sample_type": "routine",
        "file_name": table.name,
        "sheet": table.sheet,
        "sha256": table.sha256,
        "row": reader.rows[cells.rows],
    }
    if column is not None:
        defaults |= {"as_written": reader.column_texts(column)[cells.rows], "column": column.heading}
    status = np.where(waits != "", "held", np.where(rejected, "rejected", "accepted"))
    values = {**defaults, **values, "reason": reason, "status": status}
    frame = filled_frame(columns, values, len(cells.rows))
    return frame[chosen]


def _in_row_order(frames: list[pd.DataFrame], columns: Any) -> pd.DataFrame:
    full = [frame for frame in frames if len(frame)]
    if not full:
        return filled_frame(columns, {}, 0)
    return pd.concat(full).sort_values("row", kind="stable", ignore_index=True)
