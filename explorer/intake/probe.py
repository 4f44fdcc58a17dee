"""A multi-parameter probe's file → profiles: readings by depth, for a station and a day."""

from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.data_sheet import constant_results, entries_of, visit_values
from explorer.intake.file_rows import VISIT_COLUMNS, FileRows, filled_frame
from explorer.intake.headings import READING, HeadingNames
from explorer.intake.layout import Layout
from explorer.intake.results import read_result_cells
from explorer.intake.station_names import StationNames
from explorer.intake.table_reader import TableReader
from explorer.intake.visits import read_depths_of, read_visits
from explorer.model.readings import ENTRIES
from explorer.records.cells import is_empty, read_each

__all__ = ["read_probe"]

PROBE_METHOD = "probe"


def read_probe(layout: Layout, names: HeadingNames, stations: StationNames) -> FileRows:
    """Return all that a probe's file says.

    Parameters
    ----------
    layout : Layout
        The file's table: a row a depth. Station and date may stand above it for all rows.
    names : HeadingNames
        Names, units and words.
    stations : StationNames
        What stations are called.

    Returns
    -------
    FileRows
        Entries of the stratum "profile", with their depths; visits with the probe's calibration where the
        file gives it. A row without a depth is held.
    """
    reader = TableReader(layout, names)
    visits = read_visits(reader, stations, in_order=False)
    missing = np.array(read_each(reader.texts("depth_m"), is_empty), dtype=bool)
    reader.hold_rows("depth_m", np.where(missing, "no_depth", ""))
    depth = read_depths_of(reader, "depth_m")
    unread = np.isnan(depth) & (reader.row_reasons == "")
    why = reader.reasons_of("depth_m")
    why = np.where(why == "", "not_a_depth", why)
    reader.row_reasons = np.where(unread, why, reader.row_reasons)
    instrument = reader.texts("probe")
    method = np.array([f"{PROBE_METHOD} {text}".strip() for text in instrument], dtype=object)
    frames = []
    for column in layout.columns_of(READING):
        values: dict[str, Any] = read_result_cells(reader, constant_results(reader, column))
        values |= {"depth_m": depth, "stratum": "profile", "quantity": column.quantity, "method": method}
        frames.append(entries_of(reader, reader.cells(column), {**values, **visit_values(visits)}, column))
    full = [frame for frame in frames if len(frame)]
    entries = filled_frame(ENTRIES, {}, 0)
    if full:
        entries = pd.concat(full).sort_values("row", kind="stable", ignore_index=True)
    return reader.finish(entries, visits=filled_frame(VISIT_COLUMNS, visits, reader.count))
