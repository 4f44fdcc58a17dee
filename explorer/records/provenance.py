"""Where a reading comes from: its cell, its visit's sheet, its batch, and its earlier states."""

from collections.abc import Sequence
from typing import Any

import pandas as pd

from explorer.model.errors import RecordError
from explorer.model.origins import BatchReading, ReadingOrigin
from explorer.model.problems import Source
from explorer.model.readings import READINGS
from explorer.records.past import reading_history
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows
from explorer.records.visit_facts import visit_facts

__all__ = ["analysis_days", "quality_samples", "reading_origin", "visit_remarks", "visit_sheets"]

_REMARKS = """
SELECT v.visit_id, v.remark FROM visits v JOIN stations s ON s.station_id = v.station_id AND s.left_in IS NULL
WHERE v.left_in IS NULL AND v.remark <> '' AND s.code = ?
"""
_AT = "JOIN stations s ON s.station_id = t.station_id AND s.left_in IS NULL AND s.code IN ({marks})"
_ANALYSED = f"""
SELECT t.reading_id, t.analysed_on FROM readings t {_AT}
WHERE t.left_in IS NULL AND t.analysed_on IS NOT NULL
"""
_SHEETS = f"""
SELECT t.visit_id, t.weather, t.remark FROM visits t {_AT}
WHERE t.left_in IS NULL AND (t.weather <> '' OR t.remark <> '')
"""
_QUALITY = """
SELECT b.code, q.code, r.sample_type, r.parent_sample, r.value, r.sign, r.detection_limit, r.reporting_limit
FROM readings r
JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
LEFT JOIN batches b ON b.batch_id = r.batch_id
WHERE r.left_in IS NULL AND r.sample_type <> 'routine' AND r.taken_on IS NOT NULL
"""
_QUALITY_COLUMNS = (
    "batch", "quantity", "sample_type", "parent_sample", "value", "sign", "detection_limit",
    "reporting_limit",
)  # fmt: skip
_READING = """
SELECT r.reading_id, s.code, q.code, r.taken_on, r.taken_time, r.depth_m, r.value, r.detection_limit,
       r.reporting_limit, r.sign, r.status, r.reason, r.qualifier, r.as_written, r.unit_as_written, f.name,
       f.sha256, r.sheet, r."row", r."column", r.sample_code, r.sample_type, r.parent_sample, m.code, b.code,
       r.analysed_on, r.volume_filtered_ml, v.observer, v.weather, v.remark, r.batch_id, r.quantity_id,
       r.visit_id
FROM readings r
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN files f ON f.file_id = r.file_id
JOIN methods m ON m.method_id = r.method_id
LEFT JOIN batches b ON b.batch_id = r.batch_id
LEFT JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
WHERE r.reading_id = ?
"""
_BATCH_SIZE = """
SELECT count(*) FROM readings WHERE batch_id = ? AND quantity_id = ? AND left_in IS NULL
"""
# The parent of a duplicate is the routine reading of the sample that it names, in the same quantity.
_COMPANIONS = """
SELECT r.reading_id, r.sample_type, r.sample_code, r.value, r.sign, r.parent_sample,
       (SELECT p.value FROM readings p WHERE p.batch_id = r.batch_id AND p.quantity_id = r.quantity_id
        AND p.sample_code = r.parent_sample AND p.sample_type = 'routine' AND p.left_in IS NULL
        AND r.parent_sample <> '' LIMIT 1) AS parent_value,
       (SELECT p.sign FROM readings p WHERE p.batch_id = r.batch_id AND p.quantity_id = r.quantity_id
        AND p.sample_code = r.parent_sample AND p.sample_type = 'routine' AND p.left_in IS NULL
        AND r.parent_sample <> '' LIMIT 1) AS parent_sign
FROM readings r
WHERE r.batch_id = ? AND r.quantity_id = ? AND r.left_in IS NULL AND r.sample_type <> 'routine'
ORDER BY r.parent_sample <> ?, r.sample_type, r.reading_id
"""
NAN = float("nan")


def visit_remarks(record: Record, station_code: str) -> dict[int, str]:
    """Return what the sheets remark on the visits of a station, by visit id.

    Parameters
    ----------
    record : Record
        An open record.
    station_code : str
        Code of the station.
    """
    return {int(visit): str(remark) for visit, remark in record.fetch_rows(_REMARKS, (station_code,))}


