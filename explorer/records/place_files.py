"""Lakes and stations from their lists; every cell that cannot be read is refused with its place."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
import shapely

from explorer.model.errors import nearest_name
from explorer.model.places import ATTRIBUTES, WATER_KINDS, Lake, Station
from explorer.records.cells import read_flags, read_numbers
from explorer.records.findings import Findings
from explorer.records.place_tables import PlaceTable
from explorer.records.text_tables import TextTable

__all__ = ["Places", "position_problem", "read_lakes", "read_stations"]

LAKE_COLUMNS = ("code", "name", "kind", "attributes", "area_km2", "altitude_m", "maximum_depth_m")
STATION_COLUMNS = ("code", "name", "lake_code", "longitude_deg", "latitude_deg", "bottom_depth_m", "is_index")

Place = TypeVar("Place", Lake, Station)


@dataclass(slots=True)
class Places:
    """Waters, outlines and stations by code.

    Attributes
    ----------
    lakes : dict of str to Lake
    outlines : dict of str to shapely geometry
        By lake code. [deg, WGS 84]
    stations : dict of str to Station
    """

    lakes: dict[str, Lake] = field(default_factory=dict)
    outlines: dict[str, shapely.Geometry] = field(default_factory=dict)
    stations: dict[str, Station] = field(default_factory=dict)


def _columns(table: TextTable, known: Iterable[str], needed: Iterable[str], findings: Findings) -> set[str]:
    names = tuple(known)
    for heading in table.headings:
        if heading not in names:
            near = nearest_name(heading, names)
            findings.add("unknown_column", "refuse", table.source(1, heading), heading, near=near,
                         known=", ".join(names))  # fmt: skip
    for name in needed:
        if name not in table.headings:
            findings.add("missing_column", "refuse", table.source(1), name, known=", ".join(table.headings))
    return {name for name in names if name in table.headings}


class _Rows:
    """The rows of a table of places, cell by cell, with a problem for each that cannot be read."""

    def __init__(self, table: TextTable, names: set[str], findings: Findings) -> None:
        self.table, self.findings = table, findings
        self._cells = {name: table.column(name) for name in names}

    def text(self, name: str, row: int) -> str:
        return " ".join(self._cells[name][row].split()) if name in self._cells else ""

    def number(self, name: str, row: int) -> float:
        text = self.text(name, row)
        value, sign, problem = read_numbers([text], self.table.decimal)
        if problem[0] or sign[0] != "=":
            self.refuse("not_a_number", name, row)
            return float("nan")
        return float(value[0])

    def size(self, name: str, row: int) -> float:
        value = self.number(name, row)
        if value < 0:
            self.refuse("below_zero", name, row, wanted="m")
        return value

    def refuse(self, code: str, name: str, row: int, **values: Any) -> None:
        source = self.table.source(self.table.row_numbers[row], name)
        self.findings.add(code, "refuse", source, self.text(name, row), **values)

    def unique(self, read: Callable[[int], Place | None]) -> dict[str, Place]:
        """Return the places by code; a code that comes twice or is empty is refused."""
        places: dict[str, Place] = {}
        for row in range(len(self.table.rows)):
            code = self.text("code", row)
            if not code:
                self.refuse("code_missing", "code", row)
            elif code in places:
                self.refuse("code_twice", "code", row)
            elif (place := read(row)) is not None:
                places[code] = place
        return places


def read_lakes(places: PlaceTable, findings: Findings) -> tuple[dict[str, Lake], dict[str, shapely.Geometry]]:
    """Return waters and outlines by code.

    Parameters
    ----------
    places : PlaceTable
        Columns code, name, kind, attributes, area_km2, altitude_m, maximum_depth_m; code is needed.
    findings : Findings
        Takes the problems.
    """
    names = _columns(places.table, LAKE_COLUMNS, ("code",), findings)
    if "code" not in names:
        return {}, {}
    rows = _Rows(places.table, names, findings)
    outlines: dict[str, shapely.Geometry] = {}

    def read(row: int) -> Lake | None:
        code, kind = rows.text("code", row), rows.text("kind", row).casefold() or "lake"
        if kind not in WATER_KINDS:
            rows.refuse("unknown_kind", "kind", row, known=", ".join(WATER_KINDS))
            return None
        attributes = frozenset(rows.text("attributes", row).replace(",", " ").casefold().split())
        if not attributes <= set(ATTRIBUTES):
            rows.refuse("unknown_attribute", "attributes", row, known=", ".join(ATTRIBUTES))
        outline = _outline(places.shapes[row], rows, row)
        if outline is not None:
            outlines[code] = outline
        return Lake(
            code,
            rows.text("name", row) or code,
            kind,
            attributes,
            rows.size("area_km2", row),
            rows.number("altitude_m", row),
            rows.size("maximum_depth_m", row),
        )

    return rows.unique(read), outlines


def _outline(shape: shapely.Geometry | None, rows: _Rows, row: int) -> shapely.Geometry | None:
    if shape is None:
        return None
    if shape.geom_type not in ("Polygon", "MultiPolygon"):
        rows.refuse("wrong_shape", "code", row, shape=shape.geom_type, wanted="Polygon or MultiPolygon")
        return None
    west, south, east, north = shape.bounds
    if not (-180 <= west <= east <= 180 and -90 <= south <= north <= 90):
        rows.refuse("outline_off_the_earth", "code", row, bounds=f"{west:g}, {south:g}, {east:g}, {north:g}")
        return None
    return shape if shape.geom_type == "MultiPolygon" else shapely.MultiPolygon([shape])


def read_stations(
    places: PlaceTable, lakes: Mapping[str, Lake] | None, findings: Findings
) -> dict[str, Station]:
    """Return stations by code.

    Parameters
    ----------
    places : PlaceTable
        Columns code, name, lake_code, longitude_deg, latitude_deg, bottom_depth_m, is_index; code is needed.
    lakes : mapping of str to Lake, optional
        Waters by code; None where there is no list of them, and any lake_code is right.
    findings : Findings
        Takes the problems.
    """
    names = _columns(places.table, STATION_COLUMNS, ("code",), findings)
    if "code" not in names:
        return {}
    rows = _Rows(places.table, names, findings)
    of_lake = [rows.text("lake_code", row) or rows.text("code", row) for row in range(len(places.table.rows))]

    def read(row: int) -> Station | None:
        code, lake_code = rows.text("code", row), of_lake[row]
        if lakes is not None and lake_code not in lakes:
            near = nearest_name(lake_code, lakes)
            rows.refuse("unknown_lake", "lake_code" if "lake_code" in names else "code", row,
                        near=near, count=1, known=len(lakes))  # fmt: skip
        flag, problem = read_flags([rows.text("is_index", row)])
        if problem[0]:
            rows.refuse("not_yes_or_no", "is_index", row)
        longitude, latitude = _position(places.shapes[row], rows, row)
        return Station(
            code,
            rows.text("name", row) or code,
            lake_code,
            longitude,
            latitude,
            rows.size("bottom_depth_m", row),
            bool(flag[0]) if rows.text("is_index", row) else of_lake.count(lake_code) == 1,
        )

    return rows.unique(read)


def _position(shape: shapely.Geometry | None, rows: _Rows, row: int) -> tuple[float, float]:
    """Return longitude and latitude, NaN for both where they are not known."""
    if shape is not None and shape.geom_type != "Point":
        rows.refuse("wrong_shape", "code", row, shape=shape.geom_type, wanted="Point")
        return float("nan"), float("nan")
    if shape is not None:
        longitude, latitude = float(shape.x), float(shape.y)
    else:
        longitude, latitude = rows.number("longitude_deg", row), rows.number("latitude_deg", row)
    if np.isnan(longitude) and np.isnan(latitude):
        return longitude, latitude
    if problem := position_problem(longitude, latitude):
        source = rows.table.source(rows.table.row_numbers[row], "" if shape is not None else "longitude_deg")
        rows.findings.add(problem, "refuse", source, f"{longitude:g}, {latitude:g}")
    return longitude, latitude


def position_problem(longitude_deg: float, latitude_deg: float) -> str:
    """Return the problem code of a place that cannot be, "" for one that can.

    Parameters
    ----------
    longitude_deg, latitude_deg : float
        [deg, WGS 84]

    Examples
    --------
    >>> position_problem(45.0, -130.0), position_problem(-30.0, 45.0)
    ('swapped_place', '')
    """
    if -180 <= longitude_deg <= 180 and -90 <= latitude_deg <= 90:
        return "impossible_place" if longitude_deg == 0 and latitude_deg == 0 else ""
    return "swapped_place" if abs(longitude_deg) <= 90 < abs(latitude_deg) <= 180 else "impossible_place"
