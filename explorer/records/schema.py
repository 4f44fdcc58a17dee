"""The record's tables: one MetaData, typed for SQLite and PostgreSQL alike.

Every row of a place, a visit or a reading says by which change it entered and by which it left; setting
`left_in` is the only update there ever is. Ids such as `station_id` stay the same when a row is corrected,
the row key `fid` does not.
"""

from sqlalchemy import (
    Column,
    Date,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    text,
)

from explorer.records.geometry import Geometry

__all__ = [
    "COMPUTED",
    "FORMAT",
    "batches",
    "changes",
    "containers",
    "departure_summary",
    "files",
    "lakes",
    "metadata",
    "methods",
    "problems",
    "quantities",
    "readings",
    "record_info",
    "score_summary",
    "season_summary",
    "station_summary",
    "stations",
    "trend_summary",
    "visits",
]

FORMAT = 2  # raised with every change of the tables; an older record is migrated, a newer one refused

metadata = MetaData()


def _history() -> tuple[Column[int], Column[int]]:
    return (
        Column("entered_in", Integer, ForeignKey("changes.change_id"), nullable=False),
        Column("left_in", Integer, ForeignKey("changes.change_id")),
    )


record_info = Table(
    "record_info",
    metadata,
    Column("info_id", Integer, primary_key=True),
    Column("format", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("settings", Text, nullable=False),
    Column("settings_hash", Text, nullable=False),
)

changes = Table(
    "changes",
    metadata,
    Column("change_id", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("who", Text, nullable=False),  # as typed, not authenticated
    Column("at", Text, nullable=False),  # ISO 8601 with offset
    Column("why", Text, nullable=False),
    Column("software", Text, nullable=False),
    Column("settings_hash", Text, nullable=False),
)

files = Table(
    "files",
    metadata,
    Column("file_id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("content", LargeBinary, nullable=False),
    *_history(),  # a file leaves when another stands in its place; its bytes stay
)

problems = Table(
    "problems",
    metadata,
    Column("problem_id", Integer, primary_key=True),
    Column("code", Text, nullable=False),
    Column("severity", Text, nullable=False),
    Column("file_name", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("sheet", Text, nullable=False),
    Column("row", Integer, nullable=False),
    Column("column", Text, nullable=False),
    Column("found", Text, nullable=False),
    Column("details", Text, nullable=False),  # JSON: numbers and names for the sentence
    *_history(),
)

lakes = Table(
    "lakes",
    metadata,
    Column("fid", Integer, primary_key=True),
    Column("lake_id", Integer, nullable=False),
    Column("code", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("attributes", Text, nullable=False),  # sorted, separated by a blank
    Column("area_km2", Double),
    Column("altitude_m", Double),
    Column("maximum_depth_m", Double),
    Column("outline", Geometry("MULTIPOLYGON")),
    *_history(),
)

stations = Table(
    "stations",
    metadata,
    Column("fid", Integer, primary_key=True),
    Column("station_id", Integer, nullable=False),
    Column("code", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("lake_id", Integer, nullable=False),
    Column("bottom_depth_m", Double),
    Column("is_index", Integer, nullable=False),
    Column("place", Geometry("POINT")),
    *_history(),
)

quantities = Table(
    "quantities",
    metadata,
    Column("quantity_id", Integer, primary_key=True),
    Column("code", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("unit", Text, nullable=False),
)

methods = Table(
    "methods",
    metadata,
    Column("method_id", Integer, primary_key=True),
    Column("code", Text, nullable=False, unique=True),  # method, with correction and laboratory
)

batches = Table(
    "batches",
    metadata,
    Column("batch_id", Integer, primary_key=True),
    Column("code", Text, nullable=False, unique=True),
)

visits = Table(
    "visits",
    metadata,
    Column("fid", Integer, primary_key=True),
    Column("visit_id", Integer, nullable=False),
    Column("station_id", Integer, nullable=False),
    Column("taken_on", Date),  # empty where no date could be read: such a visit has held readings only
    Column("taken_time", Text, nullable=False),
    Column("observer", Text, nullable=False),
    Column("weather", Text, nullable=False),
    Column("remark", Text, nullable=False),
    Column("bottom_depth_m", Double),  # as the sheet says it
    *(
        Column(name, Text, nullable=False, server_default="")  # a date as ISO text, else as written
        for name in ("trained_on", "line_checked_on", "calibrated_on", "sunglasses")
    ),
    *_history(),
)

containers = Table(  # a bottle or a filter that a data sheet, a freezer log or a laboratory names
    "containers",
    metadata,
    Column("container_id", Integer, primary_key=True),
    Column("sample_code", Text, nullable=False),  # with its container: 250122-1; empty where it waits
    Column("container", Text, nullable=False),
    Column("kind", Text, nullable=False),  # of the file: data_sheet, freezer_log, laboratory
    Column("visit_id", Integer),
    Column("volume_filtered_ml", Double),
    Column("on_ice_time", Text, nullable=False),
    Column("frozen_on", Date),
    Column("frozen_time", Text, nullable=False),
    Column("taken_out_on", Date),
    Column("freezer_temperature_degc", Double),
    Column("remark", Text, nullable=False),
    Column("as_written", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("file_id", Integer, ForeignKey("files.file_id"), nullable=False),
    Column("sheet", Text, nullable=False),
    Column("row", Integer, nullable=False),
    Column("column", Text, nullable=False),
    *_history(),
)

readings = Table(
    "readings",
    metadata,
    Column("reading_id", Integer, primary_key=True),
    Column("replaces", Integer, ForeignKey("readings.reading_id")),
    Column("visit_id", Integer),  # these three are empty only where they are not known yet: then held
    Column("station_id", Integer),
    Column("quantity_id", Integer, ForeignKey("quantities.quantity_id")),
    Column("taken_on", Date),  # local date; empty only where it could not be read: then held
    Column("taken_time", Text, nullable=False),
    Column("depth_m", Double),
    Column("stratum", Text, nullable=False),
    Column("value", Double),
    Column("sign", Text, nullable=False),
    Column("detection_limit", Double),
    Column("reporting_limit", Double),
    Column("qualifier", Text, nullable=False),
    Column("estimated", Integer, nullable=False),
    Column("status", Text, nullable=False),
    Column("reason", Text, nullable=False),  # words code of the problem that holds it, or the remark
    Column("unit_as_written", Text, nullable=False),
    Column("as_written", Text, nullable=False),
    Column("method_id", Integer, ForeignKey("methods.method_id"), nullable=False),
    Column("batch_id", Integer, ForeignKey("batches.batch_id")),
    Column("analysed_on", Date),
    Column("sample_code", Text, nullable=False),
    Column("sample_type", Text, nullable=False),
    Column("parent_sample", Text, nullable=False),
    Column("volume_filtered_ml", Double),
    Column("file_id", Integer, ForeignKey("files.file_id"), nullable=False),
    Column("sheet", Text, nullable=False),
    Column("row", Integer, nullable=False),
    Column("column", Text, nullable=False),
    *_history(),
)


def _stored(*keys: Column[str] | Column[int]) -> tuple[Column[str] | Column[int], ...]:
    return (
        Column("summary_id", Integer, primary_key=True),
        Column("station_id", Integer, nullable=False),
        *keys,
        Column("record_version", Integer, nullable=False),
        Column("settings_hash", Text, nullable=False),
        Column("formulas", Integer, nullable=False),
    )


season_summary = Table(
    "season_summary",
    metadata,
    *_stored(Column("quantity_id", Integer, nullable=False)),
    Column("window", Text, nullable=False),
    Column("year", Integer, nullable=False),
    Column("method_id", Integer, ForeignKey("methods.method_id"), nullable=False),
    Column("visits", Integer, nullable=False),
    Column("months", Integer, nullable=False),
    *(
        Column(name, Double)
        for name in (
            "median", "median_low", "median_high", "mean", "mean_low", "mean_high", "geometric_mean",
            "minimum", "maximum", "censored_share", "log_spread",
        )
    ),
)  # fmt: skip

station_summary = Table(
    "station_summary",
    metadata,
    *_stored(),
)

# One row a station and quantity, and one without a quantity for every station that was computed. Added to a
# record by the first refresh: files that were made before it have none, and open as they are.
trend_summary = Table(
    "trend_summary",
    metadata,
    *_stored(Column("quantity_id", Integer)),
    *(Column(name, Text) for name in ("method", "other_methods", "test")),
    *(Column(name, Integer) for name in ("first_year", "last_year", "years", "months", "readings")),
    *(
        Column(name, Double)
        for name in (
            "middle_year", "statistic_s", "variance", "z", "p", "slope_per_year", "slope_low", "slope_high",
            "percent_per_year", "median", "seasons_differ_p", "lag1", "censored_share", "smallest_found",
            "level",
        )
    ),
)  # fmt: skip

# The same of unusual readings: one row each. What speaks for and against each explanation is JSON.
departure_summary = Table(
    "departure_summary",
    metadata,
    *_stored(Column("quantity_id", Integer)),
    *(Column(name, Integer) for name in ("reading_id", "others", "years")),
    *(
        Column(name, Text)
        for name in (
            "taken_on", "sign", "status", "direction", "companion", "scope", "likeliest", "next_step",
            "stratum", "by", "evidence",
        )
    ),
    *(Column(name, Double) for name in ("value", "tail_probability", "expected", "low", "high", "beside")),
)  # fmt: skip

# What a station says of its own readings, from which it is told which of all are unusual: rows of numbers.
score_summary = Table(
    "score_summary",
    metadata,
    *_stored(Column("quantity_id", Integer)),
    Column("scores", LargeBinary),
)

# What is computed of the readings: it may be lacking, or have other columns, and is then computed again.
COMPUTED = (season_summary, station_summary, trend_summary, departure_summary, score_summary)

_current, _left = text("left_in IS NULL"), text("left_in IS NOT NULL")
_sampled = text("left_in IS NULL AND sample_code <> ''")
_replaces = text("replaces IS NOT NULL")
for _table, _key in (
    (lakes, lakes.c.lake_id),
    (stations, stations.c.station_id),
    (visits, visits.c.visit_id),
):
    Index(f"one_current_{_table.name}", _key, unique=True, sqlite_where=_current, postgresql_where=_current)
for _table in (lakes, stations):
    Index(
        f"one_code_{_table.name}",
        _table.c.code,
        unique=True,
        sqlite_where=_current,
        postgresql_where=_current,
    )
Index(
    "readings_of_a_station",
    readings.c.station_id,
    readings.c.quantity_id,
    readings.c.taken_on,
    readings.c.depth_m,
    readings.c.value,
    readings.c.sign,
    readings.c.left_in,  # else SQLite reads the row to look whether it is current, and nothing is covered
    sqlite_where=_current,
    postgresql_where=_current,
)
Index("one_current_file", files.c.sha256, unique=True, sqlite_where=_current, postgresql_where=_current)
Index("readings_of_a_batch", readings.c.batch_id)
Index("readings_of_a_file", readings.c.file_id)
Index("readings_of_a_sample", readings.c.sample_code, sqlite_where=_sampled, postgresql_where=_sampled)
Index("readings_that_replace", readings.c.replaces, sqlite_where=_replaces, postgresql_where=_replaces)
Index("readings_that_left", readings.c.station_id, sqlite_where=_left, postgresql_where=_left)
Index("containers_of_a_sample", containers.c.sample_code, sqlite_where=_current, postgresql_where=_current)
Index("containers_of_a_file", containers.c.file_id)
Index(
    "visits_of_a_station",
    visits.c.station_id,
    visits.c.taken_on,
    visits.c.visit_id,
    visits.c.observer,
    visits.c.left_in,
    sqlite_where=_current,
    postgresql_where=_current,
)
Index("seasons_of_a_station", season_summary.c.station_id)
Index("trends_of_a_station", trend_summary.c.station_id)
Index("departures_of_a_station", departure_summary.c.station_id)
Index("scores_of_a_station", score_summary.c.station_id)
