"""The screens as Jupyter widgets: they show a page and hand the reader's choice back.

Each loads on first use, so that a notebook waits for its own screen only.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from explorer.widgets.check_in_desk import CheckInDesk as CheckInDesk
    from explorer.widgets.lake_meeting import LakeMeeting as LakeMeeting
    from explorer.widgets.practice_day import PracticeDay as PracticeDay
    from explorer.widgets.station_explorer import StationExplorer as StationExplorer

_HOMES = {
    "CheckInDesk": "explorer.widgets.check_in_desk",
    "LakeMeeting": "explorer.widgets.lake_meeting",
    "PracticeDay": "explorer.widgets.practice_day",
    "StationExplorer": "explorer.widgets.station_explorer",
}

__all__ = ["CheckInDesk", "LakeMeeting", "PracticeDay", "StationExplorer"]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'explorer.widgets' has no name {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
