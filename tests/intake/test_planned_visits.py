"""Planned visits: from a list as the office keeps it, from the plan, and from a roster that was filled in."""

import numpy as np
import pandas as pd
import pytest

from explorer.display.visit_lists import ROSTER_HEADINGS
from explorer.intake.own_headings import heading_names
from explorer.intake.planned_visits import planned_month, read_visit_list
from explorer.intake.station_names import StationNames
from explorer.model.plan import Plan, StationPlan

PLAN = {
    "FER1": StationPlan((5, 6), 1, ("secchi_depth", "total_phosphorus", "chlorophyll_a")),
    "FER2": StationPlan((6,), 2, ("secchi_depth", "total_phosphorus")),
    "FER3": StationPlan((6,), 1, ("secchi_depth",)),
}


@pytest.fixture
def read_list(district: StationNames):
    def read(*lines: str):
        return read_visit_list("visits.csv", "\n".join(lines).encode(), district, heading_names(), PLAN)

    return read


def test_list_of_visits_is_read_by_date(read_list) -> None:
    visits, problems = read_list(
        "Station,Date,Time,Observers,Duplicate,Blank",
        "FER2,2025-06-14,10:30,V02 and V04,yes,",
        "FER1,2025-06-03,,V02,,x",
        "FER3,2025-06-14,11:00,V02,,",
    )
    assert problems == ()
    assert visits["station_code"].tolist() == ["FER1", "FER2", "FER3"]
    assert visits["month"].tolist() == ["2025-06"] * 3
    assert visits["taken_time"].tolist() == ["", "10:30", "11:00"]
    assert visits["observer"].tolist() == ["V02", "V02 and V04", "V02"]
    assert visits[["has_bottle", "has_filter"]].to_numpy().tolist() == [
        [True, True],
        [True, False],
        [False, False],
    ]
    assert visits["has_duplicate"].tolist() == [False, True, False]
    assert visits["has_blank"].tolist() == [True, False, False]


def test_station_outside_the_plan_is_taken_for_sampled(read_list) -> None:
    visits, _ = read_list("Station,Date", "HOL1,2025-06-03")
    assert visits[["has_bottle", "has_filter"]].to_numpy().tolist() == [[True, True]]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("FER9,2025-06-03,", "unknown_sheet_station"),
        ("FER1,,", "no_date"),
        ("FER1,03/04/2025,", "ambiguous_sheet_date"),
        ("FER1,2025-06-03,maybe", "not_yes_or_no"),
    ],
)
def test_doubtful_line_is_a_problem_and_never_guessed(read_list, line: str, code: str) -> None:
    _, problems = read_list("Station,Date,Duplicate", line)
    assert [each.code for each in problems] == [code]


def test_file_that_is_no_list_is_a_problem(read_list) -> None:
    visits, problems = read_list("nothing,here", "1,2")
    assert len(visits) == 0
    assert [each.code for each in problems] == ["no_headings"]


def test_roster_that_was_filled_in_is_a_list_of_visits(read_list) -> None:
    visits, problems = read_list(
        ",".join(ROSTER_HEADINGS), "2025-06-03,,FER1,Ferrow Tarn,V02,yes,,250122,", ",,,,,,,,"
    )
    assert problems == ()
    assert visits[["station_code", "observer", "has_duplicate"]].to_numpy().tolist() == [
        ["FER1", "V02", True]
    ]


def test_planned_month_has_the_visits_of_the_plan() -> None:
    visits = planned_month(PLAN, Plan(), 2025, 6)
    assert visits["station_code"].tolist() == ["FER1", "FER2", "FER2", "FER3"]
    assert visits["taken_on"].isna().all()
    assert planned_month(PLAN, Plan(), 2025, 5)["station_code"].tolist() == ["FER1"]
    assert planned_month(PLAN, Plan(), 2025, 1).empty


@pytest.mark.parametrize(("percent", "blanks"), [(5.0, 1), (0.0, 0), (100.0, 2), (50.0, 9)])
def test_planned_month_has_the_duplicates_and_blanks_of_the_plan(percent: float, blanks: int) -> None:
    plan = {f"A{n}": StationPlan((6,), 1, ("total_phosphorus",)) for n in range(7)} | {"B": PLAN["FER3"]}
    visits = planned_month(plan, Plan({}, percent, blanks), 2025, 6)
    assert visits["has_duplicate"].sum() == np.ceil(7 * percent / 100)
    assert visits["has_blank"].sum() == min(blanks, 7)
    assert not visits.loc[visits["station_code"] == "B", ["has_duplicate", "has_blank"]].any(axis=None)


def test_all_stations_have_their_turn_with_duplicates() -> None:
    plan = {f"A{n}": StationPlan(tuple(range(1, 13)), 1, ("total_phosphorus",)) for n in range(7)}
    months = [planned_month(plan, Plan(), 2025, month) for month in range(1, 13)]
    chosen = pd.concat([each[each["has_duplicate"]] for each in months])["station_code"]
    assert set(chosen) == set(plan)
