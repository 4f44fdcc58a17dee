"""How long the unusual readings of a whole record take, at first and after one mark, and how much memory."""

import re
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import districts
import large_record
import numpy as np
import pandas as pd
import pytest
from best_times import best_time

from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.intake.current_departures import current_departures
from explorer.intake.refresh import refresh
from explorer.model.programme import Programme
from explorer.records.marks import mark_reading
from explorer.records.opening import open_record

pytestmark = pytest.mark.benchmark

STATIONS, SEASONS = 500, 20  # of five visits, four quantities each
YEARS, MONTHS = 25, (5, 6, 7, 8, 9)
CODES = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen")


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record of which nothing is stored."""
    path = tmp_path_factory.mktemp("departures") / "large.gpkg"
    return large_record.make_large_record(path, stations=STATIONS, seasons=SEASONS)


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="no /proc: the peak cannot be read")
def test_unusual_readings_take_little_memory(large: Path, remark: Callable[[str], None]) -> None:
    code = (
        "from explorer.intake.current_departures import current_departures as ask; "
        f"from explorer.records.opening import open_record; ask(open_record({str(large)!r})); "
        "print(open('/proc/self/status').read())"
    )
    run = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    peak = int(re.findall(r"VmHWM:\s+(\d+) kB", run.stdout)[0]) / 1024
    remark(f"unusual readings of {STATIONS} stations, {SEASONS} years, peak memory: {peak:.0f} MB")
    assert peak < 240


def test_a_mark_takes_less_than_reading_all_readings(
    large: Path, report: Callable[[str, float, str, float], float]
) -> None:
    record = open_record(large)
    start = time.process_time()
    for _ in record.chunks():
        pass
    reading_s = time.process_time() - start
    refresh(record)
    picked = int(current_departures(record)["reading_id"].iloc[0])
    mark_reading(record, picked, "accept", who="M. Oak", remark="Seen")
    start = time.process_time()
    current_departures(record)
    after_s = time.process_time() - start
    record.close()
    assert report("unusual readings after a mark", after_s, "reading all readings", reading_s) < 0.7


def million() -> pd.DataFrame:
    """2 000 stations, 25 years, five visits a year, four quantities; one in twenty below its limit."""
    rng = np.random.default_rng(1)
    visits = 2000 * YEARS * len(MONTHS)
    station = np.repeat([f"S{number}" for number in range(2000)], YEARS * len(MONTHS))
    month = np.add.outer(np.arange(YEARS) * 12 + 360, np.array(MONTHS) - 1).ravel()
    day = np.tile(month, 2000).astype("datetime64[M]").astype("datetime64[D]") + rng.integers(0, 27, visits)
    parts = []
    for code in CODES:
        value = np.exp(rng.normal(2.0, 0.3, visits))
        limit = np.quantile(value, 0.05)
        below = value < limit
        parts.append(pd.DataFrame({
            "station_code": station, "quantity": code, "taken_on": day.astype("datetime64[ms]"),
            "value": np.maximum(value, limit), "sign": np.where(below, "<", "="), "stratum": "surface",
            "status": "accepted", "sample_type": "routine", "method": "",
        }))  # fmt: skip
    whole = pd.concat(parts, ignore_index=True)
    texts = ["station_code", "quantity", "sign", "stratum", "status", "sample_type", "method"]
    return whole.astype(dict.fromkeys(texts, "str")).assign(reading_id=np.arange(len(whole)))


def test_a_million_readings_are_judged_in_a_few_times_as_long_as_they_are_ranked(
    report: Callable[[str, float, str, float], float],
) -> None:
    """Two seconds on a quiet machine. The yardstick knows no trend, limit, spread or visit."""
    readings = million()
    assert len(readings) == 1_000_000
    keys = [readings["station_code"], readings["quantity"], readings["taken_on"].dt.month]
    ranks_s = best_time(lambda: readings.groupby(keys)["value"].rank(), 3, time.perf_counter)
    ours_s = best_time(lambda: departures(readings, Programme()), 3, time.perf_counter)
    assert report("a million readings judged", ours_s, "their ranks by series and month", ranks_s) < 5.5


def test_an_unusual_reading_is_explained_in_a_fraction_of_judging_all(
    report: Callable[[str, float, str, float], float],
) -> None:
    district = districts.make_district(5, waters=40, years=20)
    start = time.perf_counter()
    found = departures(district.readings, district.programme)
    judging_s = time.perf_counter() - start
    start = time.perf_counter()
    told = explain(district.readings, found, district.stations, district.programme, visits=district.visits)
    each_s = (time.perf_counter() - start) / len(told)
    assert report("an unusual reading explained", each_s, f"judging {len(found)} readings", judging_s) < 0.05
