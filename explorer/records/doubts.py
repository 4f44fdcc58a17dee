"""Columns that look wrong as a whole: a number that is repeated too often, a unit or factor that cannot be.

Such readings are held until a columns file beside the table answers; none is guessed.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.quantities import Quantity
from explorer.records.cells import read_numbers
from explorer.records.columns import toml_key
from explorer.records.findings import Findings
from explorer.records.written import Answer, WrittenReadings, columns_file_of

__all__ = ["settle_doubts"]

# When a number is repeated so often that somebody must say what it stands for (common practice): in at least
# a quarter and at least five of a column's readings, and either not above the bottom where the depth of the
# water is known, or at the column's edge, three times as often as any other of at least five numbers.
REPEATED_SHARE, REPEATED_COUNT = 0.25, 5
EDGE_TIMES, EDGE_NUMBERS = 3, 5
OUTSIDE_SHARE = 0.5  # more than half outside the plausible range: the unit or a factor (common practice)

Chosen = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.floating[Any]]


def settle_doubts(
    entries: pd.DataFrame,
    written: WrittenReadings,
    quantities: Mapping[str, Quantity],
    bottom_depths_m: Mapping[str, float],
    findings: Findings,
) -> pd.DataFrame:
    """Return the entries of one table with its answers applied and its open doubts held.

    Parameters
    ----------
    entries : DataFrame
        Columns of `ENTRIES`, of one table.
    written : WrittenReadings
        The table they come from, with the answers.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    bottom_depths_m : mapping of str to float
        Depth of the water by station code, NaN where not known. [m]
    findings : Findings
        Takes the questions.
    """
    if entries.empty:
        return entries
    entries = entries.copy()
    names = entries["column" if written.is_wide else "quantity"].to_numpy(dtype=object)
    numbers = read_numbers(entries["as_written"].tolist(), written.table.decimal)[0]
    bottoms = entries["station_code"].map(dict(bottom_depths_m)).to_numpy(dtype=np.float64)
    for name in dict.fromkeys(names.tolist()):
        rows = np.flatnonzero(names == name)
        quantity = quantities[str(entries["quantity"].iloc[rows[0]])]
        column = _Column(entries, written, name, quantity, rows, numbers[rows], bottoms[rows], findings)
        column.apply_answers()
        column.ask_outside()
        column.ask_repeated()
    return entries


@dataclass(frozen=True, slots=True)
class _Column:
    """One column, or one quantity of a long table; its arrays are its rows only.

    Attributes
    ----------
    entries : DataFrame
        All entries of the table; what is decided is written there.
    rows : ndarray of int, shape (n,)
        Positions of the column's rows.
    numbers : ndarray of float, shape (n,)
        As written, before factor and unit.
    bottoms : ndarray of float, shape (n,)
        Depth of the water, NaN where not known. [m]
    """

    entries: pd.DataFrame
    written: WrittenReadings
    name: str
    quantity: Quantity
    rows: npt.NDArray[np.intp]
    numbers: Numbers
    bottoms: Numbers
    findings: Findings

    @property
    def answer(self) -> Answer:
        return self.written.answers.get(self.name, Answer())

    @property
    def values(self) -> Numbers:
        return self.entries["value"].to_numpy()[self.rows]

    @property
    def plain(self) -> Chosen:
        """Which readings state a number, are not held, and are still to be judged."""
        part = self.entries.iloc[self.rows]
        judged = part["status"].isin(["held", "rejected"]) | (part["sign"] != "=")
        return ~judged.to_numpy(dtype=bool)

    def apply_answers(self) -> None:
        """Do what the columns file says of repeated numbers."""
        for number, word in self.answer.repeated.items():
            chosen = self.plain & (self.numbers == number)
            if word in ("at least", "at most"):
                self._write(chosen, sign=">" if word == "at least" else "<")
            elif word == "on the bottom":
                known = ~np.isnan(self.bottoms)
                self._write(chosen & known, sign=">", value=self.bottoms[chosen & known])
                if (chosen & ~known).any():
                    self._hold(chosen & ~known, "bottom_unknown")
            elif word == "leave out":
                self._write(chosen, status="rejected", reason="left_out")

    def ask_outside(self) -> None:
        """Hold the column if most of it cannot be in the unit that is said."""
        low, high = self.quantity.plausible
        plain = self.plain
        outside = plain & ((self.values < low) | (self.values > high))
        if not self.answer.outside and outside.sum() > OUTSIDE_SHARE * plain.sum():
            self._hold(plain, "column_outside", outside=int(outside.sum()), low=f"{low:g}", high=f"{high:g}")

    def ask_repeated(self) -> None:
        """Hold the readings that repeat a number suspiciously."""
        plain, values = self.plain, self.values
        counts = Counter(self.numbers[plain].tolist())
        for number, count in counts.most_common():
            if count < max(REPEATED_COUNT, REPEATED_SHARE * len(self.rows)):
                return
            same = plain & (self.numbers == number)
            deeper = int((values[same] >= self.bottoms[same]).sum()) if self.quantity.unit == "m" else 0
            others = [times for other, times in counts.items() if other != number]
            at_edge = (
                number in (min(counts), max(counts))
                and len(others) >= EDGE_NUMBERS
                and count >= EDGE_TIMES * max(others)
            )
            if (deeper or at_edge) and number not in self.answer.repeated:
                key = f"repeated.{toml_key(f'{number:g}')}"
                self._hold(same, "repeated_value", of=len(self.rows), deeper=deeper, key=key)

    def _write(self, chosen: Chosen, **cells: str | Numbers) -> None:
        labels = self.entries.index[self.rows[chosen]]
        for name, cell in cells.items():
            self.entries.loc[labels, name] = cell

    def _hold(self, chosen: Chosen, problem: str, **values: Any) -> None:
        first = self.entries.iloc[int(self.rows[chosen][0])]
        source = self.written.table.source(int(first["row"]), str(first["column"]))
        kind = "column" if self.written.is_wide else "quantity"
        asked = {"section": f"[{kind}.{toml_key(self.name)}]", "quantity": self.quantity.name,
                 "file": columns_file_of(self.written.table.name), "unit": self.quantity.unit}  # fmt: skip
        found, count = str(first["as_written"]), int(chosen.sum())
        self.findings.add(problem, "hold", source, found, count, **asked, **values)
        self._write(chosen, status="held", reason=problem)
