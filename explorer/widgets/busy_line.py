"""A line at the foot of the window that tells how far a long computation has come."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import ipywidgets

from explorer.display.markup import element
from explorer.model.words import say
from explorer.widgets.opening_bar import SHOWN_FROM

__all__ = ["BusyLine"]


class BusyLine(ipywidgets.HTML):  # type: ignore[misc]
    """Says what is being computed, wherever the reader has scrolled to; empty while nothing is.

    Parameters
    ----------
    code : str
        The sentence, with values done and count: stations.
    language : str
        Language of the words.

    Examples
    --------
    >>> line = BusyLine("message.looking", "en")
    >>> with line.shown() as progress:
    ...     progress(64, 500)
    ...     print(line.value)
    <p>Looking for unusual readings: 64 of 500 stations.</p>
    >>> line.value
    ''
    """

    def __init__(self, code: str, language: str) -> None:
        super().__init__()
        self._code, self._language = code, language
        self.add_class("busy-part")

    @contextmanager
    def shown(self) -> Iterator[Callable[[int, int], None]]:
        """Give what takes the progress: how many stations are done, and of how many; of few nothing is said.

        Yields
        ------
        callable
        """
        try:
            yield self._tell
        finally:
            self.value = ""

    def _tell(self, done: int, count: int) -> None:
        if count >= SHOWN_FROM:
            self.value = element("p", say(self._code, {"done": done, "count": count}, self._language))
