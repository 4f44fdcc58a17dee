"""The fold behind a reading: a list to pick from, where it comes from, and marks for who may write."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.markup import element
from explorer.display.origin_page import OriginPage
from explorer.display.reading_choice import ReadingChoice
from explorer.model.words import say
from explorer.widgets.fold import terms_html
from explorer.widgets.mark_form import MarkForm
from explorer.widgets.part_fold import PartFold, offer

__all__ = ["OriginView", "origin_html"]

LINES = 10  # of the list of readings


class OriginView:
    """What lies behind a reading of the station on the screen.

    Parameters
    ----------
    make : callable
        Called without arguments for the readings and the picked one, only while the fold is open; None where
        no station is picked.
    on_pick, on_panel : callable
        Called with the picked reading's id, and with the panel whose readings are wanted.
    form : MarkForm
        Where a reading is decided on.
    language : str
        Language of the words.
    """

    def __init__(
        self,
        make: Callable[[], ReadingChoice | None],
        on_pick: Callable[[int], None],
        on_panel: Callable[[int], None],
        form: MarkForm,
        language: str,
    ) -> None:
        self._make, self._on_pick, self._on_panel, self._language = make, on_pick, on_panel, language
        self.form = form
        self.quantities = ipywidgets.Dropdown(description=say("origin.quantity", language=language))
        self.readings = ipywidgets.Select(description=say("origin.readings", language=language), rows=LINES)
        self.origin = ipywidgets.HTML()
        pick = ipywidgets.VBox([self.quantities, self.readings])
        shown = ipywidgets.VBox([self.origin, form.widget])
        self._body = ipywidgets.HBox([pick, shown])
        for widget, name in (
            (pick, "origin-pick"), (self.readings, "origin-readings"), (shown, "origin-shown"),
            (self._body, "origin-body"),
        ):  # fmt: skip
            widget.add_class(name)
        self.fold = PartFold(say("fold.origin", language=language), [self._body], self._fill, "origin")
        self.quantities.observe(self._quantity_chosen, names="value")
        self.readings.observe(self._reading_chosen, names="value")

    def _reading_chosen(self, change: Any) -> None:
        self._on_pick(change["new"] or 0)

    def _quantity_chosen(self, change: Any) -> None:
        self._on_panel(change["new"])

    def _fill(self) -> str:
        made = self._make()
        if made is None:
            return ""
        self._body.layout.display = "" if made.readings else "none"
        if not made.readings:
            return element("p", say("origin.none", language=self._language))
        self.form.speak_of(made.origin.reading_id if made.origin else None)
        offer(self.quantities, made.quantities, made.panel, self._quantity_chosen)
        offer(self.readings, made.readings, made.reading_id, self._reading_chosen)
        self.origin.value = origin_html(made.origin) if made.origin else ""
        self.form.widget.layout.display = "" if made.origin else "none"
        return element("p", say("origin.words", language=self._language))


def origin_html(page: OriginPage) -> str:
    """Return what lies behind a reading as HTML.

    Parameters
    ----------
    page : OriginPage
        What to show; its texts are escaped here.
    """
    parts = [element("h3", page.title), terms_html(page.facts)]
    for title, lines in ((page.batch_title, page.batch), (page.states_title, page.states)):
        if lines:
            items = "".join(element("li", line) for line in lines)
            parts.append(f"{element('h3', title)}<ul>{items}</ul>")
    return "".join(parts)
