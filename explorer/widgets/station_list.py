"""The searchable list of stations: the way by keyboard, and the only one where there is no map."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.map_page import MapPage, found_stations
from explorer.display.markup import element
from explorer.model.words import say

__all__ = ["StationList"]

MOST_SHOWN = 400  # more are slow to draw and nobody scrolls through them


class StationList:
    """A search field and the stations that it finds.

    Parameters
    ----------
    on_pick : callable
        Called with the code of the station that was picked.
    """

    def __init__(self, on_pick: Callable[[str], None]) -> None:
        self._on_pick = on_pick
        self._page: MapPage | None = None
        self._picked = ""
        self.search = ipywidgets.Text(
            description=say("list.label"), placeholder=say("list.placeholder"), continuous_update=True
        )
        self.found = ipywidgets.Select(description=say("list.stations"), options=[], rows=8)
        self.note = ipywidgets.HTML()
        self.search.add_class("station-search")
        self.found.add_class("station-found")
        self.search.observe(self._searched, names="value")
        self.search.on_msg(self._keyed)
        self.found.observe(self._chosen, names="value")
        self.widget = ipywidgets.VBox([self.search, self.found, self.note])
        self.widget.add_class("list-part")

    def show(self, page: MapPage) -> None:
        """Show a page's stations as far as the search finds them.

        Parameters
        ----------
        page : MapPage
            What to show.
        """
        self._page = page
        self._list()

    def mark(self, code: str) -> None:
        """Mark one station as the picked one.

        Parameters
        ----------
        code : str
            Its code, empty for none.
        """
        self._picked = code
        self._select()

    def _list(self) -> None:
        if self._page is None:
            return
        found = found_stations(self._page, self.search.value)
        shown = found[:MOST_SHOWN]
        options = [(self._option(self._page, number), self._page.codes[number]) for number in shown]
        self.found.unobserve(self._chosen, names="value")
        self.found.options = options
        self.found.value = None
        self.found.observe(self._chosen, names="value")
        self._select()
        note = ""
        if not found:
            note = say("list.nothing_found")
        elif len(found) > len(shown):
            note = say("list.shortened", {"shown": len(shown), "found": len(found)})
        self.note.value = element("p", note) if note else ""

    def _option(self, page: MapPage, number: int) -> str:
        said = (page.groups.marks or page.groups.labels)[number]
        return page.names[number] + (f"  ({said})" if said else "")

    def _select(self) -> None:
        codes = {code for _, code in self.found.options}
        self.found.unobserve(self._chosen, names="value")
        self.found.value = self._picked if self._picked in codes else None
        self.found.observe(self._chosen, names="value")

    def _searched(self, _: Any) -> None:
        self._list()

    def _keyed(self, _: Any, content: dict[str, Any], __: Any) -> None:
        """Pick the first station found when the front end reports the Enter key."""
        if content.get("event") == "submit" and self.found.options:
            self._on_pick(self.found.options[0][1])

    def _chosen(self, change: Any) -> None:
        if change["new"]:
            self._on_pick(change["new"])
