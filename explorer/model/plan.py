"""What a programme means to do in a season: which station when, what for, how many duplicates and blanks.

In its `programme.toml`:

    [plan]
    months = [5, 6, 7, 8, 9]            # months with visits; without: those of the season
    visits_a_month = 1
    quantities = ["secchi_depth", "total_phosphorus"]
    duplicates_percent = 5              # of the samples of a month, at least
    blanks_a_month = 1

    [plan.stations]
    HOL1 = {}                           # as above
    HOL2 = { quantities = ["secchi_depth"], visits_a_month = 2 }
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from explorer.model.calendar import Season
from explorer.model.quantities import Quantity
from explorer.model.setting_checks import (
    Mistakes,
    check_keys,
    checked_count,
    checked_number,
    checked_word,
)
from explorer.model.setting_place import SettingPlace

__all__ = ["DUPLICATES_PERCENT", "Plan", "StationPlan", "read_plan"]

# Share of samples with a field duplicate: California measurement quality objectives, table A1 (5 %).
DUPLICATES_PERCENT = 5.0
MOST_VISITS, MOST_BLANKS = 31, 99  # a month

_STATION_KEYS = ("months", "visits_a_month", "quantities")


@dataclass(frozen=True, slots=True)
class StationPlan:
    """What is meant to be done at one station.

    Attributes
    ----------
    months : tuple of int
        Months with visits, 1 to 12.
    visits_a_month : int
        Visits in each of them.
    quantities : tuple of str
        Codes of what is measured on each visit.
    """

    months: tuple[int, ...]
    visits_a_month: int
    quantities: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """What a season is meant to bring.

    Attributes
    ----------
    stations : mapping of str to StationPlan
        By station code; empty where the programme has written none down.
    duplicates_percent : float
        Share of a month's samples that have a field duplicate, at least. [%]
    blanks_a_month : int
        Field blanks in each month.

    Examples
    --------
    >>> Plan().is_written
    False
    """

    stations: Mapping[str, StationPlan] = field(default_factory=dict)
    duplicates_percent: float = DUPLICATES_PERCENT
    blanks_a_month: int = 1

    @property
    def is_written(self) -> bool:
        """Whether the programme has said which stations it means to visit."""
        return bool(self.stations)


def read_plan(
    table: Mapping[str, Any], season: Season, quantities: Mapping[str, Quantity], place: SettingPlace
) -> Plan:
    """Return the plan that the table [plan] of a programme's settings writes down.

    Parameters
    ----------
    table : mapping
        The table.
    season : Season
        Gives the months where the table does not.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    place : SettingPlace
        Where the table stands.

    Raises
    ------
    ProgrammeError
        If keys are unknown or values wrong: all of them.

    Examples
    --------
    >>> table = {"quantities": ["secchi_depth"], "stations": {"A1": {}, "A2": {"months": [7]}}}
    >>> from explorer.model.quantities import QUANTITIES
    >>> plan = read_plan(table, Season((5, 6)), QUANTITIES, SettingPlace())
    >>> plan.stations["A1"].months, plan.stations["A2"].months
    ((5, 6), (7,))
    """
    keys = (*_STATION_KEYS, "duplicates_percent", "blanks_a_month", "stations")
    mistakes = Mistakes()
    mistakes.read(check_keys, table, keys, "a plan", place)
    base = StationPlan(season.months, 1, ())
    usual = mistakes.read(_station_plan, table, base, quantities, place) or base
    percent = mistakes.read(
        checked_number, table, "duplicates_percent", DUPLICATES_PERCENT, (0.0, 100.0), place
    )
    blanks = mistakes.read(checked_count, table, "blanks_a_month", 1, (0, MOST_BLANKS), place)
    stations, own = table.get("stations", {}), {}
    with mistakes.gathered():
        if not isinstance(stations, Mapping):
            raise place("stations", "write a table [plan.stations] with one line a station: A1 = {}.")
        for code, entry in stations.items():
            own[code] = mistakes.read(_of_station, code, entry, usual, quantities, place.inside("stations"))
    for code, each in own.items():
        with mistakes.gathered():
            if each and not each.quantities and "quantities" not in table:
                what = 'it measures nothing. Write quantities = ["secchi_depth"] under [plan].'
                raise place.inside("stations")(code, what)
    mistakes.refuse()
    return Plan(own, percent, blanks)


def _of_station(
    code: str, entry: Any, usual: StationPlan, quantities: Mapping[str, Quantity], place: SettingPlace
) -> StationPlan:
    if not isinstance(entry, Mapping):
        raise place(code, f"found {entry!r}. Write {code} = {{}} for what holds for all stations.")
    mistakes = Mistakes()
    mistakes.read(check_keys, entry, _STATION_KEYS, "the plan of a station", place.inside(code))
    made = mistakes.read(_station_plan, entry, usual, quantities, place.inside(code))
    mistakes.refuse()
    return made


def _station_plan(
    table: Mapping[str, Any], usual: StationPlan, quantities: Mapping[str, Quantity], place: SettingPlace
) -> StationPlan:
    mistakes = Mistakes()
    months = table.get("months", usual.months)
    is_months = isinstance(months, list | tuple) and bool(months)
    with mistakes.gathered():
        if not is_months or not all(type(each) is int and 1 <= each <= 12 for each in months):
            raise place("months", f"found {months!r}. Write a list of months: [5, 6, 7, 8, 9].")
    visits = mistakes.read(
        checked_count, table, "visits_a_month", usual.visits_a_month, (1, MOST_VISITS), place
    )
    codes = table.get("quantities", usual.quantities)
    with mistakes.gathered():
        if not isinstance(codes, list | tuple):
            raise place("quantities", f'found {codes!r}. Write a list of quantities: ["secchi_depth"].')
        for code in codes:
            mistakes.read(checked_word, {"quantities": code}, "quantities", "", quantities, place)
    mistakes.refuse()
    return StationPlan(tuple(dict.fromkeys(months)), visits, tuple(dict.fromkeys(codes)))
