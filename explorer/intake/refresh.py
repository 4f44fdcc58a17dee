"""Keeps what is stored of the stations fresh: what a change made stale is computed anew."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

import pandas as pd

from explorer.analysis.departure_kept import SCORE_FORMULAS
from explorer.analysis.newest_series import NewestSeries, newest_series
from explorer.analysis.season_table import FORMULAS, season_table
from explorer.analysis.station_trends import (
    TREND_FORMULAS,
    StationTrends,
    judged_trends,
    level_moved,
    series_trends,
)
from explorer.intake.current_departures import refresh_departures
from explorer.intake.portions import Progress, joined, portions, without
from explorer.model.errors import RecordError
from explorer.model.readings import COUNTED, SEASONS
from explorer.model.station_trends import TRENDS
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_SCORES, STORED_TRENDS
from explorer.records.summaries import stale_seasons, store_seasons, stored_seasons

__all__ = [
    "CurrentSummaries",
    "current_summaries",
    "refresh",
    "refresh_built",
    "refresh_if_possible",
    "refresh_unscored",
]


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
    refresh_built(record, progress)
    stored, stale = stored_seasons(record, FORMULAS)
    trends, trends_stale = STORED_TRENDS.fetch(record, TREND_FORMULAS)
    wanted = list(dict.fromkeys([*stale, *trends_stale]))
    programme = record.programme
    tables, series = [], []
    for _, readings in portions(record, wanted, progress, COUNTED):
        tables.append(season_table(readings, programme))
        series.append(newest_series(readings, programme))
    known = without(trends, wanted)
    computed = series_trends(series, programme, known)
    rows = joined([known, computed], TRENDS)
    seasons = joined([without(stored, wanted), *tables], SEASONS)
    return CurrentSummaries(seasons, judged_trends(rows, programme))


def refresh_built(record: Record, progress: Progress | None = None) -> None:
    """Refresh a record that was built from texts; one that somebody keeps is left as it is.

    Parameters
    ----------
    record : Record
        An open record.
    progress : callable, optional
        As for `refresh`.
    """
    if record.is_built:
        refresh_if_possible(record, progress)


def refresh_if_possible(record: Record, progress: Progress | None = None) -> None:
    """Refresh a record whose readings are safe already: what cannot be stored now stays stale.

    A full disk, or somebody else who is writing just then, makes openings slower and takes no change back.

    Parameters
    ----------
    record : Record
        An open record.
    progress : callable, optional
        As for `refresh`.
    """
    with suppress(RecordError):
        refresh(record, progress)


def refresh_unscored(record: Record, progress: Progress | None = None) -> None:
    """Refresh a record of which no scores are stored: else every mark would judge all readings again.

    Parameters
    ----------
    record : Record
        An open record that its reader writes into. Where that is not possible now, it is left as it is.
    progress : callable, optional
        As for `refresh`.
    """
    if len(STORED_SCORES.stale(record, SCORE_FORMULAS)) == len(record.station_list()):
        refresh_if_possible(record, progress)


def refresh(record: Record, progress: Progress | None = None) -> int:
    """Compute and store season tables, trends and unusual readings of all stations where they are stale.

    The change of which could be seen depends on how many trends were found in the whole record: where that
    has moved it, it is computed anew for the other stations, too.

    Parameters
    ----------
    record : Record
        An open record. When another change lands meanwhile, what was computed from the older state is not
        stored: it stays stale until the next refresh.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many: a second time where unusual
        readings are explained beside the whole record.

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
    stale = list(
        dict.fromkeys([*stale_seasons(record, FORMULAS), *STORED_TRENDS.stale(record, TREND_FORMULAS)])
    )
    series = []
    for codes, readings in portions(record, stale, progress, COUNTED):
        seasons = season_table(readings, record.programme)
        store_seasons(record.path, seasons, codes, version=version, formulas=FORMULAS)
        series.append(newest_series(readings, record.programme))
    if stale:
        rows = _store_trends(record, stale, series, version)
        moved = level_moved(rows)
        if moved:
            again = portions(record, moved, None, COUNTED)
            others = [newest_series(readings, record.programme) for _, readings in again]
            _store_trends(record, moved, others, version)
    return len({*stale, *refresh_departures(record, version, progress)})


def _store_trends(
    record: Record, codes: Sequence[str], series: list[dict[str, NewestSeries]], version: int
) -> pd.DataFrame:
    """Compute and store the trends of some stations; return those of all."""
    known = without(STORED_TRENDS.fetch(record, TREND_FORMULAS)[0], codes)
    computed = series_trends(series, record.programme, known)
    STORED_TRENDS.store(record.path, computed, codes, version=version, formulas=TREND_FORMULAS)
    return joined([known, computed], TRENDS)
