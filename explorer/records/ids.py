"""Ids inside the record: found by code, given to new codes, written in bulk."""

from collections.abc import Mapping
from typing import Any

import pandas as pd
import sqlalchemy as sa

from explorer.model.errors import unknown_name
from explorer.records import schema

__all__ = ["code_ids", "file_ids_by_checksum", "id_of", "ids_by_code", "ids_of", "insert_frame", "next_id"]


def ids_by_code(connection: sa.Connection, code: sa.Column[Any], number: sa.Column[Any]) -> dict[str, int]:
    """Return the current ids of a table by code.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    code, number : Column
        Columns of one table.
    """
    query = sa.select(code, number)
    if "left_in" in code.table.c:
        query = query.where(code.table.c.left_in.is_(None))
    return {row[0]: int(row[1]) for row in connection.execute(query)}


def file_ids_by_checksum(connection: sa.Connection) -> dict[str, int]:
    """Return the latest file of every checksum, also of one that has left.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    """
    files = schema.files
    query = sa.select(files.c.sha256, files.c.file_id).order_by(files.c.file_id)
    return {row[0]: int(row[1]) for row in connection.execute(query)}


def next_id(connection: sa.Connection, column: sa.Column[Any]) -> int:
    """Return the first id that was never used.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    column : Column
        Column of ids.
    """
    highest = sa.select(sa.func.coalesce(sa.func.max(column), 0))
    return int(connection.execute(highest).scalar_one()) + 1


def id_of(ids: Mapping[str, int], code: str, kind: str) -> int:
    """Return the id of one code.

    Parameters
    ----------
    ids : mapping of str to int
        From `ids_by_code`.
    code : str
        What is looked for.
    kind : str
        What the code names, for the message.

    Raises
    ------
    UnknownNameError
        If there is none; the message names the nearest.

    Examples
    --------
    >>> id_of({"A1": 7}, "A1", "station")
    7
    """
    if code not in ids:
        raise unknown_name(kind, code, ids, "in the record")
    return ids[code]


def ids_of(codes: pd.Series, ids: Mapping[str, int], kind: str) -> pd.Series:
    """Return the id of every code.

    Parameters
    ----------
    codes : Series of str, shape (n,)
        What is looked for.
    ids : mapping of str to int
        From `ids_by_code`.
    kind : str
        What the codes name, for the message.

    Returns
    -------
    Series of int, shape (n,), same index

    Raises
    ------
    UnknownNameError
        If there is none for one of them; the message names the nearest.

    Examples
    --------
    >>> ids_of(pd.Series(["B1", "A1"]), {"A1": 7, "B1": 9}, "station").tolist()
    [9, 7]
    """
    found = codes.map(dict(ids))
    unknown = codes[found.isna()]
    if not unknown.empty:
        raise unknown_name(kind, str(unknown.iloc[0]), ids, "in the record")
    return found.astype("int64")


def code_ids(connection: sa.Connection, table: sa.Table, codes: pd.Series) -> pd.Series:
    """Return the id of every code, adding the codes that the table lacks.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    table : Table
        `schema.methods` or `schema.batches`.
    codes : Series of str, shape (n,)
        Codes, known or new.
    """
    key = next(iter(table.primary_key.columns))
    known = ids_by_code(connection, table.c.code, key)
    new = [code for code in codes.unique().tolist() if code not in known]
    if new:
        connection.execute(table.insert(), [{"code": code} for code in new])
        known = ids_by_code(connection, table.c.code, key)
    return codes.map(known).astype("int64")


def insert_frame(connection: sa.Connection, table: sa.Table, frame: pd.DataFrame) -> None:
    """Insert the rows of a frame with the driver's own executemany; missing cells become NULL.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    table : Table
        Where they go.
    frame : DataFrame
        Columns named as the table's.
    """
    names = ", ".join(f'"{name}"' for name in frame.columns)
    marks = ", ".join("?" for _ in frame.columns)
    columns = [_cells(frame[name]) for name in frame.columns]
    if len(frame):
        rows = list(zip(*columns, strict=True))
        connection.exec_driver_sql(f"INSERT INTO {table.name} ({names}) VALUES ({marks})", rows)


def _cells(column: pd.Series) -> list[Any]:
    cells = column.tolist()
    if column.hasnans:
        return [None if missing else cell for cell, missing in zip(cells, column.isna(), strict=True)]
    return cells
