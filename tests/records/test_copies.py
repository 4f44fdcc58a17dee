"""Dated copies and the way back to them."""

import errno
import os
import shutil
import sqlite3
from pathlib import Path

import pytest

from explorer.model.errors import RecordBusyError, RecordError
from explorer.records import connections, copies
from explorer.records.copies import copies_folder, dated_copies, go_back, make_dated_copy
from explorer.records.corrections import mark
from explorer.records.opening import open_record
from explorer.records.past import changes_of

SAYS = {"who": "M. Oak", "why": "The laboratory sent another file"}


@pytest.fixture
def path(listed, tmp_path) -> Path:
    made = tmp_path / "lakes.gpkg"
    made.write_bytes(
        open_record(listed("HM1,2024-05-01,TP,12,ug/L", "HM2,2024-05-01,TP,9,ug/L")).path.read_bytes()
    )
    return made


def test_copy_is_the_record_as_it_was(path):
    copy = make_dated_copy(path)
    mark(path, 1, "rejected", **SAYS)
    assert (copy.version, copy.path.parent.name) == (1, "lakes copies")
    assert open_record(copy.path).history("HM1").readings["status"].tolist() == ["accepted"]
    assert dated_copies(path) == (copy,)


def test_oldest_copies_beyond_the_limit_go_and_what_a_crash_left(path, monkeypatch):
    monkeypatch.setattr(copies, "KEPT_COPIES", 3)
    make_dated_copy(path)
    left = copies_folder(path) / "a.part"
    left.write_bytes(b"x")
    os.utime(left, (0, 0))
    for number in range(4):
        mark(path, number + 1, "rejected", **SAYS)
        make_dated_copy(path)
    assert [each.version for each in dated_copies(path)] == [5, 4, 3]
    assert not left.exists()


def test_going_back_brings_everything_back_and_keeps_what_stood(path):
    before = open_record(path).history("HM1").readings
    copy = make_dated_copy(path)
    mark(path, 1, "rejected", **SAYS)
    assert go_back(path, copy.path.name, **SAYS) == 3
    record = open_record(path)
    assert record.version() == 3
    assert record.history("HM1").readings.equals(before)
    assert [(each.change_id, each.kind, each.who) for each in changes_of(record)] == [
        (1, "import", ""), (3, "went back", "M. Oak")]  # fmt: skip
    assert record.fetch_rows("PRAGMA integrity_check") == [("ok",)]
    kept = dated_copies(path)[0] if dated_copies(path)[0].version == 2 else dated_copies(path)[1]
    assert open_record(kept.path).history("HM1").readings["status"].tolist() == ["rejected"]


def test_copy_that_is_not_there_is_named_with_the_nearest(path):
    copy = make_dated_copy(path)
    with pytest.raises(RecordError, match=r"There is no copy .* Did you mean .*version 1"):
        go_back(path, copy.path.name.replace("version 1", "version 7"), **SAYS)
    with pytest.raises(RecordError, match="There are 1"):
        go_back(path, "/etc/passwd", **SAYS)


def test_damaged_copy_changes_nothing(path):
    copy = make_dated_copy(path)
    mark(path, 1, "rejected", **SAYS)
    copy.path.write_bytes(copy.path.read_bytes()[:20000])
    with pytest.raises(RecordError, match=r"version 1\.gpkg is damaged .* Nothing was changed"):
        go_back(path, copy.path, **SAYS)
    assert open_record(path).version() == 2


def test_copy_damaged_far_behind_its_beginning_changes_nothing(path):
    copy = make_dated_copy(path)
    other = sqlite3.connect(copy.path)
    size = other.execute("PRAGMA page_size").fetchone()[0]
    page = other.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'readings'").fetchone()[0]
    other.close()
    whole = bytearray(copy.path.read_bytes())
    whole[(page - 1) * size : (page - 1) * size + 200] = b"\xff" * 200
    copy.path.write_bytes(whole)
    with pytest.raises(RecordError, match=r"version 1\.gpkg is damaged .* Nothing was changed"):
        go_back(path, copy.path, **SAYS)
    assert open_record(path).version() == 1


@pytest.mark.parametrize("of", ["copy", "record"])
def test_going_back_passes_over_what_is_computed_in_another_form(path, of):
    copy = make_dated_copy(path)
    other = sqlite3.connect(copy.path if of == "copy" else path, isolation_level=None)
    other.execute("DROP TABLE score_summary")
    other.execute("ALTER TABLE trend_summary ADD COLUMN older TEXT")
    other.close()
    assert go_back(path, copy.path, **SAYS) == 2
    assert len(open_record(path).history("HM1").readings) == 1


def test_copy_on_a_full_disk_is_told_without_the_driver_s_words(path, monkeypatch):
    def full(source, target):
        raise OSError(errno.ENOSPC, "No space left on device", str(source), None, str(target))

    monkeypatch.setattr(shutil, "copyfile", full)
    with pytest.raises(RecordError) as caught:
        make_dated_copy(path)
    assert "copies (No space left on device). Nothing was changed. Check that the disk" in str(caught.value)
    assert list(copies_folder(path).glob("*")) == []


def test_copy_waits_for_a_writer_and_says_so_when_it_takes_too_long(path, monkeypatch):
    monkeypatch.setattr(connections, "BUSY_TIMEOUT_S", 0.05)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(RecordBusyError, match="Somebody is writing"):
        make_dated_copy(path)
    other.rollback()
    other.close()
    assert list(copies_folder(path).glob("*")) == []


def test_foreign_file_in_the_folder_is_no_copy(path):
    copies_folder(path).mkdir()
    (copies_folder(path) / "mine.gpkg").write_bytes(b"x")
    assert dated_copies(path) == ()
