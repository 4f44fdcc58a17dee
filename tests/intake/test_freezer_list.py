"""What lies in the freezer: days left only where a limit is known, and no container lost."""

from datetime import date

import numpy as np
import pytest

from explorer.demo import demo_folder
from explorer.intake.freezer_list import frozen_samples
from explorer.intake.label_register import GivenCode
from explorer.intake.reading import read_file
from explorer.intake.sample_codes import sample_code
from explorer.model.plan import StationPlan
from explorer.model.quality_rules import HoldingTime, QualityRules

CODE = sample_code(2025, 12)
PLAN = {
    "A1": StationPlan((6,), 1, ("chlorophyll_a", "total_phosphorus")),
    "A2": StationPlan((6,), 1, ("total_phosphorus",)),
}
TODAY = date(2025, 6, 30)


def listed(*lines: str, given=(), rules=None, today=TODAY):
    log = "\n".join(("container,in,out", *lines)).encode()
    containers = read_file("log.csv", log, kind="freezer_log").tables[0].containers
    return frozen_samples(containers, given, PLAN, rules or QualityRules(), today)


def test_filter_has_its_published_days_from_the_freezing() -> None:
    found = listed(f"{CODE}-2,2025-06-10,").iloc[0]
    assert (found["days"], found["limit_days"], found["days_left"]) == (20, 24.5, 4.5)
    assert "447.0" in found["source"]


def test_days_count_from_the_sampling_where_the_register_tells_it() -> None:
    given = [GivenCode(CODE, "A1", "2025-06", "2025-06-08", "sample", "2025-05-01")]
    found = listed(f"{CODE}-2,2025-06-10,", given=given).iloc[0]
    assert (found["station_code"], found["days"], found["days_left"]) == ("A1", 22, 2.5)


def test_frozen_bottle_has_no_days_left_and_nothing_is_said() -> None:
    found = listed(f"{CODE}-1,2025-06-10,").iloc[0]
    assert np.isnan(found["days_left"])
    assert (found["quantity"], found["source"]) == ("", "")


def test_limit_of_the_plan_holds_for_the_bottle() -> None:
    own = HoldingTime("total_phosphorus", "bottle", "frozen", 30.0, "our plan")
    found = listed(f"{CODE}-1,2025-05-25,", rules=QualityRules(holding_times=(own,))).iloc[0]
    assert (found["days_left"], found["source"]) == (-6, "our plan")


def test_filter_of_a_station_that_measures_no_chlorophyll_has_no_limit() -> None:
    given = [GivenCode(CODE, "A2", "2025-06", "", "sample", "")]
    assert np.isnan(listed(f"{CODE}-2,2025-06-10,", given=given).iloc[0]["limit_days"])


@pytest.mark.parametrize(
    ("line", "there"),
    [
        ("2025-06-10,", True), ("2025-06-10,2025-06-30", False), ("2025-06-10,2025-07-01", True),
        ("2025-07-01,", False), ("yes,", True),
    ],
)  # fmt: skip
def test_freezer_holds_what_was_put_in_and_not_taken_out(line: str, there: bool) -> None:
    assert len(listed(f"{CODE}-2,{line}")) == there


def test_least_days_left_stand_first_and_unreadable_codes_are_kept() -> None:
    other = sample_code(2025, 13)
    found = listed(
        "250121-2,2025-06-01,", f"{CODE}-1,2025-06-01,", f"{other}-2,2025-06-01,", f"{CODE}-2,2025-06-20,"
    )
    assert found["sample_code"].tolist() == [f"{other}-2", f"{CODE}-2", "250121-2", f"{CODE}-1"]
    assert found["reason"].tolist() == ["", "", "sample_code_check", ""]
    assert found["days_left"].isna().tolist() == [False, False, True, True]


def test_demo_freezer_in_july_holds_what_its_log_says() -> None:
    name = "freezer log.csv"
    content = (demo_folder() / "season_2025_sheets" / name).read_bytes()
    lines = [line.split(",") for line in content.decode("utf-8-sig").splitlines()[1:]]
    day = "2025-07-20"
    inside = sorted(row[0] for row in lines if row[1] <= day and (not row[3] or row[3] > day))
    found = read_file(name, content, kind="freezer_log").tables[0].containers
    samples = frozen_samples(found, (), PLAN, QualityRules(), date(2025, 7, 20))
    assert sorted(samples["sample_code"]) == inside
    assert len(inside) > 5
