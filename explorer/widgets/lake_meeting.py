"""A lake association's meeting on a screen: pick a lake, five steps, question cards, papers to hand out."""

from datetime import date
from typing import Any

import ipywidgets
import traitlets

from explorer.display.choice import Choice
from explorer.display.handout import HANDOUT_KINDS, handout_file
from explorer.display.map_groups import place_groups
from explorer.display.map_page import build_map_page
from explorer.display.meeting import Meeting, MeetingRecord
from explorer.model.calendar import Period
from explorer.model.errors import ExplorerError
from explorer.records.record import Record
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.map_view import MapView
from explorer.widgets.meeting_stage import MeetingStage
from explorer.widgets.one_message import OneMessage
from explorer.widgets.opening_bar import opening_bar
from explorer.widgets.style import meeting_style_html

__all__ = ["LakeMeeting"]


class LakeMeeting(ipywidgets.VBox):  # type: ignore[misc]
    """A record's lakes, one at a time, in letters for a hall. No observer and no other lake's class is shown.

    All state is in the traits; set them from a notebook and the screen follows.

    Parameters
    ----------
    record : Record
        An open record; it is only read.
    lake : str
        Name or code of the lake to begin with; empty to pick one on the screen.

    Attributes
    ----------
    lake : str
        Code of the picked lake, empty for none.
    step : int
        The step on the screen, from 0 to 4.
    opened : str
        What lies over it: "card 1", "known", "point 3", "keys", "keep"; empty for nothing.
    theme : {"", "light", "dark"}
        Colours; empty for those of the computer.
    meeting : Meeting or None
        What is shown.

    Raises
    ------
    UnknownNameError
        If the record has no such lake; with the nearest.
    """

    lake = traitlets.Unicode("")
    step = traitlets.Int(0)
    opened = traitlets.Unicode("")
    theme = traitlets.Enum(("", "light", "dark"), "")

    def __init__(self, record: Record, lake: str = "") -> None:
        super().__init__()
        language = record.programme.language
        self.meeting: Meeting | None = None
        with opening_bar() as progress:
            self._meetings = MeetingRecord(record, progress)
        self.stage = MeetingStage(self.pick, language)
        self.stage.lakes = [{"code": each.code, "name": each.name} for each in self._meetings.lakes()]
        self.map = MapView(record.outlines(), self._pick_station)
        self.keep_bar = KeepBar(self.keep, language, tuple(HANDOUT_KINDS))
        self._stations = record.station_list()
        choice = Choice("", Period(self._meetings.year, self._meetings.year), language=language)
        groups = place_groups(len(self._stations), choice)  # places only: no lake's class beside another's
        self.map.show(build_map_page(self._stations, record.lakes(), groups, language))
        for name in ("step", "opened", "theme"):
            traitlets.link((self, name), (self.stage, name))
        self.add_class("lake-meeting")
        self.children = [
            ipywidgets.HTML(meeting_style_html()), self.stage, self.map.widget, self.keep_bar,
        ]  # fmt: skip
        self._together = OneMessage(self)  # nothing is lost while the scripts are loading
        self.observe(self._show, names="lake")
        self.lake = self._meetings.find(lake).code if lake else ""
        self._show(None)

    def pick(self, name: str) -> None:
        """Pick a lake by its name or code, none by an empty text; an unknown one is answered on the screen.

        Parameters
        ----------
        name : str
            Name or code.
        """
        try:
            self.lake = self._meetings.find(name).code if name else ""
        except ExplorerError as error:
            self.lake = ""
            self.stage.clear(str(error))

    def keep(self, kind: str) -> tuple[str, bytes]:
        """Return the hand-out, the slides or the page for the browser as a file: its name and its bytes."""
        assert self.meeting is not None  # the buttons are hidden without one
        return handout_file(self.meeting, kind)

    def _pick_station(self, code: str) -> None:
        self.pick(next(each.lake_code for each in self._stations if each.code == code))

    def _show(self, _: Any) -> None:
        lake = self._meetings.find(self.lake) if self.lake else None
        self.meeting = self._meetings.meeting(lake, date.today()) if lake else None
        self.keep_bar.about = self.lake
        self.map.widget.layout.display = "none" if self.lake else ""
        if self.meeting is None:
            self.stage.clear()
        else:
            self.stage.show(self.meeting)
