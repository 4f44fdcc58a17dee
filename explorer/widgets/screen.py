"""The parts of the station screen and where they stand; it knows no reading and no choice."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Protocol

import bqplot
import ipywidgets

from explorer.display.address import View
from explorer.display.choice import Choice
from explorer.display.markup import element
from explorer.display.station_page import PANEL_QUANTITIES, StationPage
from explorer.model.calendar import Period
from explorer.model.classes import ClassScheme
from explorer.model.words import say
from explorer.widgets.choice_bar import ChoiceBar, PageBar
from explorer.widgets.comparison_bar import ComparisonBar
from explorer.widgets.district_view import DistrictView
from explorer.widgets.fold import Fold
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.map_view import MapView
from explorer.widgets.page_link import PageLink
from explorer.widgets.panel_view import PanelView
from explorer.widgets.part_fold import PartFold
from explorer.widgets.pointer import Pointer
from explorer.widgets.readings_view import ReadingsView
from explorer.widgets.season_strip import SeasonStrip
from explorer.widgets.station_list import StationList
from explorer.widgets.style import legend_html

__all__ = ["Reader", "Screen"]


class Reader(Protocol):
    """Whoever answers what the reader does on the screen."""

    set_trait: Callable[[str, Any], None]

    def pick(self, code: str) -> None:
        """A station was picked."""

    def pick_period(self, period: Period | None) -> None:
        """Seasons were picked."""

    def step_period(self, first: int, last: int) -> None:
        """The picked seasons shall move."""

    def point(self, panel: int, across: float, up: float) -> None:
        """The pointer moved."""

    def follow(self, view: View) -> None:
        """The page's address says what to show."""

    def look(self) -> None:
        """Somebody looks at the page."""

    def show_newer(self) -> None:
        """The new readings are wanted."""

    def fit_water(self) -> None:
        """The map shall show one water."""

    def keep(self, kind: str) -> tuple[str, bytes]:
        """What is seen is wanted as a file."""
        ...

    def readings_html(self) -> str:
        """The readings are wanted as tables."""
        ...

    def explanation_html(self) -> str:
        """How the state is known is asked."""
        ...

    def glossary_html(self) -> str:
        """What the words mean is asked."""
        ...

    def click(self, panel: int, across: float, up: float) -> None:
        """A panel was clicked."""


class Screen:
    """All widgets of the station screen.

    Parameters
    ----------
    reader : Reader
        Answers what is done on the screen.
    outlines : GeoDataFrame
        Waters with an outline.
    schemes : mapping of str to ClassScheme
        Schemes to choose from.
    language : str
        Language of the words.
    folds : sequence of PartFold
        Further folds under the panels.
    """

    def __init__(
        self,
        reader: Reader,
        outlines: Any,
        schemes: Mapping[str, ClassScheme],
        language: str,
        folds: Sequence[PartFold] = (),
    ) -> None:
        self._years = bqplot.LinearScale(min=2000, max=2001, allow_padding=False)
        last = len(PANEL_QUANTITIES) - 1
        self.panels = tuple(
            PanelView(number, with_years=number == last, years=self._years) for number in range(last + 1)
        )
        margins = [panel.margins for panel in self.panels]
        self.map_view = MapView(outlines, reader.pick)
        self.map_view.all_stations.on_click(lambda _: self.map_view.fit())
        self.map_view.this_water.on_click(lambda _: reader.fit_water())
        self.station_list = StationList(reader.pick)
        self.choice_bar = ChoiceBar(schemes, reader.set_trait)
        self.page_bar = PageBar(reader.set_trait)
        self.comparison_bar = ComparisonBar(reader.set_trait)
        self.district_view = DistrictView(reader.pick, reader.pick_period)
        self.strip = SeasonStrip(margins[0], reader.pick_period, reader.step_period)
        self.pointer = Pointer(margins, reader.point, reader.click)
        self.keep_bar = KeepBar(reader.keep, language)
        self.readings_view = ReadingsView(reader.readings_html, language)
        self.folds: tuple[Fold | PartFold, ...] = (
            Fold(say("fold.explanation", language=language), reader.explanation_html),
            *folds,
            Fold(say("fold.glossary", language=language), reader.glossary_html),
        )
        self.page_link = PageLink(reader.follow, reader.look)
        self.style, self.heading, self.message, self.legend, self._caution = (
            ipywidgets.HTML() for _ in range(5)
        )
        self._caution.value = element("p", say("caution.swimming", language=language))
        self.newer = ipywidgets.Button(description=say("message.show_newer", language=language))
        self.newer.on_click(lambda _: reader.show_newer())
        words = element("p", say("message.newer", language=language))
        self.newer_row = ipywidgets.HBox([ipywidgets.HTML(words), self.newer])
        self.offer_newer(False)
        self.children = self._arranged()

    def _arranged(self) -> list[ipywidgets.Widget]:
        panels = ipywidgets.VBox([panel.widget for panel in self.panels])
        left = ipywidgets.VBox(
            [self.heading, self.district_view, self.strip, panels, self.legend, self._caution]
        )
        right = ipywidgets.VBox([self.choice_bar.widget, self.map_view.widget, self.station_list.widget])
        body = ipywidgets.HBox([left, right])
        foot = ipywidgets.HBox([self.comparison_bar.button, self.page_bar.button])
        keep = ipywidgets.HBox([self.keep_bar, self.readings_view])
        folds = ipywidgets.HBox([fold.widget for fold in self.folds])
        for widget, name in (
            (self.heading, "heading-part"), (self.message, "message-part"), (self.legend, "legend-part"),
            (self._caution, "caution-part"), (panels, "panels-part"), (left, "left-part"),
            (right, "right-part"), (body, "body-part"), (keep, "keep-part"), (foot, "foot-part"),
            (folds, "fold-part"), (self.newer_row, "newer-part"),
        ):  # fmt: skip
            widget.add_class(name)
        return [
            self.style, self.message, self.newer_row, body, foot, self.comparison_bar.row, self.page_bar.row,
            folds, keep, self.pointer, self.page_link,
        ]  # fmt: skip

    def offer_newer(self, offered: bool) -> None:
        """Show or hide the line that offers the new readings."""
        self.newer_row.layout.display = "" if offered else "none"

    def welcome(self, name: str, *sentences: str) -> None:
        """Say whose record it is and what to do, before a station is picked."""
        lines = "".join(element("p", sentence, "welcome") for sentence in sentences)
        self.heading.value = element("h1", name) + lines

    def show_station(self, page: StationPage, choice: Choice, period_words: str) -> None:
        """Show a station.

        Parameters
        ----------
        page : StationPage
            What to show.
        choice : Choice
            What the reader chose.
        period_words : str
            The picked period in words.
        """
        picked = choice.period if choice.picked else None
        with self._years.hold_sync():
            self._years.min, self._years.max = float(page.first_year), float(page.last_year + 1)
        for view, panel in zip(self.panels, page.panels, strict=True):
            view.show(panel, (page.first_year, page.last_year), page.ticks, picked)
        self.strip.show(page.strip, picked, period_words)
        state, minds = page.sentences[:1], [*page.sentences[1:], page.comparison.sentence]
        lines = [element("p", sentence) for sentence in (*state, *minds) if sentence]
        if page.change:
            lines.insert(1, element("p", " ".join(page.change), "change-line"))
        self.heading.value = element("h1", page.heading) + " ".join(lines)
        self.legend.value = legend_html(page)
        self.comparison_bar.show(choice.beside, page.comparison)
        self.keep_bar.about = page.heading
        self.readings_view.refresh()
        for fold in self.folds:
            fold.refresh()
