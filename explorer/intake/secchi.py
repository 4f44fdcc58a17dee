"""The disk on a sheet → one depth a row: one column or several, lowered and raised, words beside a depth."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from explorer.intake.depths import ENDINGS, Depths, read_depths
from explorer.intake.headings import READING
from explorer.intake.layout import Cells, Column
from explorer.intake.table_reader import TableReader
from explorer.model.units import FOOT_M
from explorer.records.cells import Texts, read_flags

__all__ = ["SECCHI", "SecchiReadings", "read_secchi"]

SECCHI = "secchi_depth"
SAME_READING_M, SAME_READING_SHARE = (
    0.06,
    0.05,
)  # two columns that differ by less say the same (common practice)

Numbers = npt.NDArray[np.float64]
Marks = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class SecchiReadings:
    """The disk's reading of every row, each array of shape (rows,).

    Attributes
    ----------
    cells : Cells
        The first cell of each row that says something of it.
    stated : ndarray of bool
        Whether the row has one.
    depth_m : ndarray of float
        [m] NaN where it waits for an answer.
    sign : ndarray of str
        "=", "<" or ">".
    as_written, heading, unit : ndarray of str
        Text of all its cells, the headings they stand under, the first one's unit.
    reason : ndarray of str
        Code of the problem that keeps it waiting, "" where none does.
    """

    cells: Cells
    stated: Marks
    depth_m: Numbers
    sign: Texts
    as_written: Texts
    heading: Texts
    unit: Texts
    reason: Texts


def read_secchi(reader: TableReader, bottom_depth_m: Numbers) -> SecchiReadings | None:
    """Return the disk's reading of every row, None where the table has no column for it.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    bottom_depth_m : ndarray of float, shape (rows,)
        Depth of the water as the sheet says it beside. [m] NaN where it does not.
    """
    direct = [column for column in reader.layout.columns_of(READING) if column.quantity == SECCHI]
    parts = [
        column for role in ("secchi_lowered", "secchi_raised") for column in reader.layout.columns_of(role)
    ]
    marks = [column for role in ENDINGS for column in reader.layout.columns_of(role)]
    if not direct and not parts and not marks:
        return None
    return _Disk(reader, direct, parts, marks).reading(bottom_depth_m)


class _Disk:
    """All columns of a sheet that speak of the disk."""

    def __init__(
        self, reader: TableReader, direct: list[Column], parts: list[Column], marks: list[Column]
    ) -> None:
        self.reader, self.direct, self.parts, self.marks = reader, direct, parts, marks
        self.reason: Texts = np.full(reader.count, "", dtype=object)
        self.ended: Texts = np.full(reader.count, "", dtype=object)
        self.depths = {column.position: self._read(column) for column in (*direct, *parts)}

    def _read(self, column: Column) -> Depths:
        reader = self.reader
        units = [each.unit for each in (column, *self.direct, *self.parts) if each.unit]
        unit = units[0] if units else ""
        is_length = reader.names.dimension_of(unit) == "length"
        unit, unknown = (unit, "no_depth_unit") if is_length or not unit else ("", "heading_unit_wrong")
        depths = read_depths(
            reader.column_texts(column), unit, decimal=reader.decimal, words=reader.names.words
        )
        if column.unit == "in" and any(each.unit == "ft" for each in self.direct):
            depths = _with_nought_inches(depths, reader.column_texts(column))
        problem = np.where(depths.problem == "nothing_beside", "", depths.problem)
        self._hold(column, np.where(problem == "no_depth_unit", "", problem))
        self._hold(column, np.where(problem == "no_depth_unit", unknown, ""), once=True)
        reader.note(reader.cells(column), depths.note, read_as=_in_metres(depths.depth_m), unit=unit or "m")
        self.ended = np.where(self.ended == "", depths.ended, self.ended)
        other = {",": ".", ".": ","}.get(reader.decimal, "\0")
        odd = [other in text and reader.decimal not in text for text in reader.column_texts(column)]
        noted = np.array(odd, dtype=bool) & ~np.isnan(depths.depth_m)
        reader.note(reader.cells(column), np.where(noted, "other_decimal_mark", ""), mark=other)
        return depths

    def _hold(self, column: Column, codes: Texts, *, once: bool = False, **values: object) -> None:
        self.reader.hold(self.reader.cells(column), codes, once=once, quantity="Secchi depth", **values)
        self.reason = np.where(self.reason == "", codes, self.reason)

    def reading(self, bottom_depth_m: Numbers) -> SecchiReadings:
        """Return one depth a row from all columns."""
        value, sign = self._direct()
        mean, mean_sign = self._lowered_and_raised()
        differ = _differ(value, mean)
        for column in self.direct[:1]:
            self._hold(column, np.where(differ, "mean_differs", ""), mean=_in_metres(mean))
        use_mean = np.isnan(value)
        value, sign = np.where(use_mean, mean, value), np.where(use_mean, mean_sign, sign)
        self._read_marks()
        columns = (*self.direct, *self.parts, *self.marks)
        filled = np.array([self._speaks(column) for column in columns])
        first = np.array([column.position for column in columns])[filled.argmax(axis=0)]
        cells = Cells(np.arange(self.reader.count), first.astype(np.int64))
        value, sign = self._at_the_end(cells, value, sign, bottom_depth_m)
        stated = filled.any(axis=0) & ~self.reader.refused_rows
        value[self.reason != ""] = np.nan
        return SecchiReadings(
            cells,
            stated,
            value,
            np.where(np.isnan(value), "=", sign),
            *self._as_written(columns, filled),
            self.reason,
        )

    def _speaks(self, column: Column) -> Marks:
        """Return where a column says something of the disk; a mark says something only where it is set."""
        if column in self.marks:
            return read_flags(self.reader.texts(column.role))[0]
        return self.reader.filled(column)

    def _as_written(
        self, columns: tuple[Column, ...], filled: npt.NDArray[np.bool_]
    ) -> tuple[Texts, Texts, Texts]:
        written, headings, units = [], [], []
        texts = [self.reader.column_texts(column) for column in columns]
        for row in range(self.reader.count):
            said = np.flatnonzero(filled[:, row]).tolist()
            written.append(" | ".join(str(texts[place][row]) for place in said))
            headings.append(" | ".join(columns[place].heading for place in said))
            units.append(columns[said[0]].unit if said else "")
        return tuple(np.array(each, dtype=object) for each in (written, headings, units))  # type: ignore[return-value]

    def _direct(self) -> tuple[Numbers, Texts]:
        """Return the depth from columns that state it; feet and inches in two columns are added."""
        count = self.reader.count
        value, sign = np.full(count, np.nan), np.full(count, "=", dtype=object)
        by_unit = {column.unit: column for column in self.direct}
        if len(self.direct) == 2 and set(by_unit) == {"ft", "in"}:
            return self._feet_and_inches(by_unit["ft"], by_unit["in"])
        for column in self.direct:
            depths = self.depths[column.position]
            self._hold(column, np.where(_differ(value, depths.depth_m), "same_reading_differs", ""),
                       other=_in_metres(value))  # fmt: skip
            fresh = np.isnan(value)
            value, sign = np.where(fresh, depths.depth_m, value), np.where(fresh, depths.sign, sign)
        return value, sign

    def _feet_and_inches(self, feet: Column, inches: Column) -> tuple[Numbers, Texts]:
        first, second = self.depths[feet.position], self.depths[inches.position]
        feet_m, inches_m = first.depth_m, second.depth_m
        twice = np.abs(feet_m - inches_m) <= SAME_READING_M
        too_many = (inches_m >= FOOT_M) & ~twice & ~np.isnan(feet_m)
        self._hold(inches, np.where(too_many, "too_many_inches", ""))
        total = np.where(twice | np.isnan(inches_m), feet_m, np.nan_to_num(feet_m) + inches_m)
        return total, np.where(second.sign == "=", first.sign, second.sign)

    def _lowered_and_raised(self) -> tuple[Numbers, Texts]:
        """Return the mean of the depths at which the disk went out of sight and came back."""
        count = self.reader.count
        if not self.parts:
            return np.full(count, np.nan), np.full(count, "=", dtype=object)
        both = np.array([self.depths[column.position].depth_m for column in self.parts])
        signs = np.array([self.depths[column.position].sign for column in self.parts])
        known = ~np.isnan(both)
        total, number = np.where(known, both, 0.0).sum(axis=0), known.sum(axis=0)
        mean = np.divide(total, number, out=np.full(count, np.nan), where=number > 0)
        beyond = ((signs == ">") & known).any(axis=0)
        mean = np.where(beyond, np.where(known, both, 0.0).max(axis=0), mean)
        for column in self.parts:
            alone = known[self.parts.index(column)] & (number == 1) & ~beyond
            self.reader.note(self.reader.cells(column), np.where(alone, "one_of_two", ""))
        return mean, np.where(beyond, ">", "=").astype(object)

    def _read_marks(self) -> None:
        for column in self.marks:
            flag, problem = read_flags(self.reader.texts(column.role))
            self._hold(column, problem)
            self.ended = np.where(flag & (self.ended == ""), column.role, self.ended)

    def _at_the_end(
        self, cells: Cells, value: Numbers, sign: Texts, bottom_depth_m: Numbers
    ) -> tuple[Numbers, Texts]:
        """Give a disk that was still in sight its sign, and on the bottom the depth that stands beside it."""
        ended = self.ended != ""
        lacking = ended & np.isnan(value) & (self.reason == "")
        beside = lacking & (self.ended == "on_bottom") & ~np.isnan(bottom_depth_m)
        value = np.where(beside, bottom_depth_m, value)
        self.reader.note(
            cells, np.where(beside, "bottom_beside", "").astype(object), read_as=_in_metres(bottom_depth_m)
        )
        codes = np.where(
            lacking & ~beside, np.where(self.ended == "on_bottom", "bottom_missing", "depth_missing"), ""
        )
        self.reader.hold(cells, codes.astype(object))
        self.reason = np.where(self.reason == "", codes, self.reason)
        other = ended & ~lacking & (self.ended != "on_bottom") & (self.reason == "")
        self.reader.note(cells, np.where(other, "ended_otherwise", "").astype(object))
        return value, np.where(ended, ">", sign)


def _differ(first: Numbers, second: Numbers) -> Marks:
    """Return where two depths cannot be the same reading."""
    with np.errstate(invalid="ignore"):
        return np.abs(first - second) > np.maximum(SAME_READING_M, SAME_READING_SHARE * first)


def _with_nought_inches(depths: Depths, texts: Texts) -> Depths:
    """Return the inches beside a column of feet: nought is a good answer there, though none for a depth."""
    nought = np.array([text.strip("0.,") == "" and "0" in text for text in texts], dtype=bool)
    return replace(
        depths,
        depth_m=np.where(nought, 0.0, depths.depth_m),
        problem=np.where(nought, "", depths.problem),
    )


def _in_metres(depth_m: Numbers) -> Texts:
    return np.array([f"{each:.2f} m" for each in depth_m], dtype=object)
