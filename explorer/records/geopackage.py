"""The file itself: makes an empty GeoPackage with the record's tables, views and their registration."""

import sqlite3
from pathlib import Path

import shapely
import sqlalchemy as sa

from explorer.model.errors import RecordError
from explorer.records import schema
from explorer.records.connections import check_writable_place, transaction
from explorer.records.geometry import SRS_ID, from_geopackage

__all__ = ["create_tables", "create_views", "is_geopackage", "register_table", "update_extents"]

APPLICATION_ID = 0x47504B47  # "GPKG" (OGC 12-128r18, requirement 2)
USER_VERSION = 10300  # GeoPackage 1.3.0
PAGE_BYTES = 16384  # a station's readings lie on few pages: fewer reads for a click

_WGS84 = (
    'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],'
    'AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",'
    '0.0174532925199433,AUTHORITY["EPSG","9122"]],AXIS["Latitude",NORTH],AXIS["Longitude",EAST],'
    'AUTHORITY["EPSG","4326"]]'
)

# The three that every GeoPackage must hold (OGC 12-128r18, requirement 11).
_REFERENCE_SYSTEMS = (
    ("Undefined cartesian", -1, "NONE", -1, "undefined", "undefined cartesian reference system"),
    ("Undefined geographic", 0, "NONE", 0, "undefined", "undefined geographic reference system"),
    ("WGS 84 geodetic", SRS_ID, "EPSG", SRS_ID, _WGS84, "longitude and latitude in degrees"),
)

_PREAMBLE = f"""
PRAGMA page_size = {PAGE_BYTES};
PRAGMA application_id = {APPLICATION_ID};
PRAGMA user_version = {USER_VERSION};
BEGIN;
CREATE TABLE gpkg_spatial_ref_sys (
    srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
    organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
CREATE TABLE gpkg_contents (
    table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
    description TEXT DEFAULT '',
    last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
    min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
    CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (
    table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
    srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
    CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
    CONSTRAINT uk_gc_table_name UNIQUE (table_name),
    CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
    CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
COMMIT;
"""

_VIEWS = {
    "current_lakes": """
        SELECT fid, code, name, kind, attributes, area_km2, altitude_m, maximum_depth_m, outline
        FROM lakes WHERE left_in IS NULL""",
    "current_stations": """
        SELECT s.fid AS fid, s.code AS code, s.name AS name, l.code AS lake_code, l.name AS lake_name,
               s.bottom_depth_m AS bottom_depth_m, s.is_index AS is_index, s.place AS place
        FROM stations s LEFT JOIN lakes l ON l.lake_id = s.lake_id AND l.left_in IS NULL
        WHERE s.left_in IS NULL""",
    "current_readings": """
        SELECT r.reading_id AS reading_id, s.code AS station_code, q.code AS quantity, q.unit AS unit,
               r.taken_on AS taken_on, r.taken_time AS taken_time, r.depth_m AS depth_m, r.stratum AS stratum,
               r.value AS value, r.sign AS sign, r.detection_limit AS detection_limit,
               r.reporting_limit AS reporting_limit, r.qualifier AS qualifier, r.status AS status,
               r.reason AS reason, r.sample_code AS sample_code, r.sample_type AS sample_type,
               m.code AS method, b.code AS batch, v.observer AS observer, r.as_written AS as_written,
               r.unit_as_written AS unit_as_written, f.name AS file_name, r.sheet AS sheet, r."row" AS "row"
        FROM readings r
        LEFT JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
        LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
        LEFT JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
        JOIN methods m ON m.method_id = r.method_id
        JOIN batches b ON b.batch_id = r.batch_id
        JOIN files f ON f.file_id = r.file_id
        WHERE r.left_in IS NULL""",
}

_GEOMETRIES = {
    "lakes": ("outline", "MULTIPOLYGON"),
    "stations": ("place", "POINT"),
    "current_lakes": ("outline", "MULTIPOLYGON"),
    "current_stations": ("place", "POINT"),
}


def is_geopackage(path: Path) -> bool:
    """Return whether a file starts as an SQLite database marked as a GeoPackage.

    Parameters
    ----------
    path : Path
        Any file.

    Examples
    --------
    >>> is_geopackage(Path(__file__))
    False
    """
    with path.open("rb") as file:
        head = file.read(72)
    return head.startswith(b"SQLite format 3\0") and head[68:72] == APPLICATION_ID.to_bytes(4, "big")


def create_tables(path: Path) -> None:
    """Make a new file with all tables, indexes and views of an empty record.

    Parameters
    ----------
    path : Path
        Must not exist yet.

    Raises
    ------
    RecordError
        If a file is already there (nothing is ever overwritten), or none can be made there.
    """
    if path.exists():
        raise RecordError(f"{path} is already there. Choose another name; nothing is overwritten.")
    check_writable_place(path)
    try:
        _write_preamble(path)
    except sqlite3.Error as error:
        raise RecordError(
            f"{path} cannot be made ({error}). Check that its folder is there and that you may write in it."
        ) from error
    with transaction(path) as connection:
        schema.metadata.create_all(connection)
        create_views(connection)
        for name in (*schema.metadata.tables, *_VIEWS):
            register_table(connection, name)
        for name, (column, shape) in _GEOMETRIES.items():
            connection.exec_driver_sql(
                "INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, ?, 0, 0)", (name, column, shape, SRS_ID)
            )


def create_views(connection: sa.Connection) -> None:
    """Make the views that a GIS reads; those that are there are made anew.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    """
    for name, select in _VIEWS.items():
        connection.exec_driver_sql(f"DROP VIEW IF EXISTS {name}")
        connection.exec_driver_sql(f"CREATE VIEW {name} AS {select}")


def register_table(connection: sa.Connection, name: str) -> None:
    """Tell a GIS of a table; one that it knows already stays as it is.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    name : str
        Name of a table or view.
    """
    kind = "features" if name in _GEOMETRIES else "attributes"
    connection.exec_driver_sql(
        "INSERT OR IGNORE INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (?, ?, ?, ?)",
        (name, kind, name, SRS_ID if kind == "features" else None),
    )


def _write_preamble(path: Path) -> None:
    raw = sqlite3.connect(path)
    try:
        raw.executescript(_PREAMBLE)
        raw.executemany("INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)", _REFERENCE_SYSTEMS)
        raw.commit()
    finally:
        raw.close()


def update_extents(connection: sa.Connection) -> None:
    """Write the bounding box and the time of the last change of every layer, for the GIS that shows it.

    Parameters
    ----------
    connection : Connection
        In the transaction that changed the places.

    References
    ----------
    .. [1] OGC 12-128r18, GeoPackage Encoding Standard, clause 1.1.3 "Contents" (the box is informative).
    """
    for name, (column, _) in _GEOMETRIES.items():
        blobs = connection.exec_driver_sql(
            f"SELECT {column} FROM {name} WHERE {column} IS NOT NULL"
        ).scalars()
        shapes = [from_geopackage(blob) for blob in blobs]
        box = [float(limit) for limit in shapely.total_bounds(shapes)] if shapes else [None] * 4
        connection.exec_driver_sql(
            "UPDATE gpkg_contents SET min_x = ?, min_y = ?, max_x = ?, max_y = ?, "
            "last_change = strftime('%Y-%m-%dT%H:%M:%fZ', 'now') WHERE table_name = ?",
            (*box, name),
        )
