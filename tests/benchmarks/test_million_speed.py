"""A million readings: unusual ones, medians and means with values below a limit, beside libraries.

On a quiet machine each takes less than two seconds. Run with `pytest -m benchmark`.
"""

import time
from collections.abc import Callable

import numpy as np
import pandas as pd
import pytest
from districts import make_district
from statsmodels.duration.survfunc import SurvfuncRight
from statsmodels.imputation.ros import impute_ros

from explorer.analysis.censored import censored_quantile
from explorer.analysis.censored_mean import ros_values
from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.model.programme import Programme

pytestmark = pytest.mark.benchmark

MILLION = 1_000_000
A_GROUP = 20  # values of one station, quantity and window
LIBRARY_GROUPS = 20  # a library takes one group at a time: so many are enough to know its time for each
LIMIT = 4.5  # one value in six lies below it
STATIONS, YEARS, MONTHS = 2000, 25, (5, 6, 7, 8, 9)
CODES = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen")

Report = Callable[[str, float, str, float], float]


def best_time(work: Callable[[], object], rounds: int = 5) -> float:
    """Return the processor's time of the shortest of some rounds: all of it runs in one thread. [s]"""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


@pytest.fixture(scope="module")
def values() -> pd.DataFrame:
    """Lognormal values, those below the limit at it; `group` in any order."""
    rng = np.random.default_rng(1)
    drawn = rng.lognormal(2.0, 0.5, MILLION)
    group = rng.permutation(np.arange(MILLION) // A_GROUP)
    return pd.DataFrame({"group": group, "value": np.maximum(drawn, LIMIT), "below": drawn < LIMIT})


def one_by_one(values: pd.DataFrame, work: Callable[[pd.DataFrame], object]) -> float:
    """Return the time that a library would take for all groups, from some of them. [s]"""
    some = [frame for _, frame in values[values["group"] < LIBRARY_GROUPS].groupby("group")]
    return best_time(lambda: [work(frame) for frame in some]) * MILLION / A_GROUP / LIBRARY_GROUPS


def test_medians_of_a_million_values_beside_statsmodels(values: pd.DataFrame, report: Report) -> None:
    low = values["value"].where(~values["below"], 0.0).to_numpy()
    ours = best_time(lambda: censored_quantile(low, values["value"], values["group"]))
    library = one_by_one(values, lambda each: SurvfuncRight(-each["value"], ~each["below"]).quantile(0.5))
    assert report("Kaplan-Meier medians, 1e6 values", ours, "statsmodels SurvfuncRight", library) < 0.3


def test_ros_of_a_million_values_beside_statsmodels(values: pd.DataFrame, report: Report) -> None:
    low = values["value"].where(~values["below"], 0.0).to_numpy()
    ours = best_time(lambda: ros_values(low, values["value"], values["group"]))
    library = one_by_one(values, lambda each: impute_ros("value", "below", each))
    assert report("ROS, 1e6 values", ours, "statsmodels impute_ros", library) < 0.01


def million_readings() -> pd.DataFrame:
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


def test_a_million_readings_are_judged_beside_pandas(report: Report) -> None:
    """The yardstick only ranks each reading among those of its month: no trend, limit, spread or visit."""
    readings = million_readings()
    assert len(readings) == MILLION
    ours = best_time(lambda: departures(readings, Programme()))
    month = readings["taken_on"].dt.month
    ranked = best_time(lambda: readings.groupby(["station_code", "quantity", month])["value"].rank())
    assert report("unusual readings, 1e6 readings", ours, "pandas ranks within months", ranked) < 7.0


def test_an_unusual_reading_is_explained_beside_the_search(report: Report) -> None:
    district = make_district(5, waters=40, years=20)
    found = departures(district.readings, district.programme)
    search = best_time(lambda: departures(district.readings, district.programme), 3)
    told = explain(district.readings, found, district.stations, district.programme, visits=district.visits)
    ours = best_time(
        lambda: explain(
            district.readings, found, district.stations, district.programme, visits=district.visits
        ),
        3,
    )
    assert report(f"evidence of {len(told)} unusual readings", ours, "finding them", search) < 30.0
