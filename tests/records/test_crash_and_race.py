"""Writers killed in the middle, and two at once: the record is as before or as after, and says so."""

import multiprocessing
import os
import signal
import sqlite3
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from explorer.model.errors import RecordBusyError, RecordError
from explorer.model.places import Lake
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES, empty_frame
from explorer.records import connections
from explorer.records.cache import build_record
from explorer.records.corrections import mark
from explorer.records.ledger import Arrival, create_record, enter
from explorer.records.opening import open_record
from explorer.records.settings_entry import change_settings

NAN = float("nan")

# Writes with so small a page cache that pages of the open transaction reach the file, then waits.
WRITER = """
    import sqlite3, sys, time
    raw = sqlite3.connect(sys.argv[1], isolation_level=None)
    raw.execute("PRAGMA cache_size = 2")
    raw.execute("BEGIN IMMEDIATE")
    raw.execute("UPDATE readings SET value = -1, as_written = 'broken'")
    raw.execute("UPDATE record_info SET version = 99")
    print("written", flush=True)
    time.sleep(60)
"""

# Enters lakes one change after another until it is killed; says which it has finished.
ENTERING = """
    import sys
    from pathlib import Path
    from explorer.model.places import Lake
    from explorer.model.readings import ENTRIES, empty_frame
    from explorer.records.ledger import Arrival, enter
    for number in range(1000):
        lake = Lake(f"L{number}", "x" * 3000, "lake", frozenset(), float("nan"), float("nan"), float("nan"))
        arrival = Arrival((lake,), {}, (), empty_frame(ENTRIES), {f"{number}.csv": b"%d" % number * 5000})
        enter(Path(sys.argv[1]), arrival, kind="import", who="", why="")
        print(number + 1, flush=True)
"""


@pytest.fixture
def path(tmp_path, large_record) -> Path:
    made = tmp_path / "record.gpkg"
    made.write_bytes(large_record(40, 20).read_bytes())
    return made


def run(script: str, path: Path) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", textwrap.dedent(script), str(path)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def leave_a_hot_journal(path: Path) -> None:
    process = run(WRITER, path)
    assert process.stdout is not None
    assert process.stdout.readline() == "written\n"
    process.send_signal(signal.SIGKILL)
    process.communicate()
    journal = path.with_name(path.name + "-journal")
    assert journal.stat().st_size > 512
    content = path.read_bytes()
    assert b"broken" in content, "nothing of the broken change reached the file: the test would prove nothing"


def test_record_of_a_killed_writer_opens_as_it_was_before(path):
    before = [row for frame in open_record(path).chunks() for row in frame["value"]]
    leave_a_hot_journal(path)
    record = open_record(path)
    assert record.version() == 1
    assert [row for frame in record.chunks() for row in frame["value"]] == before
    assert not path.with_name(path.name + "-journal").exists()


def test_killed_writer_does_not_keep_the_next_one_from_writing(path):
    leave_a_hot_journal(path)
    lake = Lake("NEW", "New", "lake", frozenset(), NAN, NAN, NAN)
    version = enter(path, Arrival((lake,), {}, (), empty_frame(ENTRIES), {}), kind="import", who="", why="")
    assert version == 2
    assert "NEW" in open_record(path).lakes()


def test_record_that_may_not_be_put_right_is_told(path, monkeypatch):
    leave_a_hot_journal(path)

    def forbidden(*arguments: object, **options: object) -> None:
        raise sqlite3.OperationalError("attempt to write a readonly database")

    monkeypatch.setattr(connections.sqlite3, "connect", forbidden)
    with pytest.raises(RecordError, match="left in the middle of a change, and this account may not"):
        open_record(path)


def kill_while_entering(path: Path, after_s: float) -> None:
    create_record(path, "", QUANTITIES.values())
    process = run(ENTERING, path)
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(after_s)
    process.send_signal(signal.SIGKILL)
    finished = 1 + len(process.communicate()[0].split())
    record = open_record(path)
    version = record.version()
    assert version in (finished, finished + 1)
    for table in ("lakes", "files", "changes"):
        assert record.fetch_rows(f"SELECT count(*) FROM {table}") == [(version,)]
    assert record.fetch_rows("PRAGMA integrity_check") == [("ok",)]
    record.close()


def test_writer_killed_at_any_moment_leaves_whole_changes_only(tmp_path):
    for number in range(3):
        kill_while_entering(tmp_path / f"{number}.gpkg", 0.013 * number)


@pytest.mark.long
def test_a_hundred_killed_writers_leave_whole_changes_only(tmp_path):
    for number in range(100):
        kill_while_entering(tmp_path / f"{number}.gpkg", 0.0017 * number)


