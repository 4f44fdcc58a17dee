"""The station explorer: stations of a volunteer lake-monitoring programme, their record and their state.

The public names load on first use, so that `import explorer` needs neither a widget library nor geopandas.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from explorer.analysis.season_table import season_table as season_table
    from explorer.analysis.trend import trends as trends
    from explorer.demo import demo_folder as demo_folder
    from explorer.intake.record_summary import record_summary as record_summary
    from explorer.model.errors import ExplorerError as ExplorerError
    from explorer.model.programme import Programme as Programme
    from explorer.model.programme_text import read_programme as read_programme
    from explorer.records.opening import open_record as open_record
    from explorer.records.record import Record as Record

_HOMES = {
    "ExplorerError": "explorer.model.errors",
    "Programme": "explorer.model.programme",
    "Record": "explorer.records.record",
    "demo_folder": "explorer.demo",
    "open_record": "explorer.records.opening",
    "read_programme": "explorer.model.programme_text",
    "record_summary": "explorer.intake.record_summary",
    "season_table": "explorer.analysis.season_table",
    "trends": "explorer.analysis.trend",
}

__all__ = [
    "ExplorerError",
    "Programme",
    "Record",
    "demo_folder",
    "open_record",
    "read_programme",
    "record_summary",
    "season_table",
    "trends",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'explorer' has no name {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
