import numpy as np
import pandas as pd
import pytest

from explorer.display.choice import Choice
from explorer.model.calendar import Period
from explorer.model.history import StationHistory
from explorer.model.places import Lake, Station
from explorer.model.readings import READINGS


@pytest.fixture
def choice():
    return Choice(station="HM1", period=Period(2024, 2024))


@pytest.fixture
def make_readings():
    """Return a function that makes readings of one quantity from dates, values and signs."""

    def make(dates, values, signs="=", *, quantity="secchi_depth", **columns):
        count = len(dates)
        frame = pd.DataFrame(
            {
                name: pd.Series(
                    [""] * count if kind == "str" else [np.nan] * count if kind == "float64" else [0] * count
                )
                for name, kind in READINGS.items()
            }
        )
        frame["reading_id"] = range(1, count + 1)
        frame["taken_on"] = pd.to_datetime(dates).as_unit("ms")
        frame["value"] = np.asarray(values, dtype=float)
        frame["sign"] = list(signs) if len(signs) == count else [signs] * count
        usual = {"station_code": "HM1", "quantity": quantity, "stratum": "surface", "status": "accepted",
                 "sample_type": "routine"}  # fmt: skip
        return frame.assign(**usual | columns)

    return make


@pytest.fixture
def make_history():
    """Return a function that makes a station's history from frames of readings."""

    def make(*frames, kind="lake", attributes=(), name="Hollow Mere", is_index=True):
        nan = float("nan")
        lake = Lake("HM", name, kind, frozenset(attributes), 0.4, 210.0, 8.0)
        station = Station("HM1", f"{name}, middle", "HM", nan, nan, 7.5, is_index)
        empty = pd.DataFrame({column: pd.Series([], dtype=kind) for column, kind in READINGS.items()})
        readings = pd.concat(frames, ignore_index=True) if frames else empty
        return StationHistory(station, lake, readings, 1)

    return make


@pytest.fixture
def planned_visits():
    """Return a function that makes visits with their codes: one a station, in June 2026."""
    from explorer.intake.file_rows import filled_frame
    from explorer.intake.planned_visits import PLANNED_VISITS

    def make(*rows):
        usual = {"month": "2026-06", "has_bottle": True, "has_filter": True}
        rows = [{**usual, "sample_code": "260013", "blank_code": "", **row} for row in rows]
        names = {name for row in rows for name in row}
        cells = {
            name: [row.get(name, False if name.startswith("has") else "") for row in rows] for name in names
        }
        cells["taken_on"] = pd.to_datetime(pd.Series([row.get("taken_on") for row in rows], dtype=object))
        kinds = {**PLANNED_VISITS, "sample_code": "str", "blank_code": "str"}
        return filled_frame(kinds, cells, len(rows))

    return make


@pytest.fixture(scope="session")
def demo_meetings():
    """The meetings of the demo's lakes, its season tables and trends read once."""
    from explorer.default_record import default_record
    from explorer.display.meeting import MeetingRecord

    return MeetingRecord(default_record())
