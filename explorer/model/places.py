"""Waters and the stations on them."""

from dataclasses import dataclass
from typing import Literal

__all__ = ["ATTRIBUTES", "WATER_KINDS", "Lake", "Station", "WaterKind"]

WaterKind = Literal["lake", "reservoir", "pond", "stream"]
WATER_KINDS: tuple[WaterKind, ...] = ("lake", "reservoir", "pond", "stream")
ATTRIBUTES = ("stained", "turbid", "shallow", "nitrogen-limited")


@dataclass(frozen=True, slots=True)
class Lake:
    """A lake, reservoir, pond or stream.

    Attributes
    ----------
    code, name : str
        Unique code and the name on screens.
    kind : {"lake", "reservoir", "pond", "stream"}
        What water it is; a stream is never classed by a lake scheme.
    attributes : frozenset of str
        "stained", "turbid", "shallow", "nitrogen-limited".
    area_km2, altitude_m, maximum_depth_m : float
        NaN where not known. [km²], [m], [m]

    Examples
    --------
    >>> Lake("HM", "Hollow Mere", "pond", frozenset({"shallow"}), 0.1, 210.0, 2.5).kind
    'pond'
    """

    code: str
    name: str
    kind: WaterKind
    attributes: frozenset[str]
    area_km2: float
    altitude_m: float
    maximum_depth_m: float


@dataclass(frozen=True, slots=True)
class Station:
    """A place where readings are taken.

    Attributes
    ----------
    code, name, lake_code : str
        Unique code, name on screens, code of its water.
    longitude_deg, latitude_deg : float
        WGS 84; NaN where the record has no coordinates. [deg]
    bottom_depth_m : float
        Depth of the water, NaN where not known. [m]
    is_index : bool
        Whether its readings stand for the whole water.

    Examples
    --------
    >>> Station("HM1", "Hollow Mere, middle", "HM", -30.0, 45.0, 2.4, True).lake_code
    'HM'
    """

    code: str
    name: str
    lake_code: str
    longitude_deg: float
    latitude_deg: float
    bottom_depth_m: float
    is_index: bool
