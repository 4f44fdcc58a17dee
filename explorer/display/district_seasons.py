"""The seasons of all waters at a glance, before a station is picked: one row a water, one cell a season."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.limit_words import class_text
from explorer.display.season_strip import SeasonCell, build_season_strip
from explorer.display.station_name import station_name
from explorer.model.calendar import Period
from explorer.model.classes import ClassScheme
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["DistrictSeasons", "WaterRow", "build_district_seasons", "standing_stations"]

MOST_ROWS = 100  # nobody reads further, and the list finds the others


@dataclass(frozen=True, slots=True)
class WaterRow:
    """The seasons of one water, as its index station stands for them.

    Attributes
    ----------
    station : str
        Code of the station.
    name : str
        The water; with the station where several stand for one water.
    cells : tuple of SeasonCell
        One for each season of the record.
    """

    station: str
    name: str
    cells: tuple[SeasonCell, ...]


@dataclass(frozen=True, slots=True)
class DistrictSeasons:
    """All that is shown while no station is picked.

    Attributes
    ----------
    rows : tuple of WaterRow
        At most `MOST_ROWS`.
    period : Period
        The seasons that the map's colours speak of.
    sentences : tuple of str
        What the cells mean and what can be done.
    """

    rows: tuple[WaterRow, ...]
    period: Period
    sentences: tuple[str, ...]


def standing_stations(stations: tuple[Station, ...]) -> tuple[Station, ...]:
    """Return the stations that stand for their water: the index stations, else all that a water has.

    Parameters
    ----------
    stations : tuple of Station
        All stations, in the order of the list.

    Examples
    --------
    >>> nan = float("nan")
    >>> stations = [("HM1", "HM", True), ("HM2", "HM", False), ("BR1", "BR", False)]
    >>> found = standing_stations(tuple(
    ...     Station(code, code, lake, nan, nan, nan, index) for code, lake, index in stations))
    >>> [station.code for station in found]
    ['HM1', 'BR1']
    """
    with_index = {each.lake_code for each in stations if each.is_index}
    return tuple(each for each in stations if each.is_index or each.lake_code not in with_index)


def build_district_seasons(
    classes: pd.DataFrame,
    stations: tuple[Station, ...],
    lakes: Mapping[str, Lake],
    choice: Choice,
    scheme: ClassScheme,
    programme: Programme,
) -> DistrictSeasons:
    """Return the seasons of all waters.

    Parameters
    ----------
    classes : DataFrame
        Rows of `season_classes` of these stations: station_code, year, label, letter, class_index, visits.
    stations : tuple of Station
        Those that stand for their water, from `standing_stations`.
    lakes : mapping of str to Lake
        Waters by code.
    choice : Choice
        What the reader chose.
    scheme : ClassScheme
        What the classes are by.
    programme : Programme
        For the seasons' labels.

    Returns
    -------
    DistrictSeasons
    """
    shown = stations[:MOST_ROWS]
    of_water = Counter(station.lake_code for station in stations)
    own = dict(iter(classes.groupby("station_code")))
    years = (int(classes["year"].min()), int(classes["year"].max())) if len(classes) else (0, -1)
    rows = tuple(
        WaterRow(
            station.code,
            lakes[station.lake_code].name
            if of_water[station.lake_code] == 1
            else station_name(station, lakes[station.lake_code], choice.language),
            build_season_strip(own.get(station.code, classes[:0]), years, programme, choice.language),
        )
        for station in shown
    )
    said = []
    if len(classes):
        said.append(say("waters.meaning", _meant(scheme, choice.language), choice.language))
        said.append(say("waters.how", language=choice.language))
    if len(shown) < len(stations):
        counts = {"shown": len(shown), "all": len(stations)}
        said.append(say("waters.shortened", counts, choice.language))
    return DistrictSeasons(rows, choice.period, tuple(said))


def _meant(scheme: ClassScheme, language: str) -> dict[str, str]:
    best, worst = (class_text(scheme.classes[at], language) for at in (0, -1))
    return {"scheme": scheme.name, "best": best, "worst": worst}
