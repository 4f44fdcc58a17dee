"""How a station is called where its water is not named beside it."""

from explorer.model.places import Lake, Station
from explorer.model.words import say

__all__ = ["station_name"]


def station_name(station: Station, lake: Lake, language: str = "en") -> str:
    """Return a station's name with that of its water, which is not said twice.

    Parameters
    ----------
    station, lake : Station, Lake
        The station and its water.
    language : str
        Language of the words.

    Examples
    --------
    >>> nan = float("nan")
    >>> lake = Lake("HM", "Hollow Mere", "pond", frozenset(), nan, nan, nan)
    >>> station_name(Station("HM1", "Hollow Mere, middle", "HM", nan, nan, nan, True), lake)
    'Hollow Mere, middle'
    >>> station_name(Station("HM2", "inlet", "HM", nan, nan, nan, False), lake)
    'Hollow Mere, inlet'
    """
    if station.name.casefold().startswith(lake.name.casefold()):
        return station.name
    return say("heading.station_of_water", {"water": lake.name, "station": station.name}, language)
