"""The freezer log → when each bottle and filter went in, how cold it was, and when it left."""

import numpy as np

from explorer.intake.containers import read_containers
from explorer.intake.file_rows import FileRows, filled_frame
from explorer.intake.headings import HeadingNames
from explorer.intake.layout import Layout
from explorer.intake.limits import read_results
from explorer.intake.table_reader import TableReader
from explorer.intake.visits import read_dates_of, read_moment
from explorer.model.readings import ENTRIES
from explorer.model.units import UNITS, convert
from explorer.records.dates import read_times

__all__ = ["read_freezer_log"]


def read_freezer_log(layout: Layout, names: HeadingNames) -> FileRows:
    """Return all that a freezer log says.

    Parameters
    ----------
    layout : Layout
        The log's table: a row a container.
    names : HeadingNames
        Names, units and words.

    Returns
    -------
    FileRows
        Containers with their dates and the freezer's temperature; no entries.
    """
    reader = TableReader(layout, names)
    frozen_on, time_behind = read_moment(reader, "frozen_on")
    missing = np.isnat(frozen_on) & (time_behind == "")
    unsaid = np.array([not text for text in reader.texts("frozen_on")], dtype=bool) & missing
    reader.hold(reader.cells("sample"), np.where(unsaid, "not_frozen_when", ""))
    time, problem = read_times(reader.texts("frozen_time"), [""] * reader.count)
    reader.hold(reader.cells("frozen_time"), problem)
    containers = read_containers(
        reader,
        frozen_on=frozen_on,
        frozen_time=np.where(time == "", time_behind, time),
        taken_out_on=read_dates_of(reader, "taken_out_on"),
        freezer_temperature_degc=_temperatures(reader),
        remark=reader.texts("remark"),
    )
    return reader.finish(filled_frame(ENTRIES, {}, 0), containers=containers)


def _temperatures(reader: TableReader) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return the freezer's temperature. [°C] NaN where none is written or none can be read."""
    column = reader.first("freezer_temperature")
    unit = (column.unit if column else "") or "°C"
    texts = reader.texts("freezer_temperature")
    written = read_results(texts, [""] * reader.count, reader.names, decimal=reader.decimal)
    problem = np.where((written.problem == "") & (written.sign != "="), "not_a_number", written.problem)
    degrees = np.full(reader.count, np.nan)
    for own in set(written.unit.tolist()):
        chosen = written.unit == own
        if UNITS[own or unit].dimension == "temperature":
            degrees[chosen] = convert(written.number[chosen], own or unit, "°C")
        else:
            problem[chosen & (problem == "")] = "not_a_number"
    reader.hold(reader.cells("freezer_temperature"), problem, mark=written.qualifier)
    return np.where(problem == "", degrees, np.nan)
