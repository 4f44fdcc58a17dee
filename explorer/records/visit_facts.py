"""What a data sheet says of a visit and of a sample besides its readings."""

from typing import Any

from explorer.model.origins import VisitFacts
from explorer.records.container_entry import has_containers
from explorer.records.record import Record

__all__ = ["visit_facts"]

_SAID = ("bottom_depth_m", "trained_on", "line_checked_on", "calibrated_on", "sunglasses")
_SAMPLE = """
SELECT on_ice_time, frozen_on FROM containers
WHERE left_in IS NULL AND sample_code = ? AND (on_ice_time <> '' OR frozen_on IS NOT NULL)
"""


def visit_facts(record: Record, visit_id: int | None, sample_code: str) -> VisitFacts:
    """Return when an observer was trained, line and probe were checked, and how the sample was kept.

    Parameters
    ----------
    record : Record
        An open record; one of an older format may know nothing of it.
    visit_id : int or None
        The visit, None where it is not known.
    sample_code : str
        Label of the sample with its container, empty where there is none.
    """
    known = {str(row[1]) for row in record.fetch_rows("PRAGMA table_info(visits)")}
    names = [name for name in _SAID if name in known]
    query = f"SELECT {', '.join(names)} FROM visits WHERE left_in IS NULL AND visit_id = ?"
    rows = record.fetch_rows(query, (visit_id,)) if visit_id is not None else []
    said: dict[str, Any] = dict(zip(names, rows[0], strict=True)) if rows else {}
    said = {name: value for name, value in said.items() if value is not None}
    kept = record.fetch_rows(_SAMPLE, (sample_code,)) if sample_code and has_containers(record) else []
    iced = next((str(ice) for ice, _ in kept if ice), "")
    frozen = min((str(day) for _, day in kept if day), default="")
    return VisitFacts(**said, on_ice_time=iced, frozen_on=frozen)
