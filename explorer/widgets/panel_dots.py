"""The readings on a panel: sent as plain numbers and drawn on the page, cheap even where they are many."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import numpy as np
import traitlets

from explorer.display.panel_values import FAINT, Dots

__all__ = ["PanelDots"]


class PanelDots(anywidget.AnyWidget):
    """Dots and other signs over a panel's figure, the strong ones above the faint ones.

    Parameters
    ----------
    margins : dict
        The figure's margins left, right, top, bottom. [px]

    Attributes
    ----------
    strong, faint : dict of str to bytes
        By sign, places between the panel's edges, from the left and from below, as 32-bit floats: across
        and up of the first, of the second, and so on. [1]
    ring : list of float
        Place across and up of the reading that is ringed, empty for none. [1]
    faintness : float
        Opacity of the faint ones. [1]

    Examples
    --------
    >>> view = PanelDots({"left": 48, "right": 108, "top": 3, "bottom": 3})
    >>> years, places = np.array([2020.5, 2021.0]), np.array([0.25, 0.75])
    >>> view.show({"measured": Dots(years, places, np.arange(2), np.array([True, False]))}, (2020, 2021))
    >>> np.frombuffer(view.strong["measured"], dtype="<f4").tolist()
    [0.25, 0.25]
    """

    _esm = Path(__file__).with_name("panel_dots.js")
    strong = traitlets.Dict().tag(sync=True)
    faint = traitlets.Dict().tag(sync=True)
    ring = traitlets.List(traitlets.Float()).tag(sync=True)
    faintness = traitlets.Float(FAINT).tag(sync=True)

    def __init__(self, margins: dict[str, int]) -> None:
        edges: dict[str, Any] = {side: f"{width}px" for side, width in margins.items()}
        super().__init__(layout=ipywidgets.Layout(**edges))
        self._years = (0, 0)
        self.add_class("panel-dots")

    def show(self, dots: Mapping[str, Dots], years: tuple[int, int]) -> None:
        """Show readings.

        Parameters
        ----------
        dots : mapping of str to Dots
            When and where they are, and which are strong, by sign: those of `sign_of`, or "beside".
        years : tuple of int
            First and last year on the panel.
        """
        self._years = years
        strong, faint = {}, {}
        for sign, each in dots.items():
            placed = np.column_stack([self._across(each.years), each.places]).astype("<f4")
            strong[sign], faint[sign] = (placed[some].tobytes() for some in (each.inside, ~each.inside))
        with self.hold_sync():
            self.strong, self.faint = strong, faint

    def put_ring(self, place: tuple[float, float] | None) -> None:
        """Ring the reading at a place.

        Parameters
        ----------
        place : tuple of float or None
            Decimal year and place of the reading; None for none.
        """
        self.ring = [] if place is None else [float(self._across(place[0])), float(place[1])]

    def _across(self, years: Any) -> Any:
        first, last = self._years
        return (years - first) / (last + 1 - first)
