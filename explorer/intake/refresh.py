"""Keeps stored season tables and trends fresh: what a change made stale is computed anew."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

import pandas as pd

from explorer.analysis.newest_series import NewestSeries, joined_series, newest_series
from explorer.analysis.season_table import FORMULAS, season_table
from explorer.analysis.station_trends import (
    TREND_FORMULAS,
    StationTrends,
    judged_trends,
    level_moved,
    series_trends,
)
from explorer.model.errors import RecordError
from explorer.model.readings import SEASONS, empty_frame
from explorer.model.station_trends import TRENDS
from explorer.records.record import Record
from explorer.records.stored_trends import store_trends, stored_trends
from explorer.records.summaries import store_seasons, stored_seasons

__all__ = ["CurrentSummaries", "current_seasons", "current_summaries", "refresh"]

STATIONS_AT_A_TIME = 64  # bounds the memory


Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class CurrentSummaries:
    """What the readings of a whole record come to.

    Attributes
    ----------
    seasons : DataFrame
        Columns of `SEASONS`, one row per station, quantity, window and year with a visit.
    trends : mapping of (str, str) to StationTrend
        By station and quantity.
    """

    seasons: pd.DataFrame
    trends: StationTrends


def current_seasons(record: Record, progress: Progress | None = None) -> pd.DataFrame:
    """Return the season table of a whole record: what is stored, and what is stale computed on the fly.

    Parameters
    ----------
    record : Record
        An open record; it is not changed.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    DataFrame
        Columns of `SEASONS`, one row per station, quantity, window and year with a visit.
    """
    stored, stale = stored_seasons(record, FORMULAS)
    tables = [season_table(readings, record.programme) for _, readings in _read(record, stale, progress)]
    return _joined([_without(stored, stale), *tables], SEASONS)


def current_summaries(record: Record, progress: Progress | None = None) -> CurrentSummaries:
    """Return season table and trends of a whole record: stored, or computed on the fly where stale.

    Parameters
    ----------
    record : Record
        An open record. A file that somebody keeps is not changed; what is computed of a record that was
        built from texts is stored in the built one, so that the next opening finds it.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    CurrentSummaries
    """
    if record.is_built:
        with suppress(RecordError):  # a full disk makes every opening slower, and none fail
            refresh(record, progress)
    stored, stale = stored_seasons(record, FORMULAS)
    trends, trends_stale = stored_trends(record, TREND_FORMULAS)
    wanted = list(dict.fromkeys([*stale, *trends_stale]))
    programme = record.programme
    tables, series = [], []
    for _, readings in _read(record, wanted, progress):
        tables.append(season_table(readings, programme))
        series.append(newest_series(readings, programme))
    known = _without(trends, wanted)
    computed = series_trends(joined_series(series), programme, known)
    rows = _joined([known, computed], TRENDS)
    seasons = _joined([_without(stored, wanted), *tables], SEASONS)
    return CurrentSummaries(seasons, judged_trends(rows, programme))


def refresh(record: Record, progress: Progress | None = None) -> int:
    """Compute and store season tables and trends of all stations whose stored ones are stale.

    The change of which could be seen depends on how many trends were found in the whole record: where that
    has moved it, it is computed anew for the other stations, too.

    Parameters
    ----------
    record : Record
        An open record. When another change lands meanwhile, what was computed from the older state is not
        stored: it stays stale until the next refresh.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    int
        Number of stations that were computed.

    Raises
    ------
    RecordError
        If the record may not be written.
    """
    version = record.version()
    _, seasons_stale = stored_seasons(record, FORMULAS)
    _, trends_stale = stored_trends(record, TREND_FORMULAS)
    stale = list(dict.fromkeys([*seasons_stale, *trends_stale]))
    series = []
    for codes, readings in _read(record, stale, progress):
        seasons = season_table(readings, record.programme)
        store_seasons(record.path, seasons, codes, version=version, formulas=FORMULAS)
        series.append(newest_series(readings, record.programme))
    if stale:
        rows = _store_trends(record, stale, series, version)
        moved = level_moved(rows)
        if moved:
            others = [newest_series(readings, record.programme) for _, readings in _read(record, moved, None)]
            _store_trends(record, moved, others, version)
    return len(stale)


def _store_trends(
    record: Record, codes: Sequence[str], series: list[dict[str, NewestSeries]], version: int
) -> pd.DataFrame:
    """Compute and store the trends of some stations; return those of all."""
    known = _without(stored_trends(record, TREND_FORMULAS)[0], codes)
    computed = series_trends(joined_series(series), record.programme, known)
    store_trends(record.path, computed, codes, version=version, formulas=TREND_FORMULAS)
    return _joined([known, computed], TRENDS)


def _without(stored: pd.DataFrame, codes: Sequence[str]) -> pd.DataFrame:
    """Return what is stored of other stations: a change may land between two questions to the record."""
    return stored[~stored["station_code"].isin(codes)]


def _joined(tables: Sequence[pd.DataFrame], columns: Mapping[str, str]) -> pd.DataFrame:
    filled = [table for table in tables if len(table)]
    return pd.concat(filled, ignore_index=True) if filled else empty_frame(columns)


def _read(
    record: Record, codes: Sequence[str], progress: Progress | None
) -> Iterator[tuple[Sequence[str], pd.DataFrame]]:
    """Yield the readings of a few stations at a time, and which stations they are."""
    for start in range(0, len(codes), STATIONS_AT_A_TIME):
        some = codes[start : start + STATIONS_AT_A_TIME]
        for readings in record.chunks(STATIONS_AT_A_TIME, some):
            yield some, readings
        if progress is not None:
            progress(start + len(some), len(codes))
