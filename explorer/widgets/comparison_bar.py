"""What stands beside the station's readings: chosen under the panels, behind one button, with its numbers."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.comparison import DISTRICT, NO_COMPARISON, WATER, Comparison
from explorer.display.map_page import MapPage, found_stations
from explorer.display.markup import element
from explorer.model.words import say

__all__ = ["ComparisonBar"]

STATION = "station"  # the menu's entry that leads to the search field; a choice only with a station in it


class ComparisonBar:
    """A button that opens the choice of what is compared, and says what came of it.

    Parameters
    ----------
    on_choice : callable
        Called with "beside" and what was chosen: nothing (empty), "water", "district" or a station's code.
    """

    def __init__(self, on_choice: Callable[[str, Any], None]) -> None:
        self._on_choice = on_choice
        self._page: MapPage | None = None
        self._codes: dict[str, str] = {}
        self.button = ipywidgets.ToggleButton(description=say("beside.button"))
        options = [
            (say("beside.nothing"), ""),
            (say("beside.water_choice"), WATER),
            (say("beside.district_choice"), DISTRICT),
            (say("beside.station_choice"), STATION),
        ]
        self.menu = ipywidgets.Dropdown(description=say("beside.menu"), options=options)
        self.stations = ipywidgets.Combobox(
            description=say("beside.station"),
            placeholder=say("beside.placeholder"),
            continuous_update=False,  # half a word is no choice
        )
        self.note = ipywidgets.HTML()
        self.said = ipywidgets.HTML()
        choice = ipywidgets.HBox([self.menu, self.stations, self.note])
        self.row = ipywidgets.VBox([choice, self.said])
        for widget, name in (
            (self.button, "comparison-button"), (self.row, "comparison-row"), (choice, "comparison-choice"),
            (self.stations, "comparison-station"),
        ):  # fmt: skip
            widget.add_class(name)
        self.button.observe(self._opened, names="value")
        self.menu.observe(self._chosen, names="value")
        self.stations.observe(self._named, names="value")
        self._arrange()
        self.show("", NO_COMPARISON)

    def offer(self, page: MapPage) -> None:
        """Offer a page's stations.

        Parameters
        ----------
        page : MapPage
            The stations on the map and in the list.
        """
        if self._page is None or self._page.codes != page.codes:
            self._codes = {
                f"{name} ({code})": code for name, code in zip(page.names, page.codes, strict=True)
            }
            self._fill()
        self._page = page

    def show(self, beside: str, comparison: Comparison) -> None:
        """Show what is chosen and what came of it.

        Parameters
        ----------
        beside : str
            As handed to `on_choice`.
        comparison : Comparison
            What the panels show.
        """
        self.menu.unobserve(self._chosen, names="value")
        self.stations.unobserve(self._named, names="value")
        if beside in (WATER, DISTRICT):
            self.menu.value = beside
        elif beside:
            labels = {code: label for label, code in self._codes.items()}
            self.menu.value, self.stations.value = STATION, labels.get(beside, beside)
        elif self.menu.value != STATION:  # else a station is still to be named
            self.menu.value = ""
        self.menu.observe(self._chosen, names="value")
        self.stations.observe(self._named, names="value")
        self._arrange()
        lines = [panel.line for panel in comparison.panels if panel.line]
        said = element("p", comparison.sentence) if comparison.sentence else ""
        items = "".join(element("li", line) for line in lines)
        self.said.value = said + (f"<ul>{items}</ul>" if items else "") + element("p", say("beside.how"))

    def _arrange(self) -> None:
        self.row.layout.display = "" if self.button.value else "none"
        self.stations.layout.display = "" if self.menu.value == STATION else "none"
        self.note.value = ""

    def _fill(self) -> None:
        """Fill the search field when it is first seen: thousands of names make a page slow to open."""
        if self.button.value:
            self.stations.options = tuple(self._codes)

    def _opened(self, _: Any) -> None:
        self._arrange()
        self._fill()

    def _chosen(self, change: Any) -> None:
        self._arrange()
        if change["new"] != STATION:
            self._on_choice("beside", change["new"])
        else:
            self._on_choice("beside", self._codes.get(self.stations.value, ""))

    def _named(self, change: Any) -> None:
        """Take the station of that name, else the first whose name holds the words."""
        self.note.value = ""
        text = change["new"]
        if not text or text in self._codes:
            self._on_choice("beside", self._codes.get(text, ""))
            return
        found = found_stations(self._page, text) if self._page else []
        if found:
            self.stations.value = list(self._codes)[found[0]]
        else:
            self.note.value = element("p", say("list.nothing_found"))
