"""The seasons of all waters, shown until a station is picked."""

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.district_seasons import DistrictSeasons
from explorer.model.calendar import Period
from explorer.model.words import say

__all__ = ["DistrictView"]


class DistrictView(anywidget.AnyWidget):
    """A table of waters and seasons, from which a station or a season is picked.

    Parameters
    ----------
    on_pick : callable
        Called with the code of the station that was picked.
    on_season : callable
        Called with the picked period, or None where the picked season was let go.
    """

    _esm = Path(__file__).with_name("district_view.js")
    rows = traitlets.List(traitlets.Dict()).tag(sync=True)
    picked = traitlets.List(traitlets.Int()).tag(sync=True)
    words = traitlets.Dict().tag(sync=True)

    def __init__(self, on_pick: Callable[[str], None], on_season: Callable[[Period | None], None]) -> None:
        super().__init__()
        self._on_pick = on_pick
        self._on_season = on_season
        self.add_class("district-view")
        self.on_msg(self._heard)

    def show(self, page: DistrictSeasons) -> None:
        """Show the seasons of all waters.

        Parameters
        ----------
        page : DistrictSeasons
            What to show.
        """
        with self.hold_sync():
            self.rows = [asdict(row) for row in page.rows]
            self.picked = [page.period.first_year, page.period.last_year]
            self.words = {
                "label": say("waters.label"),
                "water": say("waters.water"),
                "sentences": list(page.sentences),
            }

    def _heard(self, _: Any, content: dict[str, Any], __: Any) -> None:
        if "station" in content:
            self._on_pick(str(content["station"]))
        else:
            year = content["year"]
            self._on_season(None if year is None else Period(int(year), int(year)))
