"""A list in groups to pick one entry from."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

__all__ = ["GroupedList"]


class GroupedList(anywidget.AnyWidget):
    """A list with titles between its entries.

    Parameters
    ----------
    label : str
        What is listed; stands above it.
    on_pick : callable
        Called with the id of the entry that the reader picked.

    Attributes
    ----------
    groups : list of (str, list of (str, int))
        Title and entries of each group; an entry is its text and its id.
    picked : int
        Id of the picked entry, 0 for none.
    lines : int
        How many lines are seen at most.

    Examples
    --------
    >>> listed = GroupedList("Bottles", print)
    >>> listed.show([("Full", [("Bottle 7", 7)])], 0)
    >>> listed.picked = 7
    7
    """

    _esm = Path(__file__).with_name("grouped_list.js")
    label = traitlets.Unicode().tag(sync=True)
    groups = traitlets.List(traitlets.List()).tag(sync=True)
    picked = traitlets.Int(0).tag(sync=True)
    lines = traitlets.Int(16).tag(sync=True)

    def __init__(self, label: str, on_pick: Callable[[int], None]) -> None:
        super().__init__(label=label)
        self._on_pick = on_pick
        self.add_class("grouped-list")
        self.observe(self._heard, names="picked")

    def show(self, groups: Sequence[tuple[str, Sequence[tuple[str, int]]]], picked: int) -> None:
        """Show entries and which one is picked, without hearing it as a pick.

        Parameters
        ----------
        groups : sequence of (str, sequence of (str, int))
            Title and entries of each group.
        picked : int
            Id of the picked entry, 0 for none.
        """
        self.unobserve(self._heard, names="picked")
        with self.hold_sync():
            self.groups = [[title, [list(entry) for entry in entries]] for title, entries in groups]
            self.picked = picked
        self.observe(self._heard, names="picked")

    def _heard(self, change: Any) -> None:
        if change["new"]:
            self._on_pick(change["new"])
