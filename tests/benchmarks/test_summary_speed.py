"""How long one row a station takes, from a record of which nothing is stored, and how much memory."""

import re
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import large_record
import pytest

from explorer.intake.record_summary import record_summary
from explorer.records.opening import open_record

pytestmark = pytest.mark.benchmark

SEASONS = 20  # of five visits, four quantities each


@pytest.fixture(scope="module")
def make(tmp_path_factory: pytest.TempPathFactory) -> Callable[[int], Path]:
    folder = tmp_path_factory.mktemp("summaries")

    def made(stations: int) -> Path:
        path = folder / f"{stations}.gpkg"
        return (
            path
            if path.exists()
            else large_record.make_large_record(path, stations=stations, seasons=SEASONS)
        )

    return made


@pytest.mark.parametrize(("stations", "most"), [(500, 3.5), (5000, 4.0)])
def test_summary_takes_few_times_as_long_as_reading_all(
    make: Callable[[int], Path], report: Callable[[str, float, str, float], float], stations: int, most: float
) -> None:
    """On a quiet machine 3 s at 500 stations and 60 s at 5 000."""
    record = open_record(make(stations))
    start = time.perf_counter()
    for _ in record.chunks():
        pass
    reading_s = time.perf_counter() - start
    start = time.perf_counter()
    frame = record_summary(record)
    summary_s = time.perf_counter() - start
    record.close()
    assert len(frame) == stations
    assert report(f"summary of {stations} stations", summary_s, "reading all readings", reading_s) < most


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="no /proc: the peak cannot be read")
def test_ten_times_the_stations_take_at_most_half_as_much_memory_again(
    make: Callable[[int], Path], tmp_path: Path, remark: Callable[[str], None]
) -> None:
    peaks = []
    for stations in (500, 5000):
        out = tmp_path / "out.csv"
        arguments = ["summary", "--record", str(make(stations)), "--out", str(out)]
        code = (
            f"from explorer.command import main; main({arguments}); print(open('/proc/self/status').read())"
        )
        run = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
        peaks.append(int(re.findall(r"VmHWM:\s+(\d+) kB", run.stdout)[0]) / 1024)
    remark(f"summary, peak memory: {peaks[0]:.0f} MB at 500 stations, {peaks[1]:.0f} MB at 5000")
    assert peaks[1] < 1.5 * peaks[0]
