"""What becomes of every cell of a check-in's files, also after what only the whole delivery shows."""

from collections.abc import Iterable

import numpy as np
import pandas as pd

from explorer.intake.file_rows import ACCEPTED, HELD, OUTCOMES, REFUSED, FileRows
from explorer.intake.reading import FileReading
from explorer.model.check_in import CellAccount

__all__ = ["CellFates"]

_FATES = {"hold": HELD, "refuse": REFUSED}


class CellFates:
    """The cells of some files: what reading made of them, and what is held or refused afterwards.

    Parameters
    ----------
    files : iterable of FileReading
        What was read.
    """

    def __init__(self, files: Iterable[FileReading]) -> None:
        self._files = {each.sha256: each for each in files}
        self._tables: dict[tuple[str, str], FileRows] = {}
        self._outcomes: dict[tuple[str, str], np.ndarray[tuple[int, int], np.dtype[np.int8]]] = {}
        self._reasons: dict[tuple[str, str], np.ndarray[tuple[int, int], np.dtype[np.object_]]] = {}
        self._places: dict[tuple[str, str], tuple[dict[int, int], dict[str, int]]] = {}
        self._moved: dict[str, np.ndarray[tuple[int], np.dtype[np.int64]]] = {}
        for each in self._files.values():
            self._moved[each.sha256] = np.zeros(len(OUTCOMES), dtype=np.int64)
            for rows in each.tables:
                table = rows.layout.table
                key = (table.sha256, table.sheet)
                self._tables[key] = rows
                self._outcomes[key], self._reasons[key] = rows.outcomes.copy(), rows.reasons.copy()
                self._places[key] = (
                    {number: place for place, number in enumerate(table.row_numbers)},
                    {heading: place for place, heading in enumerate(table.headings)},
                )

    def judge(self, severity: str, cells: pd.DataFrame, code: str) -> None:
        """Hold or refuse accepted cells; a cell that waits already keeps its first reason.

        Parameters
        ----------
        severity : str
            "hold" or "refuse"; anything else changes no cell.
        cells : DataFrame
            sha256, sheet, row and column of each; a column of several cells names them with " | ".
        code : str
            Code of the problem.
        """
        fate = _FATES.get(severity)
        if fate is None:
            return
        for sha256, sheet, row, column in zip(
            cells["sha256"], cells["sheet"], cells["row"], cells["column"], strict=True
        ):
            key = (sha256, sheet)
            if key not in self._places:
                continue  # a reading that is in the record already, from another file
            rows, headings = self._places[key]
            for heading in (column,) if column in headings else column.split(" | "):
                if heading in headings and row in rows:
                    self._move(key, rows[row], headings[heading], fate, code)

    def _move(self, key: tuple[str, str], row: int, column: int, fate: int, code: str) -> None:
        before = self._outcomes[key][row, column]
        if before == ACCEPTED or (before == HELD and fate == REFUSED):
            self._outcomes[key][row, column] = fate
            self._reasons[key][row, column] = code
            self._moved[key[0]][[before, fate]] += (-1, 1)

    def account(self, sha256: str) -> CellAccount:
        """Return what became of all cells of a file.

        Parameters
        ----------
        sha256 : str
            Its checksum.
        """
        moved = self._moved[sha256].tolist()
        own = CellAccount(0, moved[ACCEPTED], moved[HELD], moved[REFUSED], 0)
        return self._files[sha256].account + own

    def refused(self) -> pd.DataFrame:
        """Return the cells of tables that do not enter.

        Returns
        -------
        DataFrame
            file_name, sheet, row, column, as_written and reason.
        """
        frames = []
        for key, outcomes in self._outcomes.items():
            rows, columns = np.nonzero(outcomes == REFUSED)
            table = self._tables[key].layout.table
            frames.append(
                pd.DataFrame(
                    {
                        "file_name": pd.Series([table.name] * len(rows), dtype="str"),
                        "sheet": pd.Series([table.sheet] * len(rows), dtype="str"),
                        "row": pd.Series([table.row_numbers[row] for row in rows.tolist()], dtype="int64"),
                        "column": pd.Series([table.headings[each] for each in columns.tolist()], dtype="str"),
                        "as_written": pd.Series(
                            [table.rows[r][c] for r, c in zip(rows.tolist(), columns.tolist(), strict=True)],
                            dtype="str",
                        ),
                        "reason": pd.Series(self._reasons[key][rows, columns].tolist(), dtype="str"),
                    }
                )
            )
        kinds = {
            "file_name": "str",
            "sheet": "str",
            "row": "int64",
            "column": "str",
            "as_written": "str",
            "reason": "str",
        }
        empty = pd.DataFrame({name: pd.Series([], dtype=kind) for name, kind in kinds.items()})
        return pd.concat(frames, ignore_index=True) if frames else empty
