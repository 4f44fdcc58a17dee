"""The season table: what counts, how months and censored values enter, and brute force beside it."""

from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.season_table import season_table
from explorer.model.errors import ExplorerError
from explorer.model.programme import Programme
from explorer.model.readings import SEASONS

PROGRAMME = Programme()


def readings(rows: list[tuple[str, float]] | list[tuple[str, float, str]], **columns: object) -> pd.DataFrame:
    """Return readings of one station: day, value and perhaps sign; other columns by name."""
    full = [(*row, "=")[:3] for row in rows]
    days, values, signs = zip(*full, strict=True) if full else ((), (), ())
    frame = pd.DataFrame(
        {
            "station_code": "HM1",
            "quantity": "total_phosphorus",
            "taken_on": pd.to_datetime(list(days)).astype("datetime64[ms]"),
            "stratum": "surface",
            "value": np.array(values, dtype=float),
            "sign": pd.Series(signs, dtype="str"),
            "status": "accepted",
            "sample_type": "routine",
            "method": "",
        }
    )
    return frame.assign(**columns)


def only_row(frame: pd.DataFrame, window: str = "season", programme: Programme = PROGRAMME) -> pd.Series:
    table = season_table(frame, programme)
    rows = table[table["window"] == window]
    assert len(rows) == 1
    return rows.iloc[0]


def test_season_table_has_the_columns_and_types_of_the_contract() -> None:
    table = season_table(readings([("2024-05-10", 20.0), ("2024-06-10", 22.0)]), PROGRAMME)
    assert list(table.columns) == list(SEASONS)
    for name, kind in SEASONS.items():
        assert table[name].dtype == pd.Series([], dtype=kind).dtype, name


def test_season_table_of_nothing_is_empty_with_the_same_columns() -> None:
    table = season_table(readings([]), PROGRAMME)
    assert len(table) == 0
    assert list(table.columns) == list(SEASONS)


def test_season_table_averages_months_before_the_season() -> None:
    rows = [("2024-05-01", 10.0), ("2024-05-11", 20.0), ("2024-05-21", 30.0), ("2024-06-10", 40.0)]
    row = only_row(readings([*rows, ("2024-07-10", 60.0)]))
    assert (row["visits"], row["months"]) == (5, 3)
    assert row["mean"] == pytest.approx((20.0 + 40.0 + 60.0) / 3)
    assert row["median"] == 40.0
    assert (row["minimum"], row["maximum"]) == (10.0, 60.0)
    logs = np.log([20.0, 40.0, 60.0])
    assert row["log_spread"] == pytest.approx(logs.std(ddof=1))
    assert row["geometric_mean"] == pytest.approx(np.exp(logs.mean()))


def test_season_table_counts_two_readings_of_one_day_as_one_visit() -> None:
    row = only_row(readings([("2024-05-01", 10.0), ("2024-05-01", 30.0), ("2024-05-03", 50.0)]))
    assert row["visits"] == 2
    assert row["mean"] == 35.0


def test_season_table_separates_the_season_from_the_whole_year() -> None:
    frame = readings([("2024-02-10", 80.0), ("2024-06-10", 20.0), ("2024-11-10", 50.0)])
    assert only_row(frame)["median"] == 20.0
    assert only_row(frame, "year")["median"] == 50.0


def test_season_table_without_a_visit_in_the_season_has_the_year_only() -> None:
    assert season_table(readings([("2024-02-10", 80.0)]), PROGRAMME)["window"].tolist() == ["year"]


def test_season_table_across_new_year_counts_january_to_the_year_before() -> None:
    winter = Programme(season_months=(11, 12, 1, 2))
    row = only_row(readings([("2023-12-20", 10.0), ("2024-01-10", 30.0)]), programme=winter)
    assert (row["year"], row["visits"], row["median"]) == (2023, 2, 20.0)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("status", "held"),
        ("status", "rejected"),
        ("sample_type", "field duplicate"),
        ("sample_type", "field blank"),
        ("stratum", "bottom"),
        ("value", np.nan),
        ("taken_on", pd.NaT),
    ],
)
def test_season_table_leaves_out_readings_that_do_not_count(column: str, value: object) -> None:
    frame = readings([("2024-05-10", 20.0), ("2024-06-10", 90.0)])
    frame.loc[1, column] = value
    row = only_row(frame)
    assert (row["visits"], row["median"]) == (1, 20.0)


def test_season_table_with_two_methods_takes_the_one_with_most_visits() -> None:
    frame = readings([("2024-05-10", 20.0), ("2024-06-10", 22.0), ("2024-07-10", 90.0)])
    frame["method"] = ["old", "old", "new"]
    row = only_row(frame)
    assert (row["visits"], row["maximum"], row["method"]) == (2, 22.0, "old")


