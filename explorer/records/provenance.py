"""Where a reading comes from: its file and change, its visit's sheet, its batch, and its earlier states."""

from explorer.records.record import Record

__all__ = ["visit_remarks"]

_REMARKS = """
SELECT v.visit_id, v.remark FROM visits v JOIN stations s ON s.station_id = v.station_id AND s.left_in IS NULL
WHERE v.left_in IS NULL AND v.remark <> '' AND s.code = ?
"""


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
