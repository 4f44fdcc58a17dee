"""The only writer: one change, one transaction; nothing is overwritten, nothing is deleted."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import shapely
import sqlalchemy as sa

from explorer.model.errors import RecordError
from explorer.model.places import Lake, Station
from explorer.model.problems import Problem
from explorer.model.quantities import Quantity
from explorer.model.readings import ENTRIES, check_frame
from explorer.records import schema
from explorer.records.change_entry import begin_change, forget_summaries, in_portions
from explorer.records.connections import transaction
from explorer.records.container_entry import enter_containers, forget_containers
from explorer.records.geopackage import create_tables
from explorer.records.ids import file_ids_by_checksum, ids_by_code
from explorer.records.migration import bring_up_to_date
from explorer.records.place_entry import enter_places
from explorer.records.reading_entry import enter_readings

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
    problems : tuple of Problem
        What was held or noted; the record's readers are told of it on opening.
    visits : DataFrame, optional
        Columns of `VISITS`: what sheets say of visits besides their readings.
    containers : DataFrame, optional
        Columns of `CONTAINERS`: bottles and filters.
    replaces : Series of int, same index as `entries`, optional
        Reading that an entry replaces, missing for a new one.
    gone : tuple of int
        Readings that leave without another in their place.
    corrected_files : tuple of str
        Checksums of files in whose place others stand: what was held or noted of them, and their bottles and
        filters, leave.
    """

    lakes: tuple[Lake, ...]
    outlines: Mapping[str, shapely.Geometry]
    stations: tuple[Station, ...]
    entries: pd.DataFrame
    files: Mapping[str, bytes]
    problems: tuple[Problem, ...] = ()
    visits: pd.DataFrame | None = None
    containers: pd.DataFrame | None = None
    replaces: pd.Series | None = None
    gone: tuple[int, ...] = ()
    corrected_files: tuple[str, ...] = ()


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
    with transaction(path) as connection:
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


def enter(path: Path, arrival: Arrival, *, kind: str, who: str, why: str, seen: int | None = None) -> int:
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
    seen : int, optional
        Version of the record that the arrival was held against; the record must not have moved on since.

    Returns
    -------
    int
        The record's new version.

    Raises
    ------
    UnknownNameError
        If a reading names a station, a quantity or a file that neither record nor arrival holds.
    RecordError
        If another format, a lock, a full disk or a code that is there already keeps it from landing.
    """
    entries = check_frame(arrival.entries, ENTRIES, "entries")
    bring_up_to_date(path)
    with transaction(path) as connection:
        change = begin_change(connection, path, kind=kind, who=who, why=why)
        if seen is not None and change != seen + 1:
            raise _moved_on(connection, path, change - 1)
        file_ids = _enter_files(connection, arrival.files, change)
        enter_places(connection, arrival.lakes, arrival.outlines, arrival.stations, change)
        left = _let_go(connection, arrival, file_ids, change)
        _enter_problems(connection, arrival.problems, change)
        touched = enter_readings(
            connection, entries, file_ids, change, replaces=arrival.replaces, visits=arrival.visits
        )
        if arrival.containers is not None:
            enter_containers(connection, arrival.containers, file_ids, change)
        forget_summaries(connection, {*left, *touched})
    return change


def _moved_on(connection: sa.Connection, path: Path, change: int) -> RecordError:
    """Return the error for a record that somebody else changed since it was looked at."""
    query = sa.select(schema.changes.c.who, schema.changes.c["at"]).where(
        schema.changes.c.change_id == change
    )
    who, when = connection.execute(query).first() or ("", "")
    return RecordError(
        f"{who or 'Somebody'} changed {path} at {when[:16].replace('T', ' ')}, after these files were looked "
        "at. Nothing was changed; try again, so that they are held against what stands there now."
    )


def _let_go(
    connection: sa.Connection, arrival: Arrival, file_ids: Mapping[str, int], change: int
) -> set[int]:
    """Let readings leave that are replaced or gone, and what was said of corrected files; return stations."""
    readings, problems = schema.readings, schema.problems
    replaced = [] if arrival.replaces is None else arrival.replaces.dropna().astype("int64").tolist()
    stations: set[int] = set()
    for some in in_portions([*replaced, *arrival.gone]):
        chosen = readings.c.reading_id.in_(some) & readings.c.left_in.is_(None)
        touched = connection.execute(sa.select(readings.c.station_id).where(chosen)).scalars().all()
        stations |= {each for each in touched if each is not None}
        connection.execute(readings.update().where(chosen).values(left_in=change))
    for some_files in in_portions(arrival.corrected_files):
        for table in (problems, schema.files):
            chosen = table.c.sha256.in_(some_files) & table.c.left_in.is_(None)
            connection.execute(table.update().where(chosen).values(left_in=change))
    forget_containers(connection, [file_ids[each] for each in arrival.corrected_files], change)
    return stations


def _enter_files(connection: sa.Connection, files: Mapping[str, bytes], change: int) -> dict[str, int]:
    known = file_ids_by_checksum(connection)
    current = ids_by_code(connection, schema.files.c.sha256, schema.files.c.file_id)
    for name, content in files.items():
        checksum = hashlib.sha256(content).hexdigest()
        if checksum not in current:
            made = connection.execute(
                schema.files.insert(),
                {"name": name, "sha256": checksum, "content": content, "entered_in": change},
            )
            known[checksum] = current[checksum] = int(made.lastrowid)
    return known


def _enter_problems(connection: sa.Connection, problems: Iterable[Problem], change: int) -> None:
    rows = [
        {
            "code": problem.code, "severity": problem.severity, "file_name": problem.source.file_name,
            "sha256": problem.source.sha256, "sheet": problem.source.sheet, "row": problem.source.row,
            "column": problem.source.column, "found": problem.found,
            "details": json.dumps(dict(problem.values), ensure_ascii=False), "entered_in": change,
        }
        for problem in problems
    ]  # fmt: skip
    if rows:
        connection.execute(schema.problems.insert(), rows)
