"""The usual range by month: which readings speak, which quantiles, and what is censored."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.usual_range import usual_by_method, usual_range
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


def by_method(methods: list[str], years: tuple[int, int], comparable: tuple[tuple[str, ...], ...] = ()):
    table = readings(july(range(2010, 2010 + len(methods))), np.arange(1.0, 1.0 + len(methods)))
    found = usual_by_method(table.assign(method=methods), PHOSPHORUS, Season((7,)), years, comparable)
    return [(of.tolist(), columns["low"][0], columns["high"][0]) for of, columns in found]


def test_usual_range_speaks_of_the_method_of_each_year_and_of_it_alone() -> None:
    [old, new] = by_method(["A"] * 6 + ["B"] * 6, (2008, 2023))
    assert old[0] == list(range(2008, 2016))  # the years before the first go with it
    assert new[0] == list(range(2016, 2024))
    assert old[2] < 6.5 < new[1]


def test_usual_range_of_a_year_with_two_methods_used_alike_is_that_of_the_later_one() -> None:
    days = [day for year in range(2010, 2020) for day in (f"{year}-07-10", f"{year}-07-20")]
    methods = ["Z"] * 10 + ["A", "Z"] * 4 + ["A"] * 2
    table = readings(days, np.arange(1.0, 21.0)).assign(method=methods)
    found = usual_by_method(table, PHOSPHORUS, Season((7,)), (2010, 2019))
    assert [of.tolist() for of, _ in found] == [list(range(2010, 2015)), list(range(2015, 2020))]


def test_usual_range_of_comparable_methods_is_one() -> None:
    [joined] = by_method(["A"] * 6 + ["B"] * 6, (2010, 2021), (("A", "B"),))
    [alone] = by_method(["A"] * 12, (2010, 2021))
    assert joined == alone


def test_usual_range_of_a_method_younger_than_five_years_is_unknown() -> None:
    [old, new] = by_method(["A"] * 6 + ["B"] * 4, (2010, 2019))
    assert np.isfinite(old[1])
    assert np.isnan(new[1])


def test_usual_range_of_a_year_with_two_methods_is_that_of_the_one_used_more() -> None:
    days = [*july(range(2010, 2016)), "2015-06-10", "2015-06-20", *july(range(2016, 2021))]
    table = readings(days, np.arange(1.0, 14.0)).assign(method=["A"] * 6 + ["B"] * 7)
    found = usual_by_method(table, PHOSPHORUS, Season((6, 7)), (2010, 2020))
    assert [of.tolist() for of, _ in found] == [list(range(2010, 2015)), list(range(2015, 2021))]
