"""The unusual readings of a whole record: stored, or computed where a change made them stale."""

from collections.abc import Sequence

import pandas as pd

from explorer.analysis.departures import departures
from explorer.analysis.evidence import DEPARTURE_FORMULAS, explain
from explorer.intake.portions import Progress, joined, portions, without
from explorer.model.departure_rows import DEPARTURE_ROWS, departure_rows
from explorer.records.provenance import analysis_days, visit_sheets
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_DEPARTURES

__all__ = ["current_departures", "refresh_departures"]


def current_departures(record: Record, progress: Progress | None = None) -> pd.DataFrame:
    """Return the unusual readings of a record with what speaks for and against each explanation.

    Where a station's are stored they stand as they are: a change at another station may have added to what
    speaks for them, and does so with the next `refresh`.

    Parameters
    ----------
    record : Record
        An open record; it is not changed. All its readings are read if one station is stale.
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
    return joined([without(stored, stale), _computed(record, stale, progress)], DEPARTURE_ROWS)


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
    stale = STORED_DEPARTURES.stale(record, DEPARTURE_FORMULAS)
    if stale:
        codes = [station.code for station in record.station_list()]
        rows = _computed(record, codes, progress)
        STORED_DEPARTURES.store(record.path, rows, codes, version=version, formulas=DEPARTURE_FORMULAS)
    return stale


def _computed(record: Record, codes: Sequence[str], progress: Progress | None) -> pd.DataFrame:
    """Return the unusual readings of some stations, seen beside the whole record."""
    stations = {station.code: station for station in record.station_list()}
    parts = [readings for _, readings in portions(record, list(stations), progress)]
    filled = [part for part in parts if len(part)]
    if not filled:
        return departure_rows(())
    readings = pd.concat(filled, ignore_index=True)
    readings["analysed_on"] = analysis_days(record).reindex(readings["reading_id"]).to_numpy()
    found = departures(readings, record.programme)
    asked = found["marked"] & readings["station_code"].isin(codes)
    told = explain(
        readings,
        found,
        stations,
        record.programme,
        visits=visit_sheets(record),
        reading_ids=found.loc[asked, "reading_id"].tolist(),
    )
    return departure_rows(told)
