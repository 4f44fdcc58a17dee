"""Readings that depart together are found where each by itself would not be, and chance is not."""

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.model.programme import Programme

from .districts import District, make_district

WAYS = ("month", "together", "observer", "beside")


@pytest.fixture(scope="module")
def district() -> District:
    return make_district(41, waters=8, years=16)


def moved(district: District, chosen: pd.Series, spreads: float) -> pd.DataFrame:
    """Return the readings with some of them moved up by so many of their true spreads."""
    readings = district.readings.copy()
    by = spreads * district.spread.reindex(readings["reading_id"]).to_numpy()
    readings.loc[chosen, "value"] = (readings["value"] * np.exp(by))[chosen]
    return readings


def rows_of(district: District, quantity: str, **where: object) -> pd.Series:
    readings = district.readings
    chosen = (readings["quantity"] == quantity) & (readings["sample_type"] == "routine")
    for column, value in where.items():
        chosen &= readings[column] == value
    return chosen


def test_small_departures_of_a_batch_are_found_together_and_alone_are_not(district: District) -> None:
    batches = district.readings.loc[rows_of(district, "total_phosphorus"), "batch"].unique()[20::12]
    ways = []
    for batch in batches:
        rows = rows_of(district, "total_phosphorus", batch=batch)
        ways += departures(moved(district, rows, 3.3), district.programme).loc[rows, "by"].tolist()
    by_itself, at_all = (np.mean([each in wanted for each in ways]) for wanted in (["month"], WAYS))
    assert len(ways) > 30
    assert at_all > by_itself + 0.2
    one = rows & (np.cumsum(rows) == 1)
    alone = departures(moved(district, one, 3.3), district.programme)
    assert "together" not in set(alone.loc[rows, "by"])


def test_observer_who_differs_from_another_on_the_same_visit_is_found(district: District) -> None:
    clarity = rows_of(district, "secchi_depth")
    readings = district.readings
    visit = readings["station_code"] + readings["taken_on"].astype(str)
    shared = clarity & visit.isin(visit[clarity][visit[clarity].duplicated()])
    one = shared & (np.cumsum(shared) == 21)
    found = departures(moved(district, one, 2.5), district.programme)
    assert found.loc[one, "marked"].item()
    assert found.loc[one, "direction"].item() == "higher"


def with_habit(district: District, ratio: float) -> tuple[pd.DataFrame, str]:
    """Return the readings where the second observer of one water reads so many times what is there."""
    readings = district.readings.copy()
    clarity = readings[rows_of(district, "secchi_depth")]
    shared = clarity[clarity.duplicated(["station_code", "taken_on"], keep=False)]
    observer = str(shared["observer"][shared["observer"].str.endswith("b")].value_counts().index[0])
    readings.loc[rows_of(district, "secchi_depth", observer=observer), "value"] *= ratio
    return readings, observer


def test_small_habit_of_an_observer_is_told_once_at_the_latest_reading_that_shows_it(
    district: District,
) -> None:
    assert (departures(district.readings, district.programme)["by"] != "observer").all()
    readings, observer = with_habit(district, 1.13)
    found = departures(readings, district.programme)
    told = readings[(found["by"] == "observer").to_numpy()]
    own = told.loc[told["observer"] == observer, "reading_id"].tolist()
    assert len(own) == 1
    explained = explain(readings, found, district.stations, district.programme, reading_ids=own)
    assert [(each.evidence[0].code, each.next_step) for each in explained] == [("observer", "measure_again")]
    assert explained[0].beside < explained[0].value
    assert dict(explained[0].evidence[0].values)["ratio"] == pytest.approx(1.13, abs=0.04)


def test_marks_say_by_what_and_only_marked_readings_do(district: District) -> None:
    found = departures(district.readings, district.programme)
    assert set(found["by"]) <= {"", *WAYS}
    assert ((found["by"] != "") == found["marked"]).all()
    assert (found.loc[found["marked"], "direction"] != "").all()


def test_columns_that_say_who_and_where_are_not_needed() -> None:
    days = pd.to_datetime([f"{year}-07-15" for year in range(2010, 2025)])
    readings = pd.DataFrame({
        "reading_id": range(15), "station_code": "A1", "quantity": "secchi_depth", "taken_on": days,
        "stratum": "surface", "value": [3.0, 3.2, 2.9] * 4 + [3.1, 1.1, 3.0], "sign": "=",
        "status": "accepted", "sample_type": "routine", "method": "",
    })  # fmt: skip
    plain = departures(readings, Programme())
    known = departures(readings.assign(lake_code="A", batch="", observer="V1"), Programme())
    pd.testing.assert_frame_equal(plain, known)


def test_order_of_the_readings_says_nothing(district: District) -> None:
    mixed = district.readings.sample(frac=1.0, random_state=3)
    first, second = (
        departures(each, district.programme).set_index("reading_id") for each in (district.readings, mixed)
    )
    assert (first["by"] == second["by"].reindex(first.index)).all()
