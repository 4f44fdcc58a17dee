"""Reads from an open record: a station's history, all stations, all readings in chunks."""

import os
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pandas as pd

from explorer.model.errors import RecordError, unknown_name
from explorer.model.history import StationHistory
from explorer.model.places import Lake, Station
from explorer.model.problems import Problem
from explorer.model.programme import Programme
from explorer.model.readings import READINGS
from explorer.records.connections import being_written, check_writable_place, connect, is_locked
from explorer.records.findings import opening_messages
from explorer.records.place_rows import (
    fetch_lakes,
    fetch_outlines,
    fetch_stations,
    outlines_frame,
    stations_frame,
)
from explorer.records.reading_rows import CodeBook, readings_of
from explorer.records.record_info import fetch_info, fetch_problems, sound

if TYPE_CHECKING:
    import geopandas

__all__ = ["Record"]


class Record:
    """An open record: places, readings and history, as they are in the file now.

    Made by `open_record`. Reading never changes the file.

    Parameters
    ----------
    path : Path
        A GeoPackage.
    title : str
        What the record is called on the screen.

    Attributes
    ----------
    path : Path
        The GeoPackage.
    title : str
        What the record is called on the screen: the file or folder that was opened.
    programme : Programme
        The settings that the record carries.
    settings_hash : str
        Short checksum of the settings' text.
    messages : tuple of str
        What was held or noted when the readings came in, whole sentences.

    Raises
    ------
    RecordError
        If the file is no record, is damaged, or was written by a newer version.
    """

    def __init__(self, path: Path, title: str, opened_from: Path | None = None) -> None:
        self.path = path
        self.title = title
        self.opened_from = opened_from or path
        self._engine = connect(path, write=False)
        try:
            info = fetch_info(self.fetch_rows, path)
            with sound(path):
                self._problems = fetch_problems(self.fetch_rows)
                self.messages = opening_messages(fetch_problems(self.fetch_rows, kind="import"))
                self._lakes = fetch_lakes(self.fetch_rows)
                self._stations = fetch_stations(self.fetch_rows)
        except RecordError:
            self._engine.dispose()
            raise
        self.settings = info.settings
        self.settings_hash = info.settings_hash
        self.programme: Programme = info.programme
        self._codes = CodeBook(self.fetch_rows)

    def __repr__(self) -> str:
        return f"<Record {self.title!r}, stations: {len(self._stations)}>"

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    @property
    def is_built(self) -> bool:
        """Whether it was built from a folder or a CSV file and lies in the cache."""
        return self.opened_from != self.path

    def check_writable(self) -> None:
        """Refuse a record that takes no changes.

        Raises
        ------
        RecordError
            If it was read from a folder or a CSV file, or lies where nothing may be written.
        """
        if self.is_built:
            raise RecordError(
                f"{self.opened_from} is read afresh at each opening, so a change would be lost. Only a "
                "record in one file, a GeoPackage of the explorer, takes changes: name one, or make it with "
                f"station-explorer new-record --from {self.opened_from} --out lakes.gpkg"
            )
        check_writable_place(self.path)
        if not os.access(self.path, os.W_OK) or not os.access(self.path.resolve().parent, os.W_OK):
            raise RecordError(
                f"You may not write to {self.path} or into its folder. Ask whoever looks after it, or look "
                "without writing."
            )

    def version(self) -> int:
        """Return the record's version: the number of changes that it has seen.

        Raises
        ------
        RecordError
            If the file has gone.
        """
        return int(self.fetch_rows("SELECT version FROM record_info")[0][0])

    def has_changed(self, version: int) -> bool:
        """Return whether the record, or the folder or file that it was read from, is another than before.

        Parameters
        ----------
        version : int
            Version of the record that is known already.
        """
        if not self.is_built:
            return self.version() != version
        from explorer.records.cache import place_of

        try:
            return place_of(self.opened_from) != self.path
        except OSError:  # somebody is saving a file of the folder, or has put it away
            return False

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

    def history(self, station_code: str, columns: Sequence[str] = tuple(READINGS)) -> StationHistory:
        """Return one station with all its dated readings: one indexed query.

        Parameters
        ----------
        station_code : str
            Code of the station.
        columns : sequence of str
            Those of `READINGS` that are wanted: fewer come sooner.

        Raises
        ------
        UnknownNameError
            If the record holds no such station.
        """
        station, version = self.station(station_code), self.version()
        readings = self._readings([station_code], version, columns)
        return StationHistory(station, self._lakes[station.lake_code], readings, version)

    def chunks(
        self,
        stations: int = 64,
        codes: Sequence[str] | None = None,
        columns: Sequence[str] = tuple(READINGS),
    ) -> Iterator[pd.DataFrame]:
        """Yield the dated readings of so many stations at a time, so that memory stays flat.

        Parameters
        ----------
        stations : int
            Stations in one chunk.
        codes : sequence of str, optional
            Only these stations; all when left out.
        columns : sequence of str
            Those of `READINGS` that are wanted: fewer come sooner.

        Yields
        ------
        DataFrame
            The wanted columns.
        """
        wanted = list(self._stations if codes is None else codes)
        for start in range(0, len(wanted), stations):
            yield self._readings(wanted[start : start + stations], self.version(), columns)

    def stations(self) -> "geopandas.GeoDataFrame":
        """Return all stations as points, see `place_rows.stations_frame`."""
        return stations_frame(self.station_list(), self._lakes)

    def outlines(self) -> "geopandas.GeoDataFrame":
        """Return the waters that have an outline, see `place_rows.outlines_frame`."""
        return outlines_frame(fetch_outlines(self.fetch_rows), self._lakes)

    def problems(self) -> tuple[Problem, ...]:
        """Return what was held or noted when readings came in, alike cells together."""
        return self._problems

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
            If the file can no longer be read, or somebody is writing to it just now.
        """
        try:
            raw = self._engine.raw_connection()
            try:
                return list(raw.cursor().execute(query, values).fetchall())
            finally:
                raw.close()
        except sqlite3.Error as error:
            if is_locked(error):
                raise being_written(self.path) from error
            raise RecordError(
                f"{self.path} can no longer be read ({error}). Check that it is there and open it again."
            ) from error

    def _readings(
        self, station_codes: Sequence[str], version: int, columns: Sequence[str] = tuple(READINGS)
    ) -> pd.DataFrame:
        known = [self._known(code) for code in station_codes]
        stations = {number: (station.code, station.lake_code) for number, station in known}
        with sound(self.path):
            return readings_of(self.fetch_rows, stations, self._codes.at_version(version), columns=columns)

    def _known(self, code: str) -> tuple[int, Station]:
        if code not in self._stations:
            raise unknown_name("station", code, self._stations, "in the record")
        return self._stations[code]
