"""What the record knows of a delivery's samples: on which sheets, of which visits they came before."""

from collections.abc import Iterable, Set

import pandas as pd

from explorer.intake.delivery import DELIVERED_CONTAINERS, joined
from explorer.intake.sample_codes import CONTAINERS as CONTAINER_NAMES
from explorer.intake.sample_codes import container_of
from explorer.records.change_entry import in_portions
from explorer.records.container_entry import has_containers
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["known_containers"]

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


def known_containers(
    record: Record, samples: Iterable[str], superseded: Set[str] = frozenset(), again: Set[str] = frozenset()
) -> pd.DataFrame:
    """Return the bottles and filters of samples that came in before, on sheets or with their readings.

    Parameters
    ----------
    record : Record
        An open record.
    samples : iterable of str
        Samples without their containers.
    superseded : set of str
        Checksums of files in whose place others come now: what they say no longer holds.
    again : set of str
        Checksums of laboratories' files that are read again: their results' visits are those of the sheets.

    Returns
    -------
    DataFrame
        Columns of `DELIVERED_CONTAINERS`.
    """
    codes = [f"{each}{behind}" for each in samples for behind in ("", *(f"-{n}" for n in CONTAINER_NAMES))]
    has_table = has_containers(record)
    rows: list[tuple[object, ...]] = []
    checksum = _COLUMNS.index("sha256")
    for some in in_portions(codes):
        marks = ", ".join("?" for _ in some)
        if has_table:
            rows.extend(record.fetch_rows(_CONTAINERS.format(marks=marks), tuple(some)))
        readings = record.fetch_rows(_READINGS.format(marks=marks), tuple(some))
        rows.extend(row for row in readings if row[checksum] not in again)
    rows = [row for row in rows if row[checksum] not in superseded]
    frame = frame_of_rows(rows, {name: DELIVERED_CONTAINERS[name] for name in _COLUMNS})
    suffix = container_of(frame["sample_code"]).replace("", "sample")
    frame["container"] = frame["container"].where(frame["container"] != "", suffix)
    is_blank = frame["container"] == "blank"  # a reading says that it is one, its code says of what
    frame["container"] = frame["container"].where(~is_blank, "blank " + suffix)
    frame = frame.drop_duplicates(["sample_code", "kind", "station_code", "taken_on", "row", "sha256"])
    return joined([frame.assign(of_record=True)], DELIVERED_CONTAINERS)
