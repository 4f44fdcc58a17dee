"""Results as written → numbers in record units with sign and limits; what cannot be settled waits."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from explorer.intake.layout import Cells
from explorer.intake.limits import WrittenResults, read_results
from explorer.intake.table_reader import TableReader
from explorer.model.errors import nearest_name
from explorer.model.quantities import Quantity
from explorer.model.units import UNITS, convert
from explorer.records.cells import Texts, is_empty, read_each, read_numbers

__all__ = ["ResultCells", "read_result_cells"]

# What stands in for a value below a limit where somebody filled the gap (Helsel 2012, "Statistics for
# Censored Environmental Data"; from memory): half the limit, or the limit divided by the square root of 2.
STAND_INS = (0.5, 2**-0.5)
STAND_IN_TOLERANCE = 0.004  # of the limit: a stand-in is written with two digits or more

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ResultCells:
    """Cells that state results, and the texts that belong to each; arrays of shape (n,).

    Attributes
    ----------
    cells : Cells
        Where the results stand.
    value, quantity, unit, flag, detection, reporting : ndarray of str
        As written, the quantity as its code; empty where nothing is said.
    beside : mapping of str to Cells
        Where unit, flag, detection and reporting stand, for those that have cells of their own.
    limit_units : mapping of str to str
        Unit that the heading of detection and reporting names; left out, they are in that of the result.
    """

    cells: Cells
    value: Texts
    quantity: Texts
    unit: Texts
    flag: Texts
    detection: Texts
    reporting: Texts
    beside: Mapping[str, Cells]
    limit_units: Mapping[str, str] = field(default_factory=dict)


def read_result_cells(reader: TableReader, results: ResultCells) -> dict[str, Any]:
    """Return value, sign, limits and status of every result; problems go to the reader.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    results : ResultCells
        n results.

    Returns
    -------
    dict of str to ndarray, shape (n,)
        value, sign, detection_limit, reporting_limit [record unit], qualifier, estimated, status,
        unit_as_written, reason and `stated`: whether anything stands there at all.
    """
    settling = _Settling(reader, results)
    settling.read_units()
    settling.read_limits()
    settling.take_missing_limits()
    settling.point_out()
    return settling.columns()


class _Settling:
    """One set of results on its way from text to numbers."""

    def __init__(self, reader: TableReader, results: ResultCells) -> None:
        self.reader, self.results = reader, results
        self.written: WrittenResults = read_results(
            results.value, results.flag, reader.names, decimal=reader.decimal
        )
        self.value, self.sign = self.written.number.copy(), self.written.sign.copy()
        self.reason: Texts = np.full(len(results.value), "", dtype=object)
        empty = np.array(read_each(results.value, is_empty), dtype=bool)
        self.stated = ~empty | (self.written.missing_limit != "")
        self._hold(self.written.problem, mark=self.written.qualifier)
        self._note_other_decimals()

    def _hold(self, codes: Texts, where: str = "", **values: Any) -> None:
        """Hold results, the problem standing in their own cell or in one beside it."""
        codes = np.where(self.stated, codes, "")
        cells = self.results.beside.get(where, self.results.cells)
        self.reader.hold(cells, codes, **values)
        self.reason = np.where(self.reason == "", codes, self.reason)

    def _quantity(self, code: str) -> Quantity:
        return self.reader.names.quantities[code]

    def _groups(self, *texts: Texts) -> list[tuple[tuple[str, ...], npt.NDArray[np.bool_]]]:
        """Return each different combination of texts with the results that have it."""
        keys: dict[tuple[str, ...], int] = {}
        places = [keys.setdefault(each, len(keys)) for each in zip(*texts, strict=True)]
        group = np.array(places, dtype=np.int64)
        return [(each, group == place) for each, place in keys.items()]

    def _note_other_decimals(self) -> None:
        other = {",": ".", ".": ","}.get(self.reader.decimal, "\0")
        cells = [other in text and self.reader.decimal not in text for text in self.results.value]
        readable = ~np.isnan(self.value) & np.array(cells, dtype=bool)
        self.reader.note(self.results.cells, np.where(readable, "other_decimal_mark", ""), mark=other)

    def read_units(self) -> None:
        """Turn the numbers into record units; hold those whose unit is missing or does not fit."""
        names, own = self.reader.names, self.written.unit
        for (code, text, inner), chosen in self._groups(self.results.quantity, self.results.unit, own):
            if not code:
                continue
            wanted = self._quantity(code).unit
            unit = inner or names.unit_of(text) or (wanted if wanted == "pH" and not text else "")
            problem = "" if unit in UNITS else "unknown_unit" if text else "no_unit"
            if not problem and UNITS[unit].dimension != UNITS[wanted].dimension:
                problem = "wrong_unit" if inner or "unit" in self.results.beside else "heading_unit_wrong"
            if problem:
                codes = np.where(chosen & (self.reason == ""), problem, "")
                where = "unit" if text and not inner else ""
                near = nearest_name(text, UNITS)
                values = {"quantity": self._quantity(code).name, "wanted": wanted, "near": near}
                self._hold(codes, where, once=problem in ("no_unit", "heading_unit_wrong"), **values)
                self.value[chosen] = np.nan
                continue
            self.value[chosen] = convert(self.value[chosen], unit, wanted)
            if inner and text and names.unit_of(text) != inner:
                codes = np.where(chosen, "other_unit", "")
                self.reader.note(
                    self.results.cells, codes, unit=inner, column_unit=names.unit_of(text) or text
                )
        self._note_spellings()

    def _note_spellings(self) -> None:
        """Point out units that are written otherwise than in most rows of the same quantity."""
        if "unit" not in self.results.beside:
            return
        for _, chosen in self._groups(self.results.quantity):
            spelt = self.results.unit[chosen]
            texts, counts = np.unique(spelt[spelt != ""].astype(str), return_counts=True)
            if len(texts) > 1:
                usual = str(texts[int(counts.argmax())])
                odd = chosen & (self.results.unit != usual) & (self.results.unit != "") & (self.reason == "")
                units = np.array(read_each(self.results.unit, self.reader.names.unit_of), dtype=object)
                alike = units == self.reader.names.unit_of(usual)
                codes = np.where(odd, np.where(alike, "unit_spelling", "unit_of_a_row"), "")
                self.reader.note(self.results.beside["unit"], codes, usual=usual)

    def read_limits(self) -> None:
        """Read both limits, in the unit of the column."""
        self.detection = self._limit("detection", self.results.detection)
        self.reporting = self._limit("reporting", self.results.reporting)

    def _limit(self, where: str, texts: Texts) -> Numbers:
        numbers, sign, problem = read_numbers(texts, self.reader.decimal)
        problem = np.where((problem == "") & ((sign == ">") | (numbers <= 0)), "not_a_number", problem)
        self._hold(np.where(self.reason == "", problem, ""), where)
        limit = np.where(problem == "", numbers, np.nan)
        own = self.results.limit_units.get(where, "")
        for (code, text), chosen in self._groups(self.results.quantity, self.results.unit):
            unit = own or self.reader.names.unit_of(text)
            wanted = self._quantity(code).unit if code else ""
            fits = bool(code) and unit in UNITS and UNITS[unit].dimension == UNITS[wanted].dimension
            if own and code and not fits:
                odd = np.where(chosen & ~np.isnan(limit), "heading_unit_wrong", "")
                self._hold(odd, where, once=True, quantity=self._quantity(code).name, wanted=wanted)
            limit[chosen] = convert(limit[chosen], unit, wanted) if fits else np.nan
        return limit

    def take_missing_limits(self) -> None:
        """Give results without a number the limit that they speak of; hold them where there is none."""
        missing = self.written.missing_limit
        limit = np.where((missing == "detection") & ~np.isnan(self.detection), self.detection, self.reporting)
        limit[missing == "upper"] = np.nan
        self.value = np.where(missing != "", limit, self.value)
        lacking = (missing != "") & np.isnan(limit) & (self.reason == "")
        self._hold(np.where(lacking, "limit_missing", ""))

    def point_out(self) -> None:
        """Ask about zeros and about what stands in for a value below a limit; note what lies below one."""
        measured = (self.sign == "=") & (self.reason == "") & ~np.isnan(self.value)
        for (code,), chosen in self._groups(self.results.quantity):
            if not code:
                continue
            quantity = self._quantity(code)
            low = quantity.plausible[0]
            if low < 0:
                continue  # it may be negative, and none of this says anything
            impossible = self.value <= 0 if low > 0 else self.value < 0
            codes = np.where(chosen & impossible & (self.reason == ""), "not_above_zero", "")
            self._hold(codes, quantity=quantity.name)
            if low == 0:
                continue
            asked = chosen & measured & (self.value > 0) & ~self.written.estimated
            limit = np.where(np.isnan(self.detection), self.reporting, self.detection)
            limit = np.where(np.isnan(limit), self._least_limit(chosen), limit)
            with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
                share = self.value / limit
            stands_in = np.any([np.abs(share - each) <= STAND_IN_TOLERANCE for each in STAND_INS], axis=0)
            shown = np.array([f"{each:g} {quantity.unit}" for each in limit], dtype=object)
            self._hold(np.where(asked & stands_in, "stands_in", ""), limit=shown)
            below = asked & ~stands_in & (self.value < self.detection)
            self.reader.note(self.results.cells, np.where(below, "below_detection_limit", ""), limit=shown)

    def _least_limit(self, chosen: npt.NDArray[np.bool_]) -> float:
        """Return the smallest limit of which some results say "<", NaN where none does."""
        limits = self.value[chosen & (self.sign == "<") & (self.reason == "")]
        return float(np.nanmin(limits)) if (~np.isnan(limits)).any() else np.nan

    def columns(self) -> dict[str, Any]:
        """Return the columns of the entries."""
        waits = self.reason != ""
        value = np.where(waits, np.nan, self.value)
        with np.errstate(invalid="ignore"):
            between = (self.sign == "=") & (value >= self.detection) & (value < self.reporting)
        rejected = self.written.rejected & ~waits
        flags = self.results.beside.get("flag", self.results.cells)
        self.reader.note(flags, np.where(rejected, "rejected_by_laboratory", "").astype(object))
        unit = np.where(self.written.unit != "", self.written.unit, self.results.unit)
        return {
            "value": value,
            "sign": np.where(np.isnan(value), "=", self.sign),
            "detection_limit": self.detection,
            "reporting_limit": self.reporting,
            "qualifier": self.written.qualifier,
            "estimated": self.written.estimated | between,
            "status": np.where(waits, "held", np.where(rejected, "rejected", "accepted")),
            "unit_as_written": unit,
            "reason": np.where(rejected, "rejected_by_laboratory", self.reason),
            "stated": self.stated,
        }
