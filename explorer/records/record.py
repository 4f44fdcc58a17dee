"""Opens a record and reads from it: a station's history, all stations, all readings in chunks."""

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
import sqlalchemy as sa

from explorer.model.errors import RecordError, nearest_name, unknown_name
from explorer.model.history import StationHistory
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme, read_programme
from explorer.model.readings import READINGS
from explorer.records import schema
from explorer.records.geometry import SRS_ID
from explorer.records.geopackage import connect, is_geopackage

if TYPE_CHECKING:
    import geopandas

__all__ = ["Record", "open_record"]

_READINGS_OF = """
SELECT r.reading_id, s.code, l.code, q.code, r.taken_on, v.taken_time, r.depth_m, r.stratum, r.value, r.sign,
       r.detection_limit, r.reporting_limit, r.qualifier, r.status, r.visit_id, r.sample_code, r.sample_type,
       r.parent_sample, m.code, b.code, v.observer, r.volume_filtered_ml, r.as_written, f.name, r.sheet, r."row"
FROM readings r
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
JOIN lakes l ON l.lake_id = s.lake_id AND l.left_in IS NULL
JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
JOIN methods m ON m.method_id = r.method_id
JOIN batches b ON b.batch_id = r.batch_id
JOIN files f ON f.file_id = r.file_id
WHERE r.left_in IS NULL AND r.station_id IN ({marks})
ORDER BY r.station_id, r.quantity_id, r.taken_on
"""


def readings_frame(rows: Sequence[tuple[Any, ...]]) -> pd.DataFrame:
    """Return rows of the record as a frame of readings.

    Parameters
    ----------
    rows : sequence of tuple
        In the order of `READINGS`; dates as ISO text, None where nothing is known.

    Returns
    -------
    DataFrame
        Columns and types of `READINGS`.

    Examples
    --------
    >>> len(readings_frame([]))
    0
    """
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(READINGS)
    return pd.DataFrame(
        {
            name: np.array(values, dtype="datetime64[D]").astype("datetime64[ms]")
            if kind.startswith("datetime64")
            else pd.Series(values, dtype=kind)
            for (name, kind), values in zip(READINGS.items(), columns, strict=True)
        }
    )


