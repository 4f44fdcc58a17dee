"""What the record knows of a delivery's samples: sheets that came before, results that wait for one."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

import pandas as pd

from explorer.intake.delivery import DELIVERED, DELIVERED_CONTAINERS, container_of, joined
from explorer.intake.sample_codes import CONTAINERS as CONTAINER_NAMES
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["known_containers", "waiting_entries"]

PORTION = 500  # values in one query

_CONTAINERS = """
SELECT c.sample_code, c.container, c.kind, s.code, v.taken_on, v.observer, c.volume_filtered_ml,
       c.on_ice_time, c.frozen_on, c.frozen_time, c.taken_out_on, c.freezer_temperature_degc, c.remark,
       f.name, f.sha256, c.sheet, c."row", c."column", c.reason, NULL, ''
FROM containers c
JOIN files f ON f.file_id = c.file_id
LEFT JOIN visits v ON v.visit_id = c.visit_id AND v.left_in IS NULL
LEFT JOIN stations s ON s.station_id = v.station_id AND s.left_in IS NULL
WHERE c.left_in IS NULL AND c.sample_code IN ({marks})
"""
_READINGS = """
SELECT r.sample_code, CASE WHEN r.sample_type LIKE '%blank' THEN 'blank' ELSE '' END, 'data_sheet', s.code,
       r.taken_on, v.observer, r.volume_filtered_ml, '', NULL, '',
       NULL, NULL, '', f.name, f.sha256, r.sheet, r."row", r."column", '', r.depth_m, r.stratum
FROM readings r
JOIN files f ON f.file_id = r.file_id
JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
JOIN visits v ON v.visit_id = r.visit_id AND v.left_in IS NULL
WHERE r.left_in IS NULL AND r.sample_code <> '' AND r.sample_code IN ({marks})
"""
_COLUMNS = (
    "sample_code", "container", "kind", "station_code", "taken_on", "observer", "volume_filtered_ml",
    "on_ice_time", "frozen_on", "frozen_time", "taken_out_on", "freezer_temperature_degc", "remark",
    "file_name", "sha256", "sheet", "row", "column", "reason", "depth_m", "stratum",
)  # fmt: skip

_WAITING_OF_READINGS = (
    "taken_on", "taken_time", "depth_m", "stratum", "value", "sign", "detection_limit", "reporting_limit",
    "qualifier", "estimated", "status", "reason", "unit_as_written", "as_written", "analysed_on",
    "sample_code", "sample_type", "parent_sample", "volume_filtered_ml", "sheet", "row", "column",
)  # fmt: skip
_WAITING = f"""
SELECT r.reading_id, q.code, m.code, b.code, f.name, f.sha256,
       {", ".join(f'r."{name}"' for name in _WAITING_OF_READINGS)}
FROM readings r
LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
JOIN methods m ON m.method_id = r.method_id
LEFT JOIN batches b ON b.batch_id = r.batch_id
JOIN files f ON f.file_id = r.file_id
WHERE r.left_in IS NULL AND r.station_id IS NULL AND r.sample_code <> '' AND r.status = 'held'
"""


def _portions(values: Iterable[str]) -> Iterator[Sequence[str]]:
    left = iter(values)
    while some := tuple(islice(left, PORTION)):
        yield some


def known_containers(record: Record, samples: Iterable[str]) -> pd.DataFrame:
    """Return the bottles and filters of samples that came in before, on sheets or with their readings.

    Parameters
    ----------
    record : Record
        An open record.
    samples : iterable of str
        Samples without their containers.

    Returns
    -------
    DataFrame
        Columns of `DELIVERED_CONTAINERS`.
    """
    codes = [f"{each}{behind}" for each in samples for behind in ("", *(f"-{n}" for n in CONTAINER_NAMES))]
    has_table = bool(record.fetch_rows("SELECT 1 FROM sqlite_schema WHERE name = 'containers'"))
    rows: list[tuple[object, ...]] = []
    for some in _portions(codes):
        marks = ", ".join("?" for _ in some)
        if has_table:
            rows.extend(record.fetch_rows(_CONTAINERS.format(marks=marks), tuple(some)))
        rows.extend(record.fetch_rows(_READINGS.format(marks=marks), tuple(some)))
    frame = frame_of_rows(rows, {name: DELIVERED_CONTAINERS[name] for name in _COLUMNS})
    suffix = container_of(frame["sample_code"]).replace("", "sample")
    frame["container"] = frame["container"].where(frame["container"] != "", suffix)
    is_blank = frame["container"] == "blank"  # a reading says that it is one, its code says of what
    frame["container"] = frame["container"].where(~is_blank, "blank " + suffix)
    frame = frame.drop_duplicates(["sample_code", "kind", "station_code", "taken_on", "row", "sha256"])
    return joined([frame.assign(of_record=True)], DELIVERED_CONTAINERS)


def waiting_entries(record: Record) -> pd.DataFrame:
    """Return the readings that wait in the record because no data sheet told the visit of their sample yet.

    Parameters
    ----------
    record : Record
        An open record.

    Returns
    -------
    DataFrame
        Columns of `DELIVERED`; `waits_as` is the reading.
    """
    names = ("waits_as", "quantity", "method", "batch", "file_name", "sha256", *_WAITING_OF_READINGS)
    frame = frame_of_rows(record.fetch_rows(_WAITING), {name: DELIVERED[name] for name in names})
    return joined([frame.assign(kind="laboratory")], DELIVERED)
