"""How fast a season's files are read: 20 000 rows of a data sheet, as text and as a workbook.

Run with `pytest -m benchmark -s tests/benchmarks/test_reading_speed.py`.
"""

import csv
import io
import time
from collections.abc import Callable

import openpyxl
import pytest

from explorer.intake.reading import read_file
from explorer.intake.sample_codes import sample_code
from explorer.intake.station_names import StationNames
from explorer.model.places import Lake, Station

pytestmark = pytest.mark.benchmark

ROWS = 20_000
TEXT_LIMIT_S, WORKBOOK_LIMIT_S = 3.0, 5.0  # of the 5 s and 8 s that a whole check-in may take
NAN = float("nan")
STATIONS = StationNames(
    {f"A{n}": Station(f"A{n}", f"Mere, {n}", "ME", NAN, NAN, NAN, False) for n in range(300)},
    {"ME": Lake("ME", "Mere", "lake", frozenset(), NAN, NAN, NAN)},
)


def best_time(work: Callable[[], object], rounds: int = 3) -> float:
    """Return the shortest of some rounds, the one least disturbed by other work. [s]"""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture(scope="module")
def rows() -> list[list[str]]:
    heading = [
        "Site",
        "Date",
        "Time",
        "Secchi (ft)",
        "Bottom (ft)",
        "Temp F",
        "Bottle",
        "Filter",
        "mL",
        "Observer",
        "Sky",
        "Notes",
    ]
    body = []
    for n in range(ROWS):
        serial = (2000 + n // 1000, n % 1000)
        depth = f"{n % 20 + 1}'{n % 12}\"" if n % 2 else f"{n % 290 / 10 + 1:.2f}"
        cells = [
            f"A{n % 300}",
            f"{n % 12 + 1}/{n % 28 + 1}/24",
            f"{8 + n % 9}:{n % 60:02d}",
            depth,
            f"{n % 50 + 20}",
        ]
        cells += [f"{50 + n % 300 / 10:.1f}", sample_code(*serial, 1), sample_code(*serial, 2), "500"]
        body.append([*cells, f"V{n % 40}", "sun", f"note {n}" if n % 5 == 0 else ""])
    return [heading, *body]


@pytest.fixture(scope="module")
def workbook(rows: list[list[str]]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([float(cell) if cell.replace(".", "", 1).isdigit() else cell for cell in row])
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def test_twenty_thousand_rows_of_text_are_read_within_their_share(rows: list[list[str]]) -> None:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    content = text.getvalue().encode()
    found = read_file("sheet.csv", content, stations=STATIONS)
    assert (found.account.held, len(found.tables[0].entries)) == (0, 2 * ROWS)
    taken = best_time(lambda: read_file("sheet.csv", content, stations=STATIONS))
    split = best_time(lambda: list(csv.reader(io.StringIO(text.getvalue()))))
    print(f"\n{ROWS} rows of text: {taken:.2f} s, {taken / split:.0f} times the splitting into cells")
    assert taken < TEXT_LIMIT_S


def test_twenty_thousand_rows_of_a_workbook_are_read_within_their_share(workbook: bytes) -> None:
    def alone() -> int:
        book = openpyxl.load_workbook(io.BytesIO(workbook), read_only=True, data_only=True)
        return sum(1 for _ in book.active.iter_rows(values_only=True))

    taken = best_time(lambda: read_file("sheet.xlsx", workbook, stations=STATIONS))
    opened = best_time(alone)
    print(f"\n{ROWS} rows of a workbook: {taken:.2f} s, {taken / opened:.1f} times its opening by openpyxl")
    assert taken < WORKBOOK_LIMIT_S
