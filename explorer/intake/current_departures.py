"""The unusual readings of a whole record: stored, or computed where a change made them stale.

What a station says of its own readings is kept for every station, a few of them being read at a time. What is
kept tells which of all readings are unusual. Only to tell why, the sheets of their waters are read.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from explorer.analysis.departure_columns import ScoredReadings, scores_by_quantity
from explorer.analysis.departure_kept import SCORE_FORMULAS, SCORED_COLUMNS, scored_rows
from explorer.analysis.departure_scope import reach
from explorer.analysis.evidence import DEPARTURE_FORMULAS, explained
from explorer.analysis.evidence_record import Surroundings, with_sheets
from explorer.analysis.judged_readings import JudgedReadings
from explorer.intake.portions import STATIONS_AT_A_TIME, Progress, joined, portions, without
from explorer.model.departure_rows import DEPARTURE_ROWS, SCORE_ROWS, departure_rows
from explorer.model.evidence import Departure
from explorer.records.provenance import analysis_days, quality_samples, visit_sheets
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_DEPARTURES, STORED_SCORES

__all__ = ["current_departures", "refresh_departures"]


def current_departures(record: Record, progress: Progress | None = None) -> pd.DataFrame:
    """Return the unusual readings of a record with what speaks for and against each explanation.

    Where a station's are stored they stand as they are: a change at another station may have added to what
    speaks for them, and does so with the next `refresh`.

    Parameters
    ----------
    record : Record
        An open record; it is not changed.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    DataFrame
        Columns of `DEPARTURE_ROWS`.
    """
    stored, stale = STORED_DEPARTURES.fetch(record, DEPARTURE_FORMULAS)
    if not stale:
        return stored
    scores, unscored = STORED_SCORES.fetch(record, SCORE_FORMULAS)
    fresh = [rows for _, rows in _scores(record, unscored, progress)]
    scored = _scored(record, joined([without(scores, unscored), *fresh], SCORE_ROWS))
    del scores, fresh
    return joined([without(stored, stale), _told(record, scored, stale, progress)], DEPARTURE_ROWS)


def refresh_departures(record: Record, version: int, progress: Progress | None = None) -> list[str]:
    """Compute and store the unusual readings of all stations if those of one are stale.

    New readings speak for and against those of other stations on the same days, in the same batches, by the
    same observers: all are explained afresh.

    Parameters
    ----------
    record : Record
        An open record whose season tables are fresh.
    version : int
        Version of the record that was read.
    progress : callable, optional
        Called after every few stations with how many are done, and of how many.

    Returns
    -------
    list of str
        The stations whose unusual readings were stale.

    Raises
    ------
    RecordError
        If the record may not be written.
    """
    unscored = STORED_SCORES.stale(record, SCORE_FORMULAS)
    for codes, rows in _scores(record, unscored, progress):
        STORED_SCORES.store(record.path, rows, codes, version=version, formulas=SCORE_FORMULAS)
    stale = STORED_DEPARTURES.stale(record, DEPARTURE_FORMULAS)
    if stale:
        codes = [station.code for station in record.station_list()]
        scored = _scored(record, STORED_SCORES.fetch(record, SCORE_FORMULAS)[0])
        told = _told(record, scored, codes, progress)
        STORED_DEPARTURES.store(record.path, told, codes, version=version, formulas=DEPARTURE_FORMULAS)
    return list(dict.fromkeys([*unscored, *stale]))


def _scores(
    record: Record, codes: Sequence[str], progress: Progress | None
) -> Iterator[tuple[Sequence[str], pd.DataFrame]]:
    """Yield what a few stations at a time say of their own readings."""
    for some, readings in portions(record, codes, progress, SCORED_COLUMNS):
        sheets = with_sheets(readings, visit_sheets(record, some))
        yield some, scores_by_quantity(sheets, record.programme)


def _scored(record: Record, scores: pd.DataFrame) -> ScoredReadings:
    lakes = {station.code: station.lake_code for station in record.station_list()}
    return ScoredReadings.of_kept(scores, lakes, record.programme)


def _told(
    record: Record, scored: ScoredReadings, codes: Sequence[str], progress: Progress | None
) -> pd.DataFrame:
    """Return the unusual readings of some stations, seen beside the whole record."""
    if not scored.value.size:
        return departure_rows(())
    programme, stations = record.programme, {station.code: station for station in record.station_list()}
    around = JudgedReadings.of(scored)
    station = np.array(scored.stations, dtype=object)[scored.station]
    marks = np.array([*around.marks], dtype=np.int64)
    marks = marks[np.isin(station[marks], list(codes))]
    who, quality = reach(marks, around.places()), quality_samples(record)
    told: list[Departure] = []
    for some in _waters_at_a_time(record, set(station[marks]), progress):
        numbers = np.flatnonzero(np.isin(station[marks], some))
        readings = pd.concat(record.chunks(len(some), some))
        readings = readings.iloc[scored_rows(readings)]
        readings["analysed_on"] = analysis_days(record, some).reindex(readings["reading_id"]).to_numpy()
        frame = with_sheets(readings, visit_sheets(record, some))
        here = Surroundings(around, frame, quality, stations, programme)
        told += explained(here, marks[numbers], who.of(numbers))
    return departure_rows(told)


def _waters_at_a_time(record: Record, asked: set[str], progress: Progress | None) -> Iterator[list[str]]:
    """Yield the stations of a few whole waters at a time, of those with a station that is asked about."""
    waters = defaultdict(list)
    for station in record.station_list():
        waters[station.lake_code].append(station.code)
    wanted = [codes for codes in waters.values() if not asked.isdisjoint(codes)]
    count, done, some = sum(map(len, wanted)), 0, []
    for place, codes in enumerate(wanted, 1):
        some += codes
        if len(some) >= STATIONS_AT_A_TIME or place == len(wanted):
            yield some
            done, some = done + len(some), []
            if progress is not None:
                progress(done, count)
