"""Unusual readings of a record, a few stations at a time, are those of all its readings at once."""

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import districts
import numpy as np
import pandas as pd
import pytest

from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.demo import demo_folder
from explorer.intake import current_departures as module
from explorer.intake import portions
from explorer.intake.current_departures import current_departures
from explorer.intake.refresh import refresh
from explorer.model.departure_rows import departure_rows
from explorer.model.places import Lake
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES
from explorer.records.ledger import Arrival, create_record, enter
from explorer.records.marks import mark_reading
from explorer.records.opening import open_record
from explorer.records.record import Record

NAN = float("nan")
FILE = b"generated"


@pytest.fixture(autouse=True)
def few_stations(monkeypatch: pytest.MonkeyPatch) -> None:
    for each in (portions, module):
        monkeypatch.setattr(each, "STATIONS_AT_A_TIME", 3)


def generated(path: Path) -> Record:
    """A district with batches, blanks, duplicates, second observers and weather, some of it moved far off."""
    district = districts.make_district(71, waters=5, years=12, heavy_tails=True)
    create_record(path, "season_months = [4, 5, 6, 7, 8, 9, 10]\n", QUANTITIES.values())
    readings = district.readings.merge(district.visits, on="visit_id", how="left")
    far = np.random.default_rng(3).choice(len(readings), 60, replace=False)
    readings.loc[far, "value"] *= np.random.default_rng(4).choice([0.2, 3.28, 10.0], 60)
    readings["as_written"] = readings["value"].map("{:g}".format)
    for name, kind in ENTRIES.items():
        if name not in readings:
            readings[name] = pd.Series({"str": "", "bool": False}.get(kind), index=readings.index)
    readings["analysed_on"] = readings["taken_on"] + pd.Timedelta(days=20)
    readings["sha256"] = hashlib.sha256(FILE).hexdigest()
    stations = tuple(district.stations.values())
    lakes = {
        each.lake_code: Lake(each.lake_code, "", "lake", frozenset(), NAN, NAN, NAN) for each in stations
    }
    entries = readings[list(ENTRIES)].fillna({"weather": "", "remark": ""}).astype(dict(ENTRIES))
    enter(path, Arrival(tuple(lakes.values()), {}, stations, entries, {"a.csv": FILE}), kind="import", who="",
          why="")  # fmt: skip
    return open_record(path)


@pytest.fixture(params=["demo", "generated"])
def record(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Record]:
    """A record of which nothing is stored."""
    path = tmp_path / "record.gpkg"
    if request.param == "demo":
        built = open_record(demo_folder())
        path.write_bytes(built.path.read_bytes())
        built.close()
        with sqlite3.connect(path) as raw:
            raw.execute("DELETE FROM station_summary")
        raw.close()
    opened = open_record(path) if request.param == "demo" else generated(path)
    yield opened
    opened.close()


def at_once(record: Record) -> pd.DataFrame:
    """Return the unusual readings as all readings of the record, held in memory, give them."""
    readings = pd.concat(list(record.chunks()), ignore_index=True)
    analysed = dict(
        record.fetch_rows("SELECT reading_id, analysed_on FROM readings WHERE analysed_on IS NOT NULL")
    )
    readings["analysed_on"] = pd.to_datetime(readings["reading_id"].map(analysed))
    sheets = record.fetch_rows("SELECT visit_id, weather, remark FROM visits WHERE left_in IS NULL")
    visits = pd.DataFrame(sheets, columns=["visit_id", "weather", "remark"])
    stations = {station.code: station for station in record.station_list()}
    found = departures(readings, record.programme)
    return departure_rows(explain(readings, found, stations, record.programme, visits=visits))


def assert_same(first: pd.DataFrame, second: pd.DataFrame) -> None:
    """Rounding apart: sums are added up in another order."""
    first, second = (each.sort_values("reading_id", ignore_index=True) for each in (first, second))
    pd.testing.assert_frame_equal(
        first.drop(columns="evidence"), second.drop(columns="evidence"), rtol=1e-9, atol=0.0
    )
    for one, other in zip(first["evidence"], second["evidence"], strict=True):
        assert numbers_rounded(json.loads(one)) == numbers_rounded(json.loads(other))


def numbers_rounded(stored: object) -> object:
    if isinstance(stored, list):
        return [numbers_rounded(each) for each in stored]
    if isinstance(stored, dict):
        return {name: numbers_rounded(each) for name, each in stored.items()}
    return float(f"{stored:.9g}") if isinstance(stored, float) else stored


def test_a_few_stations_at_a_time_give_what_all_at_once_give(record: Record) -> None:
    computed = current_departures(record)
    assert len(computed) > 50
    assert computed["likeliest"].nunique() > 5
    assert_same(computed, at_once(record))


def test_after_a_mark_only_its_water_is_read_and_all_is_as_if_read_at_once(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    refresh(record)
    before = current_departures(record)
    assert_same(before, at_once(record))
    picked = before[(before["by"] == "month") & (before["status"] == "accepted")].iloc[0]
    mark_reading(record, int(picked["reading_id"]), "hold", who="M. Oak", remark="Asked the observer")
    read: list[str] = []
    chunks = Record.chunks

    def noted(self: Record, stations: int, codes: list[str], *columns: object) -> Iterator[pd.DataFrame]:
        read.extend(codes)
        return chunks(self, stations, codes, *columns)

    monkeypatch.setattr(Record, "chunks", noted)
    after = current_departures(record)
    monkeypatch.undo()
    waters = {station.code: station.lake_code for station in record.station_list()}
    assert {waters[code] for code in read} == {waters[picked["station_code"]]}
    whole = at_once(record)
    assert "held" in set(whole["status"])
    own = (each[each["station_code"] == picked["station_code"]] for each in (after, whole))
    assert_same(*own)
    assert_same(*(each[each["station_code"] != picked["station_code"]] for each in (after, before)))
    refresh(record)
    assert_same(current_departures(record), whole)
