"""Keeps the stored season tables fresh: what a check-in made stale is computed anew."""

from collections.abc import Callable, Iterator, Sequence

import pandas as pd

from explorer.analysis.season_table import FORMULAS, season_table
from explorer.model.readings import SEASONS, empty_frame
from explorer.records.record import Record
from explorer.records.summaries import store_seasons, stored_seasons

__all__ = ["current_seasons", "refresh"]

STATIONS_AT_A_TIME = 64  # bounds the memory


Progress = Callable[[int, int], None]


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
    stored = stored[~stored["station_code"].isin(stale)]  # a check-in may land between the two questions
    tables = [stored, *(seasons for _, seasons in _computed(record, stale, progress))]
    filled = [table for table in tables if len(table)]
    return pd.concat(filled, ignore_index=True) if filled else empty_frame(SEASONS)


def refresh(record: Record, progress: Progress | None = None) -> int:
    """Compute and store the season tables of all stations whose stored one is stale.

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
    _, stale = stored_seasons(record, FORMULAS)
    done = 0
    version = record.version()
    for codes, seasons in _computed(record, stale, progress):
        store_seasons(record.path, seasons, codes, version=version, formulas=FORMULAS)
        done += len(codes)
    return done


def _computed(
    record: Record, codes: Sequence[str], progress: Progress | None
) -> Iterator[tuple[Sequence[str], pd.DataFrame]]:
    for start in range(0, len(codes), STATIONS_AT_A_TIME):
        some = codes[start : start + STATIONS_AT_A_TIME]
        for readings in record.chunks(STATIONS_AT_A_TIME, some):
            yield some, season_table(readings, record.programme)
        if progress is not None:
            progress(start + len(some), len(codes))
