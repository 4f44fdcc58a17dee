"""Duplicates: the published formula and limits, the edge where a relative limit ends, the pooled spread."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from explorer.analysis.duplicates import duplicate_pairs, pooled_precision, relative_percent_difference
from explorer.model.plan import DUPLICATES_PERCENT
from explorer.model.quality_rules import DUPLICATE_LIMIT_PERCENT

RULES = pd.read_csv(Path(__file__).parents[1] / "published" / "data_quality_rules.csv", dtype=str).set_index(
    "id"
)
POSITIVE = st.floats(1e-3, 1e6)


def samples(*results, limit=4.0, status="accepted"):
    """Return a sample and its duplicate: value and sign of each, with one reporting limit."""
    rows = []
    for place, (value, sign) in enumerate(results):
        kind = "routine" if place == 0 else "field duplicate"
        rows.append({
            "station_code": "A1", "quantity": "total_phosphorus", "taken_on": pd.Timestamp("2025-06-01"),
            "value": value, "sign": sign, "detection_limit": limit / 2, "reporting_limit": limit,
            "status": "accepted" if place == 0 else status, "sample_code": f"250019-{2 * place + 1}",
            "sample_type": kind, "parent_sample": "250019-1" if place else "", "method": "m", "batch": "B",
        })  # fmt: skip
    return pd.DataFrame(rows)


def judged(*results, **options):
    pair = duplicate_pairs(samples(*results, **options), 25.0)
    return pair.iloc[0] if len(pair) else None


def test_relative_percent_difference_agrees_with_the_published_formula() -> None:
    # DQ19: |a-b| / ((a+b)/2) x 100; DQ26 and DQ27: worked by arithmetic
    assert RULES.loc["DQ19", "value"] == "|a-b| / ((a+b)/2) x 100"
    assert relative_percent_difference([10.0], [12.0])[0] == pytest.approx(
        float(RULES.loc["DQ26", "value"]), abs=5e-5
    )
    assert np.isnan(relative_percent_difference([0.0], [0.0])[0])


def test_duplicate_limits_agree_with_table_a1() -> None:
    assert float(RULES.loc["DQ20", "value"]) == DUPLICATE_LIMIT_PERCENT
    assert float(RULES.loc["DQ22", "value"]) == DUPLICATES_PERCENT


@given(POSITIVE, POSITIVE, st.floats(1e-3, 1e3))
def test_relative_percent_difference_knows_no_order_and_no_unit(a: float, b: float, factor: float) -> None:
    percent = relative_percent_difference([a, b, a * factor], [b, a, b * factor])
    assert percent == pytest.approx([percent[0]] * 3)
    assert 0 <= percent[0] <= 200


@pytest.mark.parametrize(
    ("first", "second", "by", "agrees"),
    [
        ((20.0, "="), (25.0, "="), "percent", True),  # 22.2 %
        ((20.0, "="), (26.0, "="), "percent", False),  # 26.1 %
        ((4.0, "="), (5.2, "="), "percent", False),  # on the reporting limit: 26.1 %
        ((3.9, "="), (5.2, "="), "limit", True),  # below it: 1.3 apart, the limit is 4
        ((3.9, "="), (8.0, "="), "limit", False),  # 4.1 apart
        ((2.0, "<"), (2.0, "<"), "limit", True),
        ((2.0, "<"), (6.0, "="), "limit", True),  # 4 apart at least
        ((2.0, "<"), (6.1, "="), "limit", False),
        ((20.0, ">"), (30.0, "="), "", False),  # nobody knows
    ],
)
def test_duplicate_is_judged_by_percent_or_near_the_limit_by_difference(first, second, by, agrees) -> None:
    pair = judged(first, second)
    assert (pair["by"], bool(pair["agrees"])) == (by, agrees)


def test_duplicate_below_the_limit_has_no_percent_and_no_difference() -> None:
    assert np.isnan(judged((2.0, "<"), (6.0, "="))["percent"])
    assert np.isnan(judged((2.0, "<"), (6.0, "="))["difference"])


def test_duplicate_without_a_limit_is_judged_by_percent_only() -> None:
    assert judged((20.0, "="), (25.0, "="), limit=np.nan)["by"] == "percent"
    assert judged((2.0, "<"), (2.0, "="), limit=np.nan)["by"] == ""


def test_duplicate_that_was_rejected_or_has_no_sample_is_no_pair() -> None:
    assert judged((20.0, "="), (25.0, "="), status="rejected") is None
    assert judged((20.0, "="), (25.0, "="), status="held") is not None
    assert len(duplicate_pairs(samples((20.0, "="), (25.0, "=")).iloc[1:], 25.0)) == 0
    assert judged((np.nan, "="), (25.0, "=")) is None


@given(st.lists(st.tuples(POSITIVE, POSITIVE), min_size=2, max_size=20))
def test_pooled_spread_is_the_mean_square_within_pairs(pairs: list[tuple[float, float]]) -> None:
    first, second = (list(each) for each in zip(*pairs, strict=True))
    within = np.mean([np.var(pair, ddof=1) for pair in pairs])  # one-way analysis of variance
    assert pooled_precision(first, second)[0] == pytest.approx(np.sqrt(within))


def test_pooled_spread_agrees_with_a_one_way_analysis_of_variance() -> None:
    first, second = [10.0, 20.0, 31.0], [12.0, 18.0, 30.0]
    groups = list(zip(first, second, strict=True))
    f, _ = stats.f_oneway(*groups)
    means = [np.mean(group) for group in groups]
    between = 2 * np.var(means, ddof=1)  # mean square between groups of two
    assert pooled_precision(first, second)[0] == pytest.approx(np.sqrt(between / f))


def test_pooled_spread_without_a_pair_is_nan() -> None:
    assert np.isnan(pooled_precision([], [])).all()


@pytest.mark.parametrize(
    ("parent", "named", "own", "is_pair"),
    [
        ("250019-1", "250019-1", "250019-3", True),
        ("250019", "250019-1", "250019-3", True),  # a sheet that names the sample without its container
        ("250019-1", "", "250019-3", True),  # the container's own number says that it is the second
        ("250027-1", "250019-1", "250019-3", False),
        ("POND-1", "POND-1", "POND-2", True),
        ("POND-1", "", "POND-2", False),  # other codes than ours mean nothing
        ("", "", "", False),
    ],
)
def test_duplicate_finds_its_sample_by_code_else_by_the_digits_before_the_container(
    parent, named, own, is_pair
):
    frame = samples((20.0, "="), (25.0, "="))
    frame["sample_code"], frame["parent_sample"] = [parent, own], ["", named]
    assert len(duplicate_pairs(frame, 25.0)) == is_pair