def _enter_lakes(path: str, name: str, count: int, told: "multiprocessing.Queue[str]") -> None:
    for number in range(count):
        lake = Lake(f"{name}{number}", name, "lake", frozenset(), NAN, NAN, NAN)
        arrival = Arrival((lake,), {}, (), empty_frame(ENTRIES), {})
        try:
            enter(Path(path), arrival, kind="import", who=name, why="")
            told.put("landed")
        except RecordError as error:
            told.put(str(error))


def race(path: Path, count: int) -> None:
    create_record(path, "", QUANTITIES.values())
    context = multiprocessing.get_context("spawn")
    told: multiprocessing.Queue[str] = context.Queue()
    writers = [context.Process(target=_enter_lakes, args=(str(path), name, count, told)) for name in "AB"]
    for writer in writers:
        writer.start()
    answers = [told.get(timeout=60) for _ in range(2 * count)]
    for writer in writers:
        writer.join(60)
    landed = answers.count("landed")
    assert all(answer == "landed" or "Try again" in answer for answer in answers)
    record = open_record(path)
    assert record.version() == landed
    assert len(record.lakes()) == landed
    record.close()


def test_two_writers_at_once_both_land_or_are_told_to_try_again(tmp_path):
    race(tmp_path / "record.gpkg", 10)


@pytest.mark.long
def test_fifty_races_of_two_writers_lose_nothing(tmp_path):
    for number in range(50):
        race(tmp_path / f"{number}.gpkg", 5)


def test_writer_that_finds_the_record_locked_is_told_to_try_again(path, monkeypatch):
    monkeypatch.setattr(connections, "BUSY_TIMEOUT_S", 0.05)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    lake = Lake("NEW", "New", "lake", frozenset(), NAN, NAN, NAN)
    with pytest.raises(RecordError, match=r"Somebody else is writing to .* Try again in a minute"):
        enter(path, Arrival((lake,), {}, (), empty_frame(ENTRIES), {}), kind="import", who="", why="")
    assert len(open_record(path).station_list()) == 40  # reading goes on meanwhile
    other.rollback()
    other.close()
    assert open_record(path).version() == 1


def test_record_that_is_being_written_is_said_to_be_so_not_to_be_damaged(path, monkeypatch):
    monkeypatch.setattr(connections, "BUSY_TIMEOUT_S", 0.05)
    record = open_record(path)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    for read in (lambda: open_record(path), record.version, lambda: record.history("S0001")):
        with pytest.raises(RecordBusyError, match=r"Somebody is writing to .* just now\. Try again"):
            read()
    other.rollback()
    other.close()
    assert record.version() == open_record(path).version() == 1


@pytest.mark.parametrize(
    "change",
    [
        lambda where: mark(where, 1, "held", who="A", why="b"),
        lambda where: enter(
            where, Arrival((), {}, (), empty_frame(ENTRIES), {}), kind="import", who="", why=""
        ),
        lambda where: change_settings(where, "", who="A", why="b"),
    ],
)
def test_change_of_a_record_that_was_moved_away_leaves_no_empty_file(change, tmp_path):
    with pytest.raises(RecordError, match=r"Nothing was changed\. Check that"):
        change(tmp_path / "moved.gpkg")
    assert list(tmp_path.glob("*.gpkg")) == []


def test_record_on_a_network_drive_is_not_written_to(path, monkeypatch, tmp_path):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"disk / ext4 rw 0 0\nserver:/x {tmp_path.as_posix()} nfs4 rw 0 0\n")
    monkeypatch.setattr(connections, "_MOUNTS", mounts)
    with pytest.raises(RecordError, match=r"network drive.* Copy it to a disk of this computer"):
        enter(path, Arrival((), {}, (), empty_frame(ENTRIES), {}), kind="import", who="", why="")
    assert open_record(path).version() == 1


def _build(place: str, cache: str, told: "multiprocessing.Queue[str]") -> None:
    os.environ["STATION_EXPLORER_CACHE"] = cache
    told.put(str(build_record(Path(place))))


def test_two_people_who_open_the_same_folder_at_once_get_the_same_record(listed, own_cache):
    place = listed(*(f"HM1,2024-05-{day:02d},TP,12,ug/L" for day in range(1, 30)))
    context = multiprocessing.get_context("spawn")
    told: multiprocessing.Queue[str] = context.Queue()
    builders = [context.Process(target=_build, args=(str(place), str(own_cache), told)) for _ in range(3)]
    for builder in builders:
        builder.start()
    built = {told.get(timeout=60) for _ in builders}
    for builder in builders:
        builder.join(60)
    assert len(built) == 1
    assert [path.name for path in own_cache.iterdir()] == [Path(built.pop()).name]
    assert open_record(place).history("HM1").readings["value"].tolist() == [12.0] * 29
