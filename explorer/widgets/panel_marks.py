"""The kinds of bqplot mark that a panel is made of, each without a place until a page is shown."""

from typing import Any

import bqplot
import numpy as np

__all__ = ["CORNER", "HIDDEN", "INK", "area", "labels", "line", "marker"]

HIDDEN = np.array([np.nan])  # a line without a place is not drawn
CORNER = np.array([0.0])  # where an empty label or a hidden marker waits
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


def marker(
    scales: Scales, shape: str, size: int, *, ink: str = INK, inside: str = "", width: float = 1.8
) -> bqplot.Scatter:
    """Return points with an outline, hidden until there are some.

    Parameters
    ----------
    scales : dict
        Scales of x and y.
    shape : str
        Name of the marker.
    size : int
        Its area. [px²]
    ink : str
        Colour of the outline.
    inside : str
        Colour of the inside, empty for a hollow one.
    width : float
        Width of the outline. [px]
    """
    return bqplot.Scatter(
        x=CORNER, y=CORNER, visible=False, scales=scales, marker=shape, default_size=size,
        fill=bool(inside), stroke_width=width, colors=[inside or ink], stroke=ink,
    )  # fmt: skip


def labels(scales: Scales, size: int, ink: str, **further: Any) -> bqplot.Label:
    """Return texts without any.

    Parameters
    ----------
    scales : dict
        Scales of x and y.
    size : int
        [px]
    ink : str
        Colour.
    **further
        Traits of `bqplot.Label`.
    """
    return bqplot.Label(
        x=CORNER, y=CORNER, text=[""], scales=scales, colors=[ink], default_size=size, font_weight="normal",
        **further,
    )  # fmt: skip
