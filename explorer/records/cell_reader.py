"""Reads the cells of one set of readings name by name, and remembers which rows are held, and why."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from explorer.model.errors import UnknownNameError
from explorer.model.units import convert
from explorer.records.cells import Texts, read_numbers, read_words
from explorer.records.dates import read_dates
from explorer.records.findings import Findings
from explorer.records.written import WrittenReadings, columns_file_of

__all__ = ["CellReader"]

# Numbers beside the value that have a unit of their own: the record's unit and the name of the written one.
_BESIDE: Mapping[str, tuple[str, str]] = {
    "depth_m": ("m", "depth_unit"),
    "volume_filtered_ml": ("mL", "volume_unit"),
}


class CellReader:
    """Readings as written, read one name at a time.

    Parameters
    ----------
    written : WrittenReadings
        Rows that state a value.
    findings : Findings
        Takes the problems, alike ones together.

    Attributes
    ----------
    reasons : ndarray of str, shape (n,)
        Code of the first problem that holds each row, "" where none does.
    """

    def __init__(self, written: WrittenReadings, findings: Findings) -> None:
        self.written = written
        self.reasons: Texts = np.full(len(written.rows), "", dtype=object)
        self._findings = findings

    def text(self, name: str) -> Texts:
        """Return the cells of a name, empty where the table has no such column."""
        cells = self.written.texts.get(name)
        return np.full(len(self.written.rows), "", dtype=object) if cells is None else cells

    def hold(self, name: str, problems: Texts, **values: Any) -> None:
        """Hold the rows that have a problem, and note each problem with its number of rows.

        Parameters
        ----------
        name : str
            The entry's name.
        problems : ndarray of str, shape (n,)
            Code of the problem, "" where there is none.
        **values
            For the sentence.
        """
        cells, columns = self.text(name), self.text("column")
        for row in np.flatnonzero(problems != ""):
            heading = columns[row] if name == "value" else self.written.headings.get(name, columns[row])
            source = self.written.table.source(int(self.written.rows[row]), heading)
            self._findings.add(str(problems[row]), "hold", source, str(cells[row]), **values)
        self.reasons = np.where(self.reasons == "", problems, self.reasons)

    def limit(self, name: str) -> npt.NDArray[np.float64]:
        """Return a column of plain numbers in the unit as written, NaN where there is none."""
        value, sign, problem = read_numbers(self.text(name), self.written.table.decimal)
        problem[(problem == "") & (sign != "=")] = "not_a_number"
        self.hold(name, problem)
        return np.where(problem == "", value, np.nan)

    def size(self, name: str) -> npt.NDArray[np.float64]:
        """Return a depth or volume in record units, NaN where there is none. [m] or [mL]"""
        wanted, unit_name = _BESIDE[name]
        value, sign, problem = read_numbers(self.text(name), self.written.table.decimal)
        problem[(problem == "") & (sign != "=")] = "not_a_number"
        problem[(problem == "") & (value < 0)] = "below_zero"
        units = self.text(unit_name)
        for unit in set(units.tolist()) - {""}:
            chosen = units == unit
            try:
                value[chosen] = convert(value[chosen], unit, wanted)
            except (UnknownNameError, ValueError):
                problem[chosen & ~np.isnan(value)] = "unknown_unit_beside"
        self.hold(name, problem, wanted=wanted)
        return np.where(problem == "", value, np.nan)

    def words(self, name: str, known: Sequence[str], usual: str) -> Texts:
        """Return a column of known words."""
        word, problem = read_words(self.text(name), known, usual)
        self.hold(name, problem, known=", ".join(known))
        return word

    def dates(self, name: str, *, needed: bool) -> npt.NDArray[np.datetime64]:
        """Return a column of local dates, NaT where there is none.

        A column in which day and month could change places is refused as a whole, with the question.
        """
        date, problem = read_dates(self.text(name), self.written.date_form)
        if not needed:
            problem[problem == "no_date"] = ""
        doubtful = np.flatnonzero(problem == "ambiguous_date")
        if doubtful.size:
            table, row = self.written.table, int(doubtful[0])
            source = table.source(int(self.written.rows[row]), self.written.headings.get(name, ""))
            found, columns_file = str(self.text(name)[row]), columns_file_of(table.name)
            self._findings.add(
                "ambiguous_date", "refuse", source, found, doubtful.size, columns_file=columns_file
            )
        self.hold(name, np.where(problem == "ambiguous_date", "", problem))
        return date.astype("datetime64[D]").astype("datetime64[ms]")
