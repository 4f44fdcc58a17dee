"""The record's file: round trip, layers for any GIS, history, source bytes, versions, speed."""

import hashlib
import sqlite3
import time
import tracemalloc

import geopandas
import pandas as pd
import pytest
import shapely

from explorer.model.errors import RecordError, UnknownNameError
from explorer.model.places import Lake, Station
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES, READINGS, check_frame
from explorer.records.geopackage import is_geopackage
from explorer.records.ledger import Arrival, create_record, enter
from explorer.records.opening import open_record
from explorer.records.reading_rows import readings_query

NAN = float("nan")
SQUARE = shapely.MultiPolygon([shapely.box(-30.1, 45.0, -29.9, 45.1)])
CONTENT = "station_code;wert\nHM1;1,5\n".encode("utf-16")
CHECKSUM = hashlib.sha256(CONTENT).hexdigest()


def entries_of(*values: float, station: str = "HM1", **columns: object) -> pd.DataFrame:
    count = len(values)
    usual: dict[str, object] = {name: "" for name, kind in ENTRIES.items() if kind == "str"}
    usual |= {name: NAN for name, kind in ENTRIES.items() if kind == "float64"}
    usual |= {
        "station_code": station, "quantity": "secchi_depth", "value": list(values), "sign": "=",
        "taken_on": pd.date_range("2024-05-01", periods=count), "analysed_on": pd.NaT, "estimated": False,
        "stratum": "surface", "status": "accepted", "sample_type": "routine", "row": range(2, count + 2),
        "sha256": CHECKSUM, "file_name": "sheet.csv", "unit_as_written": "m",
        "as_written": [str(value) for value in values], **columns,
    }  # fmt: skip
    frame = pd.DataFrame(usual, index=range(count))
    return frame.astype(dict(ENTRIES))[list(ENTRIES)]


def arrival_of(entries: pd.DataFrame, **parts: object) -> Arrival:
    usual: dict[str, object] = {
        "lakes": (Lake("HM", "Höllenmoor <b>", "pond", frozenset({"stained", "shallow"}), 0.1, 210.0, NAN),),
        "outlines": {"HM": SQUARE},
        "stations": (
            Station("HM1", "Middle", "HM", -30.0, 45.05, 2.4, True),
            Station("HM2", "Inlet", "HM", NAN, NAN, NAN, False),
        ),
        "files": {"sheet.csv": CONTENT},
    }
    return Arrival(**{**usual, **parts, "entries": entries})


@pytest.fixture
def path(tmp_path):
    made = tmp_path / "our record.gpkg"
    create_record(made, 'name = "Ours"\n', QUANTITIES.values())
    enter(
        made,
        arrival_of(entries_of(1.5, 2.5, observer="V03", method="disk")),
        kind="import",
        who="",
        why="test",
    )
    return made


def test_record_gives_back_what_was_entered(path):
    record = open_record(path)
    assert record.title == "our record.gpkg"
    assert record.programme.name == "Ours"
    assert record.lakes()["HM"] == Lake(
        "HM",
        "Höllenmoor <b>",
        "pond",
        frozenset({"stained", "shallow"}),
        0.1,
        210.0,
        pytest.approx(NAN, nan_ok=True),
    )
    assert record.station("HM1") == Station("HM1", "Middle", "HM", -30.0, 45.05, 2.4, True)
    assert record.outlines().geometry.iloc[0].equals(SQUARE)
    history = record.history("HM1")
    check_frame(history.readings, READINGS, "readings")
    assert history.readings["value"].tolist() == [1.5, 2.5]
    assert history.readings["observer"].tolist() == ["V03", "V03"]
    assert history.readings["method"].tolist() == ["disk", "disk"]
    assert history.readings["visit_id"].nunique() == 2
    assert (history.station.code, history.lake.code, history.version) == ("HM1", "HM", 1)


def test_readings_have_the_types_of_the_contract(path):
    record = open_record(path)
    for frame in (record.history("HM1").readings, record.history("HM2").readings):
        found = {name: str(kind) for name, kind in frame.dtypes.items()}
        wanted = {name: str(pd.Series([], dtype=kind).dtype) for name, kind in READINGS.items()}
        assert found == wanted
        assert list(frame.columns) == list(READINGS)


def test_record_says_in_a_notebook_what_it_holds(path):
    assert repr(open_record(path)) == f"<Record {path.name!r}, stations: 2>"


def test_unknown_station_is_told_with_its_neighbour(path):
    with pytest.raises(UnknownNameError, match=r'No station "HM3" in the record\. Did you mean "HM'):
        open_record(path).history("HM3")


def test_any_gis_lists_the_layers_with_their_kinds(path):
    layers = dict(geopandas.list_layers(path)[["name", "geometry_type"]].to_numpy().tolist())
    assert layers["current_stations"] == "Point"
    assert layers["current_lakes"] == "MultiPolygon"
    assert pd.isna(layers["current_readings"])


