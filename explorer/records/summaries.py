"""Stored season tables: kept beside the readings they came from, with the version they belong to."""

from collections.abc import Sequence
from pathlib import Path

import pandas as pd

from explorer.model.readings import SEASONS
from explorer.records import schema
from explorer.records.connections import transaction
from explorer.records.ids import id_of, ids_by_code, ids_of, insert_frame
from explorer.records.record import Record

__all__ = ["store_seasons", "stored_seasons"]

_FETCH = """
SELECT s.code, q.code, t.window, t.year, m.code, t.visits, t.months, t.median, t.median_low, t.median_high,
       t.mean, t.mean_low, t.mean_high, t.geometric_mean, t.minimum, t.maximum, t.censored_share, t.log_spread
FROM season_summary t
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = t.quantity_id
JOIN methods m ON m.method_id = t.method_id
WHERE t.settings_hash = ? AND t.formulas = ?
ORDER BY t.station_id
"""


def stored_seasons(record: Record, formulas: int) -> tuple[pd.DataFrame, list[str]]:
    """Return the stored season table and the stations for which none is stored or it is stale.

    Parameters
    ----------
    record : Record
        An open record.
    formulas : int
        Version of the formulas that the reader would compute with.

    Returns
    -------
    seasons : DataFrame
        Columns of `SEASONS`.
    stale : list of str
        Station codes to compute afresh.
    """
    key = (record.settings_hash, formulas)
    rows = record.fetch_rows(_FETCH, key)
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(SEASONS)
    seasons = pd.DataFrame(
        {
            name: pd.Series(values, dtype=kind)
            for (name, kind), values in zip(SEASONS.items(), columns, strict=True)
        }
    )
    fresh = {
        row[0]
        for row in record.fetch_rows(
            "SELECT s.code FROM station_summary t JOIN stations s ON s.station_id = t.station_id "
            "AND s.left_in IS NULL WHERE t.settings_hash = ? AND t.formulas = ?",
            key,
        )
    }
    return seasons, [station.code for station in record.station_list() if station.code not in fresh]


def store_seasons(
    path: Path, seasons: pd.DataFrame, codes: Sequence[str], *, version: int, formulas: int
) -> None:
    """Store the season table of the given stations, if the record has not moved on meanwhile.

    Parameters
    ----------
    path : Path
        The record's file.
    seasons : DataFrame
        Columns of `SEASONS`, of these stations only.
    codes : sequence of str
        All stations that were computed, also those without a season.
    version : int
        Version of the record that was read.
    formulas : int
        Version of the formulas.
    """
    with transaction(path) as connection:
        info = connection.execute(schema.record_info.select()).one()
        if info.version != version:
            return
        ids = ids_by_code(connection, schema.stations.c.code, schema.stations.c.station_id)
        quantities = ids_by_code(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
        methods = ids_by_code(connection, schema.methods.c.code, schema.methods.c.method_id)
        stamp = {"record_version": version, "settings_hash": info.settings_hash, "formulas": formulas}
        touched = [id_of(ids, code, "station") for code in codes]
        for table in (schema.season_summary, schema.station_summary):
            for start in range(0, len(touched), 500):
                some = touched[start : start + 500]
                connection.execute(table.delete().where(table.c.station_id.in_(some)))
        rows = seasons.assign(
            station_id=ids_of(seasons["station_code"], ids, "station"),
            quantity_id=ids_of(seasons["quantity"], quantities, "quantity"),
            method_id=ids_of(seasons["method"], methods, "method"),
            **stamp,
        )
        insert_frame(
            connection, schema.season_summary, rows.drop(columns=["station_code", "quantity", "method"])
        )
        stamps = pd.DataFrame({"station_id": pd.Series(touched, dtype="int64")}).assign(**stamp)
        insert_frame(connection, schema.station_summary, stamps)
