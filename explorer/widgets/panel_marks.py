"""The kinds of bqplot mark that a panel is made of, each without a place until a page is shown."""

from typing import Any

import bqplot
import numpy as np

__all__ = ["HIDDEN", "area", "line"]

HIDDEN = np.array([np.nan])  # a line without a place is not drawn
INK = "var(--se-ink)"  # inks are the style sheet's variables, so that a theme needs no message

Scales = dict[str, Any]


def area(scales: Scales, fill: str = "transparent") -> bqplot.Lines:
    """Return closed shapes that are filled and have no outline.

    Parameters
    ----------
    scales : dict
        Scales of x and y.
    fill : str
        Colour.
    """
    return bqplot.Lines(
        x=HIDDEN, y=HIDDEN, scales=scales, fill="inside", stroke_width=0, colors=["transparent"],
        fill_colors=[fill], fill_opacities=[1.0],
    )  # fmt: skip


def line(scales: Scales, width: float, ink: str = INK, **further: Any) -> bqplot.Lines:
    """Return a line.

    Parameters
    ----------
    scales : dict
        Scales of x and y.
    width : float
        [px]
    ink : str
        Colour.
    **further
        Traits of `bqplot.Lines`.
    """
    return bqplot.Lines(x=HIDDEN, y=HIDDEN, scales=scales, stroke_width=width, colors=[ink], **further)
