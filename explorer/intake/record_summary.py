"""A whole record in one row a station, with its place."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import pandas as pd

from explorer.analysis.class_schemes import programme_schemes
from explorer.analysis.newest_series import newest_series
from explorer.analysis.season_table import FORMULAS, season_table
from explorer.analysis.station_trends import TREND_FORMULAS, series_trends
from explorer.analysis.summary import station_rows, summary_frame
from explorer.intake.portions import few_at_a_time, joined, without
from explorer.intake.refresh import refresh_built
from explorer.model.readings import COUNTED, SEASONS
from explorer.model.station_trends import TRENDS
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_TRENDS
from explorer.records.summaries import stored_seasons
from explorer.records.visit_days import visit_days

if TYPE_CHECKING:
    import geopandas

__all__ = ["record_summary"]


def record_summary(
    record: Record, progress: Callable[[int, int], None] | None = None
) -> "geopandas.GeoDataFrame":
    """Return one row a station: place, visits, the latest class by each scheme, and the trends.

    What is stored is taken; what is stale is computed. Readings and season tables of a few stations are in
    memory at a time; of each are kept its row, and its monthly values until the trends of all are judged.

    Parameters
    ----------
    record : Record
        An open record.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    GeoDataFrame, one row a station in the order of the record, WGS 84
        The columns of `Record.stations`; visits, first_visit and last_visit (dates as text). For each
        quantity that was measured <quantity>_seasons: how many have a visit. For each scheme <scheme>, the
        class of the last season with a reading or the code of why there is none, <scheme>_year and
        <scheme>_sureness. For each quantity <quantity>_trend, one of `TREND_VERDICTS`, and behind its code
        slope_per_year, slope_low, slope_high, smallest_found [record unit per year], percent_per_year [%], p,
        p_adjusted, lag1, censored_share [1], years, months and persistent (1 where each year resembles the
        one before, so that one step looks the same and the slope is no rate to rely on), each as at
        `explorer.model.trends.Trend`; the unit is that of the quantity in `record.programme.quantities`.
        What is not known is NaN or empty.

    Examples
    --------
    >>> from explorer import demo_folder, open_record
    >>> frame = record_summary(open_record(demo_folder()))
    >>> len(frame), frame.set_index("station_code").loc["FER1", "secchi_depth_trend"]
    (40, 'falling')
    """
    refresh_built(record, progress)
    programme, stations, visits = record.programme, record.stations(), visit_days(record)
    kinds = pd.Series(stations["kind"].to_numpy(object), index=pd.Index(stations["station_code"]))
    schemes = programme_schemes(record.settings, "programme.toml", programme.quantities).values()
    trends, trends_stale = STORED_TRENDS.fetch(record, TREND_FORMULAS)
    rows, series, computed = [], [], []
    for codes in few_at_a_time([*kinds.index], progress):
        stored, seasons_stale = stored_seasons(record, FORMULAS, codes)
        stale = [code for code in codes if code in seasons_stale or code in trends_stale]
        tables = [without(stored, stale)]
        for readings in record.chunks(len(codes), stale, COUNTED):
            tables.append(season_table(readings, programme))
            series.append(newest_series(readings, programme))
        seasons = joined(tables, SEASONS)
        rows.append(station_rows(visits, seasons, schemes, programme, kinds.loc[list(codes)]))
        computed += stale
    known = without(trends, computed)
    found = joined([known, series_trends(series, programme, known)], TRENDS)
    frame = summary_frame(rows, found, programme)
    return stations.join(frame.drop(columns="kind"), on="station_code")
