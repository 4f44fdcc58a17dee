"""Keeps what benchmarks measured and prints it, each beside a yardstick of the same run, at the end."""

import io
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import large_record
import numpy as np
import pandas as pd
import pytest

from explorer.intake.refresh import refresh
from explorer.records.opening import open_record
from explorer.records.record import Record

LINES = pytest.StashKey[list[str]]()

Report = Callable[[str, float, str, float], float]


def pytest_configure(config: pytest.Config) -> None:
    config.stash[LINES] = []


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    lines = terminalreporter.config.stash[LINES]
    if lines:
        terminalreporter.section("measured, beside a yardstick of the same run")
        for line in lines:
            terminalreporter.write_line(line)


@pytest.fixture
def report(request: pytest.FixtureRequest) -> Report:
    """Note down a time of ours and one of a yardstick in seconds; return how many times ours is as long."""

    def note(what: str, ours_s: float, yardstick: str, yardstick_s: float) -> float:
        ratio = ours_s / yardstick_s
        request.config.stash[LINES].append(
            f"{what}: {ours_s * 1e3:.3g} ms, {ratio:.2g} times {yardstick} ({yardstick_s * 1e3:.3g} ms)"
        )
        return ratio

    return note


@pytest.fixture
def remark(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Note down a line."""
    return request.config.stash[LINES].append


def median_time(work: Callable[[], object], rounds: int) -> float:
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


@pytest.fixture
def timed() -> Callable[[Callable[[], object], int], float]:
    """Return the median time of so many rounds. [s]"""
    return median_time


@pytest.fixture(scope="session")
def store_cells() -> Callable[[bytes], None]:
    """What pandas does with a text: its cells go into a database, one a row. A yardstick for reading."""

    def store(text: bytes) -> None:
        cells = pd.read_csv(io.BytesIO(text), dtype=str, keep_default_na=False).reset_index().melt("index")
        with closing(sqlite3.connect(":memory:")) as database:
            cells.to_sql("cells", database)

    return store


@pytest.fixture(scope="session")
def make_record(tmp_path_factory: pytest.TempPathFactory) -> Callable[[int, int], Path]:
    """Return a function that makes a record of so many stations with so many readings a panel."""
    folder = tmp_path_factory.mktemp("records")

    def make(stations: int, per_quantity: int) -> Path:
        path = folder / f"{stations}_by_{per_quantity}.gpkg"
        if not path.exists():
            large_record.make_large_record(path, stations=stations, per_quantity=per_quantity)
            opened = open_record(path)
            refresh(opened)
            opened.close()
        return path

    return make


@pytest.fixture(scope="session")
def million(make_record: Callable[[int, int], Path]) -> Path:
    """A record of a million readings: 500 stations, 4 quantities, 500 readings each."""
    return make_record(500, 500)


@pytest.fixture
def million_open(million: Path) -> Iterator[Record]:
    record = open_record(million)
    yield record
    record.close()
