"""What the reader has chosen to see: the one value that every page is built from."""

from dataclasses import dataclass

from explorer.model.calendar import Period
from explorer.model.programme import LengthUnit

__all__ = ["Choice"]


@dataclass(frozen=True, slots=True)
class Choice:
    """A reader's choice.

    Attributes
    ----------
    station : str
        Code of the picked station, empty for none.
    period : Period
        Seasons that are judged: the record's latest, until the reader picks others.
    picked : bool
        Whether the reader picked that period.
    scheme : str
        Key of the class scheme.
    length_unit : {"m", "ft"}
        Unit of depths.
    log : bool
        Whether concentrations stand on a logarithmic scale; clarity never does.
    map_shows : str
        What the map's colours mean, one of `MAP_SHOWS`.
    language : str
        Language of the words.
    beside : str
        What stands beside the station's readings: nothing (empty), "water" for the other stations of its
        water, "district" for the middle of the district's stations, or the code of a station.
    days : tuple of str
        Days whose visits stay strong while all others are faint, ISO 8601; empty: none is picked.
    """

    station: str
    period: Period
    picked: bool = False
    scheme: str = "carlson_simpson_1996"
    length_unit: LengthUnit = "m"
    log: bool = True
    map_shows: str = "class"
    language: str = "en"
    beside: str = ""
    days: tuple[str, ...] = ()
