"""A whole record in one row a station, with its place."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import pandas as pd

from explorer.analysis.class_schemes import programme_schemes
from explorer.analysis.summary import summary_frame
from explorer.intake.refresh import current_summaries
from explorer.records.record import Record
from explorer.records.visit_days import visit_days

if TYPE_CHECKING:
    import geopandas

__all__ = ["record_summary"]


def record_summary(
    record: Record, progress: Callable[[int, int], None] | None = None
) -> "geopandas.GeoDataFrame":
    """Return one row a station: place, visits, the latest class by each scheme, and the trends.

    What is stored is taken; what is stale is computed, a few stations' readings in memory at a time.

    Parameters
    ----------
    record : Record
        An open record.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    GeoDataFrame, one row a station in the order of the record, WGS 84
        The columns of `Record.stations`, then those of `summary_frame`.

    Examples
    --------
    >>> from explorer import demo_folder, open_record
    >>> frame = record_summary(open_record(demo_folder()))
    >>> len(frame), frame.set_index("station_code").loc["FER1", "secchi_depth_trend"]
    (40, 'falling')
    """
    current = current_summaries(record, progress)
    stations = record.stations()
    kinds = pd.Series(stations["kind"].to_numpy(object), index=pd.Index(stations["station_code"]))
    schemes = programme_schemes(record.settings, "programme.toml", record.programme.quantities)
    frame = summary_frame(
        visit_days(record), current.seasons, current.trends, schemes.values(), record.programme, kinds
    )
    return stations.join(frame.drop(columns="kind"), on="station_code")
