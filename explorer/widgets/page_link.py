"""The page around the screen: its address, its title, its text size and theme, and whether anybody looks."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.address import View, view_of

__all__ = ["PageLink"]


class PageLink(anywidget.AnyWidget):
    """Ties the screen to the page that it stands in.

    Parameters
    ----------
    on_address : callable
        Called with the view that the page's address names.
    on_look : callable
        Called now and then while the page is in sight.
    """

    _esm = Path(__file__).with_name("page_link.js")
    address = traitlets.Unicode("").tag(sync=True)
    title = traitlets.Unicode("").tag(sync=True)
    text_size = traitlets.Unicode("").tag(sync=True)
    theme = traitlets.Unicode("").tag(sync=True)

    def __init__(self, on_address: Callable[[View], None], on_look: Callable[[], None]) -> None:
        super().__init__()
        self._on_address = on_address
        self._on_look = on_look
        self.on_msg(self._told)

    def _told(self, _: Any, content: dict[str, Any], __: Any) -> None:
        if "address" in content:
            self.send({"heard": True})
            self._on_address(view_of(str(content["address"])))
        else:
            self._on_look()