def test_season_table_with_methods_declared_comparable_counts_them_as_one() -> None:
    frame = readings([("2024-05-10", 20.0), ("2024-06-10", 22.0), ("2024-07-10", 90.0), ("2024-07-11", 9.0)])
    frame["method"] = ["old", "old", "new", "other"]
    row = only_row(frame, programme=Programme(comparable_methods=(("old", "new"),)))
    assert (row["visits"], row["months"], row["maximum"], row["method"]) == (3, 3, 90.0, "new")


def test_season_table_with_two_methods_used_alike_takes_the_later_one() -> None:
    frame = readings([("2024-05-10", 20.0), ("2024-06-10", 22.0), ("2024-06-10", 92.0), ("2024-07-10", 90.0)])
    frame["method"] = ["a", "a", "b", "b"]
    assert only_row(frame)["minimum"] == 90.0
    assert only_row(frame.assign(method=["b", "b", "a", "a"]))["minimum"] == 90.0


def test_season_table_with_a_month_below_the_limit_gives_an_interval() -> None:
    row = only_row(readings([("2024-05-10", 10.0, "<"), ("2024-06-10", 4.0), ("2024-07-10", 6.0)]))
    assert (row["median_low"], row["median_high"]) == (4.0, 6.0)
    assert row["median"] == 5.0  # Kaplan-Meier, F is 0.5 between the two measured months
    assert (row["mean_low"], row["mean_high"]) == (pytest.approx(10 / 3), pytest.approx(20 / 3))
    assert np.isnan(row["mean"])  # too few values for a line
    assert np.isnan(row["minimum"])
    assert np.isnan(row["maximum"])  # the limit lies above all that was measured
    assert row["censored_share"] == pytest.approx(1 / 3)


def test_season_table_with_a_month_of_a_measured_and_a_censored_visit_keeps_what_is_known() -> None:
    rows = [("2024-05-01", 10.0, "<"), ("2024-05-20", 30.0, "="), ("2024-06-10", 12.0, "=")]
    row = only_row(readings(rows))
    assert (row["median_low"], row["median_high"]) == ((15.0 + 12.0) / 2, (20.0 + 12.0) / 2)


def test_season_table_with_the_disk_on_the_bottom_has_no_upper_end() -> None:
    rows = [("2024-05-10", 2.0, ">"), ("2024-06-10", 2.0, ">"), ("2024-07-10", 1.5, "=")]
    row = only_row(readings(rows, quantity="secchi_depth"))
    assert np.isnan(row["median"])
    assert (row["median_low"], row["median_high"]) == (2.0, np.inf)
    assert np.isnan(row["maximum"])
    assert row["minimum"] == 1.5


def test_season_table_with_the_disk_once_on_the_bottom_still_knows_the_median() -> None:
    rows = [("2024-05-10", 3.0, ">"), ("2024-06-10", 2.0, "="), ("2024-07-10", 1.5, "=")]
    row = only_row(readings(rows, quantity="secchi_depth"))
    assert row["median"] == row["median_low"] == row["median_high"] == 2.0
    assert row["mean_high"] == np.inf


def test_season_table_pools_the_years_for_a_mean_with_values_below_the_limit() -> None:
    rows = [
        reading
        for year in (2021, 2022, 2023, 2024)
        for reading in (
            (f"{year}-05-10", 5.0, "<"),
            (f"{year}-06-10", 2.0 + year % 10, "="),
            (f"{year}-07-10", 5.0 * (year % 10), "="),
        )
    ]
    table = season_table(readings(rows), PROGRAMME)
    seasons = table[table["window"] == "season"]
    assert seasons["mean"].notna().all()
    assert (seasons["mean"] > seasons["mean_low"]).all()
    assert (seasons["mean"] < seasons["mean_high"]).all()


def test_season_table_with_a_missing_column_names_it() -> None:
    with pytest.raises(ExplorerError, match="method is missing"):
        season_table(readings([("2024-05-10", 20.0)]).drop(columns="method"), PROGRAMME)


def test_season_table_of_a_quantity_that_may_be_negative_has_no_logarithms() -> None:
    row = only_row(readings([("2024-05-10", -2.0), ("2024-06-10", 4.0)], quantity="alkalinity"))
    assert row["mean"] == 1.0
    assert np.isnan(row["geometric_mean"])
    assert np.isnan(row["log_spread"])


def test_season_table_of_an_unknown_quantity_is_computed_all_the_same() -> None:
    assert only_row(readings([("2024-05-10", 3.0)], quantity="zinc"))["median"] == 3.0


@st.composite
def many_readings(draw: st.DrawFn) -> pd.DataFrame:
    seed = draw(st.integers(0, 10**6))
    size = draw(st.integers(1, 60))
    random = np.random.default_rng(seed)
    days = pd.Timestamp("2020-03-01") + pd.to_timedelta(random.integers(0, 1000, size), "D")
    frame = readings(
        [(str(day), value) for day, value in zip(days, random.uniform(1, 50, size), strict=True)]
    )
    frame["station_code"] = random.choice(["B", "A", "C"], size)
    frame["quantity"] = random.choice(["total_phosphorus", "secchi_depth"], size)
    frame["method"] = random.choice(["m", "n"], size, p=[0.8, 0.2])
    frame["sign"] = random.choice(["=", "<"], size, p=[0.7, 0.3])
    return frame


