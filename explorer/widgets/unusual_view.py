"""The folds of unusual readings: a station's, with what may be behind each, and all that wait."""

from collections.abc import Callable

import ipywidgets

from explorer.display.markup import element
from explorer.display.unusual_entry import UnusualEntry
from explorer.display.unusual_page import UnusualPage
from explorer.model.words import say
from explorer.widgets.grouped_list import GroupedList
from explorer.widgets.part_fold import PartFold

__all__ = ["DecisionsView", "UnusualView", "entry_html"]


class UnusualView:
    """The unusual readings of the station on the screen.

    Parameters
    ----------
    make : callable
        Called without arguments for the page, only while the fold is open; None where no station is picked.
    on_pick : callable
        Called with the picked reading's id.
    on_decide : callable
        Called without arguments when the reader wants to decide on the picked reading.
    language : str
        Language of the words.
    """

    def __init__(
        self,
        make: Callable[[], UnusualPage | None],
        on_pick: Callable[[int], None],
        on_decide: Callable[[], None],
        language: str,
    ) -> None:
        self._make = make
        self.readings = GroupedList(say("unusual.readings", language=language), on_pick)
        self.entry = ipywidgets.HTML()
        self.decide = ipywidgets.Button(description=say("unusual.decide", language=language))
        self.decide.on_click(lambda _: on_decide())
        shown = ipywidgets.VBox([self.entry, self.decide])
        self._body = ipywidgets.HBox([self.readings, shown])
        for widget, name in ((shown, "unusual-shown"), (self._body, "unusual-body")):
            widget.add_class(name)
        self.fold = PartFold(say("fold.unusual", language=language), [self._body], self._fill, "unusual")

    def _fill(self) -> str:
        page = self._make()
        if page is None:
            return ""
        self._body.layout.display = "" if page.groups or page.entry else "none"
        self.readings.show([(group.title, group.entries) for group in page.groups], page.reading_id)
        self.entry.value = entry_html(page.entry) if page.entry else ""
        self.decide.layout.display = "" if page.entry else "none"
        return element("p", page.words)


class DecisionsView:
    """All unusual readings of the record that nobody has decided on.

    Parameters
    ----------
    make : callable
        Called without arguments for the page, only while the fold is open.
    on_pick : callable
        Called with the picked reading's id.
    language : str
        Language of the words.
    """

    def __init__(
        self, make: Callable[[], UnusualPage], on_pick: Callable[[int], None], language: str
    ) -> None:
        self._make = make
        self.readings = GroupedList(say("unusual.all_readings", language=language), on_pick)
        self.fold = PartFold(
            say("fold.decisions", language=language), [self.readings], self._fill, "decisions"
        )

    def _fill(self) -> str:
        page = self._make()
        self.readings.layout.display = "" if page.groups else "none"
        self.readings.show([(group.title, group.entries) for group in page.groups], page.reading_id)
        return element("p", page.words)


def entry_html(entry: UnusualEntry) -> str:
    """Return what is said of an unusual reading as HTML.

    Parameters
    ----------
    entry : UnusualEntry
        What to show; its texts are escaped here.
    """
    parts = [element("h3", entry.title), element("p", " ".join(entry.facts))]
    for title, lines in entry.evidence:
        items = "".join(element("li", line) for line in lines)
        parts.append(f"{element('h4', title)}<ul>{items}</ul>")
    return "".join(parts) + element("p", f"{entry.step} {entry.why}", "unusual-next")
