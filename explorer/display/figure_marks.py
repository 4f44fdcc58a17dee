"""Inks and marks of the pictures: what the screen's light theme has, for matplotlib."""

import re

from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from explorer.display.legend import legend_entries
from explorer.display.palette import THEMES
from explorer.display.panel_values import PanelPage
from explorer.display.station_page import StationPage

__all__ = [
    "beside_mark",
    "legend_handles",
    "reading_mark",
    "theme_colour",
    "trend_mark",
    "usual_colour",
]

SIGNS = {"measured": "o", "down": "v", "up": "^", "held": "P"}  # signs of readings and their markers
SIZES = {"measured": 0.46, "down": 0.64, "up": 0.64, "held": 0.7}  # [1] of the text's size
HOLLOW = ("down", "up")

Colour = tuple[float, float, float, float]

_SEE_THROUGH = re.compile(r"rgb\((\d+) (\d+) (\d+) / (\d+)%\)")


def theme_colour(name: str) -> Colour:
    """Return an ink of the light theme as red, green, blue and opacity. [1]

    Parameters
    ----------
    name : str
        Its name in the palette.

    Examples
    --------
    >>> theme_colour("usual")
    (1.0, 1.0, 1.0, 0.62)
    """
    written = THEMES["light"][name]
    if found := _SEE_THROUGH.fullmatch(written):
        red, green, blue, percent = (int(part) for part in found.groups())
        return red / 255, green / 255, blue / 255, percent / 100
    red, green, blue = (int(written[at : at + 2], 16) for at in (1, 3, 5))
    return red / 255, green / 255, blue / 255, 1.0


def usual_colour(panel: PanelPage) -> Colour:
    """Return the colour of a panel's usual range: white would not be seen without bands behind it."""
    return theme_colour("usual" if panel.bands else "picked")


def reading_mark(sign: str, points: float) -> Line2D:
    """Return the mark of a sign of readings, without a place.

    Parameters
    ----------
    sign : {"measured", "down", "up", "held"}
        What is to be shown.
    points : float
        Size of the text. [pt]
    """
    ink = theme_colour("ink")
    hollow = sign in HOLLOW
    return Line2D(
        [], [], linestyle="none", marker=SIGNS[sign], markersize=SIZES[sign] * points, markeredgecolor=ink,
        markerfacecolor="none" if hollow else ink, markeredgewidth=points / 8 if hollow else 0,
    )  # fmt: skip


def beside_mark(points: float) -> Line2D:
    """Return the dashed line with open squares of a comparison, without a place.

    Parameters
    ----------
    points : float
        Size of the text. [pt]
    """
    return Line2D(
        [], [], color=theme_colour("beside"), linewidth=points / 6, dashes=(5, 3), marker="s",
        markersize=0.55 * points, markerfacecolor=theme_colour("field"), markeredgewidth=points / 7,
    )  # fmt: skip


def trend_mark(points: float) -> Line2D:
    """Return the line of a trend, without a place.

    Parameters
    ----------
    points : float
        Size of the text. [pt]
    """
    return Line2D([], [], color=theme_colour("ink"), linewidth=points / 5)


def legend_handles(page: StationPage, points: float = 9.0, language: str = "en") -> list[Line2D | Patch]:
    """Return the marks that the panels of a page really show, labelled, for a legend of matplotlib.

    Parameters
    ----------
    page : StationPage
        The page.
    points : float
        Size of the text. [pt]
    language : str
        Language of the words.
    """
    handles = []
    for kind, words in legend_entries(page, language):
        handles.append(_handle(kind, page, points))
        handles[-1].set_label(words)
    return handles


def _handle(kind: str, page: StationPage, points: float) -> Line2D | Patch:
    if kind in SIGNS:
        return reading_mark(kind, points)
    if kind == "usual":
        drawn = next(panel for panel in page.panels if panel.usual_years.size)
        return Patch(facecolor=usual_colour(drawn), edgecolor=theme_colour("line"))
    return beside_mark(points) if kind == "beside" else trend_mark(points)
