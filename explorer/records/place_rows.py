"""Rows of waters and stations from the file, as values and as frames of points and outlines."""

import re
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import pandas as pd
import shapely

from explorer.model.places import Lake, Station
from explorer.records.geometry import SRS_ID, from_geopackage
from explorer.records.reading_rows import RowSource

if TYPE_CHECKING:
    import geopandas

__all__ = ["fetch_lakes", "fetch_outlines", "fetch_stations", "outlines_frame", "stations_frame"]


def fetch_lakes(fetch: RowSource) -> dict[str, Lake]:
    """Return the current waters by code.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    """
    rows = fetch(
        "SELECT code, name, kind, attributes, area_km2, altitude_m, maximum_depth_m FROM lakes "
        "WHERE left_in IS NULL ORDER BY name, code"
    )
    return {
        code: Lake(
            code, name, kind, frozenset(words.split()), _number(area), _number(altitude), _number(depth)
        )
        for code, name, kind, words, area, altitude, depth in rows
    }


def fetch_stations(fetch: RowSource) -> dict[str, tuple[int, Station]]:
    """Return id and station by code, in the order of the names of their waters and their own.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    """
    rows = fetch(
        "SELECT s.station_id, s.code, s.name, l.code, s.place, s.bottom_depth_m, s.is_index, l.name "
        "FROM stations s JOIN lakes l ON l.lake_id = s.lake_id AND l.left_in IS NULL "
        "WHERE s.left_in IS NULL"
    )
    rows.sort(key=lambda row: (_natural(row[-1]), _natural(row[2]), _natural(row[1])))
    found = {}
    for number, code, name, lake_code, place, depth, is_index, _ in rows:
        point = shapely.Point() if place is None else from_geopackage(place)
        x, y = (float("nan"),) * 2 if point.is_empty else (point.x, point.y)
        found[code] = (number, Station(code, name, lake_code, x, y, _number(depth), bool(is_index)))
    return found


def fetch_outlines(fetch: RowSource) -> dict[str, shapely.Geometry]:
    """Return the outline of every water that has one, by code. [deg, WGS 84]

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    """
    rows = fetch(
        "SELECT code, outline FROM lakes WHERE left_in IS NULL AND outline IS NOT NULL ORDER BY name"
    )
    return {code: from_geopackage(blob) for code, blob in rows}


def stations_frame(stations: Iterable[Station], lakes: Mapping[str, Lake]) -> "geopandas.GeoDataFrame":
    """Return stations as points.

    Parameters
    ----------
    stations : iterable of Station
        One row each.
    lakes : mapping of str to Lake
        Their waters by code.

    Returns
    -------
    GeoDataFrame, WGS 84
        Columns station_code, name, lake_code, lake_name, kind, bottom_depth_m [m], is_index, geometry
        (empty where there are no coordinates).
    """
    import geopandas

    known = list(stations)
    frame = pd.DataFrame(
        {
            "station_code": pd.Series([station.code for station in known], dtype="str"),
            "name": pd.Series([station.name for station in known], dtype="str"),
            "lake_code": pd.Series([station.lake_code for station in known], dtype="str"),
            "lake_name": pd.Series([lakes[station.lake_code].name for station in known], dtype="str"),
            "kind": pd.Series([lakes[station.lake_code].kind for station in known], dtype="str"),
            "bottom_depth_m": pd.Series([station.bottom_depth_m for station in known], dtype="float64"),
            "is_index": pd.Series([station.is_index for station in known], dtype="bool"),
        }
    )
    points = [
        shapely.Point()
        if pd.isna(station.longitude_deg)
        else shapely.Point(station.longitude_deg, station.latitude_deg)
        for station in known
    ]
    return geopandas.GeoDataFrame(frame, geometry=points, crs=SRS_ID)


def outlines_frame(
    outlines: Mapping[str, shapely.Geometry], lakes: Mapping[str, Lake]
) -> "geopandas.GeoDataFrame":
    """Return the waters that have an outline.

    Parameters
    ----------
    outlines : mapping of str to shapely geometry
        By lake code. [deg, WGS 84]
    lakes : mapping of str to Lake
        Waters by code.

    Returns
    -------
    GeoDataFrame, one row a water, WGS 84
        Columns lake_code, name, kind, geometry.
    """
    import geopandas

    rows = [(code, lakes[code].name, lakes[code].kind) for code in outlines]
    frame = pd.DataFrame(rows, columns=["lake_code", "name", "kind"], dtype="str")
    return geopandas.GeoDataFrame(frame, geometry=list(outlines.values()), crs=SRS_ID)


def _natural(name: str) -> list[tuple[int, str]]:
    """Return a key that puts "Pond 2" before "Pond 10"."""
    parts = re.split(r"(\d+)", name.casefold())
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in parts]


def _number(value: float | None) -> float:
    return float("nan") if value is None else float(value)
