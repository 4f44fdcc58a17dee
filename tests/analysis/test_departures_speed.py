"""A million readings in under two seconds; run with `pytest -m benchmark -s`."""

import time

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.model.programme import Programme

from .districts import make_district

STATIONS, YEARS, MONTHS = 2000, 25, (5, 6, 7, 8, 9)
CODES = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen")


def million() -> pd.DataFrame:
    """2 000 stations, 25 years, five visits a year, four quantities; one in twenty below its limit."""
    rng = np.random.default_rng(1)
    visits = STATIONS * YEARS * len(MONTHS)
    station = np.repeat([f"S{number}" for number in range(STATIONS)], YEARS * len(MONTHS))
    month = np.add.outer(np.arange(YEARS) * 12 + 360, np.array(MONTHS) - 1).ravel()
    day = np.tile(month, STATIONS).astype("datetime64[M]").astype("datetime64[D]") + rng.integers(
        0, 27, visits
    )
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


@pytest.mark.benchmark
def test_a_million_readings_are_judged_in_two_seconds():
    readings = million()
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        found = departures(readings, Programme())
        taken.append(time.perf_counter() - start)
    print(f"\n{len(readings)} readings: {min(taken):.2f} s, {found['marked'].mean():.4f} marked")
    assert len(readings) == 1_000_000
    assert min(taken) < 2.0


@pytest.mark.benchmark
def test_an_unusual_reading_is_explained_in_five_milliseconds():
    district = make_district(5, waters=40, years=20)
    found = departures(district.readings, district.programme)
    start = time.perf_counter()
    told = explain(district.readings, found, district.stations, district.programme, visits=district.visits)
    each = (time.perf_counter() - start) / len(told)
    print(f"\n{len(told)} unusual of {len(district.readings)} readings: {1000 * each:.2f} ms each")
    assert each < 0.005