def analysis_days(record: Record, codes: Sequence[str]) -> pd.Series:
    """Return the day on which each reading was analysed, as far as the record says.

    Parameters
    ----------
    record : Record
        An open record.
    codes : sequence of str
        Whose readings: stations.

    Returns
    -------
    Series of datetime64
        By reading_id.
    """
    kinds = {"reading_id": "int64", "analysed_on": "datetime64[ms]"}
    return frame_of_rows(_at(record, _ANALYSED, codes), kinds).set_index("reading_id")["analysed_on"]


def visit_sheets(record: Record, codes: Sequence[str]) -> pd.DataFrame:
    """Return what the sheets of visits say beside numbers.

    Parameters
    ----------
    record : Record
        An open record.
    codes : sequence of str
        The visited stations.

    Returns
    -------
    DataFrame
        Columns visit_id, weather, remark; visits whose sheets say neither are left out.
    """
    kinds = {"visit_id": "int64", "weather": "str", "remark": "str"}
    return frame_of_rows(_at(record, _SHEETS, codes), kinds)


def _at(record: Record, query: str, codes: Sequence[str]) -> list[tuple[Any, ...]]:
    return record.fetch_rows(query.format(marks=", ".join("?" for _ in codes)), tuple(codes))


def quality_samples(record: Record) -> pd.DataFrame:
    """Return the blanks and duplicates of a record.

    Parameters
    ----------
    record : Record
        An open record.

    Returns
    -------
    DataFrame
        Columns batch, quantity, sample_type, parent_sample, value, sign, detection_limit, reporting_limit of
        `READINGS`.
    """
    kinds = {name: READINGS[name] for name in _QUALITY_COLUMNS}
    return frame_of_rows(record.fetch_rows(_QUALITY), kinds)


def reading_origin(record: Record, reading_id: int) -> ReadingOrigin:
    """Return all that a record holds of a reading, as it stands now.

    Parameters
    ----------
    record : Record
        An open record.
    reading_id : int
        Id of the reading, or of one of its earlier states.

    Raises
    ------
    RecordError
        If the record holds no such reading.
    """
    states = reading_history(record, reading_id)
    rows = record.fetch_rows(_READING, (states[-1].reading_id,))
    if not rows:
        raise RecordError(f"The record has no reading number {reading_id}. Look the reading up again.")
    number, station, quantity, day, time, *rest = rows[0]
    depth, value, detection, reporting = (_number(each) for each in rest[:4])
    sign, status, reason, qualifier, as_written, unit = (str(each) for each in rest[4:10])
    source = Source(*rest[10:15])
    sample, kind, parent, method = (str(each) for each in rest[15:19])
    batch, analysed, volume, observer, weather, remark, batch_id, quantity_id, visit_id = rest[19:]
    return ReadingOrigin(
        reading_id=int(number), station_code=station, quantity=quantity, taken_on=_text(day),
        taken_time=_text(time), depth_m=depth, value=value, detection_limit=detection,
        reporting_limit=reporting, sign=sign, status=status, reason=reason, qualifier=qualifier,
        as_written=as_written, unit_as_written=unit, source=source, sample_code=sample, sample_type=kind,
        parent_sample=parent, method=method, batch=_text(batch), analysed_on=_text(analysed),
        volume_filtered_ml=_number(volume), observer=_text(observer), weather=_text(weather),
        remark=_text(remark), states=states, visit=visit_facts(record, visit_id, sample),
        **_batch(record, batch_id if batch else None, quantity_id, sample),
    )  # fmt: skip


def _batch(record: Record, batch_id: int | None, quantity_id: int, sample: str) -> dict[str, Any]:
    if batch_id is None:
        return {"batch_size": 0, "companions": ()}
    size = record.fetch_rows(_BATCH_SIZE, (batch_id, quantity_id))[0][0]
    rows = record.fetch_rows(_COMPANIONS, (batch_id, quantity_id, sample))
    companions = tuple(
        BatchReading(
            number, kind, label, _number(value), sign, parent, _number(of_parent), _text(parent_sign)
        )
        for number, kind, label, value, sign, parent, of_parent, parent_sign in rows
    )
    return {"batch_size": int(size), "companions": companions}


def _number(value: Any) -> float:
    return NAN if value is None else float(value)


def _text(value: Any) -> str:
    return "" if value is None else str(value)
