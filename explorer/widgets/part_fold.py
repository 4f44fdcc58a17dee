"""A fold whose region holds widgets: menus beside what they show, filled only while it is open."""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets

from explorer.display.markup import element
from explorer.model.errors import ExplorerError
from explorer.widgets.fold import FoldRegion

__all__ = ["PartFold", "offer"]


class PartFold:
    """A title to open, a line of words, and widgets under it.

    Parameters
    ----------
    title : str
        What stands on the button.
    parts : sequence of Widget
        What is shown while it is open.
    fill : callable
        Called without arguments at each opening and each refresh of an open fold. It brings the parts up to
        date and returns the words above them, as HTML. An `ExplorerError` that it raises is shown instead.
    name : str
        Class of the fold, for styles and tests.

    Attributes
    ----------
    widget : VBox
        To be placed on a screen.

    Examples
    --------
    >>> label = ipywidgets.HTML()
    >>> fold = PartFold("Depths", [label], lambda: "<p>Here.</p>", "depths")
    >>> fold.expanded = True
    >>> fold.region.html, fold.body.layout.display
    ('<p>Here.</p>', '')
    """

    def __init__(
        self, title: str, parts: Sequence[ipywidgets.Widget], fill: Callable[[], str], name: str
    ) -> None:
        self._fill = fill
        self.region = FoldRegion(title=title)
        self.body = ipywidgets.VBox(list(parts))
        self.widget = ipywidgets.VBox([self.region, self.body])
        for each in ("fold", f"{name}-fold"):
            self.widget.add_class(each)
        self.body.add_class("fold-body")
        self.region.observe(lambda _: self.refresh(), names="expanded")
        self.refresh()

    @property
    def expanded(self) -> bool:
        """Whether it is open; set it to open or close it."""
        return bool(self.region.expanded)

    @expanded.setter
    def expanded(self, expanded: bool) -> None:
        self.region.expanded = expanded

    def bring_up(self, part: str = "") -> None:
        """Open it and bring it into view: something elsewhere on the page asked for it.

        Parameters
        ----------
        part : str
            CSS selector of a part of it that is brought into view, its first field ready to be filled in;
            empty for its head.
        """
        self.expanded = True
        self.region.send({"part": part})

    def refresh(self) -> None:
        """Fill it again if it is open; a closed fold computes nothing."""
        shown = self.expanded
        try:
            self.region.html = self._fill() if shown else ""
        except ExplorerError as error:
            self.region.html, shown = element("p", error), False
        self.body.layout.display = "" if shown else "none"


def offer(
    menu: ipywidgets.Dropdown | ipywidgets.Select,
    options: Sequence[tuple[str, Any]],
    value: Any,
    heard: Callable[[Any], None],
) -> None:
    """Offer options and show the chosen one, without hearing it as a choice.

    Parameters
    ----------
    menu : Dropdown or Select
        The menu.
    options : sequence of (str, value)
        Words and value of each.
    value
        The chosen one, None for none.
    heard : callable
        What observes the menu's value.
    """
    menu.unobserve(heard, names="value")
    if tuple(menu.options) != tuple(options):
        menu.options = tuple(options)
    menu.value = value
    menu.observe(heard, names="value")
