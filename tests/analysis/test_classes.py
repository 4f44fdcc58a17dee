"""Classes from the season table: what counts, which quantity decides, and what never changes."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.class_schemes import read_scheme, schemes
from explorer.analysis.class_units import REASONS
from explorer.analysis.classes import class_result, period_classes, season_classes
from explorer.analysis.season_table import season_table
from explorer.model.calendar import Period
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.places import Lake, Station, WaterKind
from explorer.model.programme import Programme
from explorer.model.units import convert
from explorer.model.words import word_codes

PROGRAMME = Programme()
CARLSON = schemes()["carlson_simpson_1996"]
OECD = schemes()["oecd_1982_fixed"]
LAST = Period(2024, 2024)
NAN = float("nan")

PEAKS_TEXT = """
format = 1
name = "County peaks"
source = "County ordinance"
kinds = ["lake"]
classes = ["calm", "blooming"]
letters = ["C", "B"]
priority = ["chlorophyll_a"]
[limits.chlorophyll_a]
statistic = "maximum"
window = "season"
upper = [20]
boundary = "worse"
"""
PEAKS = read_scheme(PEAKS_TEXT, "county_peaks.toml")
GEOMETRIC = read_scheme(PEAKS_TEXT.replace('"maximum"', '"geometric_mean"'), "county_middles.toml")


def readings(
    values: dict[str, list[float]],
    *,
    year: int = 2024,
    months: tuple[int, ...] = (5, 6, 7, 8, 9),
    sign: str = "=",
    station: str = "HM1",
) -> pd.DataFrame:
    """Return one reading a month of each quantity."""
    rows = [
        (station, quantity, pd.Timestamp(year, month, 10), value)
        for quantity, column in values.items()
        for month, value in zip(months, column, strict=False)
    ]
    frame = pd.DataFrame(rows, columns=["station_code", "quantity", "taken_on", "value"])
    return frame.assign(sign=sign, stratum="surface", status="accepted", sample_type="routine", method="")


def one_class(
    *frames: pd.DataFrame,
    scheme: ClassScheme = CARLSON,
    period: Period = LAST,
    kind: str = "lake",
    programme: Programme = PROGRAMME,
) -> pd.Series:
    seasons = season_table(pd.concat(frames), programme)
    return period_classes(seasons, period, scheme, programme, pd.Series({"HM1": kind})).loc["HM1"]


def test_period_classes_gives_chlorophyll_priority_over_phosphorus_and_clarity() -> None:
    row = one_class(
        readings({"chlorophyll_a": [10.0] * 5, "total_phosphorus": [8.0] * 5, "secchi_depth": [6.0] * 5})
    )
    assert (row["label"], row["letter"], row["class_index"]) == ("eutrophic", "E", 2)
    assert (row["quantity"], row["central"]) == ("chlorophyll_a", 10.0)
    assert (row["visits"], row["months"], row["missing"], row["also"]) == (5, 5, "", "")


def test_period_classes_falls_back_to_the_next_quantity_with_enough_visits() -> None:
    row = one_class(readings({"chlorophyll_a": [10.0] * 2, "total_phosphorus": [8.0] * 5}))
    assert (row["label"], row["quantity"], row["visits"]) == ("oligotrophic", "total_phosphorus", 5)


def test_period_classes_by_uncorrected_chlorophyll_says_so() -> None:
    row = one_class(readings({"chlorophyll_a_uncorrected": [10.0] * 5, "secchi_depth": [6.0] * 5}))
    assert (row["label"], row["quantity"]) == ("eutrophic", "chlorophyll_a_uncorrected")


def test_period_classes_never_names_a_class_by_nitrogen_alone_after_carlson_and_simpson() -> None:
    assert one_class(readings({"total_nitrogen": [900.0] * 5}))["missing"] == "no_readings"


@pytest.mark.parametrize(
    ("months", "visits", "missing"),
    [((5, 6), 2, "too_few_visits"), ((5, 6, 7), 3, "")],
)
def test_period_classes_needs_three_visits_in_three_months(
    months: tuple[int, ...], visits: int, missing: str
) -> None:
    row = one_class(readings({"secchi_depth": [3.0] * 5}, months=months))
    assert (row["missing"], row["visits"], row["months"]) == (missing, visits, len(months))
    assert (row["class_index"] == -1) == bool(missing)
    assert (row["label"] == "") == bool(missing)


def test_period_classes_of_three_visits_in_two_months_is_none() -> None:
    frame = readings({"secchi_depth": [3.0] * 2}, months=(5, 6))
    again = frame.iloc[:1].assign(taken_on=pd.Timestamp(2024, 5, 20))
    row = one_class(frame, again)
    assert (row["missing"], row["visits"], row["months"]) == ("too_few_visits", 3, 2)


def test_period_classes_follows_the_programmes_own_minimum() -> None:
    programme = Programme(minimum_visits=2, minimum_months=1)
    frame = readings({"secchi_depth": [3.0] * 2}, months=(5, 6))
    assert one_class(frame, programme=programme)["label"] == "mesotrophic"


def test_period_classes_takes_the_median_of_the_counted_seasons_medians() -> None:
    frames = [
        readings({"total_phosphorus": [value] * 5}, year=year)
        for year, value in ((2021, 10.0), (2022, 20.0), (2023, 90.0))
    ]
    too_few = readings({"total_phosphorus": [500.0] * 2}, year=2024)
    row = one_class(*frames, too_few, period=Period(2021, 2024))
    assert (row["central"], row["label"], row["visits"], row["months"]) == (20.0, "mesotrophic", 15, 5)
    earlier = one_class(*frames, too_few, period=Period(2021, 2022))
    assert earlier["central"] == 15.0


def test_period_classes_for_a_mean_takes_the_mean_of_the_seasons_means() -> None:
    frames = [
        readings({"total_phosphorus": [value] * 5}, year=2020 + n) for n, value in enumerate((5, 10, 30))
    ]
    row = one_class(*frames, scheme=schemes()["nurnberg_1996"], period=Period(2020, 2022))
    assert (row["central"], row["label"]) == (15.0, "mesotrophic")


def test_period_classes_of_a_stream_says_stream_and_still_has_its_row() -> None:
    row = one_class(readings({"chlorophyll_a": [10.0] * 5}), kind="stream")
    assert (row["missing"], row["label"], row["visits"]) == ("stream", "", 0)


def test_period_classes_of_a_pond_by_a_scheme_for_lakes_says_kind() -> None:
    assert one_class(readings({"chlorophyll_a": [10.0] * 5}), scheme=OECD, kind="pond")["missing"] == "kind"


def test_period_classes_without_a_reading_in_the_period_says_no_readings() -> None:
    assert one_class(readings({"chlorophyll_a": [10.0] * 5}, year=2019))["missing"] == "no_readings"


def test_period_classes_by_a_scheme_for_the_whole_year_needs_the_year() -> None:
    summer = {"chlorophyll_a": [10.0] * 5}
    row = one_class(readings(summer), scheme=OECD)
    assert (row["missing"], row["label"]) == ("year_needed", "")
    two_outside = readings({"chlorophyll_a": [4.0] * 2}, months=(2, 11))
    assert one_class(readings(summer), two_outside, scheme=OECD)["missing"] == "year_needed"
    outside = readings({"chlorophyll_a": [4.0] * 3}, months=(2, 4, 11))
    row = one_class(readings(summer), outside, scheme=OECD)
    assert (row["missing"], row["label"]) == ("", "mesotrophic")
    assert row["central"] == pytest.approx((5 * 10 + 3 * 4) / 8)


def test_period_classes_by_a_scheme_for_the_whole_year_with_two_visits_says_too_few() -> None:
    frame = readings({"chlorophyll_a": [10.0] * 2}, months=(2, 6))
    assert one_class(frame, scheme=OECD)["missing"] == "too_few_visits"


@pytest.mark.parametrize(
    ("months", "missing"),
    [
        (range(1, 13), ""),
        ((1, 2, 4, 5, 6, 7, 9, 10, 12), ""),
        ((1, 2, 4, 5, 6, 7, 9, 10), "year_needed"),
        ((4, 5, 6, 7, 8, 9, 10), "year_needed"),
        ((5, 6), "too_few_visits"),
    ],
)
def test_period_classes_where_the_season_fills_the_year_need_nearly_all_of_it(
    months: Sequence[int], missing: str
) -> None:
    programme = Programme(season_months=tuple(range(1, 13)))
    frame = readings({"chlorophyll_a": [10.0] * 12}, months=tuple(months))
    row = one_class(frame, scheme=OECD, programme=programme)
    assert (row["label"], row["missing"]) == ("" if missing else "eutrophic", missing)


def test_period_classes_where_the_season_leaves_three_months_need_those() -> None:
    programme = Programme(season_months=tuple(range(3, 12)))
    summer = readings({"chlorophyll_a": [10.0] * 9}, months=tuple(range(3, 12)))
    assert one_class(summer, scheme=OECD, programme=programme)["missing"] == "year_needed"
    winter = readings({"chlorophyll_a": [10.0] * 3}, months=(1, 2, 12))
    few = readings({"chlorophyll_a": [10.0] * 3}, months=(4, 6, 8))
    assert one_class(few, winter, scheme=OECD, programme=programme)["label"] == "eutrophic"


def test_period_classes_with_values_below_a_limit_names_both_classes_it_allows() -> None:
    row = one_class(readings({"total_phosphorus": [20.0] * 5}, sign="<"))
    assert (row["label"], row["also"]) == ("mesotrophic", "oligotrophic")
    assert np.isnan(row["central"])
    below = one_class(readings({"total_phosphorus": [10.0] * 5}, sign="<"))
    assert (below["label"], below["also"]) == ("oligotrophic", "")


def test_period_classes_with_an_estimate_keeps_its_class_and_names_the_other() -> None:
    frame = readings({"total_phosphorus": [30.0, 14.0, 15.0, 30.0, 16.0]})
    frame["sign"] = ["=", "=", "=", "<", "="]
    row = one_class(frame)
    assert row["label"] == "mesotrophic"
    assert not np.isnan(row["central"])


def test_period_classes_of_a_disk_on_the_bottom_leaves_the_class_to_another_quantity() -> None:
    clarity = readings({"secchi_depth": [1.8] * 5}, sign=">")
    alone = one_class(clarity, kind="pond")
    assert (alone["missing"], alone["label"], alone["visits"]) == ("only_limits", "", 5)
    beside = one_class(clarity, readings({"chlorophyll_a": [3.0] * 5}), kind="pond")
    assert (beside["label"], beside["quantity"]) == ("mesotrophic", "chlorophyll_a")


def test_period_classes_of_a_deep_disk_on_the_bottom_is_the_clearest_class() -> None:
    row = one_class(readings({"secchi_depth": [4.5] * 5}, sign=">"))
    assert (row["label"], row["also"]) == ("oligotrophic", "")


def test_period_classes_by_a_maximum_needs_no_spread_and_gives_no_shares() -> None:
    row = one_class(readings({"chlorophyll_a": [5.0, 30.0, 6.0, 7.0, 8.0]}), scheme=PEAKS)
    assert (row["label"], row["central"]) == ("blooming", 30.0)
    assert row[["share_0", "share_1"]].isna().all()
    hidden = readings({"chlorophyll_a": [5.0, 30.0, 6.0, 7.0, 8.0]}).assign(sign=["=", "<", "=", "=", "="])
    assert one_class(hidden, scheme=PEAKS)["missing"] == "only_limits"


def test_period_classes_shares_grow_with_the_distance_from_the_limit() -> None:
    values = np.array([0.8, 1.0, 1.3, 0.9, 1.1])
    near = one_class(readings({"total_phosphorus": (23.0 * values).tolist()}))
    far = one_class(readings({"total_phosphorus": (17.0 * values).tolist()}))
    assert near["label"] == far["label"] == "mesotrophic"
    assert near["share_1"] < far["share_1"]
    assert near[[f"share_{n}" for n in range(4)]].sum() == pytest.approx(1.0)


def test_period_classes_shares_grow_surer_with_the_seasons_of_a_period() -> None:
    values = (20.0 * np.array([0.6, 1.0, 1.6, 0.8, 1.2])).tolist()
    frames = [readings({"total_phosphorus": values}, year=year) for year in range(2015, 2025)]
    one, ten = (one_class(*frames, period=period) for period in (LAST, Period(2015, 2024)))
    assert one["central"] == ten["central"]
    assert ten["share_1"] > one["share_1"] + 0.05


def test_period_classes_shares_without_an_estimate_lie_between_both_ends_of_the_interval() -> None:
    earlier = readings({"total_phosphorus": [14.0, 15.0, 16.0, 15.0, 14.0]}, year=2023)
    row = one_class(earlier, readings({"total_phosphorus": [18.0] * 5}, sign="<"))
    assert (row["label"], row["also"]) == ("mesotrophic", "oligotrophic")
    # at zero the class is the best one; at 18 µg/L it is as good as certainly the next
    assert row[["share_0", "share_1"]].tolist() == pytest.approx([0.5, 0.5], abs=0.02)


def test_period_classes_keeps_the_stations_and_their_order() -> None:
    kinds = pd.Series({"Z": "stream", "HM1": "pond", "A": "lake"})
    seasons = season_table(readings({"secchi_depth": [3.0] * 5}), PROGRAMME)
    found = period_classes(seasons, LAST, CARLSON, PROGRAMME, kinds)
    assert found.index.tolist() == ["Z", "HM1", "A"]
    assert found["missing"].tolist() == ["stream", "", "no_readings"]


def test_period_classes_of_an_empty_season_table_says_no_readings() -> None:
    seasons = season_table(readings({}), PROGRAMME)
    found = period_classes(seasons, LAST, CARLSON, PROGRAMME, pd.Series({"A": "lake"}))
    assert found["missing"].tolist() == ["no_readings"]
    assert season_classes(seasons, CARLSON, PROGRAMME, pd.Series({"A": "lake"})).empty


def test_season_classes_has_one_row_per_station_and_year_with_any_reading() -> None:
    frames = [
        readings({"secchi_depth": [3.0] * 5}, year=2022),
        readings({"secchi_depth": [3.0] * 2}, year=2023),
        readings({"total_nitrogen": [400.0] * 2}, year=2024),
        readings({"secchi_depth": [1.0] * 5}, year=2022, station="A1"),
    ]
    kinds = pd.Series({"HM1": "lake", "A1": "stream"})
    found = season_classes(season_table(pd.concat(frames), PROGRAMME), CARLSON, PROGRAMME, kinds)
    assert found[["station_code", "year", "letter", "visits", "months", "missing"]].to_numpy().tolist() == [
        ["A1", 2022, "", 0, 0, "stream"],
        ["HM1", 2022, "M", 5, 5, ""],
        ["HM1", 2023, "", 2, 2, "too_few_visits"],
        ["HM1", 2024, "", 0, 0, "no_readings"],
    ]


def history(frame: pd.DataFrame, kind: WaterKind = "lake") -> StationHistory:
    station = Station("HM1", "Hollow Mere, middle", "HM", NAN, NAN, NAN, True)
    return StationHistory(station, Lake("HM", "Hollow Mere", kind, frozenset(), NAN, NAN, NAN), frame, 1)


def test_class_result_names_the_class_its_shares_and_how_sure() -> None:
    frame = readings({"chlorophyll_a": [10.0, 12.0, 11.0, 13.0, 12.0]})
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, CARLSON, PROGRAMME)
    assert (found.scheme, found.label, found.quantity) == (CARLSON.key, "eutrophic", "chlorophyll_a")
    assert (found.visits, found.months, found.missing, found.missing_months) == (5, 5, "", ())
    assert found.shares["eutrophic"] > 0.9
    assert f"sureness.{found.sureness}" in word_codes()


def test_class_result_with_three_visits_is_never_surer_than_likely() -> None:
    frame = readings({"chlorophyll_a": [20.0, 20.1, 20.2]})
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, CARLSON, PROGRAMME)
    assert found.shares["eutrophic"] > 0.9
    assert found.sureness == "likely"


def test_class_result_by_a_maximum_says_that_nobody_can_tell_how_sure() -> None:
    frame = readings({"chlorophyll_a": [30.0] * 5})
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, PEAKS, PROGRAMME)
    assert (found.label, found.shares, found.sureness) == ("blooming", {}, "cannot_tell")
    assert f"sureness.{found.sureness}" in word_codes()


def test_class_result_names_the_missing_months_of_the_quantity_that_gave_the_class() -> None:
    frame = pd.concat(
        [
            readings({"chlorophyll_a": [10.0] * 3}, months=(5, 6, 8)),
            readings({"secchi_depth": [2.0] * 5}),
        ]
    )
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, CARLSON, PROGRAMME)
    assert (found.quantity, found.missing_months) == ("chlorophyll_a", (7, 9))


def test_class_result_without_a_class_names_the_months_missing_in_the_best_visited_quantity() -> None:
    frame = pd.concat(
        [
            readings({"chlorophyll_a": [10.0]}, months=(5,)),
            readings({"secchi_depth": [2.0] * 2}, months=(6, 7)),
        ]
    )
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, CARLSON, PROGRAMME)
    assert (found.label, found.missing, found.visits) == (None, "too_few_visits", 2)
    assert found.missing_months == (5, 8, 9)


def test_class_result_over_a_period_names_months_missing_in_every_season() -> None:
    frame = pd.concat(
        [
            readings({"secchi_depth": [2.0] * 3}, months=(5, 6, 7), year=2023),
            readings({"secchi_depth": [2.0] * 3}, months=(6, 7, 8), year=2024),
        ]
    )
    found = class_result(
        history(frame), season_table(frame, PROGRAMME), Period(2023, 2024), CARLSON, PROGRAMME
    )
    assert found.missing_months == (9,)


def test_class_result_by_a_scheme_for_the_whole_year_names_the_months_missing_in_the_year() -> None:
    frame = readings({"chlorophyll_a": [10.0] * 5})
    found = class_result(history(frame), season_table(frame, PROGRAMME), LAST, OECD, PROGRAMME)
    assert (found.missing, found.missing_months) == ("year_needed", (1, 2, 3, 4, 10, 11, 12))


def test_class_result_of_a_station_without_readings() -> None:
    empty = readings({})
    empty = empty.astype({"taken_on": "datetime64[ms]", "value": "float64"})
    found = class_result(history(empty), season_table(empty, PROGRAMME), LAST, CARLSON, PROGRAMME)
    assert (found.label, found.missing, found.missing_months) == (None, "no_readings", (5, 6, 7, 8, 9))


def test_every_reason_for_a_missing_class_is_named_in_the_model() -> None:
    assert all(f'"{reason}"' in (ClassResult.__doc__ or "") for reason in REASONS)


@st.composite
def stations(draw: st.DrawFn) -> pd.DataFrame:
    random = np.random.default_rng(draw(st.integers(0, 10**6)))
    size = draw(st.integers(3, 120))
    quantities = ["chlorophyll_a", "total_phosphorus", "secchi_depth"]
    days = pd.Timestamp("2021-01-01") + pd.to_timedelta(random.integers(0, 1400, size), "D")
    frame = pd.DataFrame(
        {
            "station_code": random.choice(["A", "B", "C"], size),
            "quantity": random.choice(quantities, size),
            "taken_on": days,
            "value": random.lognormal(2, 1, size),
            "sign": random.choice(["=", "<", ">"], size, p=[0.8, 0.15, 0.05]),
        }
    )
    return frame.assign(stratum="surface", status="accepted", sample_type="routine", method="")


KINDS = pd.Series({"A": "lake", "B": "reservoir", "C": "lake"})
every_scheme = st.sampled_from(sorted(schemes())).map(schemes().__getitem__)


@settings(max_examples=40, deadline=None)
@given(stations(), every_scheme, st.integers(0, 1000))
def test_period_classes_do_not_depend_on_the_order_of_rows(
    frame: pd.DataFrame, scheme: ClassScheme, seed: int
) -> None:
    seasons = season_table(frame, PROGRAMME)
    shuffled = seasons.sample(frac=1, random_state=seed)
    period = Period(2021, 2023)
    pd.testing.assert_frame_equal(
        period_classes(seasons, period, scheme, PROGRAMME, KINDS),
        period_classes(shuffled, period, scheme, PROGRAMME, KINDS),
    )


@settings(max_examples=40, deadline=None)
@given(stations(), every_scheme)
def test_period_classes_of_one_season_are_those_of_season_classes(
    frame: pd.DataFrame, scheme: ClassScheme
) -> None:
    seasons = season_table(frame, PROGRAMME)
    by_season = season_classes(seasons, scheme, PROGRAMME, KINDS)
    for year, rows in by_season.groupby("year"):
        found = period_classes(seasons, Period(year, year), scheme, PROGRAMME, KINDS)
        expected = rows.set_index("station_code").drop(columns="year")
        pd.testing.assert_frame_equal(found.loc[expected.index], expected, check_names=False)


@settings(max_examples=40, deadline=None)
@given(stations(), every_scheme)
def test_period_classes_of_many_stations_are_those_of_each_alone(
    frame: pd.DataFrame, scheme: ClassScheme
) -> None:
    seasons = season_table(frame, PROGRAMME)
    period = Period(2021, 2024)
    together = period_classes(seasons, period, scheme, PROGRAMME, KINDS)
    for code, kind in KINDS.items():
        own = seasons[seasons["station_code"] == code]
        alone = period_classes(own, period, scheme, PROGRAMME, pd.Series({code: kind}))
        pd.testing.assert_frame_equal(alone, together.loc[[code]], check_names=False)


@settings(max_examples=40, deadline=None)
@given(stations(), st.floats(1.0, 5.0))
def test_class_with_more_phosphorus_is_never_better(frame: pd.DataFrame, factor: float) -> None:
    frame = frame.assign(quantity="total_phosphorus")
    more = frame.assign(value=frame["value"] * factor)
    for scheme in (CARLSON, schemes()["nurnberg_1996"]):
        found, worse = (
            period_classes(season_table(each, PROGRAMME), Period(2021, 2024), scheme, PROGRAMME, KINDS)
            for each in (frame, more)
        )
        both = (found["class_index"] >= 0) & (worse["class_index"] >= 0)
        assert (worse["class_index"][both] >= found["class_index"][both]).all()


@settings(max_examples=40, deadline=None)
@given(stations(), st.integers(0, 10**6))
def test_class_from_feet_and_from_metres_is_the_same(frame: pd.DataFrame, seed: int) -> None:
    on_limits = np.random.default_rng(seed).choice([4.0, 2.0, 0.5, 3.1], len(frame))
    metres = frame.assign(quantity="secchi_depth", sign="=", value=on_limits)
    feet = metres.assign(value=convert(convert(on_limits, "m", "ft"), "ft", "m"))
    first, second = (
        period_classes(season_table(each, PROGRAMME), Period(2021, 2024), CARLSON, PROGRAMME, KINDS)
        for each in (metres, feet)
    )
    assert first["class_index"].tolist() == second["class_index"].tolist()


@settings(max_examples=40, deadline=None)
@given(stations(), every_scheme)
def test_period_classes_name_a_class_or_say_why_not(frame: pd.DataFrame, scheme: ClassScheme) -> None:
    found = period_classes(season_table(frame, PROGRAMME), Period(2021, 2024), scheme, PROGRAMME, KINDS)
    named = found["class_index"] >= 0
    assert ((found["label"] != "") == named).all()
    assert ((found["letter"] != "") == named).all()
    assert ((found["quantity"] != "") == named).all()
    assert ((found["missing"] == "") == named).all()
    assert (found["also"][~named] == "").all()
    assert (found["also"] != found["label"])[named].all()
    assert (found["visits"][named] >= PROGRAMME.minimum_visits).all()
    assert (found["months"][named] >= PROGRAMME.minimum_months).all()


def test_geometric_mean_of_several_seasons_holds_the_true_value_nine_times_in_ten() -> None:
    random, stations, years = np.random.default_rng(11), 1500, 10
    logs = random.normal(np.log(20.0), 0.8, (stations, years, 3))
    names = np.array([f"S{number}" for number in range(stations)])
    means = np.exp(logs.mean(axis=2)).ravel()
    seasons = pd.DataFrame(
        {
            "station_code": names.repeat(years), "quantity": "chlorophyll_a", "window": "season",
            "year": np.tile(np.arange(2011, 2021), stations), "visits": 3, "months": 3,
            "geometric_mean": means, "log_spread": logs.std(axis=2, ddof=1).ravel(),
        }
    )  # fmt: skip
    found = period_classes(seasons, Period(2011, 2020), GEOMETRIC, PROGRAMME, pd.Series("lake", index=names))
    assert found["central"].to_numpy() == pytest.approx(np.exp(logs.mean(axis=(1, 2))))
    within = found["share_0"].between(0.05, 0.95).mean()
    assert within == pytest.approx(0.90, abs=0.025)
