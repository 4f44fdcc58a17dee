"""Enters readings and their visits into the record, within a change."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import sqlalchemy as sa

from explorer.model.readings import VISITS
from explorer.records import schema
from explorer.records.ids import code_ids, ids_by_code, ids_of, insert_frame
from explorer.records.visit_entry import date_texts, enter_visits

__all__ = ["enter_readings"]


def enter_readings(
    connection: sa.Connection,
    entries: pd.DataFrame,
    file_ids: Mapping[str, int],
    change: int,
    *,
    replaces: pd.Series | None = None,
    visits: pd.DataFrame | None = None,
) -> list[int]:
    """Enter readings; methods, batches and visits that the record lacks are added.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    entries : DataFrame
        Columns of `ENTRIES`; a held one may lack its station, its quantity and its date. Index unique, not
        below zero.
    file_ids : mapping of str to int
        Id of a file by the checksum of its bytes.
    change : int
        Id of the change.
    replaces : Series of int, same index as `entries`, optional
        Id of the reading that each one replaces, missing for a new one.
    visits : DataFrame, optional
        Columns of `VISITS`: what is known of visits besides, with or without a reading.

    Returns
    -------
    list of int
        Ids of the stations that got a reading.

    Raises
    ------
    UnknownNameError
        If a reading names a station, a quantity or a file that the record does not hold.
    """
    if entries.empty and (visits is None or visits.empty):
        return []
    known = {
        "station_id": (schema.stations.c.code, schema.stations.c.station_id, "station_code"),
        "quantity_id": (schema.quantities.c.code, schema.quantities.c.quantity_id, "quantity"),
    }
    ids = {name: ids_by_code(connection, *columns[:2]) for name, columns in known.items()}
    stations = ids["station_id"]
    rows = entries.assign(
        station_id=_ids_where_known(entries["station_code"], stations, "station"),
        quantity_id=_ids_where_known(entries["quantity"], ids["quantity_id"], "quantity"),
        visit_id=enter_visits(connection, _visits_of(entries, visits), stations, change).reindex(
            entries.index
        ),
        file_id=ids_of(entries["sha256"], file_ids, "file"),
        method_id=code_ids(connection, schema.methods, entries["method"]),
        batch_id=code_ids(connection, schema.batches, entries["batch"]),
        taken_on=date_texts(entries["taken_on"]),
        analysed_on=date_texts(entries["analysed_on"]),
        estimated=entries["estimated"].astype("int64"),
        replaces=None if replaces is None else replaces.astype("Int64"),
        entered_in=change,
    )
    rows["visit_id"] = rows["visit_id"].astype("Int64")
    given_later = ("reading_id", "left_in")
    columns = [column.name for column in schema.readings.columns if column.name not in given_later]
    insert_frame(connection, schema.readings, rows[columns])
    return sorted(int(each) for each in rows["station_id"].dropna().unique())


def _ids_where_known(codes: pd.Series, ids: Mapping[str, int], kind: str) -> pd.Series:
    """Return the id of every code, missing where there is no code yet."""
    said = codes != ""
    return ids_of(codes[said], ids, kind).reindex(codes.index).astype("Int64")


def _visits_of(entries: pd.DataFrame, visits: pd.DataFrame | None) -> pd.DataFrame:
    """Return the visits of the entries, index as theirs, then those that are told of besides."""
    own = {name: entries[name] for name in VISITS if name in entries}
    nothing = {"str": "", "float64": np.nan}
    lacking = {
        name: pd.Series(nothing[kind], index=entries.index, dtype=kind)
        for name, kind in VISITS.items()
        if name not in own
    }
    frame = pd.DataFrame({**own, **lacking})[list(VISITS)]
    if visits is None or visits.empty:
        return frame
    return pd.concat([frame, visits[list(VISITS)].set_axis(-1 - np.arange(len(visits)))])
