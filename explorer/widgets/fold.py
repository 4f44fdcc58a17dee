"""A fold: a button and, once it is open, a region of text that is made only then."""

from collections.abc import Callable, Sequence
from pathlib import Path

import anywidget
import traitlets

from explorer.display.explanation import Section
from explorer.display.markup import element
from explorer.model.errors import ExplorerError

__all__ = ["Fold", "FoldRegion", "sections_html", "terms_html"]


class FoldRegion(anywidget.AnyWidget):
    """A button that says whether it is expanded, and the region that it shows.

    Attributes
    ----------
    title : str
        What stands on the button; shown as text.
    expanded : bool
        Whether the region is shown.
    html : str
        What stands in it: markup whose texts are escaped.
    """

    _esm = Path(__file__).with_name("fold.js")
    title = traitlets.Unicode().tag(sync=True)
    expanded = traitlets.Bool(False).tag(sync=True)
    html = traitlets.Unicode().tag(sync=True)


class Fold:
    """A title to open, and text that is made only while it is open.

    Parameters
    ----------
    title : str
        What stands on the button.
    make : callable
        Called without arguments for the HTML, at each opening and each refresh of an open fold. An
        `ExplorerError` that it raises is shown in the region.

    Attributes
    ----------
    widget : FoldRegion
        To be placed on a screen.

    Examples
    --------
    >>> fold = Fold("How do we know?", lambda: "<p>By measuring.</p>")
    >>> fold.widget.html
    ''
    >>> fold.expanded = True
    >>> fold.widget.html
    '<p>By measuring.</p>'
    """

    def __init__(self, title: str, make: Callable[[], str]) -> None:
        self._make = make
        self.widget = FoldRegion(title=title)
        self.widget.add_class("fold")
        self.widget.observe(lambda _: self.refresh(), names="expanded")

    @property
    def expanded(self) -> bool:
        """Whether it is open; set it to open or close it."""
        return bool(self.widget.expanded)

    @expanded.setter
    def expanded(self, expanded: bool) -> None:
        self.widget.expanded = expanded

    def refresh(self) -> None:
        """Make the text again if it is open; a closed fold holds none."""
        self.widget.html = self._text() if self.expanded else ""

    def _text(self) -> str:
        try:
            return self._make()
        except ExplorerError as error:
            return element("p", error)


def sections_html(sections: Sequence[Section]) -> str:
    """Return sections as headings with their lines.

    Parameters
    ----------
    sections : sequence of Section
        Plain text.

    Examples
    --------
    >>> sections_html([Section("How sure", ("Likely.", "5 < 6."))])
    '<h3>How sure</h3><p>Likely.</p><p>5 &lt; 6.</p>'
    """
    return "".join(
        element("h3", section.title) + "".join(element("p", line) for line in section.lines)
        for section in sections
    )


def terms_html(terms: Sequence[tuple[str, str]]) -> str:
    """Return terms and what they mean as a list of definitions.

    Parameters
    ----------
    terms : sequence of (str, str)
        Plain text.

    Examples
    --------
    >>> terms_html([("silt", "Very fine mud.")])
    '<dl><dt>silt</dt><dd>Very fine mud.</dd></dl>'
    """
    entries = "".join(element("dt", term) + element("dd", meaning) for term, meaning in terms)
    return f"<dl>{entries}</dl>" if entries else ""
