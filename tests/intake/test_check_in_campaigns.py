"""Broken files, killed check-ins and two at once: no exception, no lost cell, the record whole."""

import multiprocessing
import random
import signal
import subprocess
import sys
import textwrap
import time
from datetime import date
from multiprocessing.synchronize import Barrier
from pathlib import Path

import pytest
from breaker import broken_file
from check_examples import B1, ONE, phosphorus

from explorer.intake.check_in import accept, check_in
from explorer.model.errors import RecordError
from explorer.records.copies import copies_folder
from explorer.records.opening import open_record
from explorer.records.record import Record

TODAY = date(2025, 12, 31)
BROKEN, BROKEN_LONG = 50, 10_000
FILES_AT_ONCE, FILES_AT_ONCE_LONG = 10, 25
ACCEPTED_EVERY = 5  # deliveries of which one lands


def break_files(record: Record, first: int, count: int, at_once: int) -> None:
    """Check broken files in, some at a time; what the breaker knows of their cells must come out."""
    seeds = range(first, first + count)
    for start in range(0, count, at_once):
        broken = [broken_file(seed) for seed in seeds[start : start + at_once]]
        stories = [each.story for each in broken]
        found = check_in([(each.name, each.content) for each in broken], record, today=TODAY)
        assert found.account.adds_up, stories
        for each, file in zip(broken, found.files, strict=True):
            assert file.account.adds_up, each.story
            if each.cells >= 0 and file.state != "known":
                filled = file.account.read - file.account.empty
                assert each.cells - each.nothing <= filled <= each.cells, each.story
        assert all(str(problem) for problem in found.problems), stories
        assert not set(found.accepted.index) & set(found.held.index), stories
        if start % (at_once * ACCEPTED_EVERY) == 0:
            version = accept(record, found, who="M. Oak")
            landed = record.fetch_rows("SELECT count(*) FROM readings WHERE entered_in = ?", (version,))
            assert landed == [(len(found.accepted) + len(found.held),)] or found.brings_nothing, stories
    assert record.fetch_rows("PRAGMA integrity_check") == [("ok",)]


def test_broken_files_end_with_every_cell_accounted_for(county):
    break_files(county, 0, BROKEN, FILES_AT_ONCE)


@pytest.mark.long
@pytest.mark.parametrize("part", range(10))
def test_ten_thousand_broken_files_end_with_every_cell_accounted_for(county, part):
    break_files(county, part * BROKEN_LONG // 10, BROKEN_LONG // 10, FILES_AT_ONCE_LONG)


CHECKING_IN = """
    import sys
    from pathlib import Path
    from explorer.intake.check_in import accept, check_in
    from explorer.records.opening import open_record
    record = open_record(Path(sys.argv[1]))
    print("open", flush=True)
    for number in range(int(sys.argv[2]), 1000):
        lines = "".join(f"CL{n},2025-06-{n + 10},{number % 7 + 1}.{n},note\\n" for n in range(1, 6))
        text = f"Station,Date,Turbidity (NTU),Notes\\n{lines}\\nnumber {number}\\n"
        found = check_in({f"{number}.csv": text.encode()}, record)
        accept(record, found, who="M. Oak")
        print(number, flush=True)
"""


def kill_a_check_in(path: Path, after_s: float, first: int) -> int:
    """Kill a process that checks one file in after another; return how many changes the record has."""
    before = open_record(path)
    version = before.version()
    before.close()
    command = [sys.executable, "-c", textwrap.dedent(CHECKING_IN), str(path), str(first)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "open\n"
    time.sleep(after_s)
    process.send_signal(signal.SIGKILL)
    finished = len(process.communicate()[0].split())
    record = open_record(path)
    now = record.version()
    assert now - version in (finished, finished + 1)
    for table, key in (("changes", "change_id"), ("files", "entered_in")):
        assert record.fetch_rows(f"SELECT count(DISTINCT {key}) FROM {table}") == [(now,)]
    of_changes = record.fetch_rows("SELECT count(*) FROM readings WHERE entered_in > 1 GROUP BY entered_in")
    assert {row[0] for row in of_changes} <= {5}
    assert record.fetch_rows("PRAGMA integrity_check") == [("ok",)]
    record.close()
    for copy in copies_folder(path).glob("*.gpkg"):
        opened = open_record(copy)  # a copy is whole, or it is none
        assert opened.fetch_rows("PRAGMA integrity_check") == [("ok",)]
        opened.close()
        copy.unlink()
    return now


def killed(path: Path, times: int, seed: int) -> None:
    chance, first = random.Random(seed), 0
    for _ in range(times):
        first += 100
        kill_a_check_in(path, chance.uniform(0.0, 1.2), first)


def test_check_in_killed_at_any_moment_leaves_whole_changes_only(county):
    killed(county.path, 2, 1)


@pytest.mark.long
def test_a_hundred_killed_check_ins_leave_whole_changes_only(county):
    killed(county.path, 100, 2)


def _check_in(path: str, name: str, told: "multiprocessing.Queue[tuple[str, str]]", ready: Barrier) -> None:
    record = open_record(Path(path))
    text = f"Station,Date,Secchi (m),Observer\nCL1,2025-06-10,4.0,{name}\n"
    found = check_in({f"{name}.csv": text.encode()}, record, today=TODAY)
    ready.wait(60)
    try:
        accept(record, found, who=name)
        told.put((name, "landed"))
    except RecordError as error:
        told.put((name, str(error)))
    record.close()


def race(path: Path) -> None:
    """Two people who look at the same record, and let land at the same moment."""
    context = multiprocessing.get_context("spawn")
    told: multiprocessing.Queue[tuple[str, str]] = context.Queue()
    ready = context.Barrier(2)
    people = [context.Process(target=_check_in, args=(str(path), name, told, ready)) for name in "AB"]
    for each in people:
        each.start()
    answers = dict(told.get(timeout=60) for _ in people)
    for each in people:
        each.join(60)
    landed = {name for name, answer in answers.items() if answer == "landed"}
    assert landed, answers
    assert all(answer == "landed" or "try again" in answer.casefold() for answer in answers.values()), answers
    record = open_record(path)
    now = record.history("CL1").readings.query("taken_on >= '2025'")
    assert set(now["observer"]) == landed
    assert record.version() == 1 + len(landed)
    record.close()


def test_two_check_ins_at_once_both_land_or_one_is_told_to_try_again(county):
    race(county.path)


@pytest.mark.long
def test_fifty_races_of_two_check_ins_lose_nothing(county, tmp_path):
    for number in range(50):
        path = tmp_path / f"{number}.gpkg"
        path.write_bytes(county.path.read_bytes())
        race(path)


def test_somebody_who_writes_meanwhile_is_waited_for_or_named(county):
    found = check_in({"a.csv": ONE.encode()}, county, today=TODAY)
    accept(county, check_in({"b.csv": phosphorus(f"{B1},25,4,2025-06-20").encode()}, county), who="A. Elm")
    with pytest.raises(RecordError, match=r"A. Elm changed .* try again"):
        accept(county, found, who="M. Oak")
