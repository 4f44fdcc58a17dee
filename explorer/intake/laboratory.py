"""A laboratory's file → results by sample code: one a row, one column a quantity, or extracts to compute."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.containers import read_containers
from explorer.intake.data_sheet import constant_results, entries_of, visit_values
from explorer.intake.extracts import is_extract_table, read_extracts
from explorer.intake.file_rows import LABORATORY_ENTRIES, FileRows, filled_frame
from explorer.intake.headings import BESIDE_A_RESULT, LIMITS, READING, HeadingNames
from explorer.intake.layout import Column, Layout
from explorer.intake.results import ResultCells, read_result_cells
from explorer.intake.sample_codes import read_sample_codes
from explorer.intake.stated_units import unit_column, with_stated_units
from explorer.intake.station_names import StationNames
from explorer.intake.table_reader import TableReader
from explorer.intake.visits import read_dates_of, read_depths_of, read_visits, read_volumes_of
from explorer.model.readings import SAMPLE_TYPES, STRATA
from explorer.records.cells import Texts, is_empty, read_each, read_numbers, read_words

__all__ = ["read_laboratory"]

# A second bottle or filter is the field duplicate of the first (the containers' own numbers say so).
_DUPLICATE_OF = {"3": "1", "4": "2"}


def read_laboratory(layout: Layout, names: HeadingNames, stations: StationNames) -> FileRows:
    """Return all that a laboratory's file says.

    Parameters
    ----------
    layout : Layout
        The file's table: a row a result (long), or a column a quantity (wide), or a row an extract.
    names : HeadingNames
        Names, units, words and the meaning of marks.
    stations : StationNames
        What stations are called, for files that state station and date.

    Returns
    -------
    FileRows
        Entries with their sample codes, in record units, without station and date where the file has only
        codes; extracts, whose concentrations `chlorophyll_entries` computes.
    """
    reader = TableReader(layout, names)
    containers = read_containers(reader)
    shared = _shared(reader, stations)
    _hold_unplaced(reader)
    if layout.columns_of("result"):
        frames = [_long_entries(reader, shared)]
    else:
        frames = [_wide_entries(reader, column, shared) for column in layout.columns_of(READING)]
    extracts = read_extracts(reader, shared) if is_extract_table(layout) else None
    full = [frame for frame in frames if len(frame)]
    entries = filled_frame(LABORATORY_ENTRIES, {}, 0)
    if full:
        entries = pd.concat(full).sort_values("row", kind="stable", ignore_index=True)
    return reader.finish(entries, containers=containers, extracts=extracts)


def _shared(reader: TableReader, stations: StationNames) -> dict[str, Any]:
    """Return what all results of a row have in common; rows whose sample is not known are held."""
    texts = reader.texts("sample")
    shared: dict[str, Any] = {"sample_as_written": texts, **_samples(reader, texts)}
    if reader.layout.columns_of("station") or "station" in reader.layout.stated:
        uncoded = shared["sample_code"] == ""
        shared |= visit_values(read_visits(reader, stations, in_order=False, needed=uncoded))
    else:
        shared["remark"] = reader.texts("remark")
    stratum, problem = read_words(reader.texts("stratum"), STRATA, "surface")
    reader.hold(reader.cells("stratum"), problem, known=", ".join(STRATA))
    return {
        **shared,
        "stratum": stratum,
        "depth_m": read_depths_of(reader, "depth_m"),
        "batch": reader.texts("batch"),
        "method": _methods(reader),
        "laboratory_number": reader.texts("laboratory_number"),
        "dilution": _dilution(reader),
        "volume_filtered_ml": read_volumes_of(reader, "volume_filtered")[0],
        "received_on": read_dates_of(reader, "received_on"),
        "analysed_on": read_dates_of(reader, "analysed_on"),
    }


def _samples(reader: TableReader, texts: Texts) -> dict[str, Any]:
    """Return code, kind and parent of every sample; containers were read, and held, before."""
    codes = read_sample_codes(texts)
    has_column = bool(reader.layout.columns_of("sample"))
    missing = np.array(read_each(texts, is_empty), dtype=bool) & has_column
    reader.hold_rows("sample", np.where(missing, "no_sample_code", ""))
    reader.row_reasons = np.where(reader.row_reasons == "", codes.problem, reader.row_reasons)
    bare = (codes.problem == "") & (codes.sample != "") & (codes.container == "")
    reader.note(reader.cells("sample"), np.where(bare, "sample_without_container", ""))
    kinds, problem = read_words(reader.texts("sample_type"), SAMPLE_TYPES, "")
    reader.hold(reader.cells("sample_type"), problem, known=", ".join(SAMPLE_TYPES))
    first = np.array([_DUPLICATE_OF.get(each, "") for each in codes.container], dtype=object)
    duplicate = (first != "") & np.isin(kinds, ("", "field duplicate"))
    stated = reader.texts("parent_sample")
    return {
        "sample_code": codes.code,
        "sample_type": np.where(kinds != "", kinds, np.where(duplicate, "field duplicate", "routine")),
        "parent_sample": np.where(duplicate & (stated == ""), codes.sample + "-" + first, stated),
    }


def _methods(reader: TableReader) -> Texts:
    """Return the method with its version and the laboratory: "molybdate, version 3 (Ostrel)"."""
    rows = zip(*(reader.texts(role) for role in ("method", "method_version", "laboratory")), strict=True)
    texts = [
        " ".join(
            part for part in (", ".join(filter(None, each[:2])), f"({each[2]})" if each[2] else "") if part
        )
        for each in rows
    ]
    return np.array(texts, dtype=object)


def _dilution(reader: TableReader) -> Any:
    """Return the dilution.

    A laboratory's result is taken as corrected for it, an extract's readings are not (common practice).
    """
    texts = [text.removeprefix("1:").rstrip("xX") for text in reader.texts("dilution")]
    number, sign, problem = read_numbers(texts, reader.decimal)
    problem = np.where((problem == "") & ((sign != "=") | (number < 1)), "not_a_number", problem)
    reader.hold(reader.cells("dilution"), problem)
    diluted = (problem == "") & (number > 1)
    code = "extract_diluted" if is_extract_table(reader.layout) else "dilution_stated"
    reader.note(reader.cells("dilution"), np.where(diluted, code, ""), once=True)
    return np.where(problem == "", number, np.nan)


def _long_entries(reader: TableReader, shared: dict[str, Any]) -> pd.DataFrame:
    result = reader.first("result")
    assert result is not None
    analyte_cells, texts = reader.cells("analyte"), reader.texts("analyte")
    meant = {text: reader.names.meaning(text, "laboratory") for text in set(texts.tolist())}
    quantity = np.array([meant[text].quantity for text in texts], dtype=object)
    left_out = np.array([meant[text].role == "left_out" for text in texts], dtype=bool)
    near = {text: reader.names.nearest(text, "laboratory") for text, each in meant.items() if not each.role}
    unknown = np.where((quantity == "") & ~left_out, "unknown_analyte", "")
    nearest = np.array([near.get(text, "") for text in texts], dtype=object)
    reader.hold(analyte_cells, unknown, near=nearest)
    for cells in (analyte_cells, reader.cells(result)):
        reader.leave_out(cells, left_out)
    unit = reader.texts("unit")
    heading_unit = np.array([meant[text].unit or result.unit for text in texts], dtype=object)
    beside = {
        name: reader.cells(role)
        for name, role in (("unit", "unit"), ("flag", "qualifier"), ("detection", "detection_limit"),
                           ("reporting", "reporting_limit"))
        if reader.layout.columns_of(role)
    }  # fmt: skip
    signs = zip(reader.texts("sign"), reader.texts("qualifier"), strict=True)
    results = ResultCells(
        reader.cells(result),
        reader.column_texts(result),
        quantity,
        np.where(unit == "", heading_unit, unit),
        np.array([" ".join(filter(None, each)) for each in signs], dtype=object),
        reader.texts("detection_limit"),
        reader.texts("reporting_limit"),
        beside,
        _limit_units({role: reader.first(role) for role in LIMITS}),
    )
    values = read_result_cells(reader, results)
    values["reason"] = np.where(unknown != "", unknown, values["reason"])
    values["value"] = np.where(unknown != "", np.nan, values["value"])
    values["stated"] = values["stated"] & ~left_out
    return entries_of(
        reader, results.cells, {**values, **shared, "quantity": quantity}, result, LABORATORY_ENTRIES
    )


def _wide_entries(reader: TableReader, column: Column, shared: dict[str, Any]) -> pd.DataFrame:
    beside = {role: _column_beside(reader.layout, column, role) for role in BESIDE_A_RESULT}

    def texts(role: str) -> Texts:
        found = beside[role]
        if found is not None:
            return reader.column_texts(found)
        row = reader.layout.limit_rows.get(role)
        text = row.cells[column.position] if row and column.position < len(row.cells) else ""
        return np.full(reader.count, text, dtype=object)

    signs = zip(texts("sign"), texts("qualifier"), strict=True)
    results = constant_results(
        reader,
        column,
        flag=np.array([" ".join(filter(None, each)) for each in signs], dtype=object),
        detection=texts("detection_limit"),
        reporting=texts("reporting_limit"),
    )
    results = replace(results, limit_units=_limit_units(beside))
    results, contradicted = with_stated_units(reader, results, unit_column(reader.layout, beside["unit"]))
    values = read_result_cells(reader, results)
    values["reason"] = np.where(contradicted != "", contradicted, values["reason"])
    values["value"] = np.where(contradicted != "", np.nan, values["value"])
    own = {name: shared[name] for name in shared}
    if beside["method"] is not None and beside["method"].quantity:
        own["method"] = texts("method")
    return entries_of(
        reader, results.cells, {**values, **own, "quantity": column.quantity}, column, LABORATORY_ENTRIES
    )


def _limit_units(columns: Mapping[str, Column | None]) -> dict[str, str]:
    """Return the unit that the heading of each column of limits names."""
    found = {role.partition("_")[0]: columns[role] for role in LIMITS}
    return {name: column.unit for name, column in found.items() if column is not None and column.unit}


def _column_beside(layout: Layout, reading: Column, role: str) -> Column | None:
    """Return the column of a role that belongs to a column of results.

    It names the quantity, or it stands between this and the next column of results, or there is only one.
    """
    columns, readings = layout.columns_of(role), layout.columns_of(READING)
    named = [column for column in columns if column.quantity == reading.quantity]
    if named:
        return named[0]
    later = [each.position for each in readings if each.position > reading.position]
    end = min(later, default=len(layout.columns))
    free = [column for column in columns if not column.quantity]
    if len(readings) == 1:
        return free[0] if free else None
    if len(free) < 2:
        return None
    return next((column for column in free if reading.position < column.position < end), None)


def _hold_unplaced(reader: TableReader) -> None:
    """Hold marks and limits that could belong to any of several columns of results."""
    layout = reader.layout
    readings = layout.columns_of(READING)
    if layout.columns_of("result") or not readings:  # a row a result, or an extract
        return
    for role in ("qualifier", "sign", "detection_limit", "reporting_limit"):
        placed = {_column_beside(layout, column, role) for column in readings}
        for column in layout.columns_of(role):
            if column not in placed:
                filled = np.where(reader.filled(column), "belongs_to_which", "").astype(object)
                reader.hold(reader.cells(column), filled, once=True)
                if role in ("qualifier", "sign"):  # a mark changes what the number means
                    reader.row_reasons = np.where(reader.row_reasons == "", filled, reader.row_reasons)
