"""Draws one panel page on axes of matplotlib, as the screen shows it in its light theme."""

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.patches import Rectangle

from explorer.display.figure_marks import (
    beside_mark,
    reading_mark,
    theme_colour,
    trend_mark,
    usual_colour,
)
from explorer.display.figure_text import cut_text, picture_font, plain_text, text_width_pt
from explorer.display.palette import THEMES, class_colours, tint
from explorer.display.panel_values import FAINT, READINGS, Dots, PanelPage, sign_of
from explorer.display.station_page import StationPage
from explorer.model.calendar import Period

__all__ = ["draw_panel"]

Floats = npt.NDArray[np.float64]

BREAK_LEVELS = (0.88, 0.70, 0.52)  # [1] of the height: neighbouring labels do not cover one another
LABEL_ENDS = (0.05, 0.95)  # [1] of the height: a label at an edge stays beside its own panel
SMALL, SMALLER = 0.9, 0.85  # [1] of the text's size: numbers and names at the edges, labels inside


def draw_panel(
    axes: Axes,
    panel: PanelPage,
    page: StationPage,
    *,
    picked: Period | None = None,
    points: float = 9.0,
    with_years: bool = True,
) -> None:
    """Draw a panel on empty axes: bands, usual range, breaks and readings, with its heading above.

    Parameters
    ----------
    axes : Axes
        Where; there must be room for the heading above, numbers at the left and class names at the right.
    panel : PanelPage
        What to draw.
    page : StationPage
        The page that it stands on: years and class scheme.
    picked : Period, optional
        The seasons that the reader picked, to be framed.
    points : float
        Size of the text; marks and lines grow with it. [pt]
    with_years : bool
        Whether the years stand below.

    Examples
    --------
    A panel of a page, at a size for the back row of a hall::

        figure = Figure(figsize=(10, 5))
        draw_panel(figure.add_axes((0.1, 0.15, 0.7, 0.7)), page.panels[0], page, points=16)
    """
    _prepare(axes, page, points, with_years)
    _draw_bands(axes, panel, page, points)
    _draw_usual(axes, panel)
    _draw_trend(axes, panel, points)
    _draw_breaks(axes, panel, points)
    _draw_beside(axes, panel, points)
    _draw_readings(axes, panel, points)
    if picked is not None:
        frame = Rectangle((picked.first_year, 0.0), picked.years, 1.0, fill=False, clip_on=False, zorder=6)
        frame.set(edgecolor=theme_colour("ink"), linewidth=points / 5.5, gid=f"{panel.quantity.code}-picked")
        axes.add_patch(frame)
    _draw_head(axes, panel, points)


def _prepare(axes: Axes, page: StationPage, points: float, with_years: bool) -> None:
    axes.set_xlim(page.first_year, page.last_year + 1)
    axes.set_ylim(0.0, 1.0)
    axes.set_facecolor(theme_colour("field"))
    axes.grid(False)
    axes.spines[:].set_visible(False)
    axes.set_yticks([])
    axes.set_xticks(page.ticks if with_years else [])
    axes.tick_params(axis="x", color=theme_colour("line"), length=points / 3, width=0.8, bottom=True)
    axes.set_xticklabels([])
    if with_years:
        for year in page.ticks:
            _write(axes, str(year), (year, 0.0), (0.0, -1.2 * points), points, align="center")


def _write(
    axes: Axes,
    text: str,
    place: tuple[float, float],
    offset_pt: tuple[float, float],
    points: float,
    *,
    align: str,
    ink: str = "soft-ink",
    size: float = SMALL,
    bold: bool = False,
    grounded: bool = False,
) -> None:
    """Write plain text at an offset from a year and a height."""
    ground = {"facecolor": theme_colour("field"), "alpha": 0.7, "linewidth": 0, "pad": 1.0}
    axes.annotate(
        text, place, xycoords=("data", "axes fraction"), xytext=offset_pt, textcoords="offset points",
        ha=align, va="center_baseline", color=theme_colour(ink), font=picture_font(size * points, bold=bold),
        annotation_clip=False, parse_math=False, zorder=7,
        bbox=ground if grounded else None,
    )  # fmt: skip


def _width_pt(axes: Axes) -> float:
    return float(axes.bbox.width * 72 / axes.figure.dpi)


def _room_right_pt(axes: Axes) -> float:
    """Return the room between axes and the right edge of their figure. [pt]"""
    return float((axes.figure.bbox.x1 - axes.bbox.x1) * 72 / axes.figure.dpi)


def _draw_bands(axes: Axes, panel: PanelPage, page: StationPage, points: float) -> None:
    """Draw the classes with their names at the right, and the numbers of the axis at the left."""
    colours = class_colours(len(page.scheme.classes)) if page.scheme else ()
    room = _room_right_pt(axes) - points
    first, after = page.first_year, page.last_year + 1
    for band in panel.bands:
        axes.axhspan(
            band.low, band.high, facecolor=tint(colours[band.class_index], THEMES["light"]["field"]),
            linewidth=0, zorder=0, gid=f"{panel.quantity.code}-band-{band.class_index}",
        )  # fmt: skip
        name = cut_text(plain_text(band.name.capitalize()), room, picture_font(SMALL * points))
        _write(axes, name, (after, _inside(band.name_place)), (0.6 * points, 0.0), points, align="left")
    for place, label in panel.axis.ticks:
        _write(axes, label, (first, _inside(place)), (-0.6 * points, 0.0), points, align="right")


