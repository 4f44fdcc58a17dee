"""Stored unusual readings: the same whether stored or computed on the fly, and stale with their station."""

import sqlite3
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.evidence import DEPARTURE_FORMULAS
from explorer.intake import current_departures as module
from explorer.intake.current_departures import current_departures
from explorer.intake.refresh import refresh
from explorer.model.departure_rows import departure_rows, departures_of
from explorer.model.quantities import QUANTITIES
from explorer.records.ledger import create_record
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_DEPARTURES

from .small_record import arrive, entries

STRANGE = 5.4  # where about 2 is usual


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record of five stations over fourteen seasons; one Secchi depth of HM1 is far off in 2015."""
    place = tmp_path / "record.gpkg"
    create_record(place, "", QUANTITIES.values())
    random = np.random.default_rng(5)
    frames = []
    for number in range(1, 5):
        for year in range(2010, 2024):
            depths = (2.0 + random.normal(0, 0.1, 5)).tolist()
            if (number, year) == (1, 2015):
                depths[2] = STRANGE
            frames.append(entries(f"HM{number}", year, depths))
    arrive(place, frames, first=True)
    return place


def stale(record: Record) -> list[str]:
    return sorted(STORED_DEPARTURES.fetch(record, DEPARTURE_FORMULAS)[1])


def in_order(rows: pd.DataFrame) -> pd.DataFrame:
    return rows.sort_values("reading_id", ignore_index=True)


def test_stored_unusual_readings_are_those_that_would_be_computed(path: Path) -> None:
    record = open_record(path)
    before = path.read_bytes()
    computed = current_departures(record)
    assert path.read_bytes() == before
    strange = computed[computed["value"] == STRANGE]
    assert (len(strange), strange["station_code"].item(), strange["taken_on"].item()) == (
        1,
        "HM1",
        "2015-07-10",
    )
    assert strange["direction"].item() == "higher"
    assert refresh(record) == 5
    assert stale(record) == []
    pd.testing.assert_frame_equal(in_order(current_departures(record)), in_order(computed))
    record.close()


def test_rows_and_unusual_readings_are_the_same(path: Path) -> None:
    record = open_record(path)
    rows = current_departures(record)
    told = departures_of(rows)
    pd.testing.assert_frame_equal(departure_rows(told), rows)
    assert all(each.evidence for each in told)
    record.close()


def test_change_makes_those_of_its_station_stale_and_refresh_explains_all_anew(path: Path) -> None:
    record = open_record(path)
    refresh(record)
    arrive(path, [entries("HM2", 2024, [9.0] * 5), entries("HM3", 2024, [9.0] * 5)])
    assert stale(record) == ["HM2", "HM3"]
    meanwhile = current_departures(record)
    assert {"HM2", "HM3"} <= {*meanwhile.loc[meanwhile["taken_on"] > "2024", "station_code"]}
    assert refresh(record) == 2
    assert stale(record) == []
    record.close()
    with sqlite3.connect(path) as raw:
        stored = raw.execute("SELECT count(*) FROM departure_summary WHERE quantity_id IS NULL").fetchone()
    raw.close()
    assert stored == (5,)


def test_new_formulas_make_all_stale(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = open_record(path)
    refresh(record)
    monkeypatch.setattr(module, "DEPARTURE_FORMULAS", DEPARTURE_FORMULAS + 1)
    assert refresh(record) == 5
    record.close()


@pytest.mark.parametrize(
    "earlier",
    [
        "DROP TABLE departure_summary; DELETE FROM gpkg_contents WHERE table_name = 'departure_summary'",
        "ALTER TABLE departure_summary DROP COLUMN stratum",
    ],
    ids=["before they were stored", "with other columns"],
)
def test_record_of_an_earlier_version_opens_and_is_refreshed(path: Path, earlier: str) -> None:
    record = open_record(path)
    refresh(record)
    computed = current_departures(record)
    record.close()
    with sqlite3.connect(path) as raw:
        raw.executescript(earlier)
    raw.close()
    record = open_record(path)
    assert len(stale(record)) == 5
    pd.testing.assert_frame_equal(in_order(current_departures(record)), in_order(computed))
    assert refresh(record) == 5
    assert stale(record) == []
    record.close()


def test_empty_record_has_none(tmp_path: Path) -> None:
    create_record(tmp_path / "empty.gpkg", "", QUANTITIES.values())
    record = open_record(tmp_path / "empty.gpkg")
    assert current_departures(record).empty
    assert refresh(record) == 0
    record.close()


def test_days_to_the_analysis_are_taken_from_the_record(tmp_path: Path) -> None:
    place = tmp_path / "record.gpkg"
    create_record(place, "", QUANTITIES.values())
    random = np.random.default_rng(6)
    frames = []
    for year in range(2010, 2024):
        frame = entries("HM1", year, (9.0 + random.normal(0, 0.5, 5)).tolist())
        frame["value"] = frame["value"].where((frame.index != 2) | (year != 2020), 1.0)
        frame["analysed_on"] = frame["taken_on"] + pd.Timedelta(days=60)
        frames.append(frame.assign(quantity="chlorophyll_a", batch=f"B{year}"))
    arrive(place, frames, first=True)
    record = open_record(place)
    [told] = [each for each in departures_of(current_departures(record)) if each.value == 1.0]
    [line] = [each for each in told.evidence if each.code == "holding_time"]
    assert line == replace(line, verdict="for", values={"days": 60, "limit": 24})
    record.close()
