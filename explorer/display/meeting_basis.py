"""What the five steps of a meeting are made from: one station that speaks for its lake, and its numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from explorer.analysis.classes import class_result
from explorer.display.choice import Choice
from explorer.display.numbers import count_text, interval_text, period_text
from explorer.display.station_words import capitalised
from explorer.model.calendar import Period
from explorer.model.classes import ClassResult, ClassScheme, Window
from explorer.model.history import StationHistory
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.readings import usable
from explorer.model.station_trends import StationTrend
from explorer.model.words import has_words, say

__all__ = ["CLARITY", "MeetingBasis", "speaking_station"]

CLARITY = ("secchi_depth", "transparency_tube")


@dataclass(frozen=True)
class MeetingBasis:
    """One lake, as its meeting looks at it.

    Attributes
    ----------
    history : StationHistory
        The station that speaks for the lake, with its readings.
    seasons : DataFrame
        Its season table, columns of `SEASONS`.
    trends : mapping of str to StationTrend
        By quantity.
    scheme : ClassScheme
        The programme's scheme.
    programme : Programme
        Season, rules, units and language.
    year : int
        The season that is spoken of.
    """

    history: StationHistory
    seasons: pd.DataFrame
    trends: Mapping[str, StationTrend]
    scheme: ClassScheme
    programme: Programme
    year: int

    @property
    def lake(self) -> Lake:
        """The water."""
        return self.history.lake

    @property
    def language(self) -> str:
        """Language of the words."""
        return self.programme.language

    @property
    def period(self) -> Period:
        """The season that is spoken of, as a period."""
        return Period(self.year, self.year)

    @property
    def choice(self) -> Choice:
        """The same as a choice, for what is built from one."""
        programme = self.programme
        return Choice(
            self.history.station.code, self.period, scheme=self.scheme.key,
            length_unit=programme.length_unit, language=programme.language,
        )  # fmt: skip

    @cached_property
    def result(self) -> ClassResult:
        """The class in that season, or why there is none."""
        return class_result(self.history, self.seasons, self.period, self.scheme, self.programme)

    @cached_property
    def counted(self) -> pd.DataFrame:
        """The usable surface readings, with `year`, the year of their season."""
        readings = self.history.readings
        kept = readings[(usable(readings) & (readings["stratum"] == "surface")).to_numpy()]
        return kept.assign(year=self.programme.season.year_of(kept["taken_on"]))

    @cached_property
    def in_season(self) -> pd.DataFrame:
        """Those of `counted` that lie in a season's months."""
        return self.counted[self.programme.season.contains(self.counted["taken_on"]).to_numpy()]

    @cached_property
    def this_season(self) -> pd.DataFrame:
        """Those of `in_season` that lie in the season that is spoken of."""
        return self.in_season[(self.in_season["year"] == self.year).to_numpy()]

    def of(self, code: str) -> pd.DataFrame:
        """Return the counted readings of one quantity in the seasons' months."""
        return self.in_season[(self.in_season["quantity"] == code).to_numpy()]

    def say(self, code: str, **values: object) -> str:
        """Return a sentence of the group "meeting"; what every one of them may name is filled in."""
        usual = {
            "season": self.programme.season.label(self.year),
            "kind": say(f"meeting.kind_{self.lake.kind}", language=self.language),
            "scheme": self.scheme.name,
        }
        return say(f"meeting.{code}", {**usual, **values}, self.language)

    def name(self, code: str) -> str:
        """Return what a quantity is called in the hall: "algae" for chlorophyll a."""
        return self._own("name", code)

    def amount(self, code: str) -> str:
        """Return a quantity as the subject of a sentence: "the amount of algae"."""
        return self._own("amount", code)

    def _own(self, group: str, code: str) -> str:
        own = f"meeting.{group}_{code}"
        if has_words(own):
            return say(own, language=self.language)
        return name_in_sentence(self.programme.quantities[code])

    def value(self, code: str, low: float, high: float) -> str:
        """Return a value that may be an interval in words. [record unit]"""
        return interval_text(
            low, high, self.programme.quantities[code], self.programme.length_unit, self.language
        )

    def quantity(self, code: str) -> Quantity:
        """Return the quantity of a code."""
        return self.programme.quantities[code]

    def count(self, code: str, count: int, **values: object) -> str:
        """Return a counted noun."""
        return count_text(code, count, values, self.language)

    def visits_line(self, readings: pd.DataFrame, period: Period) -> str:
        """Return how many visits by how many volunteers stand behind some readings; nobody is named."""
        visits = int(readings["taken_on"].nunique())
        people = int(readings.loc[(readings["observer"] != "").to_numpy(), "observer"].nunique())
        values: dict[str, object] = {
            "visits": capitalised(self.count("count.visit", visits)),
            "volunteers": self.count("meeting.volunteer", people),
            "when": period_text(period, self.programme.season, self.language),
        }
        which = "visits_by" if visits and people else "visits"
        return self.say(which if period.years == 1 else f"{which}_long", **values)

    @cached_property
    def season_visits(self) -> str:
        """The visits line of the season that is spoken of."""
        return self.visits_line(self.this_season, self.period)

    def season_visits_of(self, code: str, window: Window = "season") -> str:
        """Return the visits line of one quantity in the season, or in the whole year, that is spoken of."""
        counted = self.in_season if window == "season" else self.counted
        readings = counted[(counted["quantity"] == code).to_numpy()]
        return self.visits_line(readings[(readings["year"] == self.year).to_numpy()], self.period)

    def all_visits(self, codes: Sequence[str]) -> str:
        """Return the visits line of some quantities over all seasons."""
        readings = self.in_season[self.in_season["quantity"].isin(list(codes)).to_numpy()]
        years = readings["year"].to_numpy()
        period = Period(int(years.min()), int(years.max())) if years.size else self.period
        return self.visits_line(readings, period)


def speaking_station(lake: Lake, stations: Sequence[Station], visits: Mapping[str, int]) -> Station | None:
    """Return the station that speaks for a lake.

    Parameters
    ----------
    lake : Lake
        The water.
    stations : sequence of Station
        The record's stations.
    visits : mapping of str to int
        Visits by station code.

    Returns
    -------
    Station or None
        Of the stations that stand for the whole water (of all, where none does) the one with most visits;
        None where it has no station.

    Examples
    --------
    >>> nan = float("nan")
    >>> lake = Lake("HM", "Hollow Mere", "pond", frozenset(), nan, nan, nan)
    >>> stations = [Station(f"HM{n}", "", "HM", nan, nan, nan, n == 2) for n in (1, 2)]
    >>> speaking_station(lake, stations, {"HM1": 9, "HM2": 4}).code
    'HM2'
    """
    own = [each for each in stations if each.lake_code == lake.code]
    own = [each for each in own if each.is_index] or own
    order = np.argsort([-visits.get(each.code, 0) for each in own], kind="stable")
    return own[int(order[0])] if own else None
