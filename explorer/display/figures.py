"""A station's page as a picture for print, download and hand-outs, in the light theme of the screen."""

import warnings
from collections.abc import Mapping
from io import BytesIO
from typing import Any, Literal, NamedTuple

from matplotlib import style
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Rectangle

from explorer.display.choice import Choice
from explorer.display.figure_marks import legend_handles, theme_colour
from explorer.display.figure_text import picture_font, plain_text, text_width_pt, wrapped_text
from explorer.display.palette import THEMES, class_colours, ink_on
from explorer.display.panel_figure import draw_panel
from explorer.display.station_page import StationPage
from explorer.model.calendar import Period
from explorer.model.words import say

__all__ = ["PictureForm", "draw_panel", "draw_station_page"]

PictureForm = Literal["png", "svg", "pdf"]

WIDTH_PT, HEIGHT_PT = 792.0, 590.0  # 11 x 8.2 in: lies on A4 and on US letter paper alike
DOTS_PER_INCH = 200  # 2200 px across: sharp in print and on a wall
EDGE_PT = 24.0  # around everything
LEFT_PT = 64.0  # of the panels: room for their numbers
MOST_NAME_PT = 150.0  # room for class names, at most
STRIP_PT, HEAD_PT, YEARS_PT, LEGEND_PT, GAP_PT = 17.0, 17.0, 16.0, 15.0, 4.0
POINTS = 9.0  # text of the panels
LINE_HEIGHT = 1.36  # [1] of the text's size
MARK_EMS = 1.3 + 0.5 + 1.8  # [1] of the text's size: a legend's mark with the room on both its sides


class _Style(NamedTuple):
    """How a text is set: size [pt], ink, and lines at most."""

    points: float
    ink: str
    most: int
    bold: bool = False


NAME, STATE, REST = _Style(18.0, "ink", 2, True), _Style(11.5, "ink", 4), _Style(9.5, "soft-ink", 4)
CAPTION, CAUTION, SOURCE = _Style(8.5, "soft-ink", 2), _Style(10.0, "ink", 2), _Style(7.5, "soft-ink", 2)
_Lines = list[tuple[str, _Style]]

# Whatever style its user has set, a picture looks the same, and the same page gives the same bytes.
_STYLE: dict[str, Any] = {
    "svg.fonttype": "none",  # text stays text
    "svg.hashsalt": "station-explorer",
    "pdf.fonttype": 42,
    "font.sans-serif": ["DejaVu Sans", "Verdana"],  # for a viewer without the first
}
_UNDATED: Mapping[PictureForm, Mapping[str, Any]] = {
    "png": {"Software": None},
    "svg": {"Date": None, "Creator": None},
    "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
}


def draw_station_page(page: StationPage, choice: Choice, *, form: PictureForm, source: str = "") -> bytes:
    """Return a station's page as a picture.

    Parameters
    ----------
    page : StationPage
        The page that the screen shows.
    choice : Choice
        What it was built from: a picked period is framed, and its language is that of the words.
    form : {"png", "svg", "pdf"}
        Pixels, or drawings whose text stays text.
    source : str
        A line that says what it was made from, empty for none.

    Returns
    -------
    bytes
        The file's content; the same for the same page.
    """
    with style.context(["default", _STYLE]), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from", UserWarning)  # then a box stands for it
        content = BytesIO()
        title = plain_text(page.heading)
        _figure(page, choice, source).savefig(
            content, format=form, metadata={**_UNDATED[form], "Title": title}
        )
    return content.getvalue()


def _figure(page: StationPage, choice: Choice, source: str) -> Figure:
    figure = Figure(figsize=(WIDTH_PT / 72, HEIGHT_PT / 72), dpi=DOTS_PER_INCH)
    figure.set_facecolor(theme_colour("paper"))
    top = _draw_heading(figure, page)
    bottom = _draw_foot(figure, page, source, choice.language)
    _draw_body(figure, page, choice, top, bottom)
    return figure


def _lines(*texts: tuple[str, _Style]) -> _Lines:
    """Return texts as lines that fit the picture's width; empty ones vanish."""
    room = WIDTH_PT - 2 * EDGE_PT
    return [
        (line, look)
        for text, look in texts
        for line in wrapped_text(plain_text(text), room, picture_font(look.points, bold=look.bold), look.most)
        if line
    ]


def _height_pt(lines: _Lines) -> float:
    return sum(LINE_HEIGHT * look.points for _, look in lines)


def _write_lines(figure: Figure, lines: _Lines, down_pt: float) -> float:
    """Write lines below one another from so far below the picture's top; return where they end. [pt]"""
    for line, look in lines:
        down_pt += LINE_HEIGHT * look.points
        figure.text(
            EDGE_PT / WIDTH_PT, 1 - (down_pt - 0.3 * look.points) / HEIGHT_PT, line, va="baseline",
            font=picture_font(look.points, bold=look.bold), color=theme_colour(look.ink), parse_math=False,
        )  # fmt: skip
    return down_pt


