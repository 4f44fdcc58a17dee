"""The dots of a panel: sent as plain numbers and drawn on the page, which costs least where they are many."""

from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import numpy as np
import traitlets

from explorer.display.panel_values import FAINT, Dots

__all__ = ["PanelDots"]


class PanelDots(anywidget.AnyWidget):
    """Dots over a panel's figure, the strong ones above the faint ones.

    Parameters
    ----------
    margins : dict
        The figure's margins left, right, top, bottom. [px]

    Attributes
    ----------
    strong, faint : bytes
        Places between the panel's edges, from the left and from below, 32-bit floats: across and up of the
        first dot, of the second, and so on. [1]
    faintness : float
        Opacity of the faint ones. [1]

    Examples
    --------
    >>> dots = PanelDots({"left": 48, "right": 108, "top": 3, "bottom": 3})
    >>> years, places = np.array([2020.5, 2021.0]), np.array([0.25, 0.75])
    >>> dots.show(Dots(years, places, np.arange(2), np.array([True, False])), (2020, 2021))
    >>> np.frombuffer(dots.strong, dtype="<f4").tolist()
    [0.25, 0.25]
    """

    _esm = Path(__file__).with_name("panel_dots.js")
    strong = traitlets.Bytes().tag(sync=True)
    faint = traitlets.Bytes().tag(sync=True)
    faintness = traitlets.Float(FAINT).tag(sync=True)

    def __init__(self, margins: dict[str, int]) -> None:
        edges: dict[str, Any] = {side: f"{width}px" for side, width in margins.items()}
        super().__init__(layout=ipywidgets.Layout(**edges))
        self.add_class("panel-dots")

    def show(self, dots: Dots, years: tuple[int, int]) -> None:
        """Show dots.

        Parameters
        ----------
        dots : Dots
            When and where they are, and which are strong.
        years : tuple of int
            First and last year on the panel.
        """
        across = (dots.years - years[0]) / (years[1] + 1 - years[0])
        placed = np.column_stack([across, dots.places]).astype("<f4")
        with self.hold_sync():
            self.strong = placed[dots.inside].tobytes()
            self.faint = placed[~dots.inside].tobytes()
