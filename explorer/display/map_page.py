"""What the map and the list show: a place, a colour class and a label for every station."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.display.map_groups import MapGroups
from explorer.display.numbers import count_text
from explorer.display.station_name import station_name
from explorer.model.places import Lake, Station
from explorer.model.words import say

__all__ = ["MapPage", "build_map_page", "fitted_view", "found_stations"]

MOST_ZOOM = 14.0  # one lonely station still shows its surroundings


@dataclass(frozen=True, slots=True)
class MapPage:
    """All that the map and the list of stations show.

    Attributes
    ----------
    codes : tuple of str
        Station codes, in the order of the list.
    names : tuple of str
        "Water, station".
    longitudes_deg, latitudes_deg : ndarray, shape (n,)
        WGS 84; NaN without a place. [deg]
    groups : MapGroups
        What the colours mean and what is said of each station.
    message : str
        What a reader must know, empty if nothing: a record without places.
    """

    codes: tuple[str, ...]
    names: tuple[str, ...]
    longitudes_deg: npt.NDArray[np.float64]
    latitudes_deg: npt.NDArray[np.float64]
    groups: MapGroups
    message: str


def build_map_page(
    stations: tuple[Station, ...], lakes: Mapping[str, Lake], groups: MapGroups, language: str
) -> MapPage:
    """Return the map's page.

    Parameters
    ----------
    stations : tuple of Station
        All stations, in the order of the list.
    lakes : mapping of str to Lake
        Waters by code.
    groups : MapGroups
        One group for each station.
    language : str
        Language of the words.

    Returns
    -------
    MapPage
    """
    longitudes = np.array([station.longitude_deg for station in stations], dtype=np.float64)
    latitudes = np.array([station.latitude_deg for station in stations], dtype=np.float64)
    placeless = np.isnan(longitudes)
    message = ""
    if placeless.all():
        message = say("map.no_places", language=language)
    elif placeless.any():
        message = count_text("map.some_without_place", int(placeless.sum()), language=language)
    return MapPage(
        codes=tuple(station.code for station in stations),
        names=tuple(station_name(station, lakes[station.lake_code], language) for station in stations),
        longitudes_deg=longitudes,
        latitudes_deg=latitudes,
        groups=groups,
        message=message,
    )


def found_stations(page: MapPage, words: str) -> list[int]:
    """Return the positions of the stations whose name or code holds every word, in any order.

    Parameters
    ----------
    page : MapPage
        The page on the screen.
    words : str
        What the reader typed; nothing finds all.

    Returns
    -------
    list of int
        Positions in `page.codes`.
    """
    wanted = words.casefold().split()
    return [
        index
        for index, (code, name) in enumerate(zip(page.codes, page.names, strict=True))
        if all(word in f"{code} {name}".casefold() for word in wanted)
    ]


def fitted_view(
    longitudes_deg: npt.NDArray[np.float64],
    latitudes_deg: npt.NDArray[np.float64],
    width_px: int,
    height_px: int,
) -> tuple[tuple[float, float], float]:
    """Return the centre and the zoom at which all places lie inside a map.

    Parameters
    ----------
    longitudes_deg, latitudes_deg : ndarray, shape (n,)
        Places, at least one. [deg]
    width_px, height_px : int
        Size of the map. [px]

    Returns
    -------
    centre : tuple of float
        Latitude and longitude. [deg]
    zoom : float
        In quarters, as on a web map: 256 px hold the world at zoom 0.

    References
    ----------
    .. [1] EPSG:3857, spherical Mercator projection.

    Examples
    --------
    >>> fitted_view(np.array([-30.0, -29.9]), np.array([45.0, 45.1]), 300, 330)
    ((45.050022, -29.95), 11.5)
    """
    x = (longitudes_deg + 180) / 360
    y = 0.5 - np.arcsinh(np.tan(np.radians(latitudes_deg))) / (2 * np.pi)
    middle_y = (y.min() + y.max()) / 2
    latitude = float(np.degrees(np.arctan(np.sinh((0.5 - middle_y) * 2 * np.pi))))
    longitude = float((longitudes_deg.min() + longitudes_deg.max()) / 2)
    wide, high = max(float(np.ptp(x)), 1e-7), max(float(np.ptp(y)), 1e-7)
    room_px = 32  # for the marks at the edge
    exact = min(np.log2((width_px - room_px) / 256 / wide), np.log2((height_px - room_px) / 256 / high))
    zoom = float(np.clip(np.floor(exact * 4) / 4, 1, MOST_ZOOM))
    return (round(latitude, 6), round(longitude, 6)), zoom
