"""The fold of what goes together: plots whose points pick visits, a list that does the same, and words."""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import traitlets

from explorer.display.markup import element
from explorer.display.numbers import count_text
from explorer.display.relation_page import RelationPage
from explorer.display.relation_plot import RelationPlot
from explorer.model.words import join_words, say
from explorer.widgets.part_fold import PartFold

__all__ = ["RelationPlots", "RelationView"]

MOST_LINES = 12  # of the list of visits


class RelationPlots(anywidget.AnyWidget):
    """Plots side by side; a frame dragged around points picks their days, Escape picks none.

    Attributes
    ----------
    plots : list of dict
        What is drawn.
    days : list of str
        The picked days, ISO 8601.
    """

    _esm = Path(__file__).with_name("relation.js")
    plots = traitlets.List(traitlets.Dict()).tag(sync=True)
    days = traitlets.List(traitlets.Unicode()).tag(sync=True)


class RelationView:
    """What goes together at the station on the screen.

    Parameters
    ----------
    make : callable
        Called without arguments for the page and the picked days, only while the fold is open; None where no
        station is picked.
    on_choice : callable
        Called with "days" and the picked days.
    language : str
        Language of the words.
    """

    def __init__(
        self,
        make: Callable[[], tuple[RelationPage, Sequence[str]] | None],
        on_choice: Callable[[str, Any], None],
        language: str,
    ) -> None:
        self._make, self._on_choice, self._language = make, on_choice, language
        self.plots = RelationPlots()
        self.visits = ipywidgets.SelectMultiple()
        self.all_visits = ipywidgets.Button(description=self._say("all_visits"))
        self.picked, self.legend, self.lines = (ipywidgets.HTML() for _ in range(3))
        foot = ipywidgets.HBox([self.picked, self.all_visits])
        beside = ipywidgets.VBox([self.visits, foot])
        drawn = ipywidgets.VBox([self.plots, self.legend])
        self._body = ipywidgets.HBox([drawn, beside])
        for widget, name in (
            (self.visits, "relation-visits"), (foot, "relation-foot"), (beside, "relation-beside"),
            (self._body, "relation-body"), (drawn, "relation-drawn"),
        ):  # fmt: skip
            widget.add_class(name)
        parts = [self._body, self.lines]
        self.fold = PartFold(say("fold.relations", language=language), parts, self._fill, "relation")
        self.plots.observe(self._dragged, names="days")
        self.visits.observe(self._listed, names="value")
        self.all_visits.on_click(lambda _: on_choice("days", ()))

    def _say(self, code: str) -> str:
        return say(f"relation_page.{code}", language=self._language)

    def _dragged(self, change: Any) -> None:
        self._on_choice("days", tuple(change["new"]))

    def _listed(self, change: Any) -> None:
        self._on_choice("days", tuple(sorted(change["new"])))

    def _fill(self) -> str:
        made = self._make()
        if made is None:
            return ""
        page, days = made
        self._body.layout.display = "" if page.plots else "none"
        self._offer(page, days)
        with self.plots.hold_sync():
            self.plots.plots = [self._plot(plot) for plot in page.plots]
            self.plots.days = list(days)
        self.picked.value = count_text("relation_page.picked", len(days), language=self._language)
        self.all_visits.layout.visibility = "visible" if days else "hidden"
        self.legend.value = self._legend(page)
        lines = "".join(element("p", line) for line in page.lines)
        self.lines.value = element("h3", page.lines_title) + lines if lines else ""
        return element("p", page.message or self._say("words"))

    def _offer(self, page: RelationPage, days: Sequence[str]) -> None:
        """Show the visits and which of them are picked, without hearing it as a choice."""
        self.visits.description = page.days_title
        self.visits.unobserve(self._listed, names="value")
        if tuple(self.visits.options) != page.days:
            self.visits.options = page.days
        on_the_list = {day for _, day in page.days}
        self.visits.value = tuple(day for day in days if day in on_the_list)
        self.visits.rows = min(MOST_LINES, max(len(page.days), 2))
        self.visits.observe(self._listed, names="value")

    def _plot(self, plot: RelationPlot) -> dict[str, Any]:
        """Return a plot as the page takes it, with the words that its points say."""
        made = asdict(plot)
        for point, of in zip(made["points"], plot.points, strict=True):
            point["said"] = join_words([f"{name} {text}" for name, text in of.readings], self._language)
        title = {"title": plot.title, "count": len(plot.points)}
        return {**made, "said": say("relation_page.label", title, self._language)}

    def _legend(self, page: RelationPage) -> str:
        if not page.plots:
            return ""
        limits = any(point.turn is not None for plot in page.plots for point in plot.points)
        glyphs = [
            ("legend_measured", '<circle cx="8" cy="8" r="3.6" class="relation-point"/>', True),
            ("legend_limit", '<path d="M3 4h10l-5 9z" class="relation-limit"/>', limits),
            ("line", '<path d="M0 12L16 4" class="relation-line"/>', any(plot.line for plot in page.plots)),
        ]
        entries = "".join(
            f'<span class="legend-entry"><svg width="16" height="16" aria-hidden="true">{glyph}</svg>'
            f"{element('span', self._say(code))}</span>"
            for code, glyph, shown in glyphs
            if shown
        )
        return f"<p>{entries}</p>"
