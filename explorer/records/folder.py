"""A folder of texts, or one CSV file, read as what a record takes in: places, entries, files, problems."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

import pandas as pd

from explorer.model.errors import ProgrammeError, RecordError
from explorer.model.places import Lake, Station
from explorer.model.problems import Problem, Source
from explorer.model.programme import Programme
from explorer.model.programme_text import read_programme
from explorer.model.readings import ENTRIES, empty_frame
from explorer.records.columns import ColumnsFile
from explorer.records.columns_reader import read_columns_file
from explorer.records.doubts import settle_doubts
from explorer.records.entries import read_entries
from explorer.records.exchange import is_exchange_table, read_exchange_table
from explorer.records.findings import Findings
from explorer.records.folder_texts import COLUMNS_ENDING, READINGS_FOLDER, FolderTexts
from explorer.records.ledger import Arrival
from explorer.records.long_table import is_long_table, read_long_table
from explorer.records.place_files import Places, read_lakes, read_stations
from explorer.records.place_tables import read_place_table
from explorer.records.stated_places import complete_places
from explorer.records.text_decoding import decode_text
from explorer.records.text_tables import TextTable, read_table
from explorer.records.wide_table import read_wide_table
from explorer.records.written import WrittenReadings, columns_file_of

__all__ = ["Folder", "read_folder"]

SETTINGS = "programme.toml"
CARDS_FILE = "question_cards.toml"  # what a meeting answers; also beside a record in one file
LAKES = ("lakes.geojson", "lakes.csv")
STATIONS = ("stations.geojson", "stations.csv")


@dataclass(frozen=True, slots=True)
class Folder:
    """All that a folder holds, read.

    Attributes
    ----------
    settings : str
        Text of the programme's settings, empty where there is none.
    programme : Programme
        The settings, read.
    arrival : Arrival
        What goes into the record.
    findings : Findings
        Problems and the count of cells.
    """

    settings: str
    programme: Programme
    arrival: Arrival
    findings: Findings


def read_folder(texts: FolderTexts) -> Folder:
    """Return what the texts of a folder say; what must be asked is refused with the question.

    Parameters
    ----------
    texts : FolderTexts
        From `collect_texts`.

    Raises
    ------
    RecordError
        One message with every problem that keeps the folder from being a record.

    Examples
    --------
    >>> content = b"station,date,Secchi (m)\\nA1,2024-05-17,1.5\\n"
    >>> folder = read_folder(FolderTexts("ours", {"disk.csv": content}))
    >>> [station.code for station in folder.arrival.stations], len(folder.arrival.entries)
    (['A1'], 1)
    """
    findings, files = Findings(), texts.files
    settings = decode_text(files.get(SETTINGS, b"")) or ""
    try:
        programme = read_programme(settings, SETTINGS)
    except ProgrammeError as error:
        raise RecordError(str(error)) from error
    _name_the_unread(texts, findings)
    lakes, stations, outlines = _listed_places(files, findings)
    written = _written(files, programme, findings)
    if not written and stations is None and not findings.problems:
        raise RecordError(
            f"{texts.name} holds no table of readings and no list of stations. Put a CSV file of readings "
            "there, or name another folder."
        )
    places = Places(dict(lakes or {}), outlines, dict(stations or {}))
    complete_places(
        places,
        written,
        lakes_listed=lakes is not None,
        stations_listed=stations is not None,
        findings=findings,
    )
    findings.raise_refusals()
    bottoms = {code: station.bottom_depth_m for code, station in places.stations.items()}
    full = []
    for each in written:
        frame = read_entries(each, programme.quantities, findings)
        frame = settle_doubts(frame, each, programme.quantities, bottoms, findings)
        findings.cells.count(frame["status"])
        if not frame.empty:
            full.append(frame)
    findings.raise_refusals()
    entries = pd.concat(full, ignore_index=True) if full else empty_frame(ENTRIES)
    arrival = Arrival(
        tuple(places.lakes.values()), places.outlines, tuple(places.stations.values()), entries, files,
        findings.problems,
    )  # fmt: skip
    return Folder(settings, programme, arrival, findings)


def _name_the_unread(texts: FolderTexts, findings: Findings) -> None:
    for name in texts.passed_over:
        findings.add("folder_passed_over", "note", Source(name), READINGS_FOLDER)
    for name in texts.not_read:
        findings.add("file_not_read", "note", Source(name), PurePosixPath(name).suffix)
    for name in texts.files:
        ending = PurePosixPath(name).suffix.casefold()
        if name.endswith(COLUMNS_ENDING):
            table = name.removesuffix(COLUMNS_ENDING) + ".csv"
            if table not in texts.files:
                findings.add("columns_file_alone", "note", Source(name), table)
        elif ending != ".csv" and name not in (SETTINGS, CARDS_FILE, *LAKES, *STATIONS):
            findings.add("file_not_read", "note", Source(name), ending)


def _listed_places(
    files: Mapping[str, bytes], findings: Findings
) -> tuple[dict[str, Lake] | None, dict[str, Station] | None, dict[str, object]]:
    lakes: dict[str, Lake] | None = None
    stations: dict[str, Station] | None = None
    outlines: dict[str, object] = {}
    for pair in (LAKES, STATIONS):
        if all(name in files for name in pair):
            findings.add("listed_twice", "refuse", Source(pair[0]), pair[1])
    for name in LAKES:
        if name in files and (table := read_place_table(name, files[name], findings)) is not None:
            lakes, outlines = read_lakes(table, findings)
    for name in STATIONS:
        if name in files and (table := read_place_table(name, files[name], findings)) is not None:
            stations = read_stations(table, lakes, findings)
    return lakes, stations, outlines


def _written(files: Mapping[str, bytes], programme: Programme, findings: Findings) -> list[WrittenReadings]:
    written: list[WrittenReadings] = []
    seen: dict[str, str] = {}
    for name, content in files.items():
        if not name.casefold().endswith(".csv") or name in (*LAKES, *STATIONS):
            continue
        table = read_table(name, content)
        if isinstance(table, Problem):
            findings.add_problem(table)
            continue
        if table.sha256 in seen:
            findings.add("same_file_twice", "note", table.source(), seen[table.sha256])
            continue
        seen[table.sha256] = name
        readings = _readings_of(table, files, programme, findings)
        if readings is None:
            findings.cells.read += len(table.rows)
            findings.cells.refused += len(table.rows)
        else:
            written.append(readings)
            if not table.rows:
                findings.add("no_rows", "note", table.source())
    return written


def _readings_of(
    table: TextTable, files: Mapping[str, bytes], programme: Programme, findings: Findings
) -> WrittenReadings | None:
    """Return a table's readings as written, by whichever form it has."""
    name, columns = columns_file_of(table.name), ColumnsFile()
    if name in files:
        before = len(findings.problems)
        columns = read_columns_file(name, files[name], programme.quantities, findings)
        if len(findings.problems) > before:
            return None  # its own mistakes first: everything else would follow from them
    if is_exchange_table(table):
        return read_exchange_table(table, columns, programme.quantities, findings)
    if is_long_table(table):
        return read_long_table(table, columns, programme.quantities, findings)
    return read_wide_table(table, columns, programme.quantities, findings)
