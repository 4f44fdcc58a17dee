"""Tables that others measured, opened as a stranger's record; sources: tests/published/real_tables."""

import shutil
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.model.errors import RecordError
from explorer.records.opening import open_record

TABLES = Path(__file__).parent.parent / "published" / "real_tables"


def frame_of(record) -> pd.DataFrame:
    return pd.concat(list(record.chunks()), ignore_index=True)


def with_lines(tmp_path: Path, name: str, section: str, line: str) -> Path:
    """Copy a table and its columns file, with one more line under a section."""
    shutil.copy(TABLES / f"{name}.csv", tmp_path)
    columns = (TABLES / f"{name}.columns.toml").read_text(encoding="utf-8")
    assert f"{section}\n" in columns
    (tmp_path / f"{name}.columns.toml").write_text(
        columns.replace(f"{section}\n", f"{section}\n{line}\n"), encoding="utf-8"
    )
    return tmp_path / f"{name}.csv"


@pytest.mark.parametrize("name", ["ponds", "river_year", "stream_seasons", "stream_line"])
def test_real_table_without_a_columns_file_is_asked_about(name, tmp_path):
    shutil.copy(TABLES / f"{name}.csv", tmp_path)
    with pytest.raises(RecordError) as caught:
        open_record(tmp_path / f"{name}.csv")
    for part in ("which column says the station?", "which column says the date?", f"{name}.columns.toml"):
        assert part in str(caught.value)


def test_ponds_hold_the_disk_readings_of_100_until_somebody_answers():
    record = open_record(TABLES / "ponds.csv")
    frame = frame_of(record)
    disk = frame[frame["quantity"] == "secchi_depth"]
    assert len(record.station_list()) == 33
    assert (disk["status"] == "held").sum() == 14
    assert disk.loc[disk["status"] == "held", "as_written"].unique().tolist() == ["100"]
    (question,) = [message for message in record.messages if "secchi" in message]
    assert '"100" stands in 14 of 33 rows, 14 times where the water is no deeper' in question
    assert any("list stands without the map" in message for message in record.messages)
    assert {lake.kind for lake in record.lakes().values()} == {"pond"}


def test_ponds_answered_as_disk_on_the_bottom_agree_with_the_library_run(tmp_path):
    # Source: lifelines 0.30.3 and R survival 3.5.3 on the same table, value = min(disk, depth) and open
    # upward where the disk reached the bottom: 14 such, S(40 cm) = 0.59463, median 55 cm (library-run).
    path = with_lines(tmp_path, "ponds", "[column.secchi]", 'repeated.100 = "on the bottom"')
    frame = frame_of(open_record(path))
    disk = frame[frame["quantity"] == "secchi_depth"]
    assert (disk["sign"] == ">").sum() == 14
    share, curve = 1.0, {}
    for depth in sorted(disk.loc[disk["sign"] == "=", "value"].unique()):
        died = ((disk["value"] == depth) & (disk["sign"] == "=")).sum()
        share *= 1 - died / (disk["value"] >= depth).sum()
        curve[round(depth, 6)] = share
    assert curve[0.4] == pytest.approx(0.5946291560102298, rel=1e-9)
    assert next(depth for depth, left in curve.items() if left <= 0.5) == pytest.approx(0.55)


def test_ponds_have_the_geometric_means_of_the_library_run():
    # Source: scipy 1.17.1 stats.gmean on the same table (library-run).
    frame = frame_of(open_record(TABLES / "ponds.csv"))
    means = np.log(frame["value"]).groupby(frame["quantity"]).mean().pipe(np.exp)
    assert means["total_phosphorus"] == pytest.approx(298.2425217043126, rel=1e-9)
    assert means["chlorophyll_a_uncorrected"] == pytest.approx(39.713844747312464, rel=1e-9)
    assert means["nitrate_nitrite"] == pytest.approx(240.46901804026407, rel=1e-9)
    assert "total_nitrogen" not in means


def test_river_year_has_its_dates_and_asks_about_the_day_after_the_year_s_end():
    record = open_record(TABLES / "river_year.csv")
    frame = frame_of(record)
    assert frame["taken_on"].dt.year.unique().tolist() == [1982]
    assert frame["taken_on"].nunique() == 38
    assert frame.loc[frame["quantity"] == "secchi_depth", "value"].iloc[0] == pytest.approx(0.67)
    assert any('"day": "1982-367" is not a date' in message for message in record.messages)
    assert record.fetch_rows("SELECT count(*) FROM readings WHERE status = 'held'") == [(6,)]


def test_stream_seasons_take_their_dates_from_the_names_of_the_seasons():
    record = open_record(TABLES / "stream_seasons.csv")
    frame = frame_of(record)
    assert sorted(frame["taken_on"].dt.strftime("%m-%d").unique()) == ["01-15", "04-15", "07-15", "10-15"]
    assert {lake.kind for lake in record.lakes().values()} == {"stream"}
    spring = frame[(frame["station_code"] == "S1") & (frame["quantity"] == "ammonia")]
    assert spring["value"].iloc[0] == pytest.approx(120.0)  # 0.12 mg/L


def test_stream_line_undoes_its_factors_and_holds_zeros():
    record = open_record(TABLES / "stream_line.csv")
    frame = frame_of(record).set_index(["station_code", "quantity"])
    assert frame.loc[("1", "ph"), "value"] == pytest.approx(7.9)
    assert frame.loc[("1", "dissolved_oxygen"), "value"] == pytest.approx(12.2)
    assert frame.loc[("1", "orthophosphate"), "value"] == pytest.approx(10.0)  # 1 / 100 mg/L
    assert frame.loc[("1", "ammonia"), "status"] == "held"
    assert any('"0" cannot be: Ammonia is above zero' in message for message in record.messages)


def test_stream_line_without_its_factors_is_asked_about(tmp_path):
    shutil.copy(TABLES / "stream_line.csv", tmp_path)
    columns = (TABLES / "stream_line.columns.toml").read_text(encoding="utf-8").replace("factor = 0.1\n", "")
    (tmp_path / "stream_line.columns.toml").write_text(columns, encoding="utf-8")
    record = open_record(tmp_path / "stream_line.csv")
    said = "\n".join(record.messages)
    assert 'stream_line.csv, row 2, "pH": "79" is doubtful: 30 of 30 values lie outside 3 to 11 pH' in said
    assert 'stream_line.csv, row 2, "oxy"' in said


def test_mountain_lakes_stand_on_the_map_with_the_programme_s_own_quantity():
    record = open_record(TABLES / "mountain_lakes")
    frame = frame_of(record)
    assert len(record.station_list()) == 112
    assert not record.stations().geometry.is_empty.any()
    assert record.station("L001").latitude_deg == 35.4958
    assert frame["quantity"].value_counts().to_dict() == {"ph": 112, "calcium": 112}
    assert record.programme.quantities["calcium"].unit == "mg/L"


@pytest.mark.parametrize(
    ("name", "cells"),
    [("ponds", 33 * 7), ("river_year", 39 * 6), ("stream_seasons", 24 * 5), ("stream_line", 30 * 4)],
)
def test_every_cell_of_a_real_table_is_in_the_record(name, cells):
    record = open_record(TABLES / f"{name}.csv")
    assert record.fetch_rows("SELECT count(*) FROM readings") == [(cells,)]


def test_column_that_states_the_bottom_is_not_taken_for_the_depth_of_a_sample():
    readings = open_record(TABLES / "ponds.csv").history("05").readings
    assert set(readings["stratum"]) == {"surface"}
    assert readings["depth_m"].isna().all()
