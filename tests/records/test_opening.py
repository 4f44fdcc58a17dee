"""Whatever is named to be opened: a record, or one kind message; never another exception."""

import os
import sqlite3
from pathlib import Path

import geopandas
import pytest
import shapely

from explorer.model.errors import RecordError
from explorer.model.quantities import QUANTITIES
from explorer.records import schema
from explorer.records.ledger import create_record
from explorer.records.opening import open_record


@pytest.fixture
def record_path(large_record, tmp_path) -> Path:
    path = tmp_path / "record.gpkg"
    path.write_bytes(large_record(40, 20).read_bytes())
    return path


def refusal(where) -> str:
    with pytest.raises(RecordError) as caught:
        open_record(where)
    return str(caught.value)


def test_name_that_is_not_there_is_told_with_its_neighbour(record_path):
    said = refusal(record_path.with_name("recrd.gpkg"))
    assert "There is no" in said
    assert 'Did you mean "record.gpkg"?' in said
    assert "Name a record, a folder or a CSV file" in said


@pytest.mark.parametrize("where", ["", "  ", "a\x00b", "~nobody-of-that-name/x", "x" * 5000, "/dev/null"])
def test_name_that_cannot_be_opened_is_told_kindly(where):
    assert refusal(where).endswith(".")


def test_file_of_another_kind_is_no_record(tmp_path):
    path = tmp_path / "picture.png"
    path.write_bytes(b"\x89PNG" + b"\x00" * 100)
    assert "neither a GeoPackage, nor a CSV file, nor a folder" in refusal(path)


def test_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert "is no record" in refusal(tmp_path / "pipe")
    os.mkfifo(tmp_path / "pipe.csv")
    assert "is no record" in refusal(tmp_path / "pipe.csv")
    assert "holds no table" in refusal(tmp_path)


def test_empty_folder_and_folder_of_texts_for_people_hold_no_table(tmp_path):
    (tmp_path / "README.md").write_text("# hello")
    assert "holds no table of readings and no list of stations" in refusal(tmp_path)


def test_geopackage_of_a_gis_is_no_record_and_says_what_is(tmp_path):
    path = tmp_path / "layer.gpkg"
    frame = geopandas.GeoDataFrame({"code": ["A1"]}, geometry=[shapely.Point(-30, 45)], crs=4326)
    frame.to_file(path, layer="stations", driver="GPKG")
    before = path.read_bytes()
    said = refusal(path)
    assert "is no record of the station explorer" in said
    assert "Open a record, a folder of CSV and GeoJSON files, or a CSV file" in said
    assert path.read_bytes() == before


def test_other_database_is_no_record(tmp_path):
    path = tmp_path / "other.gpkg"
    with sqlite3.connect(path) as raw:
        raw.execute("CREATE TABLE record_info (format)")
    raw.close()
    assert "is no record" in refusal(path)


def test_newer_format_is_refused_and_left_alone(record_path):
    with sqlite3.connect(record_path) as raw:
        raw.execute("UPDATE record_info SET format = ?", (schema.FORMAT + 1,))
    raw.close()
    before = record_path.read_bytes()
    said = refusal(record_path)
    assert f"newer version of the station explorer (format {schema.FORMAT + 1}" in said
    assert "Install the newer version; the file was not changed" in said
    assert record_path.read_bytes() == before


@pytest.mark.parametrize("share", [0.0, 0.001, 0.01, 0.1, 0.3, 0.5, 0.9, 0.99])
def test_truncated_record_is_told_on_opening_or_on_reading(record_path, share):
    content = record_path.read_bytes()
    record_path.write_bytes(content[: int(share * len(content))])
    with pytest.raises(RecordError) as caught:
        list(open_record(record_path).chunks())
    assert str(record_path) in str(caught.value)


def test_record_with_broken_pages_is_told_on_opening_or_on_reading(record_path):
    content = bytearray(record_path.read_bytes())
    content[16384:] = b"\xff" * (len(content) - 16384)
    record_path.write_bytes(bytes(content))
    with pytest.raises(RecordError):
        list(open_record(record_path).chunks())


PROBLEM = (
    'INSERT INTO problems (code, severity, file_name, sha256, sheet, "row", "column", found, details, '
    "entered_in) VALUES "
)
FOREIGN = [
    "UPDATE record_info SET format = 'many'",
    "UPDATE record_info SET settings = 'min_visits = 3'",
    "DELETE FROM record_info",
    "DROP TABLE stations",
    "DROP TABLE problems",
    "UPDATE stations SET place = x'00'",
    "UPDATE stations SET place = x'4750000100000000' || x'0199'",
    "UPDATE lakes SET area_km2 = 'large'",
    PROBLEM + "('no_such_sentence', 'note', 'f', '', '', 0, '', '', '{}', 1)",
    PROBLEM + "('file_not_read', 'note', 'f', '', '', 0, '', '', '{', 1)",
]


@pytest.mark.parametrize("change", FOREIGN)
def test_record_that_another_program_changed_is_told_kindly(record_path, change):
    with sqlite3.connect(record_path) as raw:
        raw.execute(change)
    raw.close()
    assert record_path.name in refusal(record_path)


def test_file_that_may_not_be_read_is_told_with_the_reason(listed, monkeypatch):
    place = listed("HM1,2024-05-17,TP,12,ug/L")

    def forbidden(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "read_bytes", forbidden)
    said = refusal(place)
    assert "cannot be read: Permission denied" in said
    assert "that you may read it" in said


def test_record_that_goes_away_while_open_is_told(record_path, monkeypatch):
    record = open_record(record_path)
    record.close()
    record_path.unlink()
    with pytest.raises(RecordError, match="can no longer be read"):
        record.version()


def test_record_opened_by_a_gis_in_its_other_journal_mode_opens(record_path):
    raw = sqlite3.connect(record_path)
    assert raw.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    raw.execute("UPDATE record_info SET version = version")
    raw.commit()
    assert open_record(record_path).version() == 1
    raw.close()
    assert open_record(record_path).version() == 1


def test_record_with_a_strange_name_opens(tmp_path):
    path = tmp_path / "Höllen moor #1 ?mode=memory&%41.gpkg"
    create_record(path, "", QUANTITIES.values())
    assert open_record(str(path)).version() == 0
    assert open_record(path).title == path.name
