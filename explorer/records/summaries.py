"""Stored season tables: kept beside the readings they came from, with the version they belong to."""

from collections.abc import Sequence
from pathlib import Path

import pandas as pd

from explorer.model.readings import SEASONS
from explorer.records import schema
from explorer.records.geopackage import connect
from explorer.records.record import Record

__all__ = ["store_seasons", "stored_seasons"]

_FETCH = """
SELECT s.code, q.code, t.window, t.year, t.visits, t.months, t.median, t.median_low, t.median_high, t.mean,
       t.mean_low, t.mean_high, t.geometric_mean, t.minimum, t.maximum, t.censored_share, t.log_spread
FROM season_summary t
JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = t.quantity_id
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
    engine = connect(path, write=True)
    with engine.begin() as connection:
        info = connection.execute(schema.record_info.select()).one()
        if info.version == version:
            ids = dict(
                connection.exec_driver_sql(
                    "SELECT code, station_id FROM stations WHERE left_in IS NULL"
                ).all()
            )
            quantity_ids = dict(connection.exec_driver_sql("SELECT code, quantity_id FROM quantities").all())
            stamp = {"record_version": version, "settings_hash": info.settings_hash, "formulas": formulas}
            rows = seasons.assign(
                station_id=seasons["station_code"].map(ids),
                quantity_id=seasons["quantity"].map(quantity_ids),
                **stamp,
            ).drop(columns=["station_code", "quantity"])
            cells = rows.astype(object).where(rows.notna(), None)
            for code in codes:
                for table in (schema.season_summary, schema.station_summary):
                    connection.execute(table.delete().where(table.c.station_id == ids[code]))
            if len(cells):
                connection.execute(schema.season_summary.insert(), cells.to_dict("records"))
            if codes:
                connection.execute(
                    schema.station_summary.insert(), [{"station_id": ids[code], **stamp} for code in codes]
                )
    engine.dispose()
