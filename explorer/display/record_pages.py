"""Builds the pages of one record: reads and computes what is needed, once for each version of it."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from datetime import date
from functools import cached_property

import pandas as pd

from explorer.analysis.class_schemes import programme_schemes
from explorer.analysis.classes import class_result, period_classes, season_classes
from explorer.analysis.compared_seasons import season_middles
from explorer.analysis.season_visits import months_without_visit
from explorer.display.change_page import ChangePage, build_change_page
from explorer.display.choice import Choice
from explorer.display.comparison import District
from explorer.display.district_seasons import DistrictSeasons, build_district_seasons, standing_stations
from explorer.display.explanation import Section, explain_station
from explorer.display.glossary import glossary_of
from explorer.display.map_groups import MapGroups, class_groups, place_groups, visit_groups
from explorer.display.map_page import MapPage, build_map_page
from explorer.display.origin_page import OriginPage, build_origin_page
from explorer.display.profile_page import ProfilePage, build_profile_page
from explorer.display.record_facts import RecordFacts
from explorer.display.relation_page import RelationPage, build_relation_page
from explorer.display.shown_station import ShownStation
from explorer.display.station_name import station_name
from explorer.display.station_page import build_station_page
from explorer.display.trend_map import TREND_MAPS, trend_groups
from explorer.display.trend_page import TrendPage, build_trend_page
from explorer.display.unusual_map import unusual_groups
from explorer.display.unusual_page import UnusualPage, build_decisions_page, build_unusual_page
from explorer.display.welcome import welcome_sentences
from explorer.intake.current_departures import current_departures
from explorer.intake.refresh import current_summaries, refresh_unscored
from explorer.model.calendar import Period
from explorer.model.classes import ClassScheme
from explorer.model.errors import known
from explorer.model.readings import READINGS
from explorer.model.station_trends import StationTrend
from explorer.records.provenance import reading_origin, visit_remarks
from explorer.records.reason_problems import ReasonProblems
from explorer.records.record import Record

__all__ = ["RecordPages"]

Progress = Callable[[int, int], None]


class RecordPages:
    """The pages of a record as it is now.

    Parameters
    ----------
    record : Record
        An open record.
    progress : callable, optional
        Called while seasons are computed, with how many stations are done, and of how many.
    looking : callable, optional
        Entered while unusual readings are looked for; gives what is called with the same.
    writes : bool
        Whether marks are written into the record: then what is computed of unusual readings is kept in it.

    Attributes
    ----------
    version : int
        Version of the record that the pages speak of.
    latest : Period
        The last season with readings.
    """

    def __init__(
        self,
        record: Record,
        progress: Progress | None = None,
        looking: Callable[[], AbstractContextManager[Progress | None]] = nullcontext,
        *,
        writes: bool = False,
    ) -> None:
        self.record = record
        self._looking = looking
        self._writes = writes
        self.version = record.version()
        self.programme = record.programme
        self.schemes = programme_schemes(record.settings, "programme.toml", record.programme.quantities)
        summaries = current_summaries(record, progress)
        self._seasons = summaries.seasons
        self._trends: dict[str, dict[str, StationTrend]] = defaultdict(dict)
        for (code, quantity), trend in summaries.trends.items():
            self._trends[code][quantity] = trend
        self._rows_of = self._seasons.groupby("station_code").indices
        self._lakes = record.lakes()
        self._stations = record.station_list()
        kinds = {each.code: str(self._lakes[each.lake_code].kind) for each in self._stations}
        self._kinds = pd.Series(kinds, dtype="str")
        self._district = District(self._stations, self._lakes, season_middles(self._seasons))
        self._decisions: dict[tuple[str, str], UnusualPage] = {}
        self.latest = _latest_season(self._seasons)

    def facts(self) -> RecordFacts:
        """Return by what a picture or a table names the record."""
        record = self.record
        return RecordFacts(record.title, record.opened_from, self.version, record.settings_hash)

    def scheme(self, key: str) -> ClassScheme:
        """Return the class scheme of a key.

        Raises
        ------
        UnknownNameError
            If there is none; the message names the nearest.
        """
        return known(self.schemes, key, "class scheme")

    def stations_of_water(self, station: str) -> set[str]:
        """Return the stations of a station's water, all stations where the code is none."""
        here = next((each.lake_code for each in self._stations if each.code == station), None)
        return {each.code for each in self._stations if here in (None, each.lake_code)}

    def welcome(self) -> tuple[str, ...]:
        """Return what stands on the screen before a station is picked: whose record it is, and what to do."""
        return (
            self.programme.name,
            *welcome_sentences(self._lakes, self._stations, self._seasons, self.programme),
        )

    def district(self, choice: Choice) -> DistrictSeasons:
        """Return the seasons of all waters, see `build_district_seasons`."""
        stations = standing_stations(self._stations)
        scheme = self.scheme(choice.scheme)
        kinds = self._kinds[[each.code for each in stations]]
        own = self._seasons[self._seasons["station_code"].isin(kinds.index)]
        classes = season_classes(own, scheme, self.programme, kinds)
        return build_district_seasons(classes, stations, self._lakes, choice, scheme, self.programme)

    def map_page(self, choice: Choice) -> MapPage:
        """Return the map's page."""
        return build_map_page(self._stations, self._lakes, self._groups(choice), choice.language)

    def station(self, choice: Choice, columns: Sequence[str] = tuple(READINGS)) -> ShownStation:
        """Return the page of the chosen station and what lies behind it.

        Parameters
        ----------
        choice : Choice
            What the reader chose.
        columns : sequence of str
            What the page shall know of each reading, at least `DRAWN`: less comes sooner.

        Raises
        ------
        UnknownNameError
            If the record has no such station or there is no such scheme.
        """
        scheme = self.scheme(choice.scheme)
        history = self.record.history(choice.station, columns)
        seasons = self._seasons.iloc[self._rows_of.get(choice.station, [])]
        result = class_result(history, seasons, choice.period, scheme, self.programme)
        trends = self._trends.get(choice.station, {})
        page = build_station_page(
            history, seasons, result, choice, scheme, self.programme, self._district, trends
        )
        return ShownStation(page, seasons, result, choice, scheme, self.record, trends)

    def explanation(self, shown: ShownStation) -> tuple[Section, ...]:
        """Return how a station's state is known."""
        return explain_station(
            shown.page, shown.history, shown.seasons, shown.result, shown.choice, shown.scheme,
            self.programme, self.record.title,
        )  # fmt: skip

    def glossary(self, shown: ShownStation) -> tuple[tuple[str, str], ...]:
        """Return what the words on a station's page mean."""
        beside = [shown.page.comparison.sentence]
        return glossary_of(shown.page, shown.result, shown.choice, shown.scheme, beside)

    def profiles(self, shown: ShownStation, visit_id: int, quantity: str) -> ProfilePage:
        """Return a station's depth profiles, see `build_profile_page`."""
        remarks = visit_remarks(self.record, shown.history.station.code)
        return build_profile_page(shown.history, shown.choice, self.programme, remarks, visit_id, quantity)

    def relations(self, shown: ShownStation) -> RelationPage:
        """Return what goes together at a station, see `build_relation_page`."""
        return build_relation_page(shown.history, shown.seasons, shown.choice, self.programme)

    def changes(self, shown: ShownStation, date: str) -> tuple[TrendPage, ChangePage]:
        """Return whether a station is changing, see `build_trend_page`, and how it differs after a date."""
        codes = [panel.quantity.code for panel in shown.page.panels]
        choice, programme = shown.choice, self.programme
        readings = shown.history.readings if date else pd.DataFrame()
        change = build_change_page(readings, date, codes, choice, programme)
        return build_trend_page(shown.trends, codes, choice, programme), change

    def origin(self, reading_id: int, choice: Choice) -> OriginPage | None:
        """Return what lies behind a reading, see `build_origin_page`; None for one of another station."""
        origin = reading_origin(self.record, reading_id)
        here = origin.station_code == choice.station
        if not here:
            return None
        return build_origin_page(origin, choice, self.programme, ReasonProblems(self.record))

    @cached_property
    def departures(self) -> pd.DataFrame:
        """The unusual readings of the record, columns of `DEPARTURE_ROWS`; read when first asked for."""
        with self._looking() as progress:
            if self._writes:
                refresh_unscored(self.record, progress)
            return current_departures(self.record, progress)

    def unusual(self, choice: Choice, reading_id: int) -> UnusualPage:
        """Return the unusual readings of the chosen station, see `build_unusual_page`."""
        own = self.departures[self.departures["station_code"].to_numpy() == choice.station]
        return build_unusual_page(own, choice, self.programme, reading_id)

    def station_of(self, reading_id: int) -> str:
        """Return the station of an unusual reading."""
        rows = self.departures
        return str(rows.loc[rows["reading_id"] == reading_id, "station_code"].iloc[0])

    def decisions(self, choice: Choice, reading_id: int) -> UnusualPage:
        """Return what waits for a decision in the whole record, see `build_decisions_page`."""
        key = (choice.length_unit, choice.language)
        if key not in self._decisions:
            names = {
                each.code: station_name(each, self._lakes[each.lake_code], choice.language)
                for each in self._stations
            }
            self._decisions[key] = build_decisions_page(self.departures, names, choice, self.programme)
        return replace(self._decisions[key], reading_id=reading_id)

    def _groups(self, choice: Choice) -> MapGroups:
        if choice.map_shows == "places":
            return place_groups(len(self._stations), choice)
        if choice.map_shows == "visits":
            year = choice.period.last_year
            missing = months_without_visit(self._seasons, year, self.programme, self._kinds.index)
            return visit_groups(missing, year, choice, self.programme)
        if choice.map_shows in TREND_MAPS:
            return trend_groups([each.code for each in self._stations], self._trends, choice, self.programme)
        if choice.map_shows == "unusual":
            codes = [each.code for each in self._stations]
            return unusual_groups(self.departures, codes, choice, self.programme)
        scheme = self.scheme(choice.scheme)
        classes = period_classes(self._seasons, choice.period, scheme, self.programme, self._kinds)
        return class_groups(classes, choice, scheme, self.programme)


def _latest_season(seasons: pd.DataFrame) -> Period:
    in_season = seasons[seasons["window"] == "season"]
    years = seasons["year"] if in_season.empty else in_season["year"]
    year = date.today().year if years.empty else int(years.max())
    return Period(year, year)
