"""The column type of points and outlines: GeoPackage binary in SQLite, EWKB in PostGIS."""

import struct
from typing import Any

import shapely
from sqlalchemy.types import UserDefinedType

__all__ = ["SRS_ID", "Geometry", "from_geopackage", "to_geopackage"]

SRS_ID = 4326  # WGS 84, longitude and latitude in degrees

_HEADER = struct.Struct("<2sBBi")  # magic "GP", version 0, flags, srs id (OGC 12-128, clause 2.1.3)
_LITTLE_ENDIAN, _EMPTY = 0x01, 0x10
_ENVELOPE_BYTES = {0: 0, 1: 32, 2: 48, 3: 48, 4: 64}


def to_geopackage(shape: shapely.Geometry) -> bytes:
    """Return a shape as a GeoPackage binary: header without envelope, then WKB.

    Parameters
    ----------
    shape : shapely geometry
        Longitude and latitude. [deg]

    References
    ----------
    .. [1] OGC 12-128r18, GeoPackage Encoding Standard, clause 2.1.3 "BLOB Format".

    Examples
    --------
    >>> to_geopackage(shapely.Point(1, 2))[:8].hex()
    '47500001e6100000'
    """
    flags = _LITTLE_ENDIAN | (_EMPTY if shape.is_empty else 0)
    return _HEADER.pack(b"GP", 0, flags, SRS_ID) + bytes(shapely.to_wkb(shape, byte_order=1))


def from_geopackage(blob: bytes) -> shapely.Geometry:
    """Return the shape of a GeoPackage binary, whatever envelope it carries.

    Parameters
    ----------
    blob : bytes
        Header, optional envelope, WKB.

    Raises
    ------
    ValueError
        If the bytes do not start with a GeoPackage header.

    Examples
    --------
    >>> from_geopackage(to_geopackage(shapely.Point(1, 2))).wkt
    'POINT (1 2)'
    """
    magic, _, flags, _ = _HEADER.unpack_from(blob)
    if magic != b"GP":
        raise ValueError(f"A GeoPackage geometry starts with 'GP'; found {magic!r}.")
    return shapely.from_wkb(blob[_HEADER.size + _ENVELOPE_BYTES[(flags >> 1) & 0x07] :])


class Geometry(UserDefinedType[shapely.Geometry]):
    """Column of shapely geometries in WGS 84.

    Parameters
    ----------
    kind : {"POINT", "MULTIPOLYGON"}
        Type of all its shapes.
    """

    cache_ok = True

    def __init__(self, kind: str) -> None:
        self.kind = kind

    def get_col_spec(self, **_: Any) -> str:
        """Return the type's name in a CREATE TABLE of SQLite."""
        return self.kind

    def bind_processor(self, dialect: Any) -> Any:
        """Return what turns a shape into the database's bytes."""
        if dialect.name == "sqlite":
            return lambda shape: None if shape is None else to_geopackage(shape)
        return lambda shape: (
            None
            if shape is None
            else shapely.to_wkb(shapely.set_srid(shape, SRS_ID), hex=True, include_srid=True)
        )

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """Return what turns the database's bytes into a shape."""
        if dialect.name == "sqlite":
            return lambda blob: None if blob is None else from_geopackage(blob)
        return lambda text: None if text is None else shapely.from_wkb(text)
