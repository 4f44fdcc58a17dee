"""A list of places from a CSV or GeoJSON file, as a table of text with a shape for each row."""

import json
from dataclasses import dataclass
from typing import Any

import shapely
import shapely.geometry

from explorer.model.problems import Problem
from explorer.records.findings import Findings
from explorer.records.text_decoding import clean_text, decode_text
from explorer.records.text_tables import TextTable, read_table

__all__ = ["PlaceTable", "read_place_table"]


@dataclass(frozen=True, slots=True)
class PlaceTable:
    """A list of places as text, with shapes.

    Attributes
    ----------
    table : TextTable
        One row a place.
    shapes : tuple of shapely geometry or None
        The shape that belongs to each row, None where there is none. [deg, WGS 84]
    """

    table: TextTable
    shapes: tuple[shapely.Geometry | None, ...]


def read_place_table(name: str, content: bytes, findings: Findings) -> PlaceTable | None:
    """Return a CSV or GeoJSON file as a table of text with shapes, None where it cannot be read.

    Parameters
    ----------
    name : str
        File name; its ending says which of the two it is.
    content : bytes
        All of it.
    findings : Findings
        Takes the problems.
    """
    if name.casefold().endswith(".geojson"):
        return _read_geojson(name, content, findings)
    table = read_table(name, content)
    if isinstance(table, Problem):
        findings.add_problem(table)
        return None
    return PlaceTable(table, (None,) * len(table.rows))


def _read_geojson(name: str, content: bytes, findings: Findings) -> PlaceTable | None:
    empty = TextTable(name, "", "", (), (), (), ".")
    try:
        found = json.loads(decode_text(content) or "")
        features = found["features"]
        properties = [dict(feature.get("properties") or {}) for feature in features]
        crs = str(((found.get("crs") or {}).get("properties") or {}).get("name", "CRS84"))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        findings.add("not_geojson", "refuse", empty.source(), type(error).__name__, reason=str(error)[:120])
        return None
    if not crs.endswith(("CRS84", "4326")):  # RFC 7946, section 4: WGS 84 and nothing else
        findings.add("not_wgs84", "refuse", empty.source(), clean_text(crs))
        return None
    shapes: list[shapely.Geometry | None] = []
    for number, feature in enumerate(features, 1):
        try:
            geometry = feature.get("geometry")
            shape = shapely.geometry.shape(geometry) if geometry else None
            shapes.append(shapely.force_2d(shape) if shape is not None and not shape.is_empty else None)
        except (ValueError, TypeError, KeyError, AttributeError, IndexError, shapely.errors.ShapelyError):
            findings.add("not_a_shape", "refuse", empty.source(number))
            shapes.append(None)
    headings = tuple(dict.fromkeys(clean_text(str(key)) for each in properties for key in each))
    rows = tuple(tuple(_cell(each.get(key)) for key in headings) for each in properties)
    table = TextTable(name, "", "", headings, rows, tuple(range(1, len(rows) + 1)), ".")
    return PlaceTable(table, tuple(shapes))


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return " ".join(_cell(each) for each in value)
    return " ".join(clean_text(str(value)).split())
