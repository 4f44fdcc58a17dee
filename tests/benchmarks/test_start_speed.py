"""How long it takes to import the explorer, to open a million readings, and to answer a click in Python."""

import itertools
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.widgets import StationExplorer

pytestmark = pytest.mark.benchmark

ROUNDS = 7
BARE_ROWS = "SELECT value, sign, taken_on FROM readings WHERE station_id = ? AND left_in IS NULL"


def start_python(code: str) -> Callable[[], object]:
    return lambda: subprocess.run([sys.executable, "-c", code], check=True)


def test_import_of_the_package_takes_a_part_of_importing_pandas(
    benchmark: Any, timed: Any, report: Any
) -> None:
    benchmark.pedantic(start_python("import explorer"), rounds=ROUNDS, warmup_rounds=1)
    pandas = timed(start_python("import pandas"), ROUNDS)
    assert report("import explorer", benchmark.stats.stats.median, "import pandas", pandas) < 0.5


def test_import_of_the_screen_costs_little_beside_its_libraries(
    benchmark: Any, timed: Any, report: Any
) -> None:
    benchmark.pedantic(
        start_python("from explorer.widgets import StationExplorer"), rounds=ROUNDS, warmup_rounds=1
    )
    libraries = "import pandas, sqlalchemy, scipy.special, ipywidgets, ipyleaflet, bqplot, anywidget"
    theirs = timed(start_python(libraries), ROUNDS)
    assert report("import StationExplorer", benchmark.stats.stats.median, "its libraries", theirs) < 1.5


def test_opening_a_million_readings_takes_a_few_counts_of_them(
    benchmark: Any, timed: Any, report: Any, million: Path
) -> None:
    def count() -> int:
        with closing(sqlite3.connect(million)) as connection:
            return int(connection.execute("SELECT count(*) FROM readings").fetchone()[0])

    assert count() == 1_000_000
    benchmark.pedantic(lambda: open_record(million).close(), rounds=ROUNDS, warmup_rounds=1)
    yardstick = timed(count, ROUNDS)
    ratio = report("open 1e6 readings", benchmark.stats.stats.median, "sqlite3 connect + count", yardstick)
    assert ratio < 15  # 500 waters and 500 stations are read, and no reading


@pytest.mark.benchmark(timer=time.process_time)  # other work on the machine does not count
def test_python_part_of_a_click_at_a_million_readings_keeps_its_budget(
    benchmark: Any, timed: Any, report: Any, million_open: Record
) -> None:
    screen = StationExplorer(million_open)
    codes = itertools.cycle(station.code for station in million_open.station_list()[::17])

    def click() -> None:
        screen.station = next(codes)

    def fetch() -> None:
        million_open.fetch_rows(BARE_ROWS, (250,))

    benchmark.pedantic(click, rounds=60, warmup_rounds=5)
    report("Python part of a click", benchmark.stats.stats.median, "fetching the bare rows", timed(fetch, 60))
    assert benchmark.stats.stats.median < 2 * 0.025  # the budget is 25 ms; a slow machine may take twice that
