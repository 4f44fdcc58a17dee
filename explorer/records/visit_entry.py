"""Enters visits into the record, within a change: a station, a day and an observer make one visit."""

from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import sqlalchemy as sa

from explorer.model.readings import VISITS
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.ids import ids_of, insert_frame, next_id

__all__ = ["VISIT_KEY", "between_days", "date_texts", "enter_visits"]

VISIT_KEY = ["station_id", "taken_on", "observer"]

_SAID = [name for name in VISITS if name not in ("station_code", "taken_on", "observer")]
_JOINED = ("weather", "remark")  # every different one is kept; of the others the first


def date_texts(dates: pd.Series) -> pd.Series:
    """Return dates as ISO text, missing where there is none.

    Parameters
    ----------
    dates : Series of datetime64, shape (n,)

    Examples
    --------
    >>> date_texts(pd.Series([pd.Timestamp(2025, 5, 1)])).tolist()
    ['2025-05-01']
    """
    texts = pd.Series(np.datetime_as_string(dates.to_numpy().astype("datetime64[D]")), index=dates.index)
    return texts.where(dates.notna())


def between_days(column: sa.Column[Any], days: pd.Series) -> sa.ColumnElement[bool]:
    """Return the condition that a date lies between the first and the last of some days.

    Parameters
    ----------
    column : Column
        Of dates.
    days : Series of str, shape (n,)
        ISO text, empty where there is none.
    """
    said = days[days != ""]
    if said.empty:
        return sa.false()
    return column.between(date.fromisoformat(said.min()), date.fromisoformat(said.max()))


def enter_visits(
    connection: sa.Connection, visits: pd.DataFrame, stations: dict[str, int], change: int
) -> pd.Series:
    """Enter visits; one that the record holds gets a new row where more is said of it than before.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    visits : DataFrame
        Columns of `VISITS`; several rows may be of one visit, some without a station.
    stations : dict of str to int
        Id of a station by code.
    change : int
        Id of the change.

    Returns
    -------
    Series of float, same index
        Id of each row's visit, NaN where its station is not known.

    Raises
    ------
    UnknownNameError
        If a visit names a station that the record does not hold.
    """
    placed = visits[visits["station_code"] != ""]
    rows = placed.assign(
        station_id=ids_of(placed["station_code"], stations, "station"),
        taken_on=date_texts(placed["taken_on"]).fillna("").astype(object),
        observer=placed["observer"].astype(object),
    )
    wanted = rows[VISIT_KEY].drop_duplicates()
    for name in _SAID:
        wanted = wanted.merge(_said(rows, name), how="left", on=VISIT_KEY)
    known = _known_visits(connection, wanted)
    wanted = wanted.merge(known, how="left", on=VISIT_KEY, suffixes=("", "_before"))
    new = wanted["visit_id"].isna().to_numpy()
    first = next_id(connection, schema.visits.c.visit_id)
    wanted.loc[new, "visit_id"] = np.arange(first, first + int(new.sum()))
    wanted["visit_id"] = wanted["visit_id"].astype("int64")
    _enter(connection, wanted, new, change)
    return rows[VISIT_KEY].merge(wanted, how="left", on=VISIT_KEY)["visit_id"].set_axis(rows.index).reindex(
        visits.index
    )  # fmt: skip


def _enter(connection: sa.Connection, wanted: pd.DataFrame, new: np.ndarray, change: int) -> None:
    """Insert new visits, and a new row of those of which more is known now."""
    more = np.zeros(len(wanted), dtype=bool)
    for name in _SAID:
        before = wanted[f"{name}_before"]
        unsaid = before.isna() | (before == "")
        more |= ~new & unsaid.to_numpy() & wanted[name].notna().to_numpy()
        wanted[name] = wanted[name].where(unsaid, before)
        if VISITS[name] == "str":
            wanted[name] = wanted[name].fillna("")
    for some in in_portions(wanted.loc[more, "visit_id"].tolist()):
        visits = schema.visits
        connection.execute(
            visits.update()
            .where(visits.c.visit_id.in_(some), visits.c.left_in.is_(None))
            .values(left_in=change)
        )
    arrived = wanted[new | more].assign(entered_in=change)
    arrived["taken_on"] = arrived["taken_on"].astype(object).replace({"": None})
    insert_frame(connection, schema.visits, arrived[["visit_id", *VISIT_KEY, *_SAID, "entered_in"]])


def _known_visits(connection: sa.Connection, wanted: pd.DataFrame) -> pd.DataFrame:
    """Return the record's visits at the stations and in the days of those that are wanted."""
    visits = schema.visits
    day = visits.c.taken_on
    chosen = day.is_(None) | between_days(day, wanted["taken_on"])
    columns = [*VISIT_KEY, "visit_id", *_SAID]
    found: list[tuple[object, ...]] = []
    for some in in_portions(wanted["station_id"].unique().tolist()):
        query = sa.select(*(visits.c[name] for name in columns)).where(
            visits.c.left_in.is_(None), visits.c.station_id.in_(some), chosen
        )
        found.extend(tuple(row) for row in connection.execute(query))
    frame = pd.DataFrame(found, columns=columns, dtype=object)
    days = ["" if day is None else str(day) for day in frame["taken_on"]]
    frame["taken_on"] = pd.Series(days, index=frame.index, dtype=object)
    frame["station_id"] = frame["station_id"].astype("int64")
    frame["visit_id"] = frame["visit_id"].astype("float64")
    return frame.drop_duplicates(VISIT_KEY).rename(columns={name: f"{name}_before" for name in _SAID})


def _said(rows: pd.DataFrame, name: str) -> pd.DataFrame:
    """Return what a visit's rows say under a name: every different remark, of other things the first."""
    is_said = rows[name] != "" if VISITS[name] == "str" else rows[name].notna()
    said = rows.loc[is_said, [*VISIT_KEY, name]].drop_duplicates()
    said[name] = said[name].astype(object)
    several = said.duplicated(VISIT_KEY, keep=False)
    if not several.any():
        return said
    together = said[several].sort_values(name).groupby(VISIT_KEY)[name]
    texts = together.agg("; ".join if name in _JOINED else "first").reset_index()
    return pd.concat([said[~several], texts], ignore_index=True)
