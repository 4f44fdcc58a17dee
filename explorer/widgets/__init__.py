"""The screens as Jupyter widgets: they show a page and hand the reader's choice back."""

from explorer.widgets.station_explorer import StationExplorer

__all__ = ["StationExplorer"]
