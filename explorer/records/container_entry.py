"""Bottles and filters in the record: entered within a change, and read again by their codes."""

from collections.abc import Mapping, Sequence

import pandas as pd
import sqlalchemy as sa

from explorer.model.readings import CONTAINERS
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.ids import ids_by_code, ids_of, insert_frame
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows
from explorer.records.visit_entry import VISIT_KEY, between_days, date_texts

__all__ = ["container_list", "enter_containers", "forget_containers", "has_containers"]

_OF_VISITS = ("station_code", "taken_on", "observer")
_OF_FILES = ("file_name", "sha256")

_LIST = f"""
SELECT {", ".join(f'c."{name}"' for name in CONTAINERS if name not in (*_OF_VISITS, *_OF_FILES))},
       s.code AS station_code, v.taken_on AS taken_on, v.observer AS observer,
       f.name AS file_name, f.sha256 AS sha256
FROM containers c
JOIN files f ON f.file_id = c.file_id
LEFT JOIN visits v ON v.visit_id = c.visit_id AND v.left_in IS NULL
LEFT JOIN stations s ON s.station_id = v.station_id AND s.left_in IS NULL
WHERE c.left_in IS NULL ORDER BY c.container_id
"""


def enter_containers(
    connection: sa.Connection, containers: pd.DataFrame, file_ids: Mapping[str, int], change: int
) -> None:
    """Enter bottles and filters, each with the visit that it is of where that is known.

    Parameters
    ----------
    connection : Connection
        In a transaction in which the visits were entered.
    containers : DataFrame
        Columns of `CONTAINERS`.
    file_ids : mapping of str to int
        Id of a file by the checksum of its bytes.
    change : int
        Id of the change.

    Raises
    ------
    UnknownNameError
        If a container names a station or a file that the record does not hold.
    """
    if containers.empty:
        return
    stations = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
    known = containers["station_code"] != ""
    numbers = ids_of(containers["station_code"][known], stations, "station").reindex(containers.index)
    key = pd.DataFrame(
        {
            "station_id": numbers.astype("float64"),
            "taken_on": date_texts(containers["taken_on"]).fillna("").astype(object),
            "observer": containers["observer"].astype(object),
        }
    )
    visits = key.merge(_visit_ids(connection, key), how="left", on=VISIT_KEY)
    rows = containers.assign(
        visit_id=visits["visit_id"].astype("Int64").set_axis(containers.index),
        file_id=ids_of(containers["sha256"], file_ids, "file"),
        frozen_on=date_texts(containers["frozen_on"]),
        taken_out_on=date_texts(containers["taken_out_on"]),
        entered_in=change,
    )
    columns = [
        each.name for each in schema.containers.columns if each.name not in ("container_id", "left_in")
    ]
    insert_frame(connection, schema.containers, rows[columns])


def _visit_ids(connection: sa.Connection, key: pd.DataFrame) -> pd.DataFrame:
    visits = schema.visits
    chosen = visits.c.taken_on.is_(None) | between_days(visits.c.taken_on, key["taken_on"])
    found: list[tuple[float, str, str, int]] = []
    for some in in_portions(int(each) for each in key["station_id"].dropna().unique()):
        query = sa.select(visits.c.station_id, visits.c.taken_on, visits.c.observer, visits.c.visit_id).where(
            visits.c.left_in.is_(None), visits.c.station_id.in_(some), chosen
        )
        found.extend((float(row[0]), str(row[1] or ""), row[2], row[3]) for row in connection.execute(query))
    kinds = {"station_id": "float64", "taken_on": "object", "observer": "object", "visit_id": "int64"}
    return pd.DataFrame(found, columns=list(kinds)).astype(kinds).drop_duplicates(VISIT_KEY)


def forget_containers(connection: sa.Connection, file_ids: Sequence[int], change: int) -> None:
    """Let the bottles and filters of some files leave the present: another file stands in their place.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    file_ids : sequence of int
        Files that were corrected.
    change : int
        Id of the change.
    """
    table = schema.containers
    for some in in_portions(file_ids):
        connection.execute(
            table.update().where(table.c.file_id.in_(some), table.c.left_in.is_(None)).values(left_in=change)
        )


def has_containers(record: Record) -> bool:
    """Return whether a record knows of bottles and filters: one of the first format does not.

    Parameters
    ----------
    record : Record
        An open record.
    """
    return bool(record.fetch_rows("SELECT 1 FROM sqlite_schema WHERE name = 'containers'"))


def container_list(record: Record) -> pd.DataFrame:
    """Return every bottle and filter that sheets, freezer logs and laboratories named.

    Parameters
    ----------
    record : Record
        An open record.

    Returns
    -------
    DataFrame
        Columns of `CONTAINERS`; station, date and observer of the visit where a data sheet tells it. Empty
        for a record of format 1, which keeps none.
    """
    rows = record.fetch_rows(_LIST) if has_containers(record) else []
    names = [*(name for name in CONTAINERS if name not in (*_OF_VISITS, *_OF_FILES)), *_OF_VISITS, *_OF_FILES]
    return frame_of_rows(rows, {name: CONTAINERS[name] for name in names})[list(CONTAINERS)]
