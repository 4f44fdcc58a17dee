"""Rows computed from the readings, kept beside the version of the station that they belong to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd
import sqlalchemy as sa

from explorer.model.departure_rows import DEPARTURE_ROWS, SCORE_ROWS
from explorer.model.station_trends import TRENDS
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.connections import transaction
from explorer.records.geopackage import register_table
from explorer.records.ids import id_of, ids_by_code, ids_of, insert_frame
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["STORED_DEPARTURES", "STORED_SCORES", "STORED_TRENDS", "StoredRows"]

_COLUMNS = "SELECT name FROM pragma_table_info(?)"
# What was computed belongs to the same state of a station's readings as its season table, or it is stale.
_FRESH = """
SELECT {columns} FROM {table} t
JOIN station_summary u ON u.station_id = t.station_id AND u.record_version = t.record_version
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
{more}
WHERE t.settings_hash = ? AND t.formulas = ? AND t.quantity_id IS {quantity}
ORDER BY t.summary_id
"""
_QUANTITY = "JOIN quantities q ON q.quantity_id = t.quantity_id"
_CODES = {"station_code": "s.code", "quantity": "q.code"}


@dataclass(frozen=True)
class StoredRows:
    """A table of the record with rows of a station and quantity each.

    One further row without a quantity stands for every station that was computed, also for one of which there
    is nothing to say. The table is added to a record by the first `store`, which also replaces one that was
    made with other columns: all of it can be computed again.

    Attributes
    ----------
    table : Table
        Of the schema, with the stamp of stored summaries.
    columns : mapping of str to str
        Columns of the frame and their types, `station_code` and `quantity` among them.
    """

    table: sa.Table
    columns: Mapping[str, str]

    def fetch(self, record: Record, formulas: int) -> tuple[pd.DataFrame, list[str]]:
        """Return the stored rows and the stations for which none are stored or they are stale.

        Parameters
        ----------
        record : Record
            An open record, also one that was made before there was such a table.
        formulas : int
            Version of the formulas that the reader would compute with.

        Returns
        -------
        rows : DataFrame
            As `columns` says.
        stale : list of str
            Station codes to compute afresh.
        """
        there = self._is_there(record)
        key = (record.settings_hash, formulas)
        rows = record.fetch_rows(self._question(stamps=False), key) if there else []
        return frame_of_rows(rows, self.columns), self.stale(record, formulas)

    def stale(self, record: Record, formulas: int) -> list[str]:
        """Return the stations for which nothing is stored or it is stale.

        Parameters
        ----------
        record : Record
            An open record, also one that was made before there was such a table.
        formulas : int
            Version of the formulas that the reader would compute with.
        """
        key = (record.settings_hash, formulas)
        rows = record.fetch_rows(self._question(stamps=True), key) if self._is_there(record) else []
        fresh = {code for (code,) in rows}
        return [station.code for station in record.station_list() if station.code not in fresh]

    def store(
        self, path: Path, rows: pd.DataFrame, codes: Sequence[str], *, version: int, formulas: int
    ) -> None:
        """Store the rows of the given stations, if the record has not moved on meanwhile.

        Parameters
        ----------
        path : Path
            The record's file.
        rows : DataFrame
            As `columns` says, of these stations only.
        codes : sequence of str
            All stations that were computed. One without a stored season table is passed over: it is stale
            anyway.
        version : int
            Version of the record that was read.
        formulas : int
            Version of the formulas.
        """
        with transaction(path) as connection:
            info = connection.execute(schema.record_info.select()).one()
            if info.version != version:
                return
            table = self.table
            if not self._has_columns(connection.exec_driver_sql(_COLUMNS, (table.name,)).all()):
                table.drop(connection, checkfirst=True)
                table.create(connection)
            register_table(connection, table.name)
            ids = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
            quantities = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
            summaries = schema.station_summary.c
            known = connection.execute(sa.select(summaries.station_id, summaries.record_version))
            of_station = {int(number): int(of) for number, of in known}
            touched = [number for code in codes if (number := id_of(ids, code, "station")) in of_station]
            for some in in_portions(touched):
                connection.execute(table.delete().where(table.c.station_id.in_(some)))
            numbered = rows.assign(
                station_id=ids_of(rows["station_code"], ids, "station"),
                quantity_id=ids_of(rows["quantity"], quantities, "quantity"),
            ).drop(columns=["station_code", "quantity"])
            stamps = pd.DataFrame({"station_id": pd.Series(touched, dtype="int64")})
            for frame in (numbered[numbered["station_id"].isin(touched)], stamps):
                stamped = frame.assign(
                    record_version=frame["station_id"].map(of_station).astype("int64"),
                    settings_hash=info.settings_hash,
                    formulas=formulas,
                )
                insert_frame(connection, table, stamped)

    def _is_there(self, record: Record) -> bool:
        return self._has_columns(record.fetch_rows(_COLUMNS, (self.table.name,)))

    def _has_columns(self, found: Sequence[Sequence[Any]]) -> bool:
        return {column.name for column in self.table.columns} == {name for (name,) in found}

    def _question(self, *, stamps: bool) -> str:
        columns = "s.code" if stamps else ", ".join(_CODES.get(name, f't."{name}"') for name in self.columns)
        return _FRESH.format(
            columns=columns,
            table=self.table.name,
            more="" if stamps else _QUANTITY,
            quantity="NULL" if stamps else "NOT NULL",
        )


STORED_TRENDS = StoredRows(schema.trend_summary, TRENDS)
STORED_DEPARTURES = StoredRows(schema.departure_summary, DEPARTURE_ROWS)
STORED_SCORES = StoredRows(schema.score_summary, SCORE_ROWS)
