"""Shows one panel page with bqplot; figures and marks are made once and only their traits change."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import bqplot
import ipywidgets
import numpy as np
import numpy.typing as npt

from explorer.display.markup import element
from explorer.display.panel_values import FAINT, READINGS, Beside, Dots, PanelPage, sign_of
from explorer.model.calendar import Period
from explorer.widgets.panel_dots import PanelDots
from explorer.widgets.panel_labels import PanelLabels
from explorer.widgets.panel_marks import HIDDEN, area, line

__all__ = ["PanelView"]

LEFT, RIGHT, TOP, BOTTOM, BOTTOM_WITH_YEARS = 48, 124, 3, 3, 22  # [px]


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


def _as_squares(beside: Beside) -> Dots:
    """Return the seasons that have a compared value."""
    rows = np.flatnonzero(~np.isnan(beside.places))
    return Dots(beside.years[rows], beside.places[rows], rows, beside.inside[rows])


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
        self._bands, self._usual = area(fixed), area(dated, "var(--se-usual)")
        self._wedge, self.trend = area(dated, "var(--se-wedge)"), line(dated, 2.5)
        self._breaks = line(dated, 1.5, "var(--se-soft-ink)", line_style="dashed")
        self.links = line(dated, 2, "var(--se-beside)", line_style="dashed", opacities=[FAINT, 1.0])
        self._picked = line(dated, 2.5, apply_clip=False)
        self._years_axis = bqplot.Axis(
            scale=years, side="bottom", grid_lines="none", color="var(--se-line)", tick_values=[],
            tick_format="d", tick_style={"font-size": "12px"}, visible=with_years,
        )  # fmt: skip
        self._marks = [
            self._bands, self._usual, self._wedge, self.trend, self._breaks, self.links, self._picked,
        ]  # fmt: skip
        bottom = BOTTOM_WITH_YEARS if with_years else BOTTOM
        self.margins = {"left": LEFT, "right": RIGHT, "top": TOP, "bottom": bottom}
        self.figure = self._figure()
        self.dots, self.labels = PanelDots(self.margins), PanelLabels(self.margins)
        field = ipywidgets.VBox([self.figure, self.dots, self.labels])
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
            signs = {sign_of(kind, downward=page.axis.downward): getattr(page, kind) for kind in READINGS}
            self.dots.show({**signs, "beside": _as_squares(page.beside)}, years)
            self.labels.show(page, years)
            _place(self._wedge, _hidden(page.trend.wedge_years), _hidden(page.trend.wedge_places))
            _place(self.trend, _hidden(page.trend.years), _hidden(page.trend.places))
            _place(self.links, *_as_links(page.beside))
            self._show_breaks(page)
            self._years_axis.tick_values = list(ticks)
            _place(self._picked, *_frame(picked))
            self.say("", None)
        title = element("span", page.title, "panel-name") + element("span", page.unit, "panel-unit")
        value = element("span", page.value or page.message, "panel-value")
        not_compared = element("span", page.beside.message, "panel-beside") if page.beside.message else ""
        self.title.value = title + value + not_compared

    def _show_bands(self, page: PanelPage) -> None:
        bands = page.bands
        self._bands.visible = bool(bands)
        if not bands:
            return
        self._bands.fill_colors = [f"var(--se-band-{band.class_index})" for band in bands]
        self._bands.x = np.tile([0.0, 1.0, 1.0, 0.0, 0.0], (len(bands), 1))
        self._bands.y = np.array([[b.low, b.low, b.high, b.high, b.low] for b in bands])

    def _show_breaks(self, page: PanelPage) -> None:
        years = np.array([each.year for each in page.breaks])
        _place(self._breaks, _hidden(np.repeat(years, 3)), _hidden(np.tile([0.0, 1.0, np.nan], len(years))))

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
        self.dots.put_ring(place)
