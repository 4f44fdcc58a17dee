"""Stored trends: the same whether stored or computed on the fly, in new records and in old ones."""

import sqlite3
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.season_table import season_table
from explorer.analysis.station_trends import TREND_FORMULAS
from explorer.intake import refresh as refresh_module
from explorer.intake.refresh import CurrentSummaries, current_summaries, refresh
from explorer.model.quantities import QUANTITIES
from explorer.records import connections
from explorer.records.cache import CACHE_VARIABLE
from explorer.records.ledger import create_record
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.records.stored_rows import STORED_TRENDS

from .small_record import arrive, entries


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record of five stations; HM1 clears over fourteen seasons, HM2 to HM4 do not, HM5 has no readings."""
    place = tmp_path / "record.gpkg"
    create_record(place, "", QUANTITIES.values())
    random = np.random.default_rng(4)
    frames = [
        entries(f"HM{n}", year, (2.0 + 0.2 * (n == 1) * (year - 2010) + random.normal(0, 0.1, 5)).tolist())
        for n in range(1, 5)
        for year in range(2010, 2024)
    ]
    arrive(place, frames, first=True)
    return place


def same(first: CurrentSummaries, second: CurrentSummaries) -> bool:
    """Whether the trends are equal but for the order in which numbers were summed."""
    assert {*first.trends} == {*second.trends}
    for key, each in second.trends.items():
        pair = [asdict(found.trend) for found in (first.trends[key], each)]
        texts = [[values.pop(name) for name in ("test", "verdict")] for values in pair]
        assert pair[0] == pytest.approx(pair[1], rel=1e-9, abs=1e-12, nan_ok=True)
        assert texts[0] == texts[1]
        assert replace(first.trends[key], trend=each.trend) == each
    return True


def stale(record: Record) -> list[str]:
    return sorted(STORED_TRENDS.fetch(record, TREND_FORMULAS)[1])


def test_current_trends_of_a_record_without_stored_ones_are_computed(path: Path) -> None:
    record = open_record(path)
    before = path.read_bytes()
    found = current_summaries(record)
    assert {key: each.trend.verdict for key, each in found.trends.items()} == {
        ("HM1", "secchi_depth"): "rising",
        **{(f"HM{n}", "secchi_depth"): "no_trend_found" for n in (2, 3, 4)},
    }
    assert found.trends["HM1", "secchi_depth"].together == 4
    assert found.trends["HM1", "secchi_depth"].trend.slope_per_year == pytest.approx(0.2, abs=0.02)
    afresh = season_table(pd.concat(record.chunks()), record.programme)
    order = ["station_code", "quantity", "window", "year"]
    pd.testing.assert_frame_equal(
        *(each.sort_values(order, ignore_index=True) for each in (found.seasons, afresh))
    )
    record.close()
    assert path.read_bytes() == before


def test_stored_trends_are_those_that_would_be_computed(path: Path) -> None:
    record = open_record(path)
    computed = current_summaries(record)
    assert refresh(record) == 5
    assert stale(record) == []
    assert same(current_summaries(record), computed)
    record.close()


def test_change_makes_the_trend_of_its_station_stale_and_no_other(path: Path) -> None:
    record = open_record(path)
    refresh(record)
    arrive(path, [entries("HM2", 2024, [9.0] * 5)])
    assert stale(record) == ["HM2"]
    meanwhile = current_summaries(record)
    assert meanwhile.trends["HM2", "secchi_depth"].last_year == 2024
    assert refresh(record) == 1
    assert stale(record) == []
    assert same(current_summaries(record), meanwhile)
    record.close()


def test_new_finding_moves_what_could_be_seen_at_the_other_stations(path: Path) -> None:
    """Two findings of four make the next one easier than one of four: the change that shows is smaller."""
    record = open_record(path)
    refresh(record)
    before = current_summaries(record).trends["HM3", "secchi_depth"].trend.smallest_found
    rising = [entries("HM2", year, [2.0 + 0.5 * (year - 2010)] * 5) for year in range(2024, 2034)]
    arrive(path, rising)
    refresh(record)
    stored = current_summaries(record)
    with sqlite3.connect(path) as raw:
        raw.execute("DELETE FROM trend_summary")
    raw.close()
    assert stored.trends["HM2", "secchi_depth"].found
    assert stored.trends["HM3", "secchi_depth"].trend.smallest_found < before
    assert same(stored, current_summaries(record))
    record.close()


def test_record_made_before_trends_were_stored_opens_and_is_refreshed(path: Path) -> None:
    record = open_record(path)
    refresh(record)
    computed = current_summaries(record)
    record.close()
    with sqlite3.connect(path) as raw:
        raw.execute("DROP TABLE trend_summary")
        raw.execute("DELETE FROM gpkg_contents WHERE table_name = 'trend_summary'")
    raw.close()
    record = open_record(path)
    assert len(stale(record)) == 5
    assert same(current_summaries(record), computed)
    assert refresh(record) == 5
    assert stale(record) == []
    assert record.fetch_rows("SELECT data_type FROM gpkg_contents WHERE table_name = 'trend_summary'") == [
        ("attributes",)
    ]
    record.close()


def test_season_tables_written_by_an_earlier_version_leave_the_trends_stale(path: Path) -> None:
    record = open_record(path)
    refresh(record)
    version = arrive(path, [entries("HM2", 2024, [9.0] * 5)])
    with sqlite3.connect(path) as raw:  # as a version does that knows nothing of trends
        raw.execute(
            "INSERT INTO station_summary (station_id, record_version, settings_hash, formulas) "
            "SELECT s.station_id, ?, i.settings_hash, ? FROM stations s, record_info i WHERE s.code = 'HM2'",
            (version, refresh_module.FORMULAS),
        )
    raw.close()
    assert stale(record) == ["HM2"]
    record.close()


def test_new_trend_formulas_make_all_trends_stale(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = open_record(path)
    refresh(record)
    monkeypatch.setattr(refresh_module, "TREND_FORMULAS", TREND_FORMULAS + 1)
    assert refresh(record) == 5
    record.close()


def test_methods_that_the_programme_calls_comparable_make_one_series(tmp_path: Path) -> None:
    found = {}
    for name, settings in (("apart", ""), ("joined", 'comparable_methods = [["disk", "viewer"]]')):
        place = tmp_path / f"{name}.gpkg"
        create_record(place, settings, QUANTITIES.values())
        frames = [
            entries("HM1", year, [2.0, 2.2, 2.1, 2.3, 1.9]).assign(method="disk" if year < 2015 else "viewer")
            for year in range(2005, 2020)
        ]
        arrive(place, frames, first=True)
        record = open_record(place)
        found[name] = current_summaries(record).trends["HM1", "secchi_depth"]
        record.close()
    assert (found["apart"].method, found["apart"].other_methods) == ("viewer", ("disk",))
    assert (found["apart"].trend.years, found["apart"].trend.verdict) == (5, "drawn_only")
    assert (found["joined"].other_methods, found["joined"].trend.years) == ((), 15)


def test_record_built_from_texts_keeps_what_its_first_opening_computed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    rows = [f"HM1,secchi_depth,{2.0 + 0.1 * (year - 2010)},m,{year}-{month:02d}-15"
            for year in range(2010, 2024) for month in (5, 6, 7, 8, 9)]  # fmt: skip
    texts = tmp_path / "readings.csv"
    texts.write_text("\n".join(["station_code,quantity,value,unit,taken_on", *rows]))
    record = open_record(texts)
    first = current_summaries(record)
    assert stale(record) == []
    assert same(first, current_summaries(record))
    assert first.trends["HM1", "secchi_depth"].found
    record.close()


def test_record_built_where_nothing_can_be_written_any_more_opens_nonetheless(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    texts = tmp_path / "readings.csv"
    texts.write_text("station_code,quantity,value,unit,taken_on\nHM1,secchi_depth,2.0,m,2020-05-15\n")
    record = open_record(texts)
    with sqlite3.connect(record.path) as other:
        other.execute("BEGIN IMMEDIATE")
        monkeypatch.setattr(connections, "BUSY_TIMEOUT_S", 0.05)
        assert len(current_summaries(record).seasons) == 2
        other.rollback()
    other.close()
    record.close()
