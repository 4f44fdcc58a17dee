"""Enters readings and their visits into the record, within a change."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import sqlalchemy as sa

from explorer.records import schema
from explorer.records.ids import code_ids, ids_by_code, ids_of, insert_frame, next_id

__all__ = ["enter_readings"]

_VISIT = ["station_id", "taken_on", "observer"]


def enter_readings(
    connection: sa.Connection,
    entries: pd.DataFrame,
    file_ids: Mapping[str, int],
    change: int,
    *,
    replaces: pd.Series | None = None,
) -> list[int]:
    """Enter readings; methods, batches and visits that the record lacks are added.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    entries : DataFrame
        Columns of `ENTRIES`.
    file_ids : mapping of str to int
        Id of a file by the checksum of its bytes.
    change : int
        Id of the change.
    replaces : Series of int, same index as `entries`, optional
        Id of the reading that each one replaces, missing for a new one.

    Returns
    -------
    list of int
        Ids of the stations that got a reading.

    Raises
    ------
    UnknownNameError
        If a reading names a station, a quantity or a file that the record does not hold.
    """
    if entries.empty:
        return []
    stations = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
    quantities = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
    rows = entries.assign(
        station_id=ids_of(entries["station_code"], stations, "station"),
        quantity_id=ids_of(entries["quantity"], quantities, "quantity"),
        file_id=ids_of(entries["sha256"], file_ids, "file"),
        method_id=code_ids(connection, schema.methods, entries["method"]),
        batch_id=code_ids(connection, schema.batches, entries["batch"]),
        taken_on=_days(entries["taken_on"]),
        analysed_on=_days(entries["analysed_on"]),
        estimated=entries["estimated"].astype("int64"),
        replaces=None if replaces is None else replaces.astype("Int64"),
        entered_in=change,
    )
    rows["visit_id"] = _enter_visits(connection, rows, change)
    given_later = ("reading_id", "left_in")
    columns = [column.name for column in schema.readings.columns if column.name not in given_later]
    insert_frame(connection, schema.readings, rows[columns])
    return sorted(rows["station_id"].unique().tolist())


def _days(dates: pd.Series) -> pd.Series:
    """Return dates as ISO text, missing where there is none."""
    texts = pd.Series(np.datetime_as_string(dates.to_numpy().astype("datetime64[D]")), index=dates.index)
    return texts.where(dates.notna())


def _enter_visits(connection: sa.Connection, rows: pd.DataFrame, change: int) -> pd.Series:
    """Return the visit of every row: a station, a day and an observer make one visit."""
    rows = rows.assign(taken_on=rows["taken_on"].fillna(""))
    wanted = rows[_VISIT].drop_duplicates().merge(_known_visits(connection, rows), how="left", on=_VISIT)
    new = wanted["visit_id"].isna().to_numpy()
    first = next_id(connection, schema.visits.c.visit_id)
    wanted.loc[new, "visit_id"] = np.arange(first, first + int(new.sum()))
    wanted["visit_id"] = wanted["visit_id"].astype("int64")
    arrived = wanted[new].assign(entered_in=change)
    for name in ("taken_time", "weather", "remark"):
        arrived = arrived.merge(_said(rows, name), how="left", on=_VISIT)
        arrived[name] = arrived[name].fillna("")
    arrived["taken_on"] = arrived["taken_on"].astype(object).replace({"": None})
    columns = ["visit_id", *_VISIT, "taken_time", "weather", "remark", "entered_in"]
    insert_frame(connection, schema.visits, arrived[columns])
    return rows[_VISIT].merge(wanted, how="left", on=_VISIT)["visit_id"].set_axis(rows.index)


def _known_visits(connection: sa.Connection, rows: pd.DataFrame) -> pd.DataFrame:
    visits = schema.visits
    query = sa.select(visits.c.station_id, visits.c.taken_on, visits.c.observer, visits.c.visit_id).where(
        visits.c.left_in.is_(None)
    )
    found = connection.execute(query).all()
    touched = set(rows["station_id"].unique().tolist())
    cells = [
        (row[0], "" if row[1] is None else str(row[1]), row[2], row[3]) for row in found if row[0] in touched
    ]
    kinds = {"station_id": "int64", "taken_on": "object", "observer": "object", "visit_id": "float64"}
    frame = pd.DataFrame(cells, columns=list(kinds))
    return frame.astype({**kinds, "taken_on": rows["taken_on"].dtype, "observer": rows["observer"].dtype})


def _said(rows: pd.DataFrame, name: str) -> pd.DataFrame:
    """Return what a visit's rows say under a name: the earliest time, every different remark."""
    said = rows.loc[rows[name] != "", [*_VISIT, name]].drop_duplicates().sort_values(name)
    texts = said.groupby(_VISIT)[name].agg("first" if name == "taken_time" else "; ".join)
    return texts.reset_index()
