"""A season's rows: what stands now, by which change it came, and what it replaced."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.records.corrections import correct
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.records.season_rows import (
    CHANGES,
    CORRECTIONS,
    SEASON_ROWS,
    season_changes,
    season_corrections,
    season_rows,
    used_sample_codes,
    waiting_without_season,
)

HEADING = (
    "station_code,taken_on,quantity,value,unit,"
    "sample_code,sample_type,parent_sample,analysed_on,status,remark"
)
DAYS = np.datetime64("2024-01-01"), np.datetime64("2025-01-01")


@pytest.fixture
def record(listed, tmp_path: Path) -> Record:
    folder = listed(
        "HM1,2023-12-31,total_phosphorus,11,ug/L,230017-1,routine,,,accepted,",
        "HM1,2024-01-01,total_phosphorus,12,ug/L,240010-1,routine,,2024-01-20,accepted,",
        "HM2,2024-12-31,total_phosphorus,13,ug/L,240010-3,field duplicate,240028-1,,held,asked",
        "HM2,2025-01-01,secchi_depth,1.4,m,,routine,,,accepted,",
        "HM2,2024-06-,secchi_depth,1.5,m,,routine,,,accepted,",
        heading=HEADING,
    )
    built = open_record(folder)
    own = tmp_path / "own.gpkg"
    own.write_bytes(built.path.read_bytes())
    return open_record(own)


def test_rows_are_those_of_the_days_with_reason_and_analysis(record: Record) -> None:
    rows = season_rows(record, *DAYS)
    assert {name: str(kind) for name, kind in rows.dtypes.items()} == {
        name: str(pd.Series([], dtype=kind).dtype) for name, kind in SEASON_ROWS.items()
    }
    assert rows["value"].tolist() == [12.0, 13.0]
    assert rows["reason"].tolist() == ["", "asked"]
    assert rows["analysed_on"].dt.strftime("%Y-%m-%d").fillna("").tolist() == ["2024-01-20", ""]
    assert rows["lake_code"].tolist() == ["HM", "HM"]


def test_days_without_rows_give_empty_frames_with_all_columns(record: Record) -> None:
    none = np.datetime64("1999-01-01"), np.datetime64("2000-01-01")
    for fetch, columns in (
        (season_rows, SEASON_ROWS),
        (season_changes, CHANGES),
        (season_corrections, CORRECTIONS),
    ):
        frame = fetch(record, *none)
        assert list(frame.columns) == list(columns)
        assert frame.empty


def test_correction_is_told_with_what_stood_before(record: Record) -> None:
    reading = season_rows(record, *DAYS).iloc[0]
    correct(record, int(reading["reading_id"]), {"value": 15.0}, who="M. Oak", why="misread")
    assert season_rows(record, *DAYS)["value"].tolist() == [15.0, 13.0]
    (row,) = season_corrections(record, *DAYS).to_dict("records")
    assert (row["who"], row["why"], row["station_code"]) == ("M. Oak", "misread", "HM1")
    assert (row["old_value"], row["old_status"]) == (12.0, "accepted")
    assert (row["new_value"], row["new_status"]) == (15.0, "accepted with a remark")
    changes = season_changes(record, *DAYS)
    assert changes["kind"].tolist() == ["import", "correction"]
    assert changes["readings"].tolist() == [2, 1]


def test_correction_that_moves_a_reading_out_of_the_season_is_still_told(record: Record) -> None:
    reading = season_rows(record, *DAYS).iloc[0]
    correct(record, int(reading["reading_id"]), {"taken_on": "2023-01-01"}, who="M. Oak", why="wrong year")
    assert len(season_rows(record, *DAYS)) == 1
    assert len(season_corrections(record, *DAYS)) == 1


def test_codes_in_use_are_those_of_the_year_also_of_parents_and_of_the_past(record: Record) -> None:
    assert sorted(used_sample_codes(record, 2024)) == ["240010-1", "240010-3", "240028-1"]
    assert sorted(used_sample_codes(record, 2023)) == ["230017-1"]
    reading = season_rows(record, *DAYS).iloc[0]
    correct(record, int(reading["reading_id"]), {"sample_code": "240036-1"}, who="M", why="label")
    assert sorted(used_sample_codes(record, 2024)) == ["240010-1", "240010-3", "240028-1", "240036-1"]


def test_readings_without_a_season_are_counted(record: Record) -> None:
    assert waiting_without_season(record) == 1
