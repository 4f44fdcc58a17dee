"""A season's quality from small frames: blanks, holding times, completeness, status, methods."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.blanks import judged_blanks
from explorer.analysis.completeness import compared_visits, completeness_percent, usual_plan
from explorer.analysis.holding import judged_holding
from explorer.analysis.season_quality import method_limits, precision_of, season_quality, status_counts
from explorer.model.calendar import Season
from explorer.model.plan import StationPlan
from explorer.model.quality_rules import HOLDING_TIMES, HoldingTime, QualityRules
from explorer.model.readings import READINGS

RULES = pd.read_csv(Path(__file__).parents[1] / "published" / "data_quality_rules.csv", dtype=str).set_index(
    "id"
)
SEASON = Season((5, 6, 7))


def frame(*rows: dict[str, object]) -> pd.DataFrame:
    """Return readings: TP of 20 at A1 on 1 June 2025, but for what each row says."""
    usual = {
        "station_code": "A1", "quantity": "total_phosphorus", "taken_on": "2025-06-01", "value": 20.0,
        "sign": "=", "stratum": "surface", "status": "accepted", "sample_type": "routine", "batch": "B1",
        "sample_code": "250019-1", "detection_limit": 2.0, "reporting_limit": 4.0, "reason": "",
        "analysed_on": "2025-06-11",
    }  # fmt: skip
    table = pd.DataFrame([{**usual, **row} for row in rows])
    for name, kind in READINGS.items():
        if name not in table:
            table[name] = "" if kind == "str" else np.nan if kind == "float64" else 0
    for name in ("taken_on", "analysed_on"):
        table[name] = pd.to_datetime(table[name]).astype("datetime64[ms]")
    return table


@pytest.mark.parametrize(
    ("value", "sign", "rule", "above"),
    [
        (3.9, "=", "reporting_limit", False),
        (4.0, "=", "reporting_limit", True),  # DQ23: below the reporting limit
        (4.0, "<", "reporting_limit", False),
        (3.9, "=", "detection_limit", True),  # DQ23: other programmes take the detection limit
        (2.0, "<", "detection_limit", False),
    ],
)
def test_blank_lies_below_its_limit_as_in_table_a1(value, sign, rule, above) -> None:
    assert RULES.loc["DQ23", "value"] == "< RL"
    blank = {"value": value, "sign": sign, "sample_type": "field blank", "sample_code": "250027-1"}
    found = judged_blanks(frame(blank), rule)
    assert found["above"].tolist() == [above]


def test_blank_speaks_for_the_routine_readings_of_its_batch() -> None:
    blank = {"value": 15.0, "sample_type": "field blank", "sample_code": "250027-1"}
    others = (
        {},
        {},
        {"batch": "B2"},
        {"status": "rejected"},
        {"quantity": "total_nitrogen"},
        {"sample_type": "spike"},
    )
    assert judged_blanks(frame(blank, *others))["batch_readings"].tolist() == [2]
    assert judged_blanks(frame({**blank, "batch": ""}, *others))["batch_readings"].tolist() == [0]


def test_blank_without_any_limit_is_not_judged() -> None:
    bare = {"value": 15.0, "sample_type": "field blank", "reporting_limit": np.nan, "detection_limit": np.nan}
    found = judged_blanks(frame(bare)).iloc[0]
    assert np.isnan(found["limit"])
    assert not found["above"]


@pytest.mark.parametrize(
    ("rule", "quantity", "factor"),
    [
        ("DQ01", "total_phosphorus", 1), ("DQ03", "nitrate_nitrite", 1), ("DQ05", "ammonia", 1),
        ("DQ06", "orthophosphate", 1 / 24), ("DQ10", "alkalinity", 1), ("DQ11", "turbidity", 1 / 24),
        ("DQ12", "true_colour", 1 / 24), ("DQ14", "chlorophyll_a", 7),
        ("DQ15", "chlorophyll_a_uncorrected", 7),
    ],
)  # fmt: skip
def test_holding_times_agree_with_the_published_tables(rule: str, quantity: str, factor: float) -> None:
    days = [each.days for each in HOLDING_TIMES if each.quantity == quantity]
    assert days == pytest.approx([float(RULES.loc[rule, "value"]) * factor])


def test_holding_of_a_frozen_bottle_is_not_judged() -> None:
    found = judged_holding(frame({"analysed_on": "2025-12-01"}), QualityRules()).iloc[0]
    assert np.isnan(found["limit_days"])
    assert not found["too_long"]


@pytest.mark.parametrize(("day", "too_long"), [("2025-06-29", False), ("2025-06-30", True)])
def test_holding_of_an_acidified_bottle_ends_after_28_days(day: str, too_long: bool) -> None:
    rules = QualityRules(bottle="acidified and cooled")
    found = judged_holding(frame({"analysed_on": day}), rules).iloc[0]
    assert bool(found["too_long"]) is too_long


def test_holding_time_of_the_plan_comes_before_a_published_one() -> None:
    own = HoldingTime("chlorophyll_a", "filter", "frozen", 28.0, "our plan")
    assert QualityRules(holding_times=(own,)).holding_time("chlorophyll_a") == own


def test_holding_without_an_analysis_date_has_no_days() -> None:
    found = judged_holding(frame({"quantity": "chlorophyll_a", "analysed_on": None}), QualityRules()).iloc[0]
    assert np.isnan(found["days"])
    assert not found["too_long"]


def test_usual_plan_takes_what_half_of_the_visits_measured() -> None:
    days = ["2024-06-01", "2025-05-01", "2025-06-01", "2025-07-01"]
    rows = [{"taken_on": day, "quantity": "secchi_depth"} for day in days]
    rows += [{"taken_on": day} for day in days[:2]]
    rows += [{"taken_on": days[0], "quantity": "ph"}, {"taken_on": "2023-06-01", "station_code": "OLD"}]
    rows += [{"taken_on": days[0], "station_code": "B1", "sample_type": "field blank"}]
    assert usual_plan(frame(*rows), 2025, SEASON) == {
        "A1": StationPlan((5, 6, 7), 1, ("secchi_depth", "total_phosphorus"))
    }


def test_compared_visits_count_days_not_readings() -> None:
    plan = {"A1": StationPlan((5, 6), 2, ("total_phosphorus", "ph"))}
    found = compared_visits(plan, frame({}, {}, {"taken_on": "2025-06-20", "status": "held"}))
    june = found[found["month"] == 6].set_index("quantity")
    assert june.loc["total_phosphorus", ["planned", "visited", "measured", "waiting"]].tolist() == [
        2,
        2,
        1,
        1,
    ]
    assert june.loc["ph", ["planned", "visited", "measured", "waiting"]].tolist() == [2, 2, 0, 0]
    assert found[found["month"] == 5]["visited"].tolist() == [0, 0]


def test_completeness_of_nothing_planned_is_nan() -> None:
    assert np.isnan(completeness_percent(pd.Series([], dtype="int64"), pd.Series([], dtype="int64")))


def test_status_counts_leave_duplicates_and_blanks_out() -> None:
    rows = frame({}, {"status": "held"}, {"sign": "<"}, {"sample_type": "field blank"})
    counts = status_counts(rows).loc["total_phosphorus"]
    assert counts[["accepted", "held", "rejected", "below"]].tolist() == [2, 1, 0, 1]


def test_method_limits_show_a_change_of_limit() -> None:
    found = method_limits(
        frame({"method": "m"}, {"method": "m", "detection_limit": 6.0, "taken_on": "2025-07-01"})
    )
    assert found[["readings", "detection_low", "detection_high"]].to_numpy().tolist() == [[2, 2.0, 6.0]]


def test_season_without_rows_has_empty_tables() -> None:
    quality = season_quality(frame({}).iloc[:0], {}, QualityRules())
    assert [len(each) for each in (quality.pairs, quality.blanks, quality.holding, quality.waiting)] == [
        0
    ] * 4
    assert len(precision_of(quality.pairs, frame({}).iloc[:0])) == 0
