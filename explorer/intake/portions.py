"""A few stations of a record at a time, and tables of some stations put together."""

from collections.abc import Callable, Iterator, Mapping, Sequence

import pandas as pd

from explorer.model.readings import READINGS, empty_frame
from explorer.records.record import Record

__all__ = ["Progress", "few_at_a_time", "joined", "portions", "without"]

STATIONS_AT_A_TIME = 32  # bounds the memory

Progress = Callable[[int, int], None]


def portions(
    record: Record,
    codes: Sequence[str],
    progress: Progress | None,
    columns: Sequence[str] = tuple(READINGS),
) -> Iterator[tuple[Sequence[str], pd.DataFrame]]:
    """Yield the readings of a few stations at a time, and which stations they are.

    Parameters
    ----------
    record : Record
        An open record.
    codes : sequence of str
        The wanted stations.
    progress : callable or None
        Called after every few stations with how many are done, and of how many.
    columns : sequence of str
        Those of `READINGS` that are wanted: fewer come sooner.
    """
    for some in few_at_a_time(codes, progress):
        for readings in record.chunks(len(some), some, columns):
            yield some, readings


def few_at_a_time(codes: Sequence[str], progress: Progress | None) -> Iterator[Sequence[str]]:
    """Yield a few stations at a time, so many that their readings fit into memory.

    Parameters
    ----------
    codes : sequence of str
        The wanted stations.
    progress : callable or None
        Called after every few stations with how many are done, and of how many.

    Examples
    --------
    >>> [len(some) for some in few_at_a_time([f"S{number}" for number in range(75)], None)]
    [32, 32, 11]
    """
    for start in range(0, len(codes), STATIONS_AT_A_TIME):
        some = codes[start : start + STATIONS_AT_A_TIME]
        yield some
        if progress is not None:
            progress(start + len(some), len(codes))


def without(stored: pd.DataFrame, codes: Sequence[str]) -> pd.DataFrame:
    """Return what is stored of other stations: a change may land between two questions to the record.

    Examples
    --------
    >>> without(pd.DataFrame({"station_code": ["A1", "B1"]}), ["A1"])["station_code"].tolist()
    ['B1']
    """
    return stored[~stored["station_code"].isin(codes)]


def joined(tables: Sequence[pd.DataFrame], columns: Mapping[str, str]) -> pd.DataFrame:
    """Return the rows of all tables; without any row an empty table of these columns."""
    filled = [table for table in tables if len(table)]
    return pd.concat(filled, ignore_index=True) if filled else empty_frame(columns)
