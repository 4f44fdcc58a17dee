"""The panels' readings as tables, for readers who do not see the panels; made only while they are open."""

from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.choice import Choice
from explorer.display.readings_table import readings_html
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = ["ReadingsView"]


class ReadingsView(anywidget.AnyWidget):
    """A button that opens a table of each panel's readings.

    Parameters
    ----------
    language : str
        Language of the words.

    Attributes
    ----------
    opened : bool
        Whether the tables are shown.
    tables : str
        They as HTML, empty while they are not shown.
    """

    _esm = Path(__file__).with_name("readings_view.js")
    opened = traitlets.Bool(False).tag(sync=True)
    ready = traitlets.Bool(False).tag(sync=True)
    tables = traitlets.Unicode("").tag(sync=True)
    title = traitlets.Unicode("").tag(sync=True)

    def __init__(self, language: str = "en") -> None:
        super().__init__(title=say("keep.table", language=language))
        self._seen: tuple[StationPage, Choice] | None = None
        self.observe(self._turned, names="opened")

    def show(self, page: StationPage, choice: Choice) -> None:
        """Show a page's readings, as soon as the reader wants them.

        Parameters
        ----------
        page : StationPage
            The page on the screen.
        choice : Choice
            What it was built from.
        """
        self._seen = (page, choice)
        self.ready = True
        self._fill()

    def _turned(self, _: Any) -> None:
        self._fill()

    def _fill(self) -> None:
        self.tables = readings_html(*self._seen) if self.opened and self._seen else ""
