"""Stored trends: what was computed of each series, beside the version of the station it belongs to."""

from collections.abc import Sequence
from pathlib import Path

import pandas as pd
import sqlalchemy as sa

from explorer.model.station_trends import TRENDS
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.connections import transaction
from explorer.records.geopackage import register_table
from explorer.records.ids import id_of, ids_by_code, ids_of, insert_frame
from explorer.records.record import Record

__all__ = ["store_trends", "stored_trends"]

_OWN = tuple(name for name in TRENDS if name not in ("station_code", "quantity"))
_THERE = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'trend_summary'"
# A station's trends belong to the same state of its readings as its season table, or they are stale.
_FRESH = """
FROM trend_summary t
JOIN station_summary u ON u.station_id = t.station_id AND u.record_version = t.record_version
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
{more}
WHERE t.settings_hash = ? AND t.formulas = ? AND t.quantity_id IS {quantity}
ORDER BY t.summary_id
"""
_ROWS = f"SELECT s.code, q.code, {', '.join(f't.{name}' for name in _OWN)}" + _FRESH.format(
    more="JOIN quantities q ON q.quantity_id = t.quantity_id", quantity="NOT NULL"
)
_STATIONS = "SELECT s.code" + _FRESH.format(more="", quantity="NULL")


def stored_trends(record: Record, formulas: int) -> tuple[pd.DataFrame, list[str]]:
    """Return the stored trends and the stations for which none are stored or they are stale.

    Parameters
    ----------
    record : Record
        An open record, also one that was made before trends were stored.
    formulas : int
        Version of the formulas that the reader would compute with.

    Returns
    -------
    trends : DataFrame
        Columns of `TRENDS`.
    stale : list of str
        Station codes to compute afresh.
    """
    key = (record.settings_hash, formulas)
    there = bool(record.fetch_rows(_THERE))
    rows = record.fetch_rows(_ROWS, key) if there else []
    fresh = {row[0] for row in record.fetch_rows(_STATIONS, key)} if there else set()
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(TRENDS)
    trends = pd.DataFrame(
        {
            name: pd.Series(values, dtype=kind)
            for (name, kind), values in zip(TRENDS.items(), columns, strict=True)
        }
    )
    return trends, [station.code for station in record.station_list() if station.code not in fresh]


def store_trends(
    path: Path, trends: pd.DataFrame, codes: Sequence[str], *, version: int, formulas: int
) -> None:
    """Store the trends of the given stations, if the record has not moved on meanwhile.

    Parameters
    ----------
    path : Path
        The record's file.
    trends : DataFrame
        Columns of `TRENDS`, of these stations only.
    codes : sequence of str
        All stations that were computed, also those without a trend. One without a stored season table is
        passed over: it is stale anyway.
    version : int
        Version of the record that was read.
    formulas : int
        Version of the formulas.
    """
    with transaction(path) as connection:
        info = connection.execute(schema.record_info.select()).one()
        if info.version != version:
            return
        table = schema.trend_summary
        table.create(connection, checkfirst=True)  # a record made before trends were stored has none
        register_table(connection, table.name)
        ids = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
        quantities = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
        summaries = schema.station_summary.c
        known = connection.execute(sa.select(summaries.station_id, summaries.record_version))
        of_station = {int(number): int(of) for number, of in known}
        touched = [number for code in codes if (number := id_of(ids, code, "station")) in of_station]
        for some in in_portions(touched):
            connection.execute(table.delete().where(table.c.station_id.in_(some)))
        rows = trends.assign(
            station_id=ids_of(trends["station_code"], ids, "station"),
            quantity_id=ids_of(trends["quantity"], quantities, "quantity"),
        ).drop(columns=["station_code", "quantity"])
        stamps = pd.DataFrame({"station_id": pd.Series(touched, dtype="int64")})
        for frame in (rows[rows["station_id"].isin(touched)], stamps):
            stamped = frame.assign(
                record_version=frame["station_id"].map(of_station).astype("int64"),
                settings_hash=info.settings_hash,
                formulas=formulas,
            )
            insert_frame(connection, table, stamped)