def test_geopandas_reads_the_layers_with_no_help(path):
    stations = geopandas.read_file(path, layer="current_stations")
    assert stations.crs.to_epsg() == 4326
    assert stations[["code", "lake_code", "lake_name"]].to_numpy().tolist() == [
        ["HM1", "HM", "Höllenmoor <b>"], ["HM2", "HM", "Höllenmoor <b>"],
    ]  # fmt: skip
    assert (stations.geometry.iloc[0].x, stations.geometry.iloc[0].y) == (-30.0, 45.05)
    lakes = geopandas.read_file(path, layer="current_lakes")
    assert lakes.geometry.iloc[0].equals(SQUARE)
    assert lakes["attributes"].tolist() == ["shallow stained"]
    readings = geopandas.read_file(path, layer="current_readings")
    assert readings["value"].tolist() == [1.5, 2.5]
    assert readings["taken_on"].astype("str").str[:10].tolist() == ["2024-05-01", "2024-05-02"]


def test_pandas_reads_the_view_with_no_help(path):
    with sqlite3.connect(path) as connection:
        frame = pd.read_sql("SELECT * FROM current_readings", connection)
    connection.close()
    assert frame[["station_code", "quantity", "unit", "value"]].to_numpy().tolist() == [
        ["HM1", "secchi_depth", "m", 1.5], ["HM1", "secchi_depth", "m", 2.5],
    ]  # fmt: skip


def test_file_is_a_geopackage_by_the_standard(path):
    # Source: OGC 12-128r18, requirements 2 (application id), 10 and 11 (reference systems), 13 (contents).
    assert is_geopackage(path)
    with sqlite3.connect(path) as raw:
        assert raw.execute("PRAGMA application_id").fetchone() == (0x47504B47,)
        assert raw.execute("PRAGMA user_version").fetchone() == (10300,)
        assert raw.execute("PRAGMA foreign_key_check").fetchall() == []
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        codes = {code for (code,) in raw.execute("SELECT srs_id FROM gpkg_spatial_ref_sys")}
        assert codes == {-1, 0, 4326}
        tables = {name for (name,) in raw.execute("SELECT table_name FROM gpkg_contents")}
        real = {
            name for (name,) in raw.execute("SELECT name FROM sqlite_schema WHERE type IN ('table', 'view')")
        }
        assert tables == {name for name in real if not name.startswith(("gpkg_", "sqlite_"))}
        box = raw.execute(
            "SELECT min_x, min_y, max_x, max_y FROM gpkg_contents WHERE table_name = 'current_lakes'"
        ).fetchone()
    raw.close()
    assert box == (-30.1, 45.0, -29.9, 45.1)


def test_bytes_of_every_file_are_kept_with_their_checksum(path):
    record = open_record(path)
    rows = record.fetch_rows("SELECT name, sha256, content FROM files")
    assert rows == [("sheet.csv", CHECKSUM, CONTENT)]
    where = record.fetch_rows(
        'SELECT f.name, r.sheet, r."row", r.as_written FROM readings r JOIN files f USING (file_id)'
    )
    assert where == [("sheet.csv", "", 2, "1.5"), ("sheet.csv", "", 3, "2.5")]


def test_every_row_says_by_which_change_it_entered(path):
    second = arrival_of(entries_of(3.5, station="HM2"), lakes=(), outlines={}, stations=(), files={})
    assert enter(path, second, kind="check-in", who="A. Typed", why="season") == 2
    record = open_record(path)
    assert record.version() == 2
    assert record.fetch_rows("SELECT value, entered_in, left_in FROM readings ORDER BY reading_id") == [
        (1.5, 1, None), (2.5, 1, None), (3.5, 2, None),
    ]  # fmt: skip
    changes = record.fetch_rows("SELECT change_id, kind, who, why, software FROM changes ORDER BY change_id")
    assert [change[:4] for change in changes] == [
        (1, "import", "", "test"),
        (2, "check-in", "A. Typed", "season"),
    ]
    assert all(change[4].startswith("station-explorer ") for change in changes)
    before = record.fetch_rows(
        "SELECT count(*) FROM readings WHERE entered_in <= 1 AND (left_in IS NULL OR left_in > 1)"
    )
    assert before == [(2,)]


def test_row_that_has_left_is_in_no_view_and_no_history(path):
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE readings SET left_in = 1 WHERE value = 1.5")
    raw.close()
    record = open_record(path)
    assert record.history("HM1").readings["value"].tolist() == [2.5]
    assert record.fetch_rows("SELECT value FROM current_readings") == [(2.5,)]


def test_open_record_sees_what_came_in_since(path):
    record = open_record(path)
    record.history("HM1")
    entries = entries_of(3.5, method="new disk", batch="B9", taken_on=pd.Timestamp("2024-06-01"))
    enter(path, arrival_of(entries, lakes=(), outlines={}, stations=()), kind="check-in", who="", why="")
    history = record.history("HM1")
    assert history.version == 2
    assert history.readings["method"].tolist() == ["disk", "disk", "new disk"]
    assert history.readings["batch"].tolist() == ["", "", "B9"]


