"""The stored season tables: stale ones are computed on the fly, and for good by a refresh."""

import sqlite3
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.season_table import season_table
from explorer.intake import portions
from explorer.intake import refresh as refresh_module
from explorer.intake.refresh import current_summaries, refresh, refresh_if_possible
from explorer.model.errors import RecordBusyError
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import SEASONS
from explorer.records import connections
from explorer.records.ledger import create_record
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.records.summaries import stored_seasons

from .small_record import arrive, entries


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record of five stations, four of them with readings."""
    place = tmp_path / "record.gpkg"
    create_record(place, "", QUANTITIES.values())
    arrive(place, [entries(f"HM{n}", 2024, [2.0 + n] * 4) for n in range(1, 5)], first=True)
    return place


def by_code(seasons: pd.DataFrame) -> pd.DataFrame:
    return seasons.sort_values(["station_code", "quantity", "window", "year"], ignore_index=True)


def afresh(record: Record) -> pd.DataFrame:
    return by_code(season_table(pd.concat(record.chunks()), record.programme))


def stale(record: Record) -> list[str]:
    return sorted(stored_seasons(record, refresh_module.FORMULAS)[1])


def test_current_seasons_of_a_record_without_a_stored_table_computes_it(path: Path) -> None:
    record = open_record(path)
    pd.testing.assert_frame_equal(by_code(current_summaries(record).seasons), afresh(record))
    assert len(stale(record)) == 5
    record.close()


def test_refresh_stores_every_station_also_one_without_readings(path: Path) -> None:
    record = open_record(path)
    assert refresh(record) == 5
    assert stale(record) == []
    assert refresh(record) == 0
    pd.testing.assert_frame_equal(by_code(current_summaries(record).seasons), afresh(record))
    record.close()


def test_current_seasons_after_a_change_joins_the_stored_and_the_stale(path: Path) -> None:
    record = open_record(path)
    refresh(record)
    arrive(path, [entries("HM2", 2025, [1.0] * 5)])
    assert stale(record) == ["HM2"]
    seasons = current_summaries(record).seasons
    pd.testing.assert_frame_equal(by_code(seasons), afresh(record))
    assert 2025 in seasons.loc[seasons["station_code"] == "HM2", "year"].tolist()
    assert refresh(record) == 1
    assert stale(record) == []
    record.close()


def test_refresh_keeps_intervals_and_gaps_as_they_were_computed(path: Path) -> None:
    arrive(path, [entries("HM5", 2024, [1.8] * 4, ">")])
    record = open_record(path)
    refresh(record)
    seasons = current_summaries(record).seasons
    pd.testing.assert_frame_equal(by_code(seasons), afresh(record))
    own = seasons[(seasons["station_code"] == "HM5") & (seasons["window"] == "season")].iloc[0]
    assert np.isnan(own["median"])
    assert (own["median_low"], own["median_high"]) == (1.8, np.inf)
    record.close()


def test_refresh_while_another_change_lands_stores_nothing_old(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = open_record(path)

    def overtaken(readings: pd.DataFrame, programme: object) -> pd.DataFrame:
        arrive(path, [entries("HM1", 2025, [1.0] * 5)])
        return season_table(readings, programme)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(refresh_module, "season_table", overtaken)
        refresh(record)
    assert len(stale(record)) == 5
    pd.testing.assert_frame_equal(by_code(current_summaries(record).seasons), afresh(record))
    record.close()


def test_change_that_has_landed_stands_where_nothing_can_be_stored_beside_it(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "BUSY_TIMEOUT_S", 0.05)
    record = open_record(path)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(RecordBusyError):
        refresh(record)
    refresh_if_possible(record)
    other.rollback()
    other.close()
    assert len(stale(record)) == 5
    pd.testing.assert_frame_equal(by_code(current_summaries(record).seasons), afresh(record))
    record.close()


def test_refresh_with_new_formulas_computes_every_station_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = open_record(path)
    refresh(record)
    monkeypatch.setattr(refresh_module, "FORMULAS", refresh_module.FORMULAS + 1)
    assert refresh(record) == 5
    assert stale(record) == []
    record.close()


def test_refresh_tells_its_progress_a_few_stations_at_a_time(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(portions, "STATIONS_AT_A_TIME", 2)
    record = open_record(path)
    steps: list[tuple[int, int]] = []
    refresh(record, lambda done, total: steps.append((done, total)))
    assert steps == [(2, 5), (4, 5), (5, 5)] * 2  # first each station by itself, then each beside all
    record.close()


def test_current_seasons_changes_nothing_in_the_file(path: Path) -> None:
    before = path.read_bytes()
    record = open_record(path)
    current_summaries(record)
    record.close()
    assert path.read_bytes() == before


def test_current_seasons_of_an_empty_record_is_an_empty_table(tmp_path: Path) -> None:
    place = tmp_path / "empty.gpkg"
    create_record(place, "", QUANTITIES.values())
    record = open_record(place)
    seasons = current_summaries(record).seasons
    assert list(seasons.columns) == list(SEASONS)
    assert seasons.empty
    assert refresh(record) == 0
    record.close()
