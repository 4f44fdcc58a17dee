"""Everything that came in together, side by side: readings, visits, bottles and filters, extracts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd

from explorer.intake.file_rows import (
    CONTAINER_COLUMNS,
    LABORATORY_ENTRIES,
    VISIT_COLUMNS,
    FileRows,
    filled_frame,
)
from explorer.intake.reading import FileReading
from explorer.intake.station_past import NO_PAST, StationPast
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.readings import CONTAINERS, empty_frame

__all__ = [
    "DELIVERED",
    "DELIVERED_CONTAINERS",
    "DELIVERED_VISITS",
    "Delivery",
    "gather",
    "joined",
]

_OF_FILES = {"kind": "str", "file_name": "str", "sha256": "str", "sheet": "str"}

# A reading of the delivery: what its file says, then what the data sheet of its visit says.
DELIVERED = {
    **LABORATORY_ENTRIES,
    "kind": "str",
    "bottom_depth_m": "float64",  # on the sheet
    "stands_as": "int64",  # reading in whose place it may come, see `earlier_results`; 0 for none
    "told_volume_ml": "float64",  # volume filtered as the laboratory says it
    "sample": "str",  # its code without the container
    "matched": "str",  # how its sample was found: code, sample; empty where it needs none or was not found
}
DELIVERED_VISITS = {**VISIT_COLUMNS, **_OF_FILES}
DELIVERED_CONTAINERS = {
    **CONTAINERS,
    "near": "str",
    "depth_m": "float64",
    "stratum": "str",
    "visit_row": "int64",  # of the sheet
    "sample": "str",
    "of_record": "bool",  # known from an earlier check-in
}


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Delivery:
    """All that a check-in's files hold, and what is known beside it.

    Attributes
    ----------
    entries : DataFrame
        Columns of `DELIVERED`, index 0, 1, 2 …
    visits : DataFrame
        Columns of `DELIVERED_VISITS`, one row a row of a data sheet or of a probe's file.
    containers : DataFrame
        Columns of `DELIVERED_CONTAINERS`.
    tables : tuple of FileRows
        The tables, for the extracts of laboratories.
    programme : Programme
        The programme's settings.
    stations : mapping of str to Station
        The record's stations by code.
    lakes : mapping of str to Lake
        Its waters by code.
    today : date
        Day of the check-in.
    past : StationPast
        What the record knows of its stations.
    placed : DataFrame
        Containers that a data sheet names and whose code can be read, with `visit`: the same for all of one
        visit. Filled by `explorer.intake.reconcile.reconcile`, like `partners`.
    partners : mapping of str to str
        What a code that fits nothing is likely to be.
    kinds : frozenset of str
        Kinds of its files, and of what waits in the record for them.
    """

    entries: pd.DataFrame
    visits: pd.DataFrame
    containers: pd.DataFrame
    tables: tuple[FileRows, ...]
    programme: Programme
    stations: dict[str, Station]
    lakes: dict[str, Lake]
    today: date
    past: StationPast
    placed: pd.DataFrame
    partners: Mapping[str, str]
    kinds: frozenset[str] = field(default_factory=frozenset)


def gather(
    files: Sequence[FileReading],
    programme: Programme,
    stations: dict[str, Station],
    lakes: dict[str, Lake],
    today: date,
) -> Delivery:
    """Put what was read from files beside one another.

    Parameters
    ----------
    files : sequence of FileReading
        What was read.
    programme : Programme
        The programme's settings.
    stations : dict of str to Station
        The record's stations by code.
    lakes : dict of str to Lake
        Its waters by code.
    today : date
        Day of the check-in.
    """
    tables = tuple(rows for each in files for rows in each.tables)
    entries, visits, containers = [], [], []
    for rows in tables:
        bottom = pd.Series(rows.visits["bottom_depth_m"].to_numpy(), index=rows.visits["row"])
        of_row = rows.entries["row"].map(bottom) if len(bottom) else np.nan
        entries.append(rows.entries.assign(kind=rows.kind, bottom_depth_m=of_row))
        visits.append(_of_file(rows, rows.visits))
        containers.append(_placed_containers(rows))
    return Delivery(
        joined(entries, DELIVERED),
        joined(visits, DELIVERED_VISITS),
        joined(containers, DELIVERED_CONTAINERS),
        tables,
        programme,
        stations,
        lakes,
        today,
        NO_PAST,
        empty_frame(DELIVERED_CONTAINERS).assign(visit=""),
        {},
        frozenset(rows.kind for rows in tables),
    )


def joined(frames: Sequence[pd.DataFrame], columns: dict[str, str]) -> pd.DataFrame:
    """Return frames below one another, each brought to the same columns."""
    full = [_with_columns(frame, columns) for frame in frames if len(frame)]
    return pd.concat(full, ignore_index=True) if full else empty_frame(columns)


def _with_columns(frame: pd.DataFrame, columns: dict[str, str]) -> pd.DataFrame:
    if frame.dtypes.astype(str).to_dict() == columns:  # as what was brought to them before
        return frame
    return filled_frame(columns, {name: frame[name].array for name in frame if name in columns}, len(frame))


def _of_file(rows: FileRows, frame: pd.DataFrame) -> pd.DataFrame:
    table = rows.layout.table
    return frame.assign(kind=rows.kind, file_name=table.name, sha256=table.sha256, sheet=table.sheet)


_OF_VISIT = (
    "station_code",
    "taken_on",
    "observer",
    "on_ice_time",
    "volume_filtered_ml",
    "depth_m",
    "stratum",
)


def _placed_containers(rows: FileRows) -> pd.DataFrame:
    """Return the table's bottles and filters, on a data sheet with the visit of their row."""
    containers = _of_file(rows, rows.containers[list(CONTAINER_COLUMNS)])
    if rows.kind != "data_sheet" or containers.empty:
        return containers
    visits = rows.visits[["row", *_OF_VISIT, "frozen_on", "frozen_time", "reason"]]
    visits = visits.rename(
        columns={name: f"{name}_of_visit" for name in ("frozen_on", "frozen_time", "reason")}
    )
    placed = containers.merge(visits, how="left", on="row")
    placed["frozen_on"] = placed["frozen_on"].fillna(placed["frozen_on_of_visit"])
    placed["frozen_time"] = placed["frozen_time"].where(
        placed["frozen_time"] != "", placed["frozen_time_of_visit"]
    )
    placed["reason"] = placed["reason"].where(placed["reason"] != "", placed["reason_of_visit"])
    is_filter = placed["container"].str.contains("filter") | (placed["container"] == "sample")
    placed["volume_filtered_ml"] = placed["volume_filtered_ml"].where(is_filter)
    placed["visit_row"] = placed["row"]
    return placed
