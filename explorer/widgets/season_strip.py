"""The strip of seasons above the panels, from which a period is picked."""

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.season_strip import SeasonCell
from explorer.model.calendar import Period
from explorer.model.words import say

__all__ = ["SeasonStrip"]

SENT = tuple(field.name for field in fields(SeasonCell))


class SeasonStrip(anywidget.AnyWidget):
    """One cell a season; a drag over it or over a panel picks whole seasons.

    Parameters
    ----------
    margins : dict
        The panels' margins left and right. [px]
    on_pick : callable
        Called with the picked period, or None for all seasons.
    on_step : callable
        Called with the seasons by which the period's first and last end are to move.
    """

    _esm = Path(__file__).with_name("season_strip.js")
    cells = traitlets.List(traitlets.Dict()).tag(sync=True)
    picked = traitlets.List(traitlets.Int()).tag(sync=True)
    margins = traitlets.Dict().tag(sync=True)
    words = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        margins: dict[str, int],
        on_pick: Callable[[Period | None], None],
        on_step: Callable[[int, int], None],
    ) -> None:
        super().__init__(margins=margins)
        self._on_pick = on_pick
        self._on_step = on_step
        self.observe(self._picked, names="picked")
        self.on_msg(self._stepped)

    def show(self, cells: tuple[SeasonCell, ...], period: Period | None, period_words: str) -> None:
        """Show a station's seasons and the picked period.

        Parameters
        ----------
        cells : tuple of SeasonCell
            One for each season.
        period : Period or None
            The picked seasons, None for all.
        period_words : str
            The same in words.
        """
        with self.hold_sync():
            self.cells = [{name: getattr(cell, name) for name in SENT} for cell in cells]
            self.words = {
                "title": say("strip.title"),
                "all": say("strip.all"),
                "label": say("strip.label"),
                "picked": period_words,
            }
            self.picked = [] if period is None else [period.first_year, period.last_year]

    def _picked(self, change: Any) -> None:
        self._on_pick(Period(*change["new"]) if change["new"] else None)

    def _stepped(self, _: Any, content: dict[str, Any], __: Any) -> None:
        self._on_step(int(content["first"]), int(content["last"]))
