"""`station-explorer summary`: what it writes, what it refuses, and that it destroys no record."""

import sqlite3
from pathlib import Path

import geopandas
import pandas as pd
import pytest

from explorer.command import main
from explorer.demo import demo_folder

ROWS = 40  # stations of the demo


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Readings of two stations as one file; one has a name that a spreadsheet would run."""
    rows = [f"{code},secchi_depth,{value},m,2024-0{month}-10" for month in (5, 6, 7, 8)
            for code, value in (("HM1", 3.0), ("=1+1", 2.0))]  # fmt: skip
    path = tmp_path / "readings.csv"
    path.write_text("\n".join(["station_code,quantity,value,unit,taken_on", *rows]))
    return path


def test_csv_has_one_row_a_station_with_place_class_and_trend(tmp_path: Path) -> None:
    out = tmp_path / "stations.csv"
    assert main(["summary", "--record", str(demo_folder()), "--out", str(out)]) == 0
    table = pd.read_csv(out, index_col="station_code")
    assert len(table) == ROWS
    assert table.loc["FER1", "secchi_depth_trend"] == "falling"
    assert table.loc["FER1", "secchi_depth_slope_per_year"] < 0
    assert table.loc["FER1", "carlson_simpson_1996"] == "eutrophic"
    assert table.loc["FER1", ["longitude_deg", "latitude_deg"]].notna().all()


def test_geopackage_is_a_layer_with_the_same_rows(tmp_path: Path) -> None:
    out = tmp_path / "stations.gpkg"
    assert main(["summary", "--record", str(demo_folder()), "--out", str(out)]) == 0
    layer = geopandas.read_file(out, layer="station_summary")
    assert len(layer) == ROWS
    assert layer.geometry.iloc[0].geom_type == "Point"
    assert {"secchi_depth_trend", "total_phosphorus_percent_per_year"} <= set(layer.columns)
    assert main(["summary", "--record", str(demo_folder()), "--out", str(out)]) == 0, (
        "its own file is written anew"
    )


def test_name_that_a_spreadsheet_would_run_stays_text(tmp_path: Path, small: Path) -> None:
    out = tmp_path / "stations.csv"
    assert main(["summary", "--record", str(small), "--out", str(out)]) == 0
    assert "\n'=1+1," in out.read_text(encoding="utf-8-sig")


def test_other_ending_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["summary", "--out", "stations.xlsx"]) == 2
    assert '"stations.xlsx" ends in neither .csv nor .gpkg' in capsys.readouterr().err


def test_record_is_never_written_over(
    tmp_path: Path, small: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = small.read_bytes()
    assert main(["summary", "--record", str(small), "--out", str(small)]) == 2
    assert "is a record; a summary would destroy it" in capsys.readouterr().err
    assert small.read_bytes() == before
    other = tmp_path / "lakes.gpkg"
    assert main(["new-record", "--from", str(demo_folder()), "--out", str(other)]) == 0
    before = other.read_bytes()
    assert main(["summary", "--record", str(small), "--out", str(other)]) == 2
    assert other.read_bytes() == before
    with sqlite3.connect(other) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    raw.close()


def test_folder_in_the_place_of_a_file_is_refused(tmp_path: Path, small: Path) -> None:
    (tmp_path / "out.csv").mkdir()
    assert main(["summary", "--record", str(small), "--out", str(tmp_path / "out.csv")]) == 2
