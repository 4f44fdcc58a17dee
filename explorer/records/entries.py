"""Readings as written → entries in record units: every cell read, converted once, or held with its reason."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.errors import UnknownNameError, nearest_name
from explorer.model.quantities import Quantity
from explorer.model.readings import ENTRIES, SAMPLE_TYPES, STATUSES, STRATA, empty_frame
from explorer.model.units import UNITS, convert
from explorer.records.cell_reader import CellReader
from explorer.records.cells import UNMEASURED, Texts, is_empty, read_flags, read_numbers
from explorer.records.dates import read_times
from explorer.records.findings import Findings
from explorer.records.written import WrittenReadings

__all__ = ["read_entries"]

Numbers = npt.NDArray[np.float64]

SURFACE_LAYER_M = (
    2.0  # [m] deeper than this, a reading without a stratum is one of a profile (common practice)
)

_WORDS = {"status": (STATUSES, "accepted"), "sample_type": (SAMPLE_TYPES, "routine")}
_PLAIN = (
    "station_code", "quantity", "column", "qualifier", "sample_code", "parent_sample", "method", "batch",
    "observer", "weather", "remark",
)  # fmt: skip


def read_entries(
    written: WrittenReadings, quantities: Mapping[str, Quantity], findings: Findings
) -> pd.DataFrame:
    """Return the readings in record units; what cannot be read is kept, held and named in the findings.

    Parameters
    ----------
    written : WrittenReadings
        Text as written. Cells without a value are counted as empty and left out.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    findings : Findings
        Takes the problems and the count of cells read and empty.

    Returns
    -------
    DataFrame
        Columns of `ENTRIES`.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> from explorer.records.columns import ColumnsFile
    >>> from explorer.records.text_tables import read_table
    >>> from explorer.records.wide_table import read_wide_table
    >>> table = read_table("a.csv", b"station,date,Secchi (ft)\\nA1,2024-05-17,5\\nA1,2024-06-17,1.8O\\n")
    >>> written = read_wide_table(table, ColumnsFile(), QUANTITIES, Findings())
    >>> read_entries(written, QUANTITIES, Findings())[["value", "status", "as_written"]].values.tolist()
    [[1.524, 'accepted', '5'], [nan, 'held', '1.8O']]
    """
    kept = np.array([not is_empty(text) for text in written.texts["value"]], dtype=bool)
    findings.cells.read += len(kept)
    findings.cells.empty += int((~kept).sum())
    if not kept.any():
        return empty_frame(ENTRIES)
    texts = {name: cells[kept] for name, cells in written.texts.items()}
    return _entries(CellReader(replace(written, rows=written.rows[kept], texts=texts), findings), quantities)


def _entries(reader: CellReader, quantities: Mapping[str, Quantity]) -> pd.DataFrame:
    written = reader.written
    value, sign, detection, reporting = _values(reader, quantities)
    estimated, problem = read_flags(reader.text("estimated"))
    reader.hold("estimated", problem)
    time, problem = read_times(reader.text("taken_time"), reader.text("taken_on"))
    reader.hold("taken_time", problem)
    depth = reader.size("depth_m")
    columns: dict[str, Any] = {name: reader.text(name) for name in _PLAIN}
    columns |= {name: reader.words(name, *known) for name, known in _WORDS.items()}
    stratum = reader.words("stratum", STRATA, "")
    columns |= {
        "taken_on": reader.dates("taken_on", needed=True),
        "taken_time": time,
        "depth_m": depth,
        "stratum": np.where(stratum != "", stratum, np.where(depth > SURFACE_LAYER_M, "profile", "surface")),
        "value": value,
        "sign": sign,
        "detection_limit": detection,
        "reporting_limit": reporting,
        "volume_filtered_ml": reader.size("volume_filtered_ml"),
        "as_written": reader.text("value"),
        "file_name": written.table.name,
        "sheet": written.table.sheet,
        "row": written.rows,
        "sha256": written.table.sha256,
        "unit_as_written": reader.text("unit"),
        "estimated": estimated | ((sign == "=") & (value >= detection) & (value < reporting)),
        "analysed_on": reader.dates("analysed_on", needed=False),
    }
    explained = np.isin(columns["status"], ("accepted with a remark", "held", "rejected"))
    remarked = np.where(explained, reader.text("remark"), "")
    columns["reason"] = np.where(reader.reasons != "", reader.reasons, remarked)
    columns["status"] = np.where(reader.reasons != "", "held", columns["status"])
    index = range(len(written.rows))
    return pd.DataFrame(
        {name: pd.Series(columns[name], index=index, dtype=kind) for name, kind in ENTRIES.items()}
    )


def _values(
    reader: CellReader, quantities: Mapping[str, Quantity]
) -> tuple[Numbers, Texts, Numbers, Numbers]:
    """Return value, sign, detection and reporting limit, in record units.

    A word for "not measurable" takes the limit that it speaks of; without one it is held.
    """
    value, sign, problem = read_numbers(reader.text("value"), reader.written.table.decimal)
    spoken = np.array(
        [UNMEASURED.get(" ".join(text.casefold().split()), "") for text in reader.text("value")], dtype=object
    )
    said = spoken != ""
    problem[said] = ""
    reader.hold("value", problem)
    units, limit_units = reader.text("unit"), reader.text("limit_unit")
    limit_units = np.where(limit_units == "", units, limit_units)
    value = _converted(reader, quantities, value * _factors(reader), units, "unit")
    detection, reporting = (
        _converted(reader, quantities, reader.limit(name), limit_units, "limit_unit")
        for name in ("detection_limit", "reporting_limit")
    )
    limit = np.where((spoken == "detection") & ~np.isnan(detection), detection, reporting)
    reader.hold("value", np.where(said & np.isnan(limit) & (reader.reasons == ""), "limit_missing", ""))
    value = np.where(said, limit, value)
    sign = np.where(said & ~np.isnan(limit), np.where(spoken == "upper", ">", "<"), sign)
    _hold_impossible(reader, quantities, value)
    return value, np.where(np.isnan(value), "=", sign), detection, reporting


def _factors(reader: CellReader) -> Numbers:
    answers = {name: answer.factor for name, answer in reader.written.answers.items()}
    names = reader.text("column" if reader.written.is_wide else "quantity")
    return np.array([answers.get(name) or 1.0 for name in names], dtype=np.float64)


def _converted(
    reader: CellReader, quantities: Mapping[str, Quantity], numbers: Numbers, units: Texts, name: str
) -> Numbers:
    """Return numbers in record units; hold what has no unit that fits."""
    codes, result = reader.text("quantity"), numbers.copy()
    stated = ~np.isnan(numbers)
    for code, unit in sorted(set(zip(codes[stated], units[stated], strict=True))):
        chosen = stated & (codes == code) & (units == unit)
        quantity = quantities[code]
        usual = quantity.unit if quantity.unit == "pH" else ""  # pH is written without a unit
        try:
            result[chosen] = convert(numbers[chosen], unit or usual, quantity.unit)
        except UnknownNameError:
            result[chosen], problem = np.nan, "unknown_unit" if unit else "no_unit"
        except ValueError:
            result[chosen], problem = np.nan, "wrong_unit"
        else:
            continue
        reader.hold(name, np.where(chosen, problem, ""), quantity=quantity.name, wanted=quantity.unit,
                    near=nearest_name(unit, UNITS))  # fmt: skip
    return result


def _hold_impossible(reader: CellReader, quantities: Mapping[str, Quantity], value: Numbers) -> None:
    """Hold what lies at or below zero where the quantity cannot: a code for "missing", or a slip."""
    codes = reader.text("quantity")
    for code in sorted(set(codes)):
        low = quantities[code].plausible[0]
        too_low = value < 0 if low == 0 else value <= 0 if low > 0 else np.zeros(len(value), dtype=bool)
        chosen = (codes == code) & too_low
        if chosen.any():
            reader.hold("value", np.where(chosen, "not_above_zero", ""), quantity=quantities[code].name)
            value[chosen] = np.nan
