"""What the reading of one table hands on: candidate readings, what stands beside them, every cell's fate."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.intake.layout import Layout
from explorer.model.check_in import CellAccount
from explorer.model.problems import Problem
from explorer.model.readings import ENTRIES
from explorer.records.cells import Texts

__all__ = [
    "CONTAINER_COLUMNS",
    "EXTRACTS",
    "LABORATORY_ENTRIES",
    "OUTCOMES",
    "VISIT_COLUMNS",
    "FileRows",
    "filled_frame",
]

OUTCOMES = ("empty", "accepted", "held", "refused")
EMPTY, ACCEPTED, HELD, REFUSED = range(4)

# A row of a data sheet or of a probe's file: what belongs to the visit, not to one reading.
VISIT_COLUMNS: Mapping[str, str] = {
    "row": "int64",
    "station_code": "str",  # empty where it waits for an answer
    "station_as_written": "str",
    "taken_on": "datetime64[ms]",
    "taken_time": "str",
    "observer": "str",
    "weather": "str",
    "remark": "str",
    "bottom_depth_m": "float64",
    "volume_filtered_ml": "float64",  # as the sheet states the total
    "volume_poured_ml": "float64",
    "volume_topped_up_ml": "float64",
    "volume_parts": "int64",  # volumes that the cell of the total adds up
    "on_ice_time": "str",  # "no" where the sheet says that they did not go on ice
    "frozen_on": "datetime64[ms]",
    "frozen_time": "str",
    "depth_m": "float64",  # at which the row's samples were taken
    "stratum": "str",
    "trained_on": "str",  # date as ISO text, else as written: the last three and the glasses are only kept
    "line_checked_on": "str",
    "calibrated_on": "str",
    "sunglasses": "str",
    "air_check_before_percent": "float64",  # of saturation, as a probe read it in air; where it stands in %
    "air_check_after_percent": "float64",
    "reason": "str",  # words code of the first problem that holds the whole row
}

# A cell that names a bottle or a filter, on a data sheet, in a freezer log or in a laboratory's file.
CONTAINER_COLUMNS: Mapping[str, str] = {
    "row": "int64",
    "column": "str",
    "as_written": "str",
    "container": "str",  # bottle, filter, second …, blank …; sample where nothing says which
    "sample_code": "str",  # with the container where one is written; empty where it waits for an answer
    "near": "str",  # what a code that cannot be read is likely to be
    "reason": "str",
    "frozen_on": "datetime64[ms]",
    "frozen_time": "str",
    "taken_out_on": "datetime64[ms]",
    "freezer_temperature_degc": "float64",
    "remark": "str",
}

# Entries of a laboratory have no visit yet: station, date and volume come from the data sheet, by the code.
LABORATORY_ENTRIES: Mapping[str, str] = {
    **ENTRIES,
    "sample_as_written": "str",
    "laboratory_number": "str",
    "dilution": "float64",
    "received_on": "datetime64[ms]",
}

# One extract whose readings still have to become a concentration: see `extracts`.
EXTRACTS: Mapping[str, str] = {
    "row": "int64",
    "column": "str",  # heading of the first reading
    "as_written": "str",  # all readings of the extract
    "sample_code": "str",
    "sample_as_written": "str",
    "procedure": "str",  # acidified, trichromatic, fluorometric
    "absorbance_664_before": "float64",
    "absorbance_665_after": "float64",
    "absorbance_750_before": "float64",
    "absorbance_750_after": "float64",
    "absorbance_664": "float64",
    "absorbance_647": "float64",
    "absorbance_630": "float64",
    "absorbance_750": "float64",
    "fluorescence_before": "float64",
    "fluorescence_after": "float64",
    "acid_ratio": "float64",
    "response": "float64",
    "extract_volume_ml": "float64",
    "path_length_cm": "float64",
    "dilution": "float64",
    "volume_filtered_ml": "float64",  # as the laboratory was told
    "detection_limit": "float64",  # in the lake, for the volume that the laboratory was told
    "reporting_limit": "float64",
    "method": "str",
    "batch": "str",
    "qualifier": "str",
    "analysed_on": "datetime64[ms]",
    "reason": "str",
}


def filled_frame(columns: Mapping[str, str], values: Mapping[str, Any], count: int) -> pd.DataFrame:
    """Return a frame with all its columns: those given, the others without content.

    Parameters
    ----------
    columns : mapping of str to str
        Type by name.
    values : mapping of str to array_like
        Cells by name, each of shape (count,), or one for all rows.
    count : int
        Number of rows.

    Examples
    --------
    >>> filled_frame({"row": "int64", "remark": "str"}, {"row": [2, 3]}, 2)["remark"].tolist()
    ['', '']
    """
    nothing: Mapping[str, Any] = {"str": "", "float64": np.nan, "int64": 0, "bool": False}
    index = range(count)
    lacking = {kind for name, kind in columns.items() if name not in values}
    empty = {kind: pd.Series(nothing.get(kind, pd.NaT), index, dtype=kind) for kind in lacking}
    return pd.DataFrame(
        {
            name: pd.Series(values[name], index, dtype=kind) if name in values else empty[kind]
            for name, kind in columns.items()
        }
    )


@dataclass(frozen=True, slots=True)
class FileRows:
    """One table, read.

    Attributes
    ----------
    layout : Layout
        The table's kind, its text, its columns and what stood beside it.
    entries : DataFrame
        Candidate readings: columns of `ENTRIES`, or of `LABORATORY_ENTRIES`. Held ones have no value but
        the text as written and the reason. An unread station is empty text, an unread date NaT.
    visits : DataFrame
        `VISIT_COLUMNS`, one row a row of a data sheet or of a probe's file.
    containers : DataFrame
        `CONTAINER_COLUMNS`, one row a cell that names a bottle or a filter.
    extracts : DataFrame
        `EXTRACTS`, one row an extract with absorbances or fluorescences.
    account : CellAccount
        What became of all cells.
    problems : tuple of Problem
        Every doubt; cells of one column with the same text and the same problem are one, with their number
        under "count" and their rows under "rows".
    outcomes : ndarray of int, shape (rows, columns)
        Place in `OUTCOMES` of every cell of the table.
    reasons : ndarray of str, shape (rows, columns)
        Code of the first problem of every cell.
    """

    layout: Layout
    entries: pd.DataFrame
    visits: pd.DataFrame
    containers: pd.DataFrame
    extracts: pd.DataFrame
    account: CellAccount
    problems: tuple[Problem, ...]
    outcomes: npt.NDArray[np.int8]
    reasons: Texts = field(repr=False)

    @property
    def kind(self) -> str:
        """What kind of file it is: data_sheet, laboratory, probe or freezer_log."""
        return self.layout.kind

    def cells(self) -> pd.DataFrame:
        """Return every cell of the table: file_name, sheet, row, column, as_written, outcome, reason.

        Returns
        -------
        DataFrame
            One row a cell, row after row.
        """
        table = self.layout.table
        count, width = self.outcomes.shape
        text = [cell for row in table.rows for cell in row]
        columns = {
            "file_name": np.full(count * width, table.name, dtype=object),
            "sheet": np.full(count * width, table.sheet, dtype=object),
            "row": np.repeat(np.array(table.row_numbers, dtype=np.int64), width),
            "column": np.tile(np.array(table.headings, dtype=object), count),
            "as_written": np.array(text, dtype=object),
            "outcome": np.array(OUTCOMES, dtype=object)[self.outcomes.ravel()],
            "reason": self.reasons.ravel(),
        }
        kinds = {"row": "int64"}
        return pd.DataFrame(
            {name: pd.Series(cells, dtype=kinds.get(name, "str")) for name, cells in columns.items()}
        )