def by_hand(frame: pd.DataFrame, station: str, quantity: str, window: str, year: int) -> dict[str, Any]:
    """Return some cells of one row, computed step by step."""
    rows = frame[(frame["station_code"] == station) & (frame["quantity"] == quantity)]
    rows = rows[rows["taken_on"].dt.year == year]
    if window == "season":
        rows = rows[rows["taken_on"].dt.month.isin(PROGRAMME.season_months)]
    uses = {
        str(method): (of_method["taken_on"].nunique(), of_method["taken_on"].max())
        for method, of_method in rows.groupby("method")
    }
    most = max(uses.values())
    chosen = min(method for method, use in uses.items() if use == most)
    rows = rows[rows["method"] == chosen]
    highs: dict[int, list[float]] = {}
    for day, of_day in rows.groupby("taken_on"):
        highs.setdefault(day.month, []).append(of_day["value"].mean())
    months = [float(np.mean(each)) for each in highs.values()]
    return {
        "method": chosen,
        "visits": rows["taken_on"].nunique(),
        "months": len(months),
        "median_high": float(np.median(months)),
        "mean_high": float(np.mean(months)),
    }


@settings(max_examples=40, deadline=None)
@given(many_readings())
def test_season_table_equals_what_one_computes_by_hand(frame: pd.DataFrame) -> None:
    table = season_table(frame, PROGRAMME)
    keys = ["station_code", "quantity", "window", "year"]
    assert not table.duplicated(keys).any()
    for row in table.to_dict("records"):
        for name, expected in by_hand(frame, *(row[key] for key in keys)).items():
            assert row[name] == pytest.approx(expected), (row, name)
    years = frame.assign(year=frame["taken_on"].dt.year)
    groups = years.groupby(["station_code", "quantity", "year"]).ngroups
    assert (table["window"] == "year").sum() == groups


@settings(max_examples=40, deadline=None)
@given(many_readings(), st.integers(0, 1000))
def test_season_table_does_not_depend_on_the_order_of_rows(frame: pd.DataFrame, seed: int) -> None:
    shuffled = frame.sample(frac=1, random_state=seed)
    pd.testing.assert_frame_equal(season_table(frame, PROGRAMME), season_table(shuffled, PROGRAMME))


@settings(max_examples=40, deadline=None)
@given(many_readings())
def test_season_table_of_many_stations_equals_that_of_each_alone(frame: pd.DataFrame) -> None:
    whole = season_table(frame, PROGRAMME)
    parts = [season_table(part, PROGRAMME) for _, part in frame.groupby("station_code")]
    pd.testing.assert_frame_equal(whole, pd.concat(parts, ignore_index=True))


@settings(max_examples=40, deadline=None)
@given(many_readings())
def test_season_table_keeps_every_estimate_inside_its_interval(frame: pd.DataFrame) -> None:
    table = season_table(frame, PROGRAMME)
    for name in ("median", "mean"):
        known = table[table[name].notna()]
        slack = 1e-9 * known[f"{name}_high"]
        assert (known[f"{name}_low"] <= known[name] + slack).all()
        assert (known[name] <= known[f"{name}_high"] + slack).all()
    uncensored = table[table["censored_share"] == 0]
    assert (uncensored["median_low"] == uncensored["median_high"]).all()
    assert uncensored[["median", "mean", "minimum", "maximum"]].notna().all().all()


@settings(max_examples=40, deadline=None)
@given(many_readings(), st.integers(0, 10**6))
def test_interval_of_a_season_contains_the_median_for_any_value_below_the_limit(
    frame: pd.DataFrame, seed: int
) -> None:
    table = season_table(frame, PROGRAMME)
    below = frame["sign"] == "<"
    share = np.random.default_rng(seed).uniform(0, 1, len(frame))
    truth = frame.assign(value=np.where(below, frame["value"] * share, frame["value"]), sign="=")
    true = season_table(truth, PROGRAMME)
    for name in ("median", "mean"):
        slack = 1e-9 * table[f"{name}_high"]
        assert (table[f"{name}_low"] <= true[name] + slack).all()
        assert (true[name] <= table[f"{name}_high"] + slack).all()


def test_season_table_is_sorted_by_station_quantity_window_and_year() -> None:
    frame = pd.concat(
        [
            readings([(f"{year}-06-10", 3.0)], station_code=code, quantity=quantity)
            for code in ("B2", "A1")
            for quantity in ("total_phosphorus", "chlorophyll_a")
            for year in (2024, 2023)
        ]
    )
    table = season_table(frame, PROGRAMME)
    rows = list(table[["station_code", "quantity", "window", "year"]].itertuples(index=False, name=None))
    assert all(first < second for first, second in pairwise(rows))
