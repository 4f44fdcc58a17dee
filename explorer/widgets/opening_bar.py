"""A bar that tells how far the opening of a large record has come."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import ipywidgets
from IPython.display import display

from explorer.model.words import say

__all__ = ["SHOWN_FROM", "opening_bar"]

SHOWN_FROM = 200  # stations; fewer are computed in less than half a second


@contextmanager
def opening_bar() -> Iterator[Callable[[int, int], None]]:
    """Give what takes the progress; a bar appears with the first of many stations and is hidden at the end.

    It is not closed: a page that is drawn only then would report that it is missing.

    Yields
    ------
    callable
        Takes how many stations are done, and of how many.
    """
    bar = ipywidgets.IntProgress(description=say("message.opening"), layout={"width": "400px"})
    shown = False

    def progress(done: int, count: int) -> None:
        nonlocal shown
        if count < SHOWN_FROM:
            return
        bar.max, bar.value = count, done
        if not shown:
            display(bar)  # type: ignore[no-untyped-call]
            shown = True

    try:
        yield progress
    finally:
        if shown:
            bar.layout.display = "none"
        else:
            bar.close()
