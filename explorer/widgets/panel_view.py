"""Shows one panel page with bqplot; figures and marks are made once and only their traits change."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import bqplot
import ipywidgets
import numpy as np
import numpy.typing as npt

from explorer.display.markup import element
from explorer.display.panel_values import FAINT, Beside, PanelPage
from explorer.model.calendar import Period
from explorer.widgets.panel_dots import KINDS, PanelDots
from explorer.widgets.panel_marks import CORNER, HIDDEN, INK, area, labels, line, marker

__all__ = ["PanelView"]

LEFT, RIGHT, TOP, BOTTOM, BOTTOM_WITH_YEARS = 48, 108, 3, 3, 22  # [px]


def _hidden(values: npt.NDArray[Any]) -> npt.NDArray[Any]:
    return values if len(values) else HIDDEN


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


def _place(mark: Any, x: npt.NDArray[Any], y: npt.NDArray[Any]) -> None:
    """Place a mark anew where it stands elsewhere: NaN differs from itself, and whatever is set is drawn."""
    for name, new in (("x", x), ("y", y)):
        if not np.array_equal(getattr(mark, name), new, equal_nan=True):
            mark.set_trait(name, new)


def _show_scatter(mark: bqplot.Scatter, x: npt.NDArray[Any], y: npt.NDArray[Any]) -> None:
    """Show points; a mark without any is hidden, since bqplot draws an undefined place at the corner."""
    mark.visible = len(x) > 0
    if len(x):
        mark.x, mark.y = x, y


class PanelView:
    """One panel: a line of text above a figure with the readings over it.

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
        soft = "var(--se-soft-ink)"
        self._bands, self._usual = area(fixed), area(dated, "var(--se-usual)")
        self._wedge, self.trend = area(dated, "var(--se-wedge)"), line(dated, 2.5)
        self._breaks = line(dated, 1.5, soft, line_style="dashed")
        self._break_labels = labels(dated, 11, INK, x_offset=4)
        self.links = line(dated, 2, "var(--se-beside)", line_style="dashed", opacities=[FAINT, 1.0])
        self.squares = marker(dated, "square", 42, ink="var(--se-beside)", inside="var(--se-field)")
        self._picked = line(dated, 2.5, apply_clip=False)
        self._near = marker(dated, "circle", 170, ink="var(--se-focus)", width=2.5)
        self._names = labels(fixed, 12, soft, apply_clip=False, x_offset=8)
        self._ticks = labels(fixed, 12, soft, apply_clip=False, x_offset=-8, align="end")
        self._years_axis = bqplot.Axis(
            scale=years, side="bottom", grid_lines="none", color="var(--se-line)", tick_values=[],
            tick_format="d", tick_style={"font-size": "12px"}, visible=with_years,
        )  # fmt: skip
        self._marks = [
            self._bands, self._usual, self._wedge, self.trend, self._breaks, self.links, self.squares,
            self._near, self._picked, self._break_labels, self._names, self._ticks,
        ]  # fmt: skip
        bottom = BOTTOM_WITH_YEARS if with_years else BOTTOM
        self.margins = {"left": LEFT, "right": RIGHT, "top": TOP, "bottom": bottom}
        self.figure = self._figure()
        self.dots = PanelDots(self.margins)
        field = ipywidgets.VBox([self.figure, self.dots])
        self.title, self.said = ipywidgets.HTML(), ipywidgets.HTML()
        head = ipywidgets.HBox([self.title, self.said])
        self.widget = ipywidgets.VBox([head, field])
        for widget, name in (
            (self.title, "panel-title"), (self.said, "panel-said"), (head, "panel-head"),
            (self.widget, "panel"), (field, "panel-figure"), (field, f"panel-{number}"),
            (field, "with-years" if with_years else "without-years"),
        ):  # fmt: skip
            widget.add_class(name)

    def _figure(self) -> bqplot.Figure:
        return bqplot.Figure(
            marks=self._marks,
            axes=[self._years_axis],
            fig_margin=self.margins,
            animation_duration=0,
            display_toolbar=False,
            background_style={"fill": "var(--se-field)"},
            layout=ipywidgets.Layout(width="100%", height="100%", min_width="0", min_height="0"),
        )

    @contextmanager
    def held(self) -> Iterator[None]:
        """Send all changes of the panel's marks together when the block ends."""
        with ExitStack() as stack:
            for widget in (*self._marks, self._years_axis):
                stack.enter_context(widget.hold_sync())
            yield

    def show(
        self, page: PanelPage, years: tuple[int, int], ticks: tuple[int, ...], picked: Period | None
    ) -> None:
        """Show a page.

        Parameters
        ----------
        page : PanelPage
            What to show.
        years : tuple of int
            First and last year on the panels.
        ticks : tuple of int
            Labelled years.
        picked : Period or None
            The picked seasons, None for all.
        """
        with self.held():
            self._show_bands(page)
            self._usual.fill_colors = ["var(--se-usual)" if page.bands else "var(--se-picked)"]
            _place(self._usual, _hidden(page.usual_years), _hidden(page.usual_places))
            self.dots.show({kind: getattr(page, kind) for kind in KINDS}, years)
            _place(self._wedge, _hidden(page.trend.wedge_years), _hidden(page.trend.wedge_places))
            _place(self.trend, _hidden(page.trend.years), _hidden(page.trend.places))
            self._show_beside(page.beside)
            self._show_breaks(page)
            self._show_labels(self._ticks, 0.0, [(label, place) for place, label in page.axis.ticks])
            self._years_axis.tick_values = list(ticks)
            _place(self._picked, *_frame(picked))
            self.say("", None)
        title = element("span", page.title, "panel-name") + element("span", page.unit, "panel-unit")
        value = element("span", page.value or page.message, "panel-value")
        not_compared = element("span", page.beside.message, "panel-beside") if page.beside.message else ""
        self.title.value = title + value + not_compared

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
        _place(self.links, *_as_links(beside))
        placed = ~np.isnan(beside.places)
        _show_scatter(self.squares, beside.years[placed], beside.places[placed])
        self.squares.opacities = np.where(beside.inside[placed], 1.0, FAINT).tolist()

    def _show_labels(self, mark: bqplot.Label, across: float, labels: list[tuple[str, float]]) -> None:
        mark.text = [text for text, _ in labels] or [""]
        mark.x = np.full(max(len(labels), 1), across)
        mark.y = np.clip([place for _, place in labels] or [0.0], 0.05, 0.96)

    def _show_breaks(self, page: PanelPage) -> None:
        years = np.array([each.year for each in page.breaks])
        _place(self._breaks, _hidden(np.repeat(years, 3)), _hidden(np.tile([0.0, 1.0, np.nan], len(years))))
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
