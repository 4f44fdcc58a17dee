"""Medians and means of a million values, some below a limit, beside a library that takes a group at a time.

On a quiet machine each takes less than a second. Run with `pytest -m benchmark`.
"""

from collections.abc import Callable

import numpy as np
import pandas as pd
import pytest
from best_times import best_time
from statsmodels.duration.survfunc import SurvfuncRight
from statsmodels.imputation.ros import impute_ros

from explorer.analysis.censored import censored_quantile
from explorer.analysis.censored_mean import ros_values

pytestmark = pytest.mark.benchmark

MILLION = 1_000_000
A_GROUP = 20  # values of one station, quantity and window
LIBRARY_GROUPS = 20  # a library takes one group at a time: so many are enough to know its time for each
LIMIT = 4.5  # one value in six lies below it

Report = Callable[[str, float, str, float], float]


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
    return best_time(lambda: [work(frame) for frame in some], 5) * MILLION / A_GROUP / LIBRARY_GROUPS


def test_medians_of_a_million_values_beside_statsmodels(values: pd.DataFrame, report: Report) -> None:
    low = values["value"].where(~values["below"], 0.0).to_numpy()
    ours = best_time(lambda: censored_quantile(low, values["value"], values["group"]), 5)
    library = one_by_one(values, lambda each: SurvfuncRight(-each["value"], ~each["below"]).quantile(0.5))
    assert report("Kaplan-Meier medians, 1e6 values", ours, "statsmodels SurvfuncRight", library) < 0.3


def test_ros_of_a_million_values_beside_statsmodels(values: pd.DataFrame, report: Report) -> None:
    low = values["value"].where(~values["below"], 0.0).to_numpy()
    ours = best_time(lambda: ros_values(low, values["value"], values["group"]), 5)
    library = one_by_one(values, lambda each: impute_ros("value", "below", each))
    assert report("ROS, 1e6 values", ours, "statsmodels impute_ros", library) < 0.01
