"""How long a season of 20 000 rows takes from its bytes into the record, and what it takes of memory.

Run with `pytest -m benchmark -s tests/benchmarks/test_check_in_speed.py`.
"""

import csv
import io
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest
from best_times import best_time
from large_record import make_large_record

from explorer.intake.check_in import accept, check_in
from explorer.intake.sample_codes import sample_code
from explorer.records.opening import open_record

pytestmark = pytest.mark.benchmark

Report = Callable[[str, float, str, float], float]

ROWS, STATIONS = 20_000, 500
# Of the processor's time that pandas takes to put the cells of the same text into a database one by one, and
# openpyxl to read the same workbook; on a quiet machine 5 s and 8 s at most.
TEXT_TIMES, WORKBOOK_TIMES, MEMORY_LIMIT_MB = 20.0, 4.5, 500.0
LARGE_SHARE = 1.5  # of the time into an empty record
TODAY = date(2029, 12, 31)
HEADINGS = [
    "Station",
    "Date",
    "Time",
    "Secchi (m)",
    "Temp (C)",
    "Bottle",
    "Filter",
    "mL",
    "Observer",
    "Sky",
    "Notes",
]


@pytest.fixture(scope="module")
def rows() -> list[list[str]]:
    """A data sheet as long as any: every station on 40 days, with its own bottles."""
    body = []
    for n in range(ROWS):
        day = date(2022, 1, 1) + timedelta(days=n // STATIONS * 7)
        codes = [sample_code(2000 + n // 1000, n % 1000, each) for each in (1, 2)]
        clarity = f"{2 + n * 7 % 41 / 10:.1f}"
        body.append([f"S{n % STATIONS:04d}", day.isoformat(), f"{8 + n % 9}:{n % 60:02d}", clarity,
                     f"{12 + n % 120 / 10:.1f}", *codes, "500", f"V{n % 40}", "sun", ""])  # fmt: skip
    return [HEADINGS, *body]


@pytest.fixture(scope="module")
def text(rows: list[list[str]]) -> bytes:
    written = io.StringIO()
    csv.writer(written).writerows(rows)
    return written.getvalue().encode()


@pytest.fixture(scope="module")
def workbook(rows: list[list[str]]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([float(cell) if cell.replace(".", "", 1).isdigit() else cell for cell in row])
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_large_record(
        tmp_path_factory.mktemp("empty") / "empty.gpkg", stations=STATIONS, per_quantity=0
    )


def taken_by(name: str, content: bytes, source: Path, place: Path, rounds: int = 2) -> float:
    """Return the processor's time of the shortest of some check-ins into fresh copies of a record. [s]"""
    times = []
    for number in range(rounds):
        path = place / f"{number}.gpkg"
        path.write_bytes(source.read_bytes())
        record = open_record(path)
        start = time.process_time()
        found = check_in({name: content}, record, today=TODAY)
        accept(record, found, who="M. Oak")
        times.append(time.process_time() - start)
        assert len(found.accepted) + len(found.held) == 2 * ROWS
        assert found.account.adds_up
        record.close()
    return min(times)


def test_twenty_thousand_rows_of_text_are_checked_in_in_a_few_times_as_storing_their_cells(
    text: bytes, empty: Path, tmp_path: Path, report: Report, store_cells: Callable[[bytes], None]
) -> None:
    taken = taken_by("sheet.csv", text, empty, tmp_path)
    stored = best_time(lambda: store_cells(text), 3)
    assert report(f"check-in of {ROWS} rows of text", taken, "pandas storing cells", stored) < TEXT_TIMES


def test_twenty_thousand_rows_of_a_workbook_are_checked_in_in_a_few_times_as_reading_them(
    workbook: bytes, empty: Path, tmp_path: Path, report: Report
) -> None:
    def read() -> None:
        book = openpyxl.load_workbook(io.BytesIO(workbook), read_only=True, data_only=True)
        list(book.active.iter_rows(values_only=True))

    taken = taken_by("sheet.xlsx", workbook, empty, tmp_path)
    ratio = report(f"check-in of a workbook of {ROWS} rows", taken, "openpyxl reading", best_time(read, 2))
    assert ratio < WORKBOOK_TIMES


def test_check_in_into_a_million_readings_takes_no_more_than_half_as_long_again(
    text: bytes, empty: Path, million: Path, tmp_path: Path, report: Report
) -> None:
    rounds = [  # in turn, so that other work disturbs both alike
        [taken_by("sheet.csv", text, source, tmp_path, rounds=1) for source in (empty, million)]
        for _ in range(3)
    ]
    into_empty, into_million = (min(times) for times in zip(*rounds, strict=True))
    assert report("check-in into a million", into_million, "into an empty record", into_empty) < LARGE_SHARE


MEMORY = """
    import sys
    from datetime import date
    from pathlib import Path
    from explorer.intake.check_in import accept, check_in
    from explorer.records.opening import open_record
    record = open_record(Path(sys.argv[1]))
    content = Path(sys.argv[2]).read_bytes()
    accept(record, check_in({"sheet.xlsx": content}, record, today=date(2029, 12, 31)), who="M. Oak")
    lines = Path("/proc/self/status").read_text().splitlines()
    print(next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024)
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="this system keeps no high-water mark")
def test_workbook_of_twenty_thousand_rows_takes_less_than_500_mb(
    workbook: bytes, empty: Path, tmp_path: Path, remark: Callable[[str], None]
) -> None:
    record, sheet = tmp_path / "record.gpkg", tmp_path / "sheet.xlsx"
    record.write_bytes(empty.read_bytes())
    sheet.write_bytes(workbook)
    command = [sys.executable, "-c", textwrap.dedent(MEMORY), str(record), str(sheet)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    remark(f"check-in of a workbook of {ROWS} rows, peak memory: {float(done.stdout):.0f} MB")
    assert float(done.stdout) < MEMORY_LIMIT_MB
