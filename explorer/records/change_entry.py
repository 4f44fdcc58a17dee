"""Begins a change within a transaction, and forgets what was computed of the stations that it touches."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from importlib.metadata import version as software_version
from itertools import islice
from pathlib import Path
from typing import TypeVar

import sqlalchemy as sa

from explorer.model.errors import RecordError
from explorer.records import schema

__all__ = ["begin_change", "forget_summaries", "in_portions"]

PORTION = 500  # values in one statement: SQLite takes at least 999

_Value = TypeVar("_Value")


def in_portions(values: Iterable[_Value]) -> Iterator[Sequence[_Value]]:
    """Yield values so many at a time that one statement can take them.

    Parameters
    ----------
    values : iterable
        Any number of them.

    Examples
    --------
    >>> [len(each) for each in in_portions(range(1100))]
    [500, 500, 100]
    """
    left = iter(values)
    while some := tuple(islice(left, PORTION)):
        yield some


def begin_change(connection: sa.Connection, path: Path, *, kind: str, who: str, why: str) -> int:
    """Write down who changes the record, when and why, and return the number of the change.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    path : Path
        The record, for the message.
    kind : str
        "import", "check-in", "correction", "mark".
    who, why : str
        As typed.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    RecordError
        If the record has another format than this version writes.
    """
    info = connection.execute(sa.select(schema.record_info)).one()
    if info.format != schema.FORMAT:
        raise RecordError(
            f"{path} has format {info.format}, and this version writes format {schema.FORMAT}. Nothing was "
            "changed; install the version that wrote it."
        )
    change = int(info.version) + 1
    connection.execute(
        schema.changes.insert(),
        {
            "change_id": change,
            "kind": kind,
            "who": who,
            "at": datetime.now().astimezone().isoformat(timespec="seconds"),
            "why": why,
            "software": f"station-explorer {software_version('station-explorer')}",
            "settings_hash": info.settings_hash,
        },
    )
    connection.execute(schema.record_info.update().values(version=change))
    return change


def forget_summaries(connection: sa.Connection, station_ids: Iterable[int]) -> None:
    """Drop what was computed of stations: a missing summary is a stale one.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    station_ids : iterable of int
        The stations that a change touches.
    """
    for some in in_portions(station_ids):
        for table in (schema.season_summary, schema.station_summary):
            connection.execute(table.delete().where(table.c.station_id.in_(some)))
