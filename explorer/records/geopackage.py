"""The file itself: makes an empty GeoPackage with the record's tables, and connects to one safely."""

import sqlite3
from pathlib import Path

import sqlalchemy as sa

from explorer.model.errors import RecordError
from explorer.records import schema
from explorer.records.geometry import SRS_ID

__all__ = ["check_writable_place", "connect", "create_tables", "is_geopackage"]

APPLICATION_ID = 0x47504B47  # "GPKG" (OGC 12-128r18, requirement 2)
USER_VERSION = 10300  # GeoPackage 1.3.0
BUSY_TIMEOUT_S = 10.0

# File systems on which SQLite's locks cannot be trusted (sqlite.org, "How To Corrupt An SQLite Database
# File", section 2.1); a folder copied to a cloud service cannot be told from any other.
NETWORK_FILE_SYSTEMS = (
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "afs",
    "9p",
    "fuse.sshfs",
    "fuse.rclone",
    "davfs",
)

_WGS84 = (
    'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],'
    'AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",'
    '0.0174532925199433,AUTHORITY["EPSG","9122"]],AXIS["Latitude",NORTH],AXIS["Longitude",EAST],'
    'AUTHORITY["EPSG","4326"]]'
)

_PREAMBLE = f"""
PRAGMA application_id = {APPLICATION_ID};
PRAGMA user_version = {USER_VERSION};
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
"""

_VIEWS = {
    "current_lakes": """
        SELECT fid, code, name, kind, attributes, area_km2, altitude_m, maximum_depth_m, outline
        FROM lakes WHERE left_in IS NULL""",
    "current_stations": """
        SELECT s.fid AS fid, s.code AS code, s.name AS name, l.code AS lake_code, s.bottom_depth_m AS bottom_depth_m,
               s.is_index AS is_index, s.place AS place
        FROM stations s LEFT JOIN lakes l ON l.lake_id = s.lake_id AND l.left_in IS NULL
        WHERE s.left_in IS NULL""",
    "current_readings": """
        SELECT r.reading_id AS reading_id, s.code AS station_code, q.code AS quantity, q.unit AS unit,
               r.taken_on AS taken_on, r.depth_m AS depth_m, r.stratum AS stratum, r.value AS value,
               r.sign AS sign, r.detection_limit AS detection_limit, r.reporting_limit AS reporting_limit,
               r.qualifier AS qualifier, r.status AS status, r.sample_code AS sample_code,
               r.sample_type AS sample_type, m.code AS method, r.as_written AS as_written,
               f.name AS file_name, r.sheet AS sheet, r."row" AS "row"
        FROM readings r
        JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
        JOIN quantities q ON q.quantity_id = r.quantity_id
        JOIN methods m ON m.method_id = r.method_id
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
        If a file is already there: nothing is ever overwritten.
    """
    if path.exists():
        raise RecordError(f"{path} is already there. Choose another name; nothing is overwritten.")
    check_writable_place(path)
    with sqlite3.connect(path) as raw:
        raw.executescript(_PREAMBLE)
        raw.executemany(
            "INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)",
            [
                ("Undefined cartesian", -1, "NONE", -1, "undefined", "undefined cartesian reference system"),
                ("Undefined geographic", 0, "NONE", 0, "undefined", "undefined geographic reference system"),
                ("WGS 84 geodetic", SRS_ID, "EPSG", SRS_ID, _WGS84, "longitude and latitude in degrees"),
            ],
        )
    raw.close()
    engine = connect(path, write=True)
    schema.metadata.create_all(engine)
    with engine.begin() as connection:
        for name, select in _VIEWS.items():
            connection.exec_driver_sql(f"CREATE VIEW {name} AS {select}")
        for name in (*schema.metadata.tables, *_VIEWS):
            kind = "features" if name in _GEOMETRIES else "attributes"
            connection.exec_driver_sql(
                "INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (?, ?, ?, ?)",
                (name, kind, name, SRS_ID if kind == "features" else None),
            )
        for name, (column, kind) in _GEOMETRIES.items():
            connection.exec_driver_sql(
                "INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, ?, 0, 0)", (name, column, kind, SRS_ID)
            )
    engine.dispose()


def check_writable_place(path: Path) -> None:
    """Refuse to write where the file system's locks cannot be trusted.

    Parameters
    ----------
    path : Path
        A record, existing or not.

    Raises
    ------
    RecordError
        If the path lies on a network file system.
    """
    kind = _file_system(path.resolve())
    if kind in NETWORK_FILE_SYSTEMS:
        raise RecordError(
            f"{path} lies on a network drive ({kind}), where two people writing at once can destroy a record. "
            "Copy it to a disk of this computer, work there, and copy it back when nobody has it open."
        )


def _file_system(path: Path) -> str:
    mounts = Path("/proc/self/mounts")
    if not mounts.is_file():
        return ""
    found, best = "", -1
    for line in mounts.read_text(encoding="utf-8", errors="replace").splitlines():
        parts = line.split()
        place = Path(parts[1].replace("\\040", " "))
        if path.is_relative_to(place) and len(place.parts) > best:
            found, best = parts[2], len(place.parts)
    return found


def connect(path: Path, *, write: bool) -> sa.Engine:
    """Return an engine on an existing file.

    Reading opens the file read-only. If a crash left a journal behind, the file is opened for writing
    once before, which rolls the broken transaction back. Writing begins every transaction IMMEDIATE and
    waits ten seconds for another writer.

    Parameters
    ----------
    path : Path
        A GeoPackage.
    write : bool
        Whether transactions may change it.

    Raises
    ------
    RecordError
        If a broken transaction cannot be rolled back for lack of rights.
    """
    if write:
        check_writable_place(path)
    elif path.with_name(path.name + "-journal").exists():
        _recover(path)
    mode = "rwc" if write else "ro"

    def creator() -> sqlite3.Connection:
        return sqlite3.connect(
            f"{path.resolve().as_uri()}?mode={mode}",
            uri=True,
            timeout=BUSY_TIMEOUT_S,
            isolation_level=None,
            check_same_thread=False,
        )

    engine = sa.create_engine(
        "sqlite://", creator=creator, poolclass=sa.pool.NullPool if write else sa.pool.StaticPool
    )

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


def _recover(path: Path) -> None:
    try:
        raw = sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=BUSY_TIMEOUT_S)
        raw.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        raw.close()
    except sqlite3.Error as error:
        raise RecordError(
            f"{path} was left in the middle of a change, and this account may not put it right ({error}). "
            "Open it once with an account that may write in its folder."
        ) from error
