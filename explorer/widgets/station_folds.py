"""The folds about the station on the screen that hold widgets, and what answers them."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, Protocol

from explorer.display.change_page import ChangePage
from explorer.display.choice import Choice
from explorer.display.profile_page import ProfilePage
from explorer.display.reading_choice import ReadingChoice, build_reading_choice
from explorer.display.record_pages import RecordPages
from explorer.display.relation_page import RelationPage
from explorer.display.shown_station import ShownStation
from explorer.display.trend_page import TrendPage
from explorer.display.unusual_page import UnusualPage
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.records.marks import mark_reading
from explorer.records.past import reading_history
from explorer.records.record import Record
from explorer.widgets.mark_form import MarkForm
from explorer.widgets.origin_view import OriginView
from explorer.widgets.part_fold import PartFold
from explorer.widgets.profile_view import ProfileView
from explorer.widgets.relation_view import RelationView
from explorer.widgets.trend_view import TrendView
from explorer.widgets.unusual_view import DecisionsView, UnusualView

__all__ = ["Showing", "StationFolds"]


class Showing(Protocol):
    """Whoever shows a station: `StationExplorer`."""

    writer: str
    reading: Any
    days: Any
    change_on: Any
    profile_visit: Any
    profile_quantity: Any
    set_trait: Callable[[str, Any], None]
    hold_trait_notifications: Callable[[], AbstractContextManager[Any]]

    @property
    def pages(self) -> RecordPages:
        """The pages of the record."""
        ...

    @property
    def shown(self) -> ShownStation | None:
        """The station on the screen."""
        ...

    @property
    def choice(self) -> Choice:
        """What is chosen now."""
        ...

    def show_newer(self) -> None:
        """Read the record afresh and show it."""


class StationFolds:
    """Whether it is changing, unusual readings, what is behind one, relations, profiles, decisions.

    Parameters
    ----------
    showing : Showing
        Shows the station and holds what is picked.

    Attributes
    ----------
    trends, unusual, origin, relations, profiles, decisions
        Their views.
    all : tuple of PartFold
        Their folds, in the order in which they stand.
    """

    def __init__(self, showing: Showing) -> None:
        self._showing = showing
        record, pick = showing.pages.record, showing.set_trait
        language = record.programme.office_language
        form = MarkForm(showing.writer, _refusal_of(record) if showing.writer else "", self.mark, language)
        self.origin = OriginView(self.behind, self.show_reading, self.show_latest, form, language)
        self.trends = TrendView(self.is_it_changing, pick, language)
        self.relations = RelationView(self.what_goes_together, pick, language)
        self.profiles = ProfileView(self.depth_profiles, pick, language)
        self.unusual = UnusualView(self.unusual_readings, self.pick_unusual, self.decide, language)
        self.decisions = DecisionsView(self.what_waits, self.go_to, language)
        views = (self.trends, self.unusual, self.origin, self.relations, self.profiles, self.decisions)
        self.all: tuple[PartFold, ...] = tuple(view.fold for view in views)

    def answering(self, name: str) -> tuple[Any, ...]:
        """Return the views that show what a trait of that name asks for."""
        views = {"reading": (self.unusual, self.origin, self.decisions), "change_on": (self.trends,)}
        return views.get(name, (self.profiles,))

    def show_reading(self, reading_id: int) -> None:
        """Show what lies behind a reading."""
        self._showing.set_trait("reading", reading_id)

    def show_latest(self, panel: int) -> None:
        """Show what lies behind the latest reading of a panel."""
        shown = self._showing.shown
        if shown is not None and len(shown.page.panels[panel].readings):
            self.show_reading(int(shown.page.panels[panel].readings["reading_id"].iloc[-1]))

    def behind(self) -> ReadingChoice | None:
        """Return the station's readings and what lies behind the picked one; None without a station."""
        showing, shown = self._showing, self._showing.shown
        if shown is None:
            return None
        origin = showing.pages.origin(showing.reading, shown.choice) if showing.reading else None
        return build_reading_choice(shown.page, shown.choice, showing.reading, origin)

    def is_it_changing(self) -> tuple[TrendPage, ChangePage] | None:
        """Return the station's trends and how it differs after a date; None without a station."""
        showing, shown = self._showing, self._showing.shown
        return None if shown is None else showing.pages.changes(shown, showing.change_on)

    def what_goes_together(self) -> tuple[RelationPage, tuple[str, ...]] | None:
        """Return what goes together at the station and the picked days; None without a station."""
        shown = self._showing.shown
        return None if shown is None else (self._showing.pages.relations(shown), self._showing.days)

    def depth_profiles(self) -> ProfilePage | None:
        """Return the station's depth profiles; None without a station."""
        showing, shown = self._showing, self._showing.shown
        if shown is None:
            return None
        return showing.pages.profiles(shown, showing.profile_visit, showing.profile_quantity)

    def unusual_readings(self) -> UnusualPage | None:
        """Return the station's unusual readings; None without a station."""
        showing, shown = self._showing, self._showing.shown
        return None if shown is None else showing.pages.unusual(shown.choice, showing.reading)

    def pick_unusual(self, reading_id: int) -> None:
        """Ring an unusual reading's dot and show what lies behind it."""
        self.origin.fold.expanded = True
        self.show_reading(reading_id)

    def decide(self) -> None:
        """Bring up where a reading is decided on."""
        self.origin.fold.bring_up(".mark-form")

    def what_waits(self) -> UnusualPage:
        """Return what waits for a decision in the whole record."""
        return self._showing.pages.decisions(self._showing.choice, self._showing.reading)

    def go_to(self, reading_id: int) -> None:
        """Show the station of an unusual reading, and the reading there."""
        showing = self._showing
        with (
            showing.hold_trait_notifications()
        ):  # drawn once, with both: no list shows the earlier pick between
            showing.set_trait("station", showing.pages.station_of(reading_id))
            showing.set_trait("reading", reading_id)
        self.origin.fold.expanded = True
        self.unusual.fold.bring_up()

    def mark(self, decided: str, remark: str) -> str:
        """Decide on the picked reading, in the record and at once on the screen.

        Parameters
        ----------
        decided : str
            One of `explorer.model.origins.MARKS`.
        remark : str
            Why; kept with the mark.

        Returns
        -------
        str
            What came of it, in words.

        Raises
        ------
        ExplorerError
            If this screen only reads, the remark is missing, the record takes no changes, or somebody
            changed the reading meanwhile.
        """
        showing, language = self._showing, self._showing.choice.language
        if not showing.writer:
            raise ExplorerError(say("mark.read_only", language=language))
        if not remark.strip():
            raise ExplorerError(say("mark.not_written", language=language))
        record = showing.pages.record
        version = mark_reading(record, showing.reading, decided, who=showing.writer, remark=remark)
        now = reading_history(record, showing.reading)[-1].reading_id
        showing.show_newer()  # the reading has another number now
        self.show_reading(now)
        self.decide()  # what came of it is said there, and what stands above it has another height now
        return say("mark.written", {"version": version}, language)


def _refusal_of(record: Record) -> str:
    """Return why a record takes no marks, empty where it does."""
    try:
        record.check_writable()
    except ExplorerError as error:
        return str(error)
    return ""