def test_same_station_day_and_observer_is_one_visit_across_changes(path):
    entries = entries_of(
        12.0, quantity="total_phosphorus", observer="V03", remark="torn label", taken_time="09:00"
    )
    again = entries_of(8.0, quantity="chlorophyll_a", observer="V03", remark="warm", taken_time="08:00")
    both = pd.concat([entries, again], ignore_index=True)
    enter(path, arrival_of(both, lakes=(), outlines={}, stations=()), kind="check-in", who="", why="")
    readings = open_record(path).history("HM1").readings
    assert len(set(readings.loc[readings["taken_on"] == "2024-05-01", "visit_id"])) == 1


def test_remarks_and_earliest_time_of_a_visit_are_kept(path):
    rows = entries_of(1.0, 2.0, taken_on=pd.Timestamp("2024-07-01"), remark=["warm", "label torn"],
                      taken_time=["10:00", "09:30"], weather="sun")  # fmt: skip
    enter(path, arrival_of(rows, lakes=(), outlines={}, stations=()), kind="check-in", who="", why="")
    stored = open_record(path).fetch_rows(
        "SELECT taken_time, weather, remark FROM visits WHERE taken_on = '2024-07-01'"
    )
    assert stored == [("09:30", "sun", "label torn; warm")]


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        ({"station_code": "HM9"}, 'No station "HM9" in the record. Did you mean'),
        ({"quantity": "secchi"}, 'No quantity "secchi" in the record'),
        ({"sha256": "0" * 64}, "No file"),
    ],
)
def test_reading_that_fits_nowhere_leaves_the_record_as_it_was(path, columns, said):
    before = path.read_bytes()
    entries = entries_of(9.0).assign(**columns).astype(dict(ENTRIES))
    with pytest.raises(UnknownNameError, match=said):
        enter(path, arrival_of(entries, lakes=(), outlines={}, stations=()), kind="check-in", who="", why="")
    assert open_record(path).version() == 1
    assert path.read_bytes() == before


def test_station_that_is_there_already_is_told_kindly(path):
    with pytest.raises(RecordError, match="already holds what was to be added"):
        enter(path, arrival_of(entries_of(9.0)), kind="check-in", who="", why="")
    assert open_record(path).version() == 1


def test_record_is_never_overwritten(path):
    with pytest.raises(RecordError, match="already there"):
        create_record(path, "", QUANTITIES.values())


def test_record_in_a_folder_that_is_not_there_cannot_be_made(tmp_path):
    with pytest.raises(RecordError, match="cannot be made"):
        create_record(tmp_path / "none" / "r.gpkg", "", QUANTITIES.values())


def test_history_goes_through_the_index_without_sorting(path):
    record = open_record(path)
    for values in ((1,), (1, 2)):
        plan = record.fetch_rows(f"EXPLAIN QUERY PLAN {readings_query(len(values))}", values)
        assert "USING INDEX readings_of_a_station" in plan[0][3]
    plan = record.fetch_rows(f"EXPLAIN QUERY PLAN {readings_query(1)}", (1,))
    assert not any("TEMP B-TREE" in row[3] for row in plan)


def test_series_of_one_quantity_needs_the_index_alone(path):
    plan = open_record(path).fetch_rows(
        "EXPLAIN QUERY PLAN SELECT taken_on, depth_m, value, sign FROM readings "
        "WHERE left_in IS NULL AND station_id = 1 AND quantity_id = 1 ORDER BY taken_on"
    )
    assert [row[3] for row in plan] == [
        "SEARCH readings USING COVERING INDEX readings_of_a_station (station_id=? AND quantity_id=?)"
    ]


def test_chunks_hold_every_reading_once_and_only_the_stations_asked_for(large_record):
    record = open_record(large_record(40, 20))
    frames = list(record.chunks(stations=16))
    assert [frame["station_code"].nunique() for frame in frames] == [16, 16, 8]
    assert sum(map(len, frames)) == 40 * 4 * 20
    assert pd.concat(frames)["reading_id"].is_unique
    (some,) = record.chunks(codes=["S0003", "S0007"])
    assert set(some["station_code"]) == {"S0003", "S0007"}


def test_chunks_keep_memory_flat(large_record):
    record = open_record(large_record(200, 50))

    def peak(chunks: int) -> int:
        tracemalloc.start()
        for number, frame in enumerate(record.chunks(stations=10), 1):
            del frame
            if number == chunks:
                break
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    assert peak(20) < 1.5 * peak(2)


def test_click_and_opening_are_fast_on_many_readings(large_record):
    path = large_record(200, 300)  # 240 000 readings; the million is measured by the benchmarks

    def best(act) -> float:
        times = []
        for _ in range(7):
            start = time.perf_counter()
            act()
            times.append(time.perf_counter() - start)
        return min(times)

    record = open_record(path)
    assert len(record.history("S0100").readings) == 1200
    number = record.fetch_rows("SELECT station_id FROM stations WHERE code = 'S0100'")[0]
    yardstick = best(lambda: record.fetch_rows(readings_query(1), number))
    assert best(lambda: record.history("S0100")) < 5 * yardstick  # about 2: the rest is making the frame
    assert best(lambda: open_record(path).close()) < 0.5  # about 0.01 on a quiet machine
