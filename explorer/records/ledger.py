"""The only writer: one change, one transaction; nothing is overwritten, nothing is deleted."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version as software_version
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import shapely
import sqlalchemy as sa

from explorer.model.errors import unknown_name
from explorer.model.places import Lake, Station
from explorer.model.quantities import Quantity
from explorer.model.readings import ENTRIES, check_frame
from explorer.records import schema
from explorer.records.geopackage import connect, create_tables

__all__ = ["Arrival", "create_record", "enter", "settings_hash"]


@dataclass(frozen=True, slots=True)
class Arrival:
    """What one change brings into the record.

    Attributes
    ----------
    lakes : tuple of Lake
        Waters that the record does not hold yet.
    outlines : mapping of str to shapely geometry
        Outline by lake code, where there is one. [deg, WGS 84]
    stations : tuple of Station
        Stations that the record does not hold yet.
    entries : DataFrame
        Columns of `ENTRIES`, in record units.
    files : mapping of str to bytes
        Content of every file by its name.
    """

    lakes: tuple[Lake, ...]
    outlines: Mapping[str, shapely.Geometry]
    stations: tuple[Station, ...]
    entries: pd.DataFrame
    files: Mapping[str, bytes]


def settings_hash(settings: str) -> str:
    """Return the short checksum under which a settings text is named.

    Examples
    --------
    >>> settings_hash("")
    'e3b0c44298fc'
    """
    return hashlib.sha256(settings.encode()).hexdigest()[:12]


def create_record(path: Path, settings: str, quantities: Iterable[Quantity]) -> None:
    """Make a new, empty record.

    Parameters
    ----------
    path : Path
        File to make; must not exist.
    settings : str
        The programme's TOML, may be empty.
    quantities : iterable of Quantity
        What the programme measures.

    Raises
    ------
    RecordError
        If the file is there already or lies where nothing may be written.
    """
    create_tables(path)
    engine = connect(path, write=True)
    with engine.begin() as connection:
        connection.execute(
            schema.record_info.insert(),
            {
                "format": schema.FORMAT,
                "version": 0,
                "settings": settings,
                "settings_hash": settings_hash(settings),
            },
        )
        connection.execute(
            schema.quantities.insert(),
            [{"code": each.code, "name": each.name, "unit": each.unit} for each in quantities],
        )
    engine.dispose()


def enter(path: Path, arrival: Arrival, *, kind: str, who: str, why: str) -> int:
    """Write one change in one transaction: all of it or nothing.

    Parameters
    ----------
    path : Path
        A record.
    arrival : Arrival
        What comes in.
    kind : str
        What kind of change it is: "import", "check-in".
    who, why : str
        As typed.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    UnknownNameError
        If a reading names a station, a quantity or a file that neither record nor arrival holds.
    """
    entries = check_frame(arrival.entries, ENTRIES, "entries")
    engine = connect(path, write=True)
    try:
        with engine.begin() as connection:
            change = _new_change(connection, kind=kind, who=who, why=why)
            file_ids = _enter_files(connection, arrival.files, change)
            _enter_places(connection, arrival, change)
            station_ids = _ids(connection, schema.stations.c.code, schema.stations.c.station_id)
            touched = _enter_readings(connection, entries, station_ids, file_ids, change)
            _forget_summaries(connection, touched)
    finally:
        engine.dispose()
    return change


def _new_change(connection: sa.Connection, *, kind: str, who: str, why: str) -> int:
    info = connection.execute(sa.select(schema.record_info)).one()
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


def _enter_files(connection: sa.Connection, files: Mapping[str, bytes], change: int) -> dict[str, int]:
    known = _ids(connection, schema.files.c.sha256, schema.files.c.file_id)
    for name, content in files.items():
        checksum = hashlib.sha256(content).hexdigest()
        if checksum not in known:
            made = connection.execute(
                schema.files.insert(),
                {"name": name, "sha256": checksum, "content": content, "entered_in": change},
            )
            known[checksum] = int(made.inserted_primary_key[0])
    return known


def _enter_places(connection: sa.Connection, arrival: Arrival, change: int) -> None:
    lake_ids = _ids(connection, schema.lakes.c.code, schema.lakes.c.lake_id)
    first = _next_id(connection, schema.lakes.c.lake_id)
    lake_rows = []
    for number, lake in enumerate(arrival.lakes, first):
        lake_ids[lake.code] = number
        lake_rows.append(
            {
                "lake_id": number, "code": lake.code, "name": lake.name, "kind": lake.kind,
                "attributes": " ".join(sorted(lake.attributes)), "area_km2": _number(lake.area_km2),
                "altitude_m": _number(lake.altitude_m), "maximum_depth_m": _number(lake.maximum_depth_m),
                "outline": arrival.outlines.get(lake.code), "entered_in": change,
            }
        )  # fmt: skip
    first = _next_id(connection, schema.stations.c.station_id)
    station_rows = [
        {
            "station_id": number, "code": station.code, "name": station.name,
            "lake_id": _known(lake_ids, station.lake_code, "lake"),
            "bottom_depth_m": _number(station.bottom_depth_m), "is_index": int(station.is_index),
            "place": None if np.isnan(station.longitude_deg)
            else shapely.Point(station.longitude_deg, station.latitude_deg), "entered_in": change,
        }
        for number, station in enumerate(arrival.stations, first)
    ]  # fmt: skip
    for table, rows in ((schema.lakes, lake_rows), (schema.stations, station_rows)):
        if rows:
            connection.execute(table.insert(), rows)


def _enter_readings(
    connection: sa.Connection,
    entries: pd.DataFrame,
    station_ids: dict[str, int],
    file_ids: dict[str, int],
    change: int,
) -> list[int]:
    if entries.empty:
        return []
    quantity_ids = _ids(connection, schema.quantities.c.code, schema.quantities.c.quantity_id)
    rows = entries.assign(
        station_id=_mapped(entries["station_code"], station_ids, "station"),
        quantity_id=_mapped(entries["quantity"], quantity_ids, "quantity"),
        file_id=_mapped(entries["sha256"], file_ids, "file"),
        method_id=_codes(connection, schema.methods, entries["method"]),
        batch_id=_codes(connection, schema.batches, entries["batch"]),
        taken_on=entries["taken_on"].dt.strftime("%Y-%m-%d"),
        analysed_on=entries["analysed_on"].dt.strftime("%Y-%m-%d"),
        estimated=entries["estimated"].astype("int64"),
        entered_in=change,
    )
    rows["visit_id"] = _enter_visits(connection, rows, change)
    columns = [
        column.name for column in schema.readings.columns
        if column.name not in ("reading_id", "replaces", "left_in")
    ]  # fmt: skip
    _insert(connection, schema.readings, rows[columns])
    return sorted(rows["station_id"].unique().tolist())


def _enter_visits(connection: sa.Connection, rows: pd.DataFrame, change: int) -> pd.Series:
    """Return the visit of every row: a station, a day and an observer make one visit."""
    key = ["station_id", "taken_on", "observer"]
    visits = schema.visits
    known = pd.DataFrame(
        connection.execute(
            sa.select(visits.c.station_id, visits.c.taken_on, visits.c.observer, visits.c.visit_id).where(
                visits.c.left_in.is_(None), visits.c.station_id.in_(rows["station_id"].unique().tolist())
            )
        ).all(),
        columns=[*key, "visit_id"],
    )
    known["taken_on"] = known["taken_on"].astype("str")
    wanted = rows.groupby(key, sort=False, as_index=False)[["taken_time", "weather", "remark"]].max()
    wanted = wanted.merge(known, how="left", on=key)
    new = wanted["visit_id"].isna()
    first = _next_id(connection, visits.c.visit_id)
    wanted.loc[new, "visit_id"] = np.arange(first, first + int(new.sum()))
    wanted["visit_id"] = wanted["visit_id"].astype("int64")
    columns = ["visit_id", *key, "taken_time", "weather", "remark", "entered_in"]
    _insert(connection, visits, wanted[new].assign(entered_in=change)[columns])
    found = rows[key].merge(wanted[[*key, "visit_id"]], how="left", on=key)["visit_id"]
    return found.set_axis(rows.index)


def _forget_summaries(connection: sa.Connection, station_ids: list[int]) -> None:
    """Drop what was computed of the touched stations: a missing summary is a stale one."""
    for table in (schema.season_summary, schema.station_summary):
        for start in range(0, len(station_ids), 500):
            some = station_ids[start : start + 500]
            connection.execute(table.delete().where(table.c.station_id.in_(some)))


def _insert(connection: sa.Connection, table: sa.Table, frame: pd.DataFrame) -> None:
    names = ", ".join(f'"{name}"' for name in frame.columns)
    marks = ", ".join("?" for _ in frame.columns)
    cells = frame.astype(object).where(frame.notna(), None)
    if len(cells):
        connection.exec_driver_sql(
            f"INSERT INTO {table.name} ({names}) VALUES ({marks})",
            list(cells.itertuples(index=False, name=None)),
        )


def _ids(connection: sa.Connection, code: sa.Column[Any], number: sa.Column[Any]) -> dict[str, int]:
    query = sa.select(code, number)
    if "left_in" in code.table.c:
        query = query.where(code.table.c.left_in.is_(None))
    return {row[0]: int(row[1]) for row in connection.execute(query)}


def _next_id(connection: sa.Connection, column: sa.Column[Any]) -> int:
    return int(connection.execute(sa.select(sa.func.coalesce(sa.func.max(column), 0))).scalar_one()) + 1


def _codes(connection: sa.Connection, table: sa.Table, codes: pd.Series) -> pd.Series:
    """Return the id of every code, adding the ones that the table lacks."""
    key = next(iter(table.primary_key.columns))
    known = _ids(connection, table.c.code, key)
    new = [code for code in codes.unique().tolist() if code not in known]
    if new:
        connection.execute(table.insert(), [{"code": code} for code in new])
        known = _ids(connection, table.c.code, key)
    return codes.map(known)


def _known(ids: Mapping[str, int], code: str, kind: str) -> int:
    if code not in ids:
        raise unknown_name(kind, code, ids, "in the record")
    return ids[code]


def _mapped(codes: pd.Series, ids: Mapping[str, int], kind: str) -> pd.Series:
    found = codes.map(ids)
    unknown = codes[found.isna()]
    if not unknown.empty:
        raise unknown_name(kind, str(unknown.iloc[0]), ids, "in the record")
    return found.astype("int64")


def _number(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