class Record:
    """An open record: places, readings and history, as they are in the file now.

    Made by `open_record`. Reading never changes the file.

    Attributes
    ----------
    path : Path
        The GeoPackage.
    title : str
        What the record is called on the screen: the file or folder that was opened.
    programme : Programme
        The settings that the record carries.
    messages : tuple of str
        What was found on opening that a reader must know, whole sentences.
    """

    def __init__(self, path: Path, title: str, messages: tuple[str, ...] = ()) -> None:
        self.path = path
        self.title = title
        self.messages = messages
        self._engine = connect(path, write=False)
        try:
            with self._engine.connect() as connection:
                info = connection.execute(sa.select(schema.record_info)).one()
        except sa.exc.DatabaseError as error:
            self._engine.dispose()
            raise RecordError(
                f"{path} is no record of the station explorer: it lacks the table of settings "
                f"({error.orig}). Open a record, a folder of CSV and GeoJSON files, or a CSV file."
            ) from error
        if info.format > schema.FORMAT:
            self._engine.dispose()
            raise RecordError(
                f"{path} was written by a newer version of the station explorer (format {info.format}; this "
                f"one reads up to {schema.FORMAT}). Install the newer version; the file was not changed."
            )
        self.settings: str = info.settings
        self.settings_hash: str = info.settings_hash
        self.programme: Programme = read_programme(info.settings, f"{path.name}, settings")
        self._lakes: dict[str, Lake] = {}
        self._stations: dict[str, tuple[int, Station]] = {}
        self._read_places()

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def version(self) -> int:
        """Return the record's version: the number of changes that it has seen.

        Raises
        ------
        RecordError
            If the file has gone.
        """
        return int(self.fetch_rows("SELECT version FROM record_info")[0][0])

    def lakes(self) -> dict[str, Lake]:
        """Return the waters by code."""
        return dict(self._lakes)

    def station(self, code: str) -> Station:
        """Return the station of a code.

        Raises
        ------
        UnknownNameError
            If the record holds no such station; the message names the nearest.
        """
        return self._known(code)[1]

    def station_list(self) -> tuple[Station, ...]:
        """Return all stations, by the name of their water and their own."""
        return tuple(station for _, station in self._stations.values())

    def history(self, station_code: str) -> StationHistory:
        """Return one station with all its readings: one indexed query.

        Parameters
        ----------
        station_code : str
            Code of the station.

        Raises
        ------
        UnknownNameError
            If the record holds no such station.
        """
        number, station = self._known(station_code)
        rows = self.fetch_rows(_READINGS_OF.format(marks="?"), (number,))
        return StationHistory(station, self._lakes[station.lake_code], readings_frame(rows), self.version())

    def chunks(self, stations: int = 64, codes: Sequence[str] | None = None) -> Iterator[pd.DataFrame]:
        """Yield the readings of so many stations at a time, so that memory stays flat.

        Parameters
        ----------
        stations : int
            Stations in one chunk.
        codes : sequence of str, optional
            Only these stations; all when left out.

        Yields
        ------
        DataFrame
            Columns of `READINGS`.
        """
        numbers = [self._known(code)[0] for code in (self._stations if codes is None else codes)]
        for start in range(0, len(numbers), stations):
            some = numbers[start : start + stations]
            query = _READINGS_OF.format(marks=", ".join("?" for _ in some))
            yield readings_frame(self.fetch_rows(query, tuple(some)))

    def stations(self) -> "geopandas.GeoDataFrame":
        """Return all stations as points.

        Returns
        -------
        GeoDataFrame, one row a station, WGS 84
            Columns station_code, name, lake_code, lake_name, kind, bottom_depth_m [m], is_index, geometry
            (empty where the record has no coordinates).
        """
        import geopandas

        rows = [
            (station.code, station.name, station.lake_code, lake.name, lake.kind, station.bottom_depth_m,
             station.is_index, station.longitude_deg, station.latitude_deg)
            for station in self.station_list()
            for lake in (self._lakes[station.lake_code],)
        ]  # fmt: skip
        names = [
            "station_code",
            "name",
            "lake_code",
            "lake_name",
            "kind",
            "bottom_depth_m",
            "is_index",
            "x",
            "y",
        ]
        frame = pd.DataFrame(rows, columns=names)
        points = geopandas.points_from_xy(frame.pop("x").astype("float64"), frame.pop("y").astype("float64"))
        return geopandas.GeoDataFrame(frame, geometry=points, crs=SRS_ID)

    def outlines(self) -> "geopandas.GeoDataFrame":
        """Return the waters that have an outline.

        Returns
        -------
        GeoDataFrame, one row a water, WGS 84
            Columns lake_code, name, kind, geometry.
        """
        import geopandas

        table = schema.lakes
        query = sa.select(table.c.code, table.c.name, table.c.kind, table.c.outline).where(
            table.c.left_in.is_(None), table.c.outline.is_not(None)
        )
        with self._engine.connect() as connection:
            rows = connection.execute(query).all()
        frame = pd.DataFrame([row[:3] for row in rows], columns=["lake_code", "name", "kind"])
        return geopandas.GeoDataFrame(frame, geometry=[row[3] for row in rows], crs=SRS_ID)

    def _read_places(self) -> None:
        for code, name, kind, attributes, area, altitude, depth in self.fetch_rows(
            "SELECT code, name, kind, attributes, area_km2, altitude_m, maximum_depth_m FROM lakes "
            "WHERE left_in IS NULL"
        ):
            self._lakes[code] = Lake(
                code,
                name,
                kind,
                frozenset(attributes.split()),
                _number(area),
                _number(altitude),
                _number(depth),
            )
        with self._engine.connect() as connection:
            table, lakes = schema.stations, schema.lakes
            rows = connection.execute(
                sa.select(table, lakes.c.code.label("lake_code"))
                .join(lakes, (lakes.c.lake_id == table.c.lake_id) & lakes.c.left_in.is_(None))
                .where(table.c.left_in.is_(None))
                .order_by(lakes.c.name, table.c.name)
            ).all()
        for row in rows:
            self._stations[row.code] = (
                row.station_id,
                Station(
                    row.code,
                    row.name,
                    row.lake_code,
                    row.place.x if row.place is not None else float("nan"),
                    row.place.y if row.place is not None else float("nan"),
                    _number(row.bottom_depth_m),
                    bool(row.is_index),
                ),
            )

    def _known(self, code: str) -> tuple[int, Station]:
        if code not in self._stations:
            raise unknown_name("station", code, self._stations, "in the record")
        return self._stations[code]

    def fetch_rows(self, query: str, values: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
        """Return the rows of a query, read with the driver's own cursor: a click must not wait for objects.

        Parameters
        ----------
        query : str
            SQL with "?" for values.
        values : tuple
            What stands for them.

        Raises
        ------
        RecordError
            If the file can no longer be read.
        """
        try:
            raw = self._engine.raw_connection()
            try:
                return raw.cursor().execute(query, values).fetchall()  # type: ignore[return-value]
            finally:
                raw.close()
        except sqlite3.Error as error:
            raise RecordError(
                f"{self.path} can no longer be read ({error}). Check that the file is there and open it again."
            ) from error


def _number(value: float | None) -> float:
    return float("nan") if value is None else float(value)


def open_record(where: str | Path) -> Record:
    """Open a record file, a folder of CSV and GeoJSON files, or one long CSV file.

    Parameters
    ----------
    where : str or Path
        A GeoPackage made by the explorer; a folder; or a CSV file with the column names of the Water
        Quality Exchange. Folder and CSV are read into a record in the user's cache folder, keyed by
        their content.

    Returns
    -------
    Record
        Open for reading.

    Raises
    ------
    RecordError
        If it is none of these, holds columns that cannot be read, or was written by a newer version. One
        message with file, row, column, what was found and the cure.
    """
    path = Path(where).expanduser()
    if not path.exists():
        beside = [each.name for each in path.parent.iterdir()] if path.parent.is_dir() else []
        near = nearest_name(path.name, beside)
        question = f' Did you mean "{near}"?' if near else ""
        raise RecordError(f"There is no {path}.{question} Name a record, a folder or a CSV file.")
    try:
        if path.is_dir() or path.suffix.casefold() == ".csv":
            from explorer.records.folder import build_record

            built, messages = build_record(path)
            return Record(built, path.name, messages)
        if is_geopackage(path):
            return Record(path, path.name)
    except OSError as error:
        raise RecordError(
            f"{path} cannot be read: {error.strerror or error}. Check that you may read it."
        ) from error
    raise RecordError(
        f"{path} is no record: it is neither a GeoPackage, nor a CSV file, nor a folder of CSV and GeoJSON "
        "files. Name one of these."
    )
