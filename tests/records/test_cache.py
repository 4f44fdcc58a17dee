"""Records built from texts: once for each content, whole or not at all, with their messages."""

import os
import time

import pytest

from explorer.model.errors import RecordError
from explorer.records import cache, connections
from explorer.records.cache import build_record
from explorer.records.opening import open_record

ROW = "HM1,2024-05-17,TP,12,ug/L"


def test_second_opening_finds_the_first_one_s_record(listed, monkeypatch):
    place = listed(ROW, "HM1,2024-05-18,TP,?,ug/L")
    first = open_record(place)

    def never(*arguments: object) -> None:
        raise AssertionError("the texts were read a second time")

    monkeypatch.setattr(cache, "read_folder", never)
    second = open_record(place)
    assert second.path == first.path
    assert second.messages == first.messages
    assert "1 reading waits" in second.messages[0]


def test_changed_text_columns_file_or_setting_is_another_record(listed):
    place = listed(ROW)
    built = {build_record(place)}
    for name, text in (
        ("readings.csv", (place / "readings.csv").read_text() + "HM1,2024-05-18,TP,13,ug/L\n"),
        ("readings.columns.toml", 'date_form = "day/month/year"\n'),
        ("programme.toml", "minimum_visits = 4\n"),
        ("more.xlsx", "x"),
    ):
        (place / name).write_text(text)
        built.add(build_record(place))
    assert len(built) == 5


def test_same_texts_under_other_names_are_another_record(listed):
    place = listed(ROW)
    first = build_record(place)
    (place / "readings.csv").rename(place / "other.csv")
    assert build_record(place) != first


def test_texts_for_people_do_not_matter(listed):
    place = listed(ROW)
    first = build_record(place)
    (place / "README.md").write_text("hello")
    assert build_record(place) == first


def test_bytes_of_all_texts_are_in_the_record(listed):
    place = listed(ROW)
    names = open_record(place).fetch_rows("SELECT name, content FROM files ORDER BY name")
    assert names == [
        (name, (place / name).read_bytes()) for name in ("lakes.csv", "readings.csv", "stations.csv")
    ]


def test_refused_folder_leaves_nothing_behind(listed, own_cache):
    with pytest.raises(RecordError):
        open_record(listed("HM9,2024-05-17,TP,12,ug/L"))
    assert list(own_cache.iterdir()) == []


def test_failure_while_building_leaves_nothing_behind(listed, own_cache, monkeypatch):
    def full(*arguments: object, **options: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(cache, "enter", full)
    with pytest.raises(
        RecordError, match=r"No space left on device.* Set STATION_EXPLORER_CACHE to a folder"
    ):
        open_record(listed(ROW))
    assert list(own_cache.iterdir()) == []


def test_spoilt_record_in_the_cache_is_built_again(listed):
    place = listed(ROW)
    built = build_record(place)
    built.write_bytes(built.read_bytes()[:5000])
    assert open_record(place).history("HM1").readings["value"].tolist() == [12.0]


def test_cache_that_cannot_be_made_is_told_with_the_cure(listed, tmp_path, monkeypatch):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("STATION_EXPLORER_CACHE", str(tmp_path / "file" / "cache"))
    with pytest.raises(RecordError, match=r"nothing can be written there .* Set STATION_EXPLORER_CACHE"):
        open_record(listed(ROW))


def test_cache_on_a_network_drive_is_told_with_its_own_cure(listed, own_cache, tmp_path, monkeypatch):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"server:/x {own_cache.as_posix()} nfs rw 0 0\n")
    monkeypatch.setattr(connections, "_MOUNTS", mounts)
    with pytest.raises(
        RecordError, match="Set STATION_EXPLORER_CACHE to a folder on a disk of this computer"
    ):
        open_record(listed(ROW))


def test_cache_is_in_the_user_s_cache_folder_where_nothing_else_is_said(monkeypatch, tmp_path):
    monkeypatch.delenv("STATION_EXPLORER_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(cache.platformdirs, "user_cache_path", lambda name: tmp_path / name)
    assert cache.cache_folder() == tmp_path / "station-explorer"


def test_records_opened_longest_ago_are_removed_from_the_cache(listed, own_cache, monkeypatch):
    monkeypatch.setattr(cache, "KEPT_RECORDS", 3)
    places = [listed(f"HM1,2024-05-{day:02d},TP,12,ug/L") for day in range(1, 5)]
    built = []
    for number, place in enumerate(places[:3]):
        built.append(build_record(place))
        os.utime(built[-1], (time.time() - 1000 + number,) * 2)
    build_record(places[0])  # used again: now the youngest
    build_record(places[3])
    assert built[0].exists()
    assert not built[1].exists()
    assert len(list(own_cache.iterdir())) == 3
