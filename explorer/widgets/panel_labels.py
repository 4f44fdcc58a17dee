"""The words around and over a panel's field: values, class names, changes of method."""

from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import traitlets

from explorer.display.panel_values import PanelPage

__all__ = ["PanelLabels"]


class PanelLabels(anywidget.AnyWidget):
    """Words over a panel's figure, above its readings, in the size of the page's text.

    Parameters
    ----------
    margins : dict
        The figure's margins left, right, top, bottom. [px]

    Attributes
    ----------
    ticks, names : list of [float, str]
        Place between the panel's edges, from below, and the words at its left and at its right. [1]
    breaks : list of [float, str]
        Place from the panel's left edge, and the words within it. [1]
    room : int
        At the panel's right. [px]
    """

    _esm = Path(__file__).with_name("panel_labels.js")
    ticks = traitlets.List(traitlets.Any()).tag(sync=True)
    names = traitlets.List(traitlets.Any()).tag(sync=True)
    breaks = traitlets.List(traitlets.Any()).tag(sync=True)
    room = traitlets.Int().tag(sync=True)

    def __init__(self, margins: dict[str, int]) -> None:
        edges: dict[str, Any] = {side: f"{width}px" for side, width in margins.items()}
        super().__init__(room=margins["right"], layout=ipywidgets.Layout(**edges))
        self.add_class("panel-labels")

    def show(self, page: PanelPage, years: tuple[int, int]) -> None:
        """Show a page's words.

        Parameters
        ----------
        page : PanelPage
            What the panel shows.
        years : tuple of int
            First and last year on the panel.
        """
        span = years[1] + 1 - years[0]
        with self.hold_sync():
            self.ticks = [[place, label] for place, label in page.axis.ticks]
            self.names = [[band.name_place, band.name.capitalize()] for band in page.bands]
            self.breaks = [[(each.year - years[0]) / span, each.label] for each in page.breaks]
