"""The screens as Jupyter widgets: they show a page and hand the reader's choice back."""

from explorer.widgets.check_in_desk import CheckInDesk
from explorer.widgets.lake_meeting import LakeMeeting
from explorer.widgets.practice_day import PracticeDay
from explorer.widgets.station_explorer import StationExplorer

__all__ = ["CheckInDesk", "LakeMeeting", "PracticeDay", "StationExplorer"]
