"""Shows one panel page with bqplot; figures and marks are made once and only their traits change."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import bqplot
import ipywidgets
import numpy as np
import numpy.typing as npt

from explorer.display.markup import element
from explorer.display.panel_page import Beside, Dots, PanelPage
from explorer.model.calendar import Period

__all__ = ["PanelView"]

LEFT, RIGHT, TOP, BOTTOM, BOTTOM_WITH_YEARS = 48, 108, 3, 3, 22  # [px]
DOT_PX = 6.5
FAINT = 0.38  # [1] opacity of what lies outside the picked period
HIDDEN = np.array([np.nan])  # a line without a place is not drawn
CORNER = np.array([0.0])  # where an empty label or a hidden marker waits


def _hidden(values: npt.NDArray[Any]) -> npt.NDArray[Any]:
    return values if len(values) else HIDDEN


def _as_path(dots: Dots, chosen: npt.NDArray[np.bool_]) -> tuple[npt.NDArray[Any], npt.NDArray[Any]]:
    """Return dots as one path of zero-length strokes: each place twice, then a gap."""
    x = np.repeat(dots.years[chosen], 3)
    y = np.repeat(dots.places[chosen], 3)
    y[2::3] = np.nan
    return _hidden(x), _hidden(y)


def _as_links(beside: Beside) -> tuple[npt.NDArray[Any], npt.NDArray[Any]]:
    """Return two lines from season to season: the faint one reaches to where the other begins."""
    outside = np.pad(~beside.inside, 1)
    faint = outside[1:-1] | outside[:-2] | outside[2:]
    both = np.where(np.stack([faint, beside.inside]), beside.places, np.nan)
    return (beside.years, both) if beside.years.size else (HIDDEN, HIDDEN)


def _frame(picked: Period | None) -> tuple[npt.NDArray[Any], npt.NDArray[Any]]:
    if picked is None:
        return HIDDEN, HIDDEN
    first, after = float(picked.first_year), float(picked.last_year + 1)
    return np.array([first, first, after, after, first]), np.array([0.0, 1.0, 1.0, 0.0, 0.0])


def _show_scatter(mark: bqplot.Scatter, x: npt.NDArray[Any], y: npt.NDArray[Any]) -> None:
    """Show points; a mark without any is hidden, since bqplot draws an undefined place at the corner."""
    mark.visible = len(x) > 0
    if len(x):
        mark.x, mark.y = x, y


class PanelView:
    """One panel: a line of text above a figure.

    Parameters
    ----------
    number : int
        Position of the panel, for tests and styles.
    with_years : bool
        Whether the years stand below it.
    years : bqplot.LinearScale
        The scale of time that all panels share.
    """

    def __init__(self, number: int, *, with_years: bool, years: bqplot.LinearScale) -> None:
        unit_x, unit_y = (bqplot.LinearScale(min=0, max=1, allow_padding=False) for _ in range(2))
        dated = {"x": years, "y": unit_y}
        fixed = {"x": unit_x, "y": unit_y}
        self._bands = bqplot.Lines(
            x=HIDDEN, y=HIDDEN, scales=fixed, fill="inside", stroke_width=0, colors=["transparent"]
        )
        self._usual = bqplot.Lines(
            x=HIDDEN, y=HIDDEN, scales=dated, fill="inside", stroke_width=0, colors=["transparent"],
            fill_colors=["var(--se-usual)"], fill_opacities=[1.0],
        )  # fmt: skip
        self._breaks = bqplot.Lines(
            x=HIDDEN,
            y=HIDDEN,
            scales=dated,
            stroke_width=1.5,
            line_style="dashed",
            colors=["var(--se-soft-ink)"],
        )
        self._break_labels = bqplot.Label(
            x=CORNER, y=CORNER, text=[""], scales=dated, colors=["var(--se-ink)"], default_size=11,
            x_offset=4, font_weight="normal",
        )  # fmt: skip
        self.links = bqplot.Lines(
            x=HIDDEN, y=HIDDEN, scales=dated, stroke_width=2, line_style="dashed",
            colors=["var(--se-beside)"], opacities=[FAINT, 1.0],
        )  # fmt: skip
        self.squares = bqplot.Scatter(
            x=CORNER, y=CORNER, visible=False, scales=dated, marker="square", default_size=42,
            stroke_width=1.8, colors=["var(--se-field)"], stroke="var(--se-beside)",
        )  # fmt: skip
        self.not_compared = bqplot.Label(
            x=CORNER, y=np.array([0.1]), text=[""], scales=fixed, colors=["var(--se-ink)"], default_size=12,
            x_offset=8, font_weight="normal",
        )  # fmt: skip
        self.faint, self.measured = (
            bqplot.Lines(
                x=HIDDEN, y=HIDDEN, scales=dated, stroke_width=DOT_PX, colors=["var(--se-ink)"],
                opacities=[opacity],
            )
            for opacity in (FAINT, 1.0)
        )  # fmt: skip
        self._picked = bqplot.Lines(
            x=HIDDEN, y=HIDDEN, scales=dated, stroke_width=2.5, colors=["var(--se-ink)"], apply_clip=False
        )
        self._below = self._marker("triangle-down", dated)
        self._beyond = self._marker("triangle-down", dated)
        self._held = self._marker("cross", dated)
        self._near = bqplot.Scatter(
            x=CORNER, y=CORNER, visible=False, scales=dated, marker="circle", default_size=170, fill=False,
            stroke_width=2.5, colors=["var(--se-focus)"], stroke="var(--se-focus)",
        )  # fmt: skip
        self._names = bqplot.Label(
            x=CORNER, y=CORNER, text=[""], scales=fixed, colors=["var(--se-soft-ink)"], apply_clip=False,
            default_size=12, x_offset=8, font_weight="normal",
        )  # fmt: skip
        self._ticks = bqplot.Label(
            x=CORNER, y=CORNER, text=[""], scales=fixed, colors=["var(--se-soft-ink)"], apply_clip=False,
            default_size=12, x_offset=-8, align="end", font_weight="normal",
        )  # fmt: skip
        self._years_axis = bqplot.Axis(
            scale=years, side="bottom", grid_lines="none", color="var(--se-line)", tick_values=[],
            tick_format="d", tick_style={"font-size": "12px"}, visible=with_years,
        )  # fmt: skip
        self._years = years
        self._marks = [
            self._bands, self._usual, self._breaks, self.links, self.squares, self.faint, self.measured,
            self._below, self._beyond, self._held, self._near, self._picked, self._break_labels, self._names,
            self._ticks, self.not_compared,
        ]  # fmt: skip
        bottom = BOTTOM_WITH_YEARS if with_years else BOTTOM
        self.margins = {"left": LEFT, "right": RIGHT, "top": TOP, "bottom": bottom}
        self.figure = bqplot.Figure(
            marks=self._marks,
            axes=[self._years_axis],
            fig_margin=self.margins,
            animation_duration=0,
            display_toolbar=False,
            background_style={"fill": "var(--se-field)"},
            layout=ipywidgets.Layout(width="100%", min_width="0", min_height="0"),
        )
        for name in ("panel-figure", f"panel-{number}", "with-years" if with_years else "without-years"):
            self.figure.add_class(name)
        self._title = ipywidgets.HTML()
        self.said = ipywidgets.HTML()
        self._title.add_class("panel-title")
        self.said.add_class("panel-said")
        head = ipywidgets.HBox([self._title, self.said])
        head.add_class("panel-head")
        self.widget = ipywidgets.VBox([head, self.figure])
        self.widget.add_class("panel")

    def _marker(self, marker: str, scales: dict[str, Any]) -> bqplot.Scatter:
        return bqplot.Scatter(
            x=CORNER, y=CORNER, visible=False, scales=scales, marker=marker, default_size=52,
            fill=marker == "cross", stroke_width=1.8, colors=["var(--se-ink)"], stroke="var(--se-ink)",
        )  # fmt: skip

    @contextmanager
    def held(self) -> Iterator[None]:
        """Send all changes of the panel's marks together when the block ends."""
        with ExitStack() as stack:
            for widget in (*self._marks, self._years_axis):
                stack.enter_context(widget.hold_sync())
            yield

    def show(self, page: PanelPage, ticks: tuple[int, ...], picked: Period | None) -> None:
        """Show a page.

        Parameters
        ----------
        page : PanelPage
            What to show.
        ticks : tuple of int
            Labelled years.
        picked : Period or None
            The picked seasons, None for all.
        """
        with self.held():
            self._show_bands(page)
            self._usual.fill_colors = ["var(--se-usual)" if page.bands else "var(--se-picked)"]
            self._usual.x, self._usual.y = _hidden(page.usual_years), _hidden(page.usual_places)
            inside = page.measured.inside
            self.measured.x, self.measured.y = _as_path(page.measured, inside)
            self.faint.x, self.faint.y = _as_path(page.measured, ~inside)
            specials = ((self._below, page.below), (self._beyond, page.beyond), (self._held, page.held))
            for mark, dots in specials:
                _show_scatter(mark, dots.years, dots.places)
                mark.opacities = np.where(dots.inside, 1.0, FAINT).tolist()
            self._show_beside(page.beside)
            self._show_breaks(page)
            self._show_labels(self._ticks, 0.0, [(label, place) for place, label in page.axis.ticks])
            self._years_axis.tick_values = list(ticks)
            self._picked.x, self._picked.y = _frame(picked)
            self.say("", None)
        title = element("span", page.title, "panel-name") + element("span", page.unit, "panel-unit")
        self._title.value = title + element("span", page.value or page.message, "panel-value")

    def _show_bands(self, page: PanelPage) -> None:
        bands = page.bands
        self._bands.visible = self._names.visible = bool(bands)
        if not bands:
            return
        self._bands.fill_colors = [f"var(--se-band-{band.class_index})" for band in bands]
        self._bands.x = np.tile([0.0, 1.0, 1.0, 0.0, 0.0], (len(bands), 1))
        self._bands.y = np.array([[b.low, b.low, b.high, b.high, b.low] for b in bands])
        self._show_labels(self._names, 1.0, [(band.name.capitalize(), band.name_place) for band in bands])

    def _show_beside(self, beside: Beside) -> None:
        self.links.x, self.links.y = _as_links(beside)
        placed = ~np.isnan(beside.places)
        _show_scatter(self.squares, beside.years[placed], beside.places[placed])
        self.squares.opacities = np.where(beside.inside[placed], 1.0, FAINT).tolist()
        self.not_compared.text = [beside.message]

    def _show_labels(self, mark: bqplot.Label, across: float, labels: list[tuple[str, float]]) -> None:
        mark.text = [text for text, _ in labels] or [""]
        mark.x = np.full(max(len(labels), 1), across)
        mark.y = np.clip([place for _, place in labels] or [0.0], 0.05, 0.96)

    def _show_breaks(self, page: PanelPage) -> None:
        years = np.array([each.year for each in page.breaks])
        self._breaks.x = _hidden(np.repeat(years, 3))
        self._breaks.y = _hidden(np.tile([0.0, 1.0, np.nan], len(years)))
        self._break_labels.text = [each.label for each in page.breaks] or [""]
        self._break_labels.x = years if len(years) else CORNER
        self._break_labels.y = np.full(max(len(years), 1), 0.88)

    def say(self, line: str, place: tuple[float, float] | None) -> None:
        """Write a line at the panel's head and ring the reading it speaks of.

        Parameters
        ----------
        line : str
            Text, may be empty.
        place : tuple of float or None
            Decimal year and place of the reading; None for none.
        """
        self.said.value = element("span", line) if line else ""
        at = np.array([] if place is None else [place]).reshape(-1, 2)
        with self._near.hold_sync():
            _show_scatter(self._near, at[:, 0], at[:, 1])
