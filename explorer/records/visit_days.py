"""On how many days each station was visited, and the first and the last of them."""

import pandas as pd

from explorer.records.record import Record

__all__ = ["visit_days"]

_FETCH = """
SELECT s.code, count(DISTINCT r.taken_on), min(r.taken_on), max(r.taken_on)
FROM readings r JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
WHERE r.left_in IS NULL AND r.taken_on IS NOT NULL
GROUP BY r.station_id
"""


def visit_days(record: Record) -> pd.DataFrame:
    """Return on how many days anything was measured at each station.

    Parameters
    ----------
    record : Record
        An open record.

    Returns
    -------
    DataFrame, index station_code
        Columns visits, and first_visit and last_visit as "YYYY-MM-DD"; only stations with a dated reading.
    """
    rows = record.fetch_rows(_FETCH)
    codes, *columns = zip(*rows, strict=True) if rows else ((), (), (), ())
    names = ("visits", "first_visit", "last_visit")
    frame = pd.DataFrame(dict(zip(names, columns, strict=True)), index=pd.Index(codes, name="station_code"))
    return frame.astype({"visits": "int64", "first_visit": "str", "last_visit": "str"})