def _draw_heading(figure: Figure, page: StationPage) -> float:
    """Write name and sentences; return where they end. [pt]"""
    state = " ".join(page.sentences[:1])
    others = " ".join([*page.change, *page.sentences[1:], page.comparison.sentence])
    return _write_lines(figure, _lines((page.heading, NAME), (state, STATE), (others, REST)), EDGE_PT - 10.0)


def _draw_foot(figure: Figure, page: StationPage, source: str, language: str) -> float:
    """Write legend, caption, caution and source; return where the room above them ends. [pt]"""
    caution = say("caution.swimming", language=language)
    lines = _lines((page.caption, CAPTION), (caution, CAUTION), (source, SOURCE))
    start = HEIGHT_PT - EDGE_PT + 8.0 - _height_pt(lines)
    _write_lines(figure, lines, start)
    start -= GAP_PT
    for handles in reversed(_legend_rows(page, language)):
        figure.legend(
            handles=handles, loc="lower left", bbox_to_anchor=(EDGE_PT / WIDTH_PT, 1 - start / HEIGHT_PT),
            ncols=len(handles), frameon=False, borderpad=0, borderaxespad=0, handletextpad=0.5,
            handlelength=1.3, columnspacing=1.8, prop=picture_font(CAPTION.points),
            labelcolor=theme_colour("ink"),
        )  # fmt: skip
        start -= LEGEND_PT
    return start


def _legend_rows(page: StationPage, language: str) -> list[list[Line2D | Patch]]:
    """Return the legend's marks row by row, each as wide as there is room."""
    font = picture_font(CAPTION.points)
    rows: list[list[Line2D | Patch]] = []
    room = 0.0
    for handle in legend_handles(page, POINTS, language):
        width = text_width_pt(str(handle.get_label()), font) + MARK_EMS * CAPTION.points
        if width > room:
            rows.append([])
            room = WIDTH_PT - 2 * EDGE_PT
        rows[-1].append(handle)
        room -= width
    return rows


def _draw_body(figure: Figure, page: StationPage, choice: Choice, top_pt: float, bottom_pt: float) -> None:
    """Draw the strip of seasons and the panels between two heights below the picture's top."""
    names = [plain_text(band.name.capitalize()) for panel in page.panels for band in panel.bands]
    widest = max((text_width_pt(name, picture_font(POINTS)) for name in names), default=0.0)
    picked = choice.period if choice.picked else None
    width = WIDTH_PT - LEFT_PT - min(widest, MOST_NAME_PT) - EDGE_PT - 8.0

    def axes_at(down_pt: float, height_pt: float) -> Axes:
        lower = 1 - (down_pt + height_pt) / HEIGHT_PT
        return figure.add_axes((LEFT_PT / WIDTH_PT, lower, width / WIDTH_PT, height_pt / HEIGHT_PT))

    top_pt += 2 * GAP_PT
    _draw_strip(axes_at(top_pt, STRIP_PT), page, picked, width, choice.language)
    top_pt += STRIP_PT
    step = (bottom_pt - YEARS_PT - top_pt) / len(page.panels)
    for number, panel in enumerate(page.panels):
        axes = axes_at(top_pt + number * step + HEAD_PT, step - HEAD_PT)
        last = number == len(page.panels) - 1
        draw_panel(axes, panel, page, picked=picked, points=POINTS, with_years=last)


def _draw_strip(axes: Axes, page: StationPage, picked: Period | None, width_pt: float, language: str) -> None:
    """Draw a cell for every season with its class's letter and colour."""
    axes.set_axis_off()
    axes.set_xlim(page.first_year, page.last_year + 1)
    colours = class_colours(len(page.scheme.classes)) if page.scheme else ()
    points = min(POINTS, 0.7 * width_pt / len(page.strip))
    for cell in page.strip:
        colour = colours[cell.class_index] if cell.class_index >= 0 else THEMES["light"]["picked"]
        framed = picked is not None and bool(picked.contains(cell.year))
        axes.add_patch(
            Rectangle((cell.year + 0.04, 0.05), 0.92, 0.9, facecolor=colour, gid=f"season-{cell.year}",
                      edgecolor=theme_colour("ink"), linewidth=1.6 if framed else 0.0)
        )  # fmt: skip
        axes.text(
            cell.year + 0.5, 0.48, cell.letter, ha="center", va="center_baseline", color=ink_on(colour),
            font=picture_font(points, bold=True), parse_math=False,
        )  # fmt: skip
    axes.annotate(
        say("strip.title", language=language), (0.0, 0.48), xycoords="axes fraction", xytext=(-6.0, 0.0),
        textcoords="offset points", ha="right", va="center_baseline", color=theme_colour("soft-ink"),
        font=picture_font(0.9 * POINTS), parse_math=False,
    )  # fmt: skip
