"""The panels' readings as tables, for readers who do not see the panels; made only while they are open."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.model.words import say

__all__ = ["ReadingsView"]


class ReadingsView(anywidget.AnyWidget):
    """A button that opens a table of each panel's readings.

    Parameters
    ----------
    make : callable
        Called without arguments for the tables as HTML, at each opening and each refresh while they are open.
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

    def __init__(self, make: Callable[[], str], language: str = "en") -> None:
        super().__init__(title=say("keep.table", language=language))
        self._make = make
        self.observe(self._turned, names="opened")

    def refresh(self) -> None:
        """Offer the tables of what is on the screen now, and make them if they are open."""
        self.ready = True
        self._fill()

    def _turned(self, _: Any) -> None:
        self._fill()

    def _fill(self) -> None:
        self.tables = self._make() if self.opened else ""
