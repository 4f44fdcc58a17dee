"""How fast a season's files are read: 20 000 rows of a data sheet, as text and as a workbook.

Run with `pytest -m benchmark -s tests/benchmarks/test_reading_speed.py`.
"""

import csv
import io
from collections.abc import Callable

import openpyxl
import pytest
from best_times import best_time

from explorer.intake.reading import read_file
from explorer.intake.sample_codes import sample_code
from explorer.intake.station_names import StationNames
from explorer.model.places import Lake, Station

pytestmark = pytest.mark.benchmark

Report = Callable[[str, float, str, float], float]

ROWS = 20_000
# Of the processor's time that pandas takes to put the cells of the same text into a database one by one, and
# openpyxl to read the same workbook; on a quiet machine 3 s and 5 s at most, of 5 s and 8 s of a check-in.
TEXT_TIMES, WORKBOOK_TIMES = 8.0, 3.0
NAN = float("nan")
STATIONS = StationNames(
    {f"A{n}": Station(f"A{n}", f"Mere, {n}", "ME", NAN, NAN, NAN, False) for n in range(300)},
    {"ME": Lake("ME", "Mere", "lake", frozenset(), NAN, NAN, NAN)},
)


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


def test_twenty_thousand_rows_of_text_are_read_within_their_share(
    rows: list[list[str]], report: Report, store_cells: Callable[[bytes], None]
) -> None:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    content = text.getvalue().encode()
    found = read_file("sheet.csv", content, stations=STATIONS)
    assert (found.account.held, len(found.tables[0].entries)) == (0, 2 * ROWS)
    taken = best_time(lambda: read_file("sheet.csv", content, stations=STATIONS), 3)
    stored = best_time(lambda: store_cells(content), 3)
    assert report(f"reading {ROWS} rows of text", taken, "pandas storing cells", stored) < TEXT_TIMES


def test_twenty_thousand_rows_of_a_workbook_are_read_within_their_share(
    workbook: bytes, report: Report
) -> None:
    def alone() -> int:
        book = openpyxl.load_workbook(io.BytesIO(workbook), read_only=True, data_only=True)
        return sum(1 for _ in book.active.iter_rows(values_only=True))

    taken = best_time(lambda: read_file("sheet.xlsx", workbook, stations=STATIONS), 3)
    opened = best_time(alone, 3)
    assert report(f"reading a workbook of {ROWS} rows", taken, "openpyxl alone", opened) < WORKBOOK_TIMES
