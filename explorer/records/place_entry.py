"""Enters new waters and stations into the record, within a change."""

from collections.abc import Iterable, Mapping

import numpy as np
import shapely
import sqlalchemy as sa

from explorer.model.places import Lake, Station
from explorer.records import schema
from explorer.records.geopackage import update_extents
from explorer.records.ids import id_of, ids_by_code, next_id

__all__ = ["enter_places"]


def enter_places(
    connection: sa.Connection,
    lakes: Iterable[Lake],
    outlines: Mapping[str, shapely.Geometry],
    stations: Iterable[Station],
    change: int,
) -> None:
    """Enter waters and stations that the record does not hold yet.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    lakes : iterable of Lake
    outlines : mapping of str to shapely geometry
        By lake code. [deg, WGS 84]
    stations : iterable of Station
    change : int
        Id of the change.

    Raises
    ------
    UnknownNameError
        If a station names a water that neither the record nor the change holds.
    """
    lake_rows = _lake_rows(connection, lakes, outlines, change)
    if lake_rows:
        connection.execute(schema.lakes.insert(), lake_rows)
    station_rows = _station_rows(connection, stations, change)
    if station_rows:
        connection.execute(schema.stations.insert(), station_rows)
    if lake_rows or station_rows:
        update_extents(connection)


def _lake_rows(
    connection: sa.Connection, lakes: Iterable[Lake], outlines: Mapping[str, shapely.Geometry], change: int
) -> list[dict[str, object]]:
    first = next_id(connection, schema.lakes.c.lake_id)
    return [
        {
            "lake_id": number,
            "code": lake.code,
            "name": lake.name,
            "kind": lake.kind,
            "attributes": " ".join(sorted(lake.attributes)),
            "area_km2": _number(lake.area_km2),
            "altitude_m": _number(lake.altitude_m),
            "maximum_depth_m": _number(lake.maximum_depth_m),
            "outline": outlines.get(lake.code),
            "entered_in": change,
        }
        for number, lake in enumerate(lakes, first)
    ]


def _station_rows(
    connection: sa.Connection, stations: Iterable[Station], change: int
) -> list[dict[str, object]]:
    lake_ids = ids_by_code(connection, schema.lakes.c.code, schema.lakes.c.lake_id)
    first = next_id(connection, schema.stations.c.station_id)
    return [
        {
            "station_id": number,
            "code": station.code,
            "name": station.name,
            "lake_id": id_of(lake_ids, station.lake_code, "lake"),
            "bottom_depth_m": _number(station.bottom_depth_m),
            "is_index": int(station.is_index),
            "place": _place(station),
            "entered_in": change,
        }
        for number, station in enumerate(stations, first)
    ]


def _place(station: Station) -> shapely.Point | None:
    if np.isnan(station.longitude_deg) or np.isnan(station.latitude_deg):
        return None
    return shapely.Point(station.longitude_deg, station.latitude_deg)


def _number(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
