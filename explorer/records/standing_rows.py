"""Current readings of a record as entries again: what a correction starts from."""

from collections.abc import Sequence

import pandas as pd
import sqlalchemy as sa

from explorer.model.errors import RecordError
from explorer.model.readings import ENTRIES
from explorer.records import schema
from explorer.records.change_entry import in_portions
from explorer.records.row_frames import frame_of_rows

__all__ = ["standing_entries"]


def _query() -> sa.Select[tuple[object, ...]]:
    readings, visits = schema.readings, schema.visits
    stations, quantities = schema.stations, schema.quantities
    beside = {
        "station_code": stations.c.code,
        "quantity": quantities.c.code,
        "method": schema.methods.c.code,
        "batch": schema.batches.c.code,
        "observer": visits.c.observer,
        "weather": visits.c.weather,
        "remark": visits.c.remark,
        "file_name": schema.files.c.name,
        "sha256": schema.files.c.sha256,
    }
    columns = [beside[name] if name in beside else readings.c[name] for name in ENTRIES]
    current_visit = (visits.c.visit_id == readings.c.visit_id) & visits.c.left_in.is_(None)
    current_station = (stations.c.station_id == readings.c.station_id) & stations.c.left_in.is_(None)
    return sa.select(
        readings.c.reading_id, *(column.label(name) for name, column in zip(ENTRIES, columns, strict=True))
    ).select_from(
        readings.outerjoin(visits, current_visit)
        .outerjoin(stations, current_station)
        .outerjoin(quantities, quantities.c.quantity_id == readings.c.quantity_id)
        .join(schema.methods, schema.methods.c.method_id == readings.c.method_id)
        .outerjoin(schema.batches, schema.batches.c.batch_id == readings.c.batch_id)
        .join(schema.files, schema.files.c.file_id == readings.c.file_id)
    )


def standing_entries(connection: sa.Connection, reading_ids: Sequence[int]) -> pd.DataFrame:
    """Return current readings as entries, to be entered anew with what was changed.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    reading_ids : sequence of int
        Readings that stand in the record now.

    Returns
    -------
    DataFrame
        Columns of `ENTRIES`, index the ids, in the order given.

    Raises
    ------
    RecordError
        If one of them is not in the record, or has been replaced; nothing may be decided on an old state.
    """
    wanted = list(dict.fromkeys(int(each) for each in reading_ids))
    rows: list[tuple[object, ...]] = []
    for some in in_portions(wanted):
        query = _query().where(schema.readings.c.reading_id.in_(some), schema.readings.c.left_in.is_(None))
        rows.extend(tuple(row) for row in connection.execute(query))
    found = {row[0]: row[1:] for row in rows}
    lacking = [each for each in wanted if each not in found]
    if lacking:
        raise _not_current(connection, lacking)
    return frame_of_rows([found[each] for each in wanted], ENTRIES, pd.Index(wanted, dtype="int64"))


def _not_current(connection: sa.Connection, lacking: Sequence[int]) -> RecordError:
    """Return the error for readings that are gone: who replaced the first of them, or that there is none."""
    readings, changes = schema.readings, schema.changes
    left = connection.execute(
        sa.select(changes.c.who, changes.c.at, changes.c.why)
        .join(readings, readings.c.left_in == changes.c.change_id)
        .where(readings.c.reading_id == lacking[0])
    ).first()
    many = f" ({len(lacking)} in all)" if len(lacking) > 1 else ""
    if left is None:
        return RecordError(
            f"The record has no reading number {lacking[0]}{many}. Look the reading up again; nothing was "
            "changed."
        )
    who, when, why = left
    return RecordError(
        f"{who or 'Somebody'} changed reading {lacking[0]} on {when[:16].replace('T', ' ')} "
        f"({why or 'no reason given'}){many}. Look at it again and decide anew; nothing was changed."
    )
