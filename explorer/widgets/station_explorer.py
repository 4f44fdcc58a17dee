"""The screen of stations: map, list, and the linked panels of the picked station."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.address import address_of
from explorer.display.choice import Choice
from explorer.display.downloads import download
from explorer.display.markup import element
from explorer.display.numbers import count_text
from explorer.display.reading_choice import reading_at, reading_line, reading_near
from explorer.display.readings_table import readings_html
from explorer.display.record_pages import RecordPages
from explorer.display.season_strip import moved_period, period_words
from explorer.display.shown_station import ShownStation
from explorer.display.station_page import DRAWN, StationPage
from explorer.model.calendar import Period
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.widgets.busy_line import BusyLine
from explorer.widgets.chosen import Chosen
from explorer.widgets.fold import sections_html, terms_html
from explorer.widgets.one_message import OneMessage
from explorer.widgets.opening_bar import opening_bar
from explorer.widgets.screen import Screen
from explorer.widgets.station_folds import StationFolds
from explorer.widgets.style import style_html
from explorer.widgets.tile_folder import Background

__all__ = ["StationExplorer"]


class StationExplorer(Chosen, ipywidgets.VBox):  # type: ignore[misc]
    """A record on a screen.

    All state is in the traits of `Chosen`; set them from a notebook and the screen follows, observe them and
    a notebook follows the screen.

    Parameters
    ----------
    record : Record
        An open record.
    writer : str
        Who may mark readings, kept with every mark as typed; empty: nobody, the screen only reads.
    """

    def __init__(self, record: Record, writer: str = "") -> None:
        super().__init__()
        self.writer = writer.strip()
        self._shown: ShownStation | None = None
        self.busy = BusyLine("message.looking", record.programme.office_language)
        self._pages = self._pages_of(record)
        self.folds = StationFolds(self)
        self.screen = Screen(
            self, record.outlines(), self._pages.schemes, record.programme.office_language, self.folds.all
        )
        self._tiles = Background(self.screen.map_view.lay_under)
        self.children = self.screen.children
        self.add_class("station-explorer")
        self._together = OneMessage(self)
        self.children = [*self.children, self.busy]  # speaks for itself: what is gathered comes too late
        self.set_trait("scheme", record.programme.scheme)
        self.set_trait("length_unit", record.programme.length_unit)
        self.observe(self._show_picked, names=["station"])
        self.observe(lambda _: self._draw(self._show_station), names=["beside", "days"])
        self.observe(self._show_all, names=["scheme", "length_unit", "log", "period", "map_shows"])
        self.observe(self._show_fold, names=["reading", "change_on", "profile_visit", "profile_quantity"])
        self.observe(lambda _: self._draw(), names=["text_size", "theme"])
        self.observe(lambda _: self._draw(lambda: self._tiles.lay(self.background)), names=["background"])
        self._show_all(None)

    @property
    def record(self) -> Record:
        """The record on the screen."""
        return self._pages.record

    @property
    def pages(self) -> RecordPages:
        """The pages of the record, as it was when it was last read."""
        return self._pages

    @property
    def shown(self) -> ShownStation | None:
        """The station on the screen and what lies behind it; None before one is picked."""
        return self._shown

    @property
    def page(self) -> StationPage | None:
        """What the panels show now; None before a station is picked."""
        return None if self._shown is None else self._shown.page

    @property
    def choice(self) -> Choice:
        """What is chosen now, as the pages are built from it."""
        return self.choice_by(self._pages.latest, self.record.programme.office_language)

    def pick(self, code: str) -> None:
        """Pick a station."""
        self.station = code

    def pick_period(self, period: Period | None) -> None:
        """Pick seasons, or all of them."""
        self.period = period

    def step_period(self, first: int, last: int) -> None:
        """Move the ends of the picked period by so many seasons; the first step picks the latest season."""
        page = self.page
        if page is not None:
            years = (page.first_year, page.last_year)
            self.period = moved_period(self.period, first, last, years) if self.period else self._pages.latest

    def look(self) -> None:
        """Offer the new readings if somebody has changed the record meanwhile."""
        if self.record.has_changed(self._pages.version):
            self.screen.offer_newer(True)

    def show_newer(self) -> None:
        """Read the record afresh and show it."""
        self._draw(self._take_newer, self._show_map, self._show_station)

    def point(self, panel: int, across: float, up: float) -> None:
        """Say what lies under the pointer, else what is picked; panel -1 is beside all panels."""
        page = self.page
        near = None if page is None or panel < 0 else reading_near(page, panel, across, up)
        self._ring((panel, near) if near is not None else None)

    def click(self, panel: int, across: float, up: float) -> None:
        """Show what lies behind the reading under the pointer."""
        row = None if self.page is None else reading_near(self.page, panel, across, up)
        if self.page is not None and row is not None:
            self.reading = int(self.page.panels[panel].readings["reading_id"].iloc[row])
            self.folds.origin.fold.bring_up()

    def fit_water(self) -> None:
        """Fit the map to the water of the picked station, to all stations where none is picked."""
        self.screen.map_view.fit(self._pages.stations_of_water(self.station))

    def keep(self, kind: str) -> tuple[str, bytes]:
        """Return what is seen as a file: its name and its bytes."""
        if self._shown is None:
            raise ExplorerError(say("choice.pick", language=self.choice.language))
        whole = self._pages.station(self._shown.choice)
        return download(kind, whole.page, whole.choice, self._pages.facts())

    def readings_html(self) -> str:
        """Return the readings on the screen as tables, as HTML."""
        if self._shown is None:
            return ""
        whole = self._pages.station(self._shown.choice)
        return readings_html(whole.page, whole.choice)

    def explanation_html(self) -> str:
        """Return how the state on the screen is known, as HTML."""
        return "" if self._shown is None else sections_html(self._pages.explanation(self._shown))

    def glossary_html(self) -> str:
        """Return what the words on the screen mean, as HTML."""
        return "" if self._shown is None else terms_html(self._pages.glossary(self._shown))

    def _take_newer(self) -> None:
        self._pages = self._pages_of(open_record(self.record.opened_from))
        self.screen.offer_newer(False)
        self.screen.choice_bar.offer(self._pages.schemes)

    def _pages_of(self, record: Record) -> RecordPages:
        with opening_bar() as progress:
            return RecordPages(record, progress, self.busy.shown, writes=bool(self.writer))

    def _show_picked(self, _: Any) -> None:
        if self.days:  # they were picked at another station; letting go of them draws this one
            self.days = ()
        else:
            self._draw(self._show_station)

    def _show_all(self, _: Any) -> None:
        self._draw(self._show_map, self._show_station)

    def _ring(self, pointed: tuple[int, int] | None) -> None:
        """Ring a reading, given by panel and row, and say what it is; without one, the picked reading."""
        page = self.page
        at = pointed or (reading_at(page, self.reading) if page is not None and self.reading else None)
        for number, view in enumerate(self.screen.panels):
            if page is None or at is None or number != at[0]:
                view.say("", None)
            else:
                panel = page.panels[number]
                reading = panel.readings.iloc[at[1]]
                view.say(reading_line(panel, at[1], self.choice), (reading["when"], reading["place"]))

    def _show_fold(self, change: Any) -> None:
        self._draw(*(view.fold.refresh for view in self.folds.answering(change["name"])))
        self._ring(None)

    def _draw(self, *parts: Callable[[], None]) -> None:
        """Draw parts of the screen; what the reader can put right is said in the message line."""
        message = ""
        with self._together.gathered():
            try:
                for part in (*parts, self._show_page):
                    part()
            except ExplorerError as error:
                message = element("p", error)
            self.screen.message.value = message + self._found_on_opening()

    def _found_on_opening(self) -> str:
        found = self.record.messages
        if not found:
            return ""
        summary = element("summary", count_text("message.found", len(found), language=self.choice.language))
        return f"<details>{summary}{''.join(element('p', each) for each in found)}</details>"

    def _show_map(self) -> None:
        choice, screen = self.choice, self.screen
        page = self._pages.map_page(choice)
        screen.style.value = style_html(self._pages.scheme(choice.scheme))
        screen.choice_bar.show(
            scheme=choice.scheme, length_unit=choice.length_unit, log=choice.log, map_shows=choice.map_shows
        )
        screen.map_view.show(page)
        screen.station_list.show(page)
        screen.comparison_bar.offer(page)

    def _show_station(self) -> None:
        choice, screen = self.choice, self.screen
        screen.map_view.mark(choice.station)
        screen.station_list.mark(choice.station)
        if not choice.station:
            self.add_class("nothing-picked")
            screen.welcome(*self._pages.welcome())
            screen.district_view.show(self._pages.district(choice))
            return
        self._shown = self._pages.station(choice, DRAWN)
        self.remove_class("nothing-picked")
        screen.show_station(self._shown.page, choice, period_words(choice, self.record.programme.season))
        if self.reading:
            self._ring(None)

    def _show_page(self) -> None:
        """Tell the page around the screen what is shown, so that a link shows the same."""
        self.screen.page_bar.show(text_size=self.text_size, theme=self.theme)
        link = self.screen.page_link
        with link.hold_sync():
            link.address = address_of(self.view_beside(self.record.programme))
            link.text_size, link.theme = self.text_size, self.theme
            link.title = self.page.heading if self.page else ""
