"""Stations and waters that the tables of readings themselves speak of, and the check against the lists."""

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from explorer.model.errors import nearest_name
from explorer.model.places import Lake, Station, WaterKind
from explorer.model.problems import Source
from explorer.model.units import convert
from explorer.records.cells import Texts, read_numbers
from explorer.records.columns import ColumnsFile
from explorer.records.findings import Findings
from explorer.records.place_files import Places, position_problem
from explorer.records.text_tables import TextTable
from explorer.records.written import StatedPlace, WrittenReadings

__all__ = ["complete_places", "stated_places"]

NAN = float("nan")
SAME_PLACE_DEG = 0.01  # [deg] about 1 km: farther apart, two places of one station are a question
NOTED_UNDER = "stations"

# Words in the types of monitoring locations of the Water Quality Exchange (from memory).
_KIND_WORDS = (
    ("reservoir", "reservoir"), ("impoundment", "reservoir"), ("pond", "pond"), ("lake", "lake"),
    ("stream", "stream"), ("river", "stream"), ("canal", "stream"),
)  # fmt: skip


def stated_places(
    table: TextTable, stations: Texts, roles: Mapping[str, str], columns: ColumnsFile, findings: Findings
) -> dict[str, StatedPlace]:
    """Return what a table says of its stations.

    Parameters
    ----------
    table : TextTable
        Any table.
    stations : ndarray of str, shape (rows,)
        Station code of every row.
    roles : mapping of str to str
        Headings for station_name, water, kind, longitude, latitude, bottom_depth, where there are such.
    columns : ColumnsFile
        For the kind of water and the unit of the bottom's depth.
    findings : Findings
        Takes impossible places.
    """

    def text(role: str, row: int) -> str:
        return " ".join(table.rows[row][table.headings.index(roles[role])].split()) if role in roles else ""

    numbers = {role: _numbers(table, roles.get(role, ""), findings)
               for role in ("longitude", "latitude", "bottom_depth")}  # fmt: skip
    depths = convert(numbers["bottom_depth"], columns.bottom_depth_unit, "m")
    rows_of: dict[str, list[int]] = {}
    for row, code in enumerate(stations):
        rows_of.setdefault(code, []).append(row)
    places = {}
    for code, rows in rows_of.items():
        first = rows[0]
        longitude, latitude = _one_place(table, roles, numbers, rows, findings)
        depth = depths[rows][~np.isnan(depths[rows])]
        places[code] = StatedPlace(
            text("station_name", first),
            text("water", first),
            columns.water_kind or _kind_of(text("kind", first)),
            longitude,
            latitude,
            float(np.median(depth)) if depth.size else NAN,
        )
    return places


def _kind_of(location_type: str) -> str:
    """Return the kind of water that a type of monitoring location names, "" where it names none."""
    folded = location_type.casefold()
    return next((kind for word, kind in _KIND_WORDS if word in folded), "")


def _numbers(
    table: TextTable, heading: str, findings: Findings
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    if not heading:
        return np.full(len(table.rows), NAN)
    cells = table.column(heading)
    value, sign, problem = read_numbers(cells, table.decimal)
    for row in np.flatnonzero((problem != "") | (sign != "=")):
        findings.add("not_a_number", "refuse", table.source(table.row_numbers[row], heading), cells[row])
    return value


def _one_place(
    table: TextTable,
    roles: Mapping[str, str],
    numbers: Mapping[str, np.ndarray[tuple[int], np.dtype[np.float64]]],
    rows: Sequence[int],
    findings: Findings,
) -> tuple[float, float]:
    """Return the one place of a station's rows; rows that lie far apart are a question."""
    longitudes, latitudes = numbers["longitude"][rows], numbers["latitude"][rows]
    stated = np.flatnonzero(~np.isnan(longitudes) | ~np.isnan(latitudes))
    if not stated.size:
        return NAN, NAN
    first = int(stated[0])
    longitude, latitude = float(longitudes[first]), float(latitudes[first])
    source = table.source(table.row_numbers[rows[first]], roles.get("longitude", roles.get("latitude", "")))
    found = f"{longitude:g}, {latitude:g}"
    if problem := position_problem(longitude, latitude):
        findings.add(problem, "refuse", source, found)
        return NAN, NAN
    apart = np.hypot(longitudes[stated] - longitude, latitudes[stated] - latitude)
    if (apart > SAME_PLACE_DEG).any():
        other = int(stated[np.argmax(apart)])
        findings.add("two_places", "refuse", source, found, other=table.row_numbers[rows[other]],
                     there=f"{longitudes[other]:g}, {latitudes[other]:g}")  # fmt: skip
    return longitude, latitude


def complete_places(
    places: Places, written: Sequence[WrittenReadings], *, lakes_listed: bool, stations_listed: bool,
    findings: Findings
) -> None:  # fmt: skip
    """Add the stations and waters that no list holds; refuse a station that a list should hold.

    Parameters
    ----------
    places : Places
        What the lists hold; is added to.
    written : sequence of WrittenReadings
        All readings of the folder.
    lakes_listed, stations_listed : bool
        Whether there is a list of each.
    findings : Findings
        Takes unknown stations and the notes for the reader.
    """
    kinds: dict[str, str] = {}
    for each in written:
        for code, count in Counter(each.texts["station_code"].tolist()).items():
            if code in places.stations:
                continue
            if stations_listed:
                row = int(each.rows[each.texts["station_code"] == code][0])
                near = nearest_name(code, places.stations)
                source = each.table.source(row, each.headings.get("station_code", ""))
                findings.add("unknown_station", "refuse", source, code, count, near=near,
                             known=len(places.stations))  # fmt: skip
                continue
            said = each.places.get(code, StatedPlace())
            kinds.setdefault(said.lake_code or code, said.kind)
            places.stations[code] = Station(
                code, said.name or code, said.lake_code or code, said.longitude_deg, said.latitude_deg,
                said.bottom_depth_m, True,
            )  # fmt: skip
    _add_lakes(places, kinds, lakes_listed, findings)
    if not stations_listed:
        findings.add("stations_not_listed", "note", Source(NOTED_UNDER), stations=len(places.stations))
    _note_unplaced(places, findings)


def _add_lakes(places: Places, kinds: Mapping[str, str], listed: bool, findings: Findings) -> None:
    """Make a water for every station whose water is in no list."""
    wanted = {station.lake_code: station.name for station in places.stations.values()
              if station.lake_code not in places.lakes}  # fmt: skip
    for code, name in sorted(wanted.items()):
        alone = sum(station.lake_code == code for station in places.stations.values()) == 1
        kind: WaterKind = kinds.get(code) or "lake"  # type: ignore[assignment]
        places.lakes[code] = Lake(code, name if alone else code, kind, frozenset(), NAN, NAN, NAN)
    assumed = sum(not kinds.get(code) for code in wanted)
    if assumed and not listed:
        findings.add("lakes_not_listed", "note", Source(NOTED_UNDER), lakes=assumed)


def _note_unplaced(places: Places, findings: Findings) -> None:
    unplaced = [code for code, station in places.stations.items() if np.isnan(station.longitude_deg)]
    if unplaced:
        all_of_them = len(unplaced) == len(places.stations)
        shown = ", ".join(unplaced[:6]) + (" …" if len(unplaced) > 6 else "")
        code = "no_coordinates" if all_of_them else "some_without_coordinates"
        findings.add(code, "note", Source(NOTED_UNDER), shown, stations=len(unplaced))
