"""Who goes to which station on which day, and the numbers on the bottles."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from chance import Chance
from stories import (
    DEEP_READER,
    DEEP_READER_YEARS,
    FELLOW_READER,
    FIRST_YEAR,
    FLOOD_DAYS,
    LAST_YEAR,
    MARKS,
)
from waters import PLACES, WATERS, Place, Water

GAP_IN_SEASON, GAP_IN_WINTER, GAP_AT_A_STATION = 0.05, 0.18, 0.06
YEARS_WITH_GAPS = {("ASK", 2010): (5, 7), ("UMB", 2017): (6, 7), ("COL", 2012): (5, 6, 7, 8, 9)}
MONTH_WITHOUT_ANYBODY = (2020, 5)
KEPT_MONTHS = {  # the stories need these, and the sheets the season of 2025
    "2013-07", "2018-07", "2019-06", "2019-07", "2019-08", "2021-06", *(mark.month for mark in MARKS),
    *(f"{LAST_YEAR}-{month:02d}" for month in range(4, 11)),
}  # fmt: skip
BOTTOM_MONTHS = (6, 8)
WEATHERS = ("sun", "sun", "cloud", "cloud", "wind", "rain")


@dataclass(frozen=True)
class Visit:
    """One station on one day; sample numbers are 0 where no bottle was filled."""

    water: Water
    place: Place
    day: date
    time: str
    observer: str
    second_observer: str = ""
    sample: int = 0
    bottom_sample: int = 0
    blank: int = 0
    duplicated: bool = False

    @property
    def delivery(self) -> str:
        """Code of the delivery to the laboratory that the samples travel with."""
        return f"D{self.day:%y-%m}"

    @property
    def month(self) -> str:
        """Year and month, as the stories name it."""
        return f"{self.day:%Y-%m}"

    @property
    def weather(self) -> str:
        """What the sheet says of the weather, the same at all stations of a water."""
        if FLOOD_DAYS[0] <= self.day <= FLOOD_DAYS[1]:
            return "flood"
        return WEATHERS[Chance(self.water.code, self.day, "weather").whole(0, len(WEATHERS) - 1)]


def all_visits() -> list[Visit]:
    """Return every visit of twenty seasons by day, with its sample numbers."""
    visits: list[Visit] = []
    for year in range(FIRST_YEAR, LAST_YEAR + 1):
        of_year = [visit for water in WATERS for visit in _water_year(water, year)]
        visits += _numbered(sorted(of_year, key=lambda visit: (visit.day, visit.place.code)))
    return visits


def _water_year(water: Water, year: int) -> Iterator[Visit]:
    chance = Chance(water.code, year, "days")
    usual_day = Chance(water.code, "usual day").whole(6, 22)
    for month in water.months:
        day = usual_day + chance.whole(-3, 3)
        gap = chance.share() < (GAP_IN_SEASON if 4 <= month <= 10 else GAP_IN_WINTER)
        team = water.teams[0] if chance.share() < 0.7 else water.teams[-1]
        minutes = 9 * 60 + 30 + 5 * chance.whole(0, 50)
        if year < water.first_year or month in YEARS_WITH_GAPS.get((water.code, year), ()):
            continue
        if (year, month) == MONTH_WITHOUT_ANYBODY or (gap and f"{year}-{month:02d}" not in KEPT_MONTHS):
            continue
        when = _in_flood(water, date(year, month, day))
        observer, second = _readers(water, when, team)
        for place in _places_visited(water, when):
            yield Visit(water, place, when, f"{minutes // 60:02d}:{minutes % 60:02d}", observer, second)
            minutes += 20


def _in_flood(water: Water, day: date) -> date:
    first, last = FLOOD_DAYS
    if (day.year, day.month) != (first.year, first.month):
        return day
    return first + timedelta(days=Chance(water.code, "flood").whole(0, (last - first).days))


def _readers(water: Water, day: date, usual: str) -> tuple[str, str]:
    if water.code != "COL" or not DEEP_READER_YEARS[0] <= day.year <= DEEP_READER_YEARS[1]:
        return usual, ""
    if day.month in (5, 7, 8):
        return FELLOW_READER, DEEP_READER
    return (DEEP_READER if day.month == 6 else usual), ""


def _places_visited(water: Water, day: date) -> Iterator[Place]:
    for place in PLACES:
        if place.lake_code != water.code or not place.first_year <= day.year <= place.last_year:
            continue
        if place.visits_only is not None and f"{day:%Y-%m}" not in place.visits_only:
            continue
        missed = Chance(place.code, day, "missed").share() < GAP_AT_A_STATION
        if place.is_index or not missed or f"{day:%Y-%m}" in KEPT_MONTHS or place.visits_only:
            yield place


def _numbered(visits: list[Visit]) -> list[Visit]:
    """Return one year's visits with running sample numbers; one duplicate and one blank a delivery."""
    serial = 0
    numbered = []
    chosen = _chosen_for_quality(visits)
    for visit in visits:
        if not visit.place.sampled:
            numbered.append(visit)
            continue
        serial += 1
        twice, blank = chosen[visit.delivery]
        made = replace(visit, sample=serial, duplicated=twice == _name(visit))
        if visit.place.profiled and visit.day.month in BOTTOM_MONTHS:
            serial += 1
            made = replace(made, bottom_sample=serial)
        if blank == _name(visit):
            serial += 1
            made = replace(made, blank=serial)
        numbered.append(made)
    return numbered


def _name(visit: Visit) -> str:
    return f"{visit.place.code} {visit.day}"


def _chosen_for_quality(visits: list[Visit]) -> dict[str, tuple[str, str]]:
    """Return by delivery the visit whose sample is taken twice and the one that fills a blank."""
    by_delivery: dict[str, list[str]] = {}
    for visit in visits:
        if visit.place.sampled:
            by_delivery.setdefault(visit.delivery, []).append(_name(visit))
    chosen = {}
    for delivery, names in by_delivery.items():
        chance = Chance(delivery, "quality")
        chosen[delivery] = (
            names[chance.whole(0, len(names) - 1)],
            names[chance.whole(0, len(names) - 1)],
        )
    return chosen
