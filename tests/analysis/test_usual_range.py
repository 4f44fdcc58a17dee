"""The usual range by month: which readings speak, which quantiles, and what is censored."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.usual_range import usual_range
from explorer.model.calendar import Season
from explorer.model.quantities import QUANTITIES

SUMMER = Season((5, 6, 7, 8, 9))
PHOSPHORUS = QUANTITIES["total_phosphorus"]


def readings(days: list[str], values: object, signs: object = "=") -> pd.DataFrame:
    return pd.DataFrame(
        {"taken_on": pd.to_datetime(days).astype("datetime64[ms]"), "value": values, "sign": signs}
    )


def july(years: range) -> list[str]:
    return [f"{year}-07-15" for year in years]


def test_usual_range_speaks_for_the_month_and_its_neighbours_only() -> None:
    table = usual_range(readings(july(range(2010, 2020)), np.arange(1.0, 11.0)), PHOSPHORUS, SUMMER)
    assert table["month"].tolist() == [5, 6, 7, 8, 9]
    assert table["years"].tolist() == [0, 10, 10, 10, 0]
    assert table["middle"].notna().tolist() == [False, True, True, True, False]


def test_usual_range_under_five_years_is_unknown() -> None:
    four = usual_range(readings(july(range(2010, 2014)) * 3, np.arange(1.0, 13.0)), PHOSPHORUS, SUMMER)
    assert four["years"].max() == 4
    assert four[["low", "middle", "high"]].isna().all().all()
    five = usual_range(readings(july(range(2010, 2015)), np.arange(1.0, 6.0)), PHOSPHORUS, SUMMER)
    assert five["middle"].notna().sum() == 3


def test_usual_range_is_the_middle_four_fifths() -> None:
    values = np.random.default_rng(2).permutation(np.arange(1.0, 21.0))
    row = usual_range(readings(july(range(2000, 2020)), values), QUANTITIES["ph"], SUMMER).iloc[2]
    expected = np.quantile(values, [0.1, 0.5, 0.9], method="averaged_inverted_cdf")
    assert row[["low", "middle", "high"]].tolist() == expected.tolist()


def test_usual_range_on_a_logarithmic_scale_takes_the_geometric_middle() -> None:
    values = [1.0, 1.0, 1.0, 4.0, 4.0, 4.0]
    days = july(range(2000, 2006))
    assert usual_range(readings(days, values), PHOSPHORUS, SUMMER)["middle"][2] == pytest.approx(2.0)
    assert usual_range(readings(days, values), QUANTITIES["ph"], SUMMER)["middle"][2] == 2.5


def test_usual_range_below_the_limit_ends_at_the_limit() -> None:
    values = [5.0, 5.0, 5.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0]
    row = usual_range(
        readings(july(range(2000, 2010)), values, ["<"] * 3 + ["="] * 7), PHOSPHORUS, SUMMER
    ).iloc[2]
    assert row["low"] == pytest.approx(5.0)
    assert row["middle"] == pytest.approx(np.sqrt(9.0 * 10.0))


def test_usual_range_with_the_disk_on_the_bottom_ends_at_the_bottom() -> None:
    values = [1.0, 1.5, 2.0, 2.4, 2.4, 2.4, 2.4]
    signs = ["=", "=", "="] + [">"] * 4
    secchi = QUANTITIES["secchi_depth"]
    row = usual_range(readings(july(range(2000, 2007)), values, signs), secchi, SUMMER).iloc[2]
    assert row[["low", "middle", "high"]].tolist() == pytest.approx([1.0, 2.4, 2.4])


def test_usual_range_is_not_widened_by_one_coarse_limit() -> None:
    values = [*np.arange(4.0, 14.0), 50.0]
    signs = ["="] * 10 + ["<"]
    row = usual_range(readings(july(range(2000, 2011)), values, signs), PHOSPHORUS, SUMMER).iloc[2]
    assert row["high"] <= 13.0


def test_usual_range_across_new_year_counts_season_years() -> None:
    days = [f"{year}-12-20" for year in range(2010, 2014)] + [f"{year}-01-10" for year in range(2011, 2016)]
    table = usual_range(readings(days, np.arange(1.0, 10.0)), PHOSPHORUS, Season((11, 12, 1, 2)))
    assert table["month"].tolist() == [11, 12, 1, 2]
    assert table["years"].tolist() == [4, 5, 5, 5]


def test_usual_range_without_readings_has_the_months_and_nothing_else() -> None:
    table = usual_range(readings([], []), PHOSPHORUS, SUMMER)
    assert table["years"].tolist() == [0] * 5
    assert table["low"].isna().all()


@given(st.integers(0, 10**6), st.integers(1, 120))
def test_usual_range_has_its_middle_inside_whatever_the_order_of_rows(seed: int, size: int) -> None:
    random = np.random.default_rng(seed)
    days = pd.Timestamp("2010-01-01") + pd.to_timedelta(random.integers(0, 3600, size), "D")
    frame = readings(list(days), random.uniform(1, 40, size), random.choice(["=", "<"], size))
    table = usual_range(frame, PHOSPHORUS, SUMMER)
    known = table.dropna()
    assert (known["low"] <= known["middle"] + 1e-9).all()
    assert (known["middle"] <= known["high"] + 1e-9).all()
    pd.testing.assert_frame_equal(
        table, usual_range(frame.sample(frac=1, random_state=seed), PHOSPHORUS, SUMMER)
    )