def _inside(place: float) -> float:
    return float(np.clip(place, *LABEL_ENDS))


def _draw_usual(axes: Axes, panel: PanelPage) -> None:
    shapes = _shapes(panel.usual_years, panel.usual_places)
    if shapes:
        ribbon = PolyCollection(shapes, facecolors=[usual_colour(panel)], linewidths=0, zorder=1)
        ribbon.set_gid(f"{panel.quantity.code}-usual")
        axes.add_collection(ribbon, autolim=False)


def _shapes(x: Floats, y: Floats) -> list[Floats]:
    """Return the shapes of an outline that NaN holds apart."""
    pieces = np.split(np.column_stack([x, y]), np.flatnonzero(np.isnan(x)) + 1)
    shapes = [piece[~np.isnan(piece).any(axis=1)] for piece in pieces]
    return [shape for shape in shapes if len(shape)]


def _draw_trend(axes: Axes, panel: PanelPage, points: float) -> None:
    """Draw the line of a found trend over the wedge between its limits."""
    trend = panel.trend
    if not trend.years.size:
        return
    axes.fill(
        trend.wedge_years, trend.wedge_places, facecolor=theme_colour("wedge"), linewidth=0, zorder=1.5,
        gid=f"{panel.quantity.code}-wedge",
    )  # fmt: skip
    mark = trend_mark(points)
    mark.set_data(trend.years, trend.places)
    mark.set(zorder=2, gid=f"{panel.quantity.code}-trend")
    axes.add_line(mark)


def _draw_breaks(axes: Axes, panel: PanelPage, points: float) -> None:
    """Draw changes of method; a label stands right of its line, left of it where there is no room."""
    first, after = axes.get_xlim()
    font = picture_font(SMALLER * points)
    for number, change in enumerate(panel.breaks):
        axes.axvline(
            change.year, color=theme_colour("soft-ink"), linewidth=points / 9, dashes=(5, 4), zorder=2,
            gid=f"{panel.quantity.code}-break-{number}",
        )  # fmt: skip
        share = (change.year - first) / (after - first)
        label, room = plain_text(change.label), _width_pt(axes) * (1 - share) - points
        leftward = share > 0.5 and text_width_pt(label, font) > room
        if leftward:
            room = _width_pt(axes) * share - points
        place = (change.year, BREAK_LEVELS[number % len(BREAK_LEVELS)])
        _write(
            axes, cut_text(label, room, font), place, ((-0.5 if leftward else 0.5) * points, 0.0), points,
            align="right" if leftward else "left", ink="ink", size=SMALLER, grounded=True,
        )  # fmt: skip


def _draw_beside(axes: Axes, panel: PanelPage, points: float) -> None:
    """Draw what the reader compares with; seasons outside the picked period fainter."""
    beside = panel.beside
    if not len(beside.years):
        return
    for chosen, opacity, where in ((~beside.inside, FAINT, "outside"), (beside.inside, 1.0, "inside")):
        mark = beside_mark(points)
        mark.set_data(beside.years, np.where(chosen, beside.places, np.nan))
        mark.set(alpha=opacity, zorder=3, clip_on=False, gid=f"{panel.quantity.code}-beside-{where}")
        axes.add_line(mark)


def _draw_readings(axes: Axes, panel: PanelPage, points: float) -> None:
    for kind in READINGS:
        dots: Dots = getattr(panel, kind)
        for chosen, opacity, where in ((~dots.inside, FAINT, "outside"), (dots.inside, 1.0, "inside")):
            if chosen.any():
                mark = reading_mark(sign_of(kind, downward=panel.axis.downward), points)
                mark.set_data(dots.years[chosen], dots.places[chosen])
                mark.set(alpha=opacity, zorder=4, clip_on=False, gid=f"{panel.quantity.code}-{kind}-{where}")
                axes.add_line(mark)


def _draw_head(axes: Axes, panel: PanelPage, points: float) -> None:
    """Write quantity, unit and middle value on one line above the axes; none may crowd out the next."""
    room = _width_pt(axes) + _room_right_pt(axes)
    across = 0.0
    pieces = (
        (panel.title, 0.45, 1.05, True, "ink"),
        (panel.unit, 0.7, SMALL, False, "soft-ink"),
        (panel.value or panel.message, 0.98, SMALL, False, "ink"),
    )
    for text, end, size, bold, ink in pieces:
        font = picture_font(size * points, bold=bold)
        shown = cut_text(plain_text(text), end * room - across, font)
        place = (axes.get_xlim()[0], 1.0)
        _write(
            axes, shown, place, (across, 0.85 * points), points, align="left", ink=ink, size=size, bold=bold
        )
        across += text_width_pt(shown, font) + 1.2 * points
