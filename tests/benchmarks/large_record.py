"""Makes a record of a million readings in seconds, for benchmarks and tests of memory and speed."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from explorer.display.station_page import PANEL_QUANTITIES
from explorer.model.places import Lake, Station
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES, empty_frame
from explorer.records.connections import transaction
from explorer.records.ledger import Arrival, create_record, enter

__all__ = ["make_large_record"]

FIRST_DAY = np.datetime64("1960-01-01")
DAYS = 23_000  # until 2022
NAN = float("nan")

_VISIT = """
INSERT INTO visits (visit_id, station_id, taken_on, taken_time, observer, weather, remark, entered_in)
VALUES (?, ?, ?, '10:30', 'V01', '', '', 1)
"""
_READING = """
INSERT INTO readings (visit_id, station_id, quantity_id, taken_on, taken_time, stratum, value, sign,
    qualifier, estimated, status, reason, unit_as_written, as_written, method_id, batch_id, sample_code,
    sample_type, parent_sample, file_id, sheet, "row", "column", entered_in)
VALUES (?, ?, ?, ?, '10:30', 'surface', ?, ?, '', 0, 'accepted', '', 'm', ?, 1, 1, '', 'routine', '', 1, '',
    ?, 'value', 1)
"""


def make_large_record(path: Path, *, stations: int = 500, per_quantity: int = 500, seasons: int = 0) -> Path:
    """Return a new record of stations x 4 quantities x per_quantity readings, seeded and always the same.

    Rows are written with the driver's own executemany: the ledger checks what people bring, and here nothing
    needs checking. Every visit has one reading of each quantity; one in twenty is below its limit. Where
    `seasons` are given, there is instead one visit in each month from May to September of so many years.
    """
    create_record(path, 'name = "A large programme"\n', QUANTITIES.values())
    lakes = tuple(_lake(number) for number in range(stations))
    places = tuple(_station(number) for number in range(stations))
    arrival = Arrival(lakes, {}, places, empty_frame(ENTRIES), {"large.csv": b"generated"})
    enter(path, arrival, kind="import", who="", why="benchmark")
    random = np.random.default_rng(20240501)
    with transaction(path) as connection:
        connection.exec_driver_sql("INSERT INTO methods (code) VALUES ('lab')")
        connection.exec_driver_sql("INSERT INTO batches (code) VALUES ('')")
        quantities = dict(connection.exec_driver_sql("SELECT code, quantity_id FROM quantities").all())
        cursor = connection.connection.cursor()
        for station in range(1, stations + 1):
            days = _season_days(random, seasons) if seasons else _days(random, per_quantity)
            visits = range((station - 1) * len(days) + 1, station * len(days) + 1)
            cursor.executemany(_VISIT, [(one, station, day) for one, day in zip(visits, days, strict=True)])
            for code, *_ in PANEL_QUANTITIES:
                cursor.executemany(_READING, _readings(random, visits, station, quantities[code], days))
    return path


def _days(random: np.random.Generator, count: int) -> list[str]:
    return np.datetime_as_string(FIRST_DAY + np.sort(random.integers(0, DAYS, count))).tolist()


def _season_days(random: np.random.Generator, seasons: int) -> list[str]:
    days = random.integers(1, 28, (seasons, 5)).tolist()
    return [
        f"{2000 + year}-{month:02d}-{day:02d}"
        for year, of_season in enumerate(days)
        for month, day in enumerate(of_season, 5)
    ]


def _readings(
    random: np.random.Generator, visits: range, station: int, quantity: int, days: list[str]
) -> Iterator[tuple[object, ...]]:
    values = np.round(np.exp(random.normal(1.5, 0.6, len(days))), 2).tolist()
    signs = np.where(random.random(len(days)) < 0.05, "<", "=").tolist()
    for row, (visit, day, value, sign) in enumerate(zip(visits, days, values, signs, strict=True), 2):
        yield visit, station, quantity, day, value, sign, f"{value:g}", row


def _lake(number: int) -> Lake:
    return Lake(f"L{number:04d}", f"Lake {number:04d}", "lake", frozenset(), NAN, NAN, NAN)


def _station(number: int) -> Station:
    longitude, latitude = -30.0 + 0.05 * (number % 25), 45.0 + 0.05 * (number // 25)
    return Station(f"S{number:04d}", "Middle", f"L{number:04d}", longitude, latitude, 12.0, True)
