"""Trend and change against printed worked examples and against runs of general-purpose libraries."""

from collections.abc import Callable, Mapping
from math import sqrt
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd
import pytest
from trend_judgement import trend_findings

from explorer.analysis.multiple_tests import adjusted_p
from explorer.analysis.order_statistics import at_ranks
from explorer.analysis.rank_sum import rank_sum_p, shift_limits
from explorer.analysis.seasonal_kendall import (
    KendallScores,
    kendall_by_season,
    kendall_scores,
    standard_score,
)
from explorer.analysis.sen_slope import sen_slopes, within_season_slopes
from explorer.analysis.tail_probability import normal_quantile, two_sided_p
from explorer.analysis.trend import COVARIANCE_YEARS, trends

PUBLISHED = Path(__file__).parent.parent / "published"
Floats = npt.NDArray[np.float64]


@pytest.fixture(scope="module")
def data() -> Callable[[str], pd.DataFrame]:
    return lambda name: pd.read_csv(PUBLISHED / "statistics_data" / name)


@pytest.fixture(scope="module")
def printed() -> Callable[[str, Mapping[str, float]], None]:
    """Compare what was found with every printed number of one input."""
    table = pd.read_csv(PUBLISHED / "trend_published.csv")

    def check(inputs: str, found: Mapping[str, float]) -> None:
        rows = table[table["inputs"] == inputs]
        assert set(rows["quantity"]) == set(found)
        for row in rows.itertuples():
            assert found[row.quantity] == pytest.approx(float(row.expected), abs=float(row.tolerance)), row.id

    return check


@pytest.fixture(scope="module")
def run() -> Callable[[str, str], dict[str, float]]:
    """What a library gave for one function and one input, by statistic."""
    table = pd.read_csv(PUBLISHED / "trend_reference_runs.csv")

    def given(function: str, name: str) -> dict[str, float]:
        rows = table[table["function"].str.startswith(function) & (table["input_file"] == name)]
        assert len(rows)
        return dict(zip(rows["statistic"], rows["value"].astype(float), strict=True))

    return given


def in_one_season(values: pd.Series) -> Floats:
    return values.to_numpy(dtype=np.float64)[None, :, None]


def test_kendall_and_sen_agree_with_epa_2009_example_17_7(data, printed):
    frame = data("epa2009_ex17_7_sodium.csv")
    values, year = in_one_season(frame["sodium_ppm"]), frame["year"].to_numpy()
    scores = kendall_scores(values)
    found = sen_slopes(values, scores.variance, year, confidence=0.95)
    z = standard_score(scores.statistic_s, scores.variance)
    printed(
        "epa2009_ex17_7_sodium.csv",
        {
            "Kendall S": scores.statistic_s[0],
            "Kendall tau": scores.statistic_s[0] / found.pairs[0],
            "Sen slope": found.slope[0],
            "intercept (median y - slope*median x)": np.median(values) - found.slope[0] * np.median(year),
            "z with continuity correction": z[0],
            "p two-sided (normal)": two_sided_p(z)[0],
            "lower limit (0.95, interpolated rank)": found.low[0],
            "upper limit (0.95, interpolated rank)": found.high[0],
        },
    )


def test_kendall_agrees_with_helsel_2020_chapter_8(data, printed):
    values = in_one_season(data("helsel_hirsch_10pairs.csv")["y"])
    scores, (_, [pairs]) = kendall_scores(values), within_season_slopes(values)
    z = standard_score(scores.statistic_s, scores.variance)
    printed(
        "helsel_hirsch_10pairs.csv",
        {
            "P concordant": (pairs + scores.statistic_s[0]) / 2,
            "M discordant": (pairs - scores.statistic_s[0]) / 2,
            "tau": scores.statistic_s[0] / pairs,
            "Kendall S": scores.statistic_s[0],
            "z large-sample with continuity correction": z[0],
            "p large-sample": two_sided_p(z)[0],
        },
    )


def test_sen_slope_with_an_outlier_agrees_with_helsel_2020_chapter_10(data, printed):
    frame = data("theil_7pairs.csv")
    slope = sen_slopes(in_one_season(frame["y"]), [1.0], frame["x"]).slope[0]
    intercept = frame["y"].median() - slope * frame["x"].median()
    printed("theil_7pairs.csv", {"Theil-Sen slope": slope, "intercept": intercept})


def test_sen_slope_with_several_values_a_time_agrees_with_gilbert_1987(data, printed):
    """The variance with ties in time is the printed one: a month's values are made one before a test."""
    frame = data("gilbert1987_multiple_obs.csv")
    variance = 58.1
    values = in_one_season(frame["value"])
    slopes, pairs = within_season_slopes(values, frame["time"])
    statistic = np.nansum(np.sign(slopes))
    found = sen_slopes(values, [variance], frame["time"], confidence=0.90)
    printed(
        "gilbert1987_multiple_obs.csv",
        {
            "Kendall S": statistic,
            "VAR(S) with ties in value and time": variance,
            "Z": standard_score(statistic, variance).item(),
            "number of slopes N-prime": pairs[0],
            "Sen slope": found.slope[0],
            "90% lower limit": found.low[0],
            "90% upper limit": found.high[0],
        },
    )


def test_adjusted_p_agrees_with_benjamini_and_hochberg_1995(data, printed):
    adjusted = adjusted_p(data("benjamini_hochberg1995_p.csv")["p"])
    printed("benjamini_hochberg1995_p.csv", {"number rejected, BH at 0.05": int((adjusted <= 0.05).sum())})


@pytest.mark.parametrize(("inputs", "z"), [("z=-0.584", -0.584), ("z=-1.808", -1.808)])
def test_two_sided_p_agrees_with_usgs_2006_outputs(printed, inputs, z):
    printed(inputs, {"p from z (two-sided normal)": two_sided_p(z).item()})


def test_covariance_is_used_above_the_years_of_usgs_2006(printed):
    rows = np.random.default_rng(1).normal(size=(1, COVARIANCE_YEARS + 1, 3))
    used = "annual values per season above which the covariance is used"
    printed("years per season", {used: COVARIANCE_YEARS})
    assert trends(rows).test.tolist() == ["seasonal_kendall"]
    assert trends(rows[:, :-1]).test.tolist() == ["season_medians"]


@pytest.fixture(scope="module")
def monthly(data) -> Floats:
    return data("nottem_monthly_temp.csv")["value"].to_numpy().reshape(1, 20, 12)


@pytest.fixture(scope="module")
def gappy(data) -> Floats:
    return data("nottem_gappy_rounded.csv")["value"].to_numpy(dtype=np.float64).reshape(1, 10, 12)


def apart(values: Floats) -> KendallScores:
    """Return the scores of a test that takes the seasons as independent."""
    by_season = kendall_by_season(values)
    return KendallScores(by_season.statistic_s.sum(axis=1), by_season.variance.sum(axis=1))


def test_seasonal_kendall_agrees_with_hirsch_slack_and_smith_1982(monthly, printed):
    independent, together = apart(monthly), kendall_scores(monthly)
    z = standard_score(independent.statistic_s, independent.variance)
    printed(
        "nottem_monthly_temp.csv",
        {
            "seasonal Kendall S": together.statistic_s[0],
            "seasonal Kendall z (continuity corrected)": z[0],
            "seasonal Kendall p": two_sided_p(z)[0],
            "Hirsch-Slack covariance variance of S": together.variance[0],
        },
    )


def test_seasonal_kendall_with_gaps_and_ties_agrees_with_hirsch_and_slack_1984(gappy, printed):
    together = kendall_scores(gappy)
    printed(
        "nottem_gappy_rounded.csv",
        {
            "seasonal Kendall S with gaps and ties": together.statistic_s[0],
            "seasonal Kendall variance with gaps and ties": apart(gappy).variance[0],
            "Hirsch-Slack variance with gaps and ties": together.variance[0],
        },
    )


def test_rank_sum_agrees_with_hollander_and_wolfe(data, printed):
    frame = data("hollander_wolfe_chorioamnion.csv")
    first, second = (frame.loc[frame["sample"] == name, "value"].to_numpy() for name in ("first", "second"))
    difference, low, high = shift_limits(first, second, confidence=0.96)
    printed(
        "hollander_wolfe_chorioamnion.csv",
        {
            "U of the first sample": float((first[:, None] > second).sum()),
            "p one-sided": rank_sum_p(first, second) / 2,
            "Hodges-Lehmann difference": difference,
            "lower limit (0.96)": low,
            "upper limit (0.96)": high,
        },
    )


def mann_kendall(values: Floats) -> dict[str, float]:
    scores = kendall_scores(values)
    z = standard_score(scores.statistic_s, scores.variance)
    found = {"s": scores.statistic_s[0], "var_s": scores.variance[0], "z": z[0], "p": two_sided_p(z)[0]}
    slopes = sen_slopes(values, scores.variance)
    slope, middle = slopes.slope[0], (values.size - 1) / 2
    tau = scores.statistic_s[0] / slopes.pairs[0]
    return {**found, "slope": slope, "Tau": tau, "intercept": np.median(values) - slope * middle}


@pytest.mark.parametrize(
    ("name", "column"),
    [
        ("nile_annual_flow.csv", "value"),
        ("lake_huron_annual_level.csv", "value"),
        ("epa2009_ex17_7_sodium.csv", "sodium_ppm"),
        ("helsel_hirsch_10pairs.csv", "y"),
        ("theil_7pairs.csv", "y"),
    ],
)
def test_mann_kendall_agrees_with_pymannkendall(data, run, name, column):
    found = mann_kendall(in_one_season(data(name)[column]))
    for statistic, value in run("original_test", name).items():
        assert found[statistic] == pytest.approx(value, rel=1e-9), statistic


@pytest.mark.parametrize("name", ["nile_annual_flow.csv", "lake_huron_annual_level.csv"])
def test_trends_of_a_long_record_agree_with_three_libraries(data, run, name):
    values = in_one_season(data(name)["value"])
    table = trends(values)
    pymannkendall, r = run("original_test", name), run("cor.test", name)
    assert table.statistic_s[0] == pymannkendall["s"]
    assert table.z[0] == pytest.approx(r["z"], rel=1e-9)
    assert table.p[0] == pytest.approx(r["p_two_sided"], rel=1e-9)
    # The middle of the readings lies on the line of the trend.
    line_at_first = table.median[0] - table.slope_per_year[0] * (values.size - 1) / 2
    assert line_at_first == pytest.approx(pymannkendall["intercept"], rel=1e-9)
    without_correction = two_sided_p(table.statistic_s[0] / sqrt(table.variance[0])).item()
    expected = run("stats.kendalltau", name)["p (no continuity correction)"]
    assert without_correction == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("name", ["nottem_monthly_temp.csv", "nottem_gappy_rounded.csv"])
def test_each_month_agrees_with_pymannkendall(monthly, gappy, run, name):
    scores = kendall_by_season(monthly if name == "nottem_monthly_temp.csv" else gappy)
    for statistic, value in run("original_test per month", name).items():
        kind, month = statistic.split("_month")
        found = scores.statistic_s if kind == "s" else scores.variance
        assert found[0, int(month) - 1] == pytest.approx(value, rel=1e-9), statistic


@pytest.mark.parametrize("name", ["nottem_monthly_temp.csv", "nottem_gappy_rounded.csv"])
def test_independent_seasons_agree_with_pymannkendall(monthly, gappy, run, name):
    values = monthly if name == "nottem_monthly_temp.csv" else gappy
    scores, given = apart(values), run("seasonal_test", name)
    z = standard_score(scores.statistic_s, scores.variance)
    found = {"s": scores.statistic_s, "var_s": scores.variance, "z": z, "p": two_sided_p(z)}
    slopes = sen_slopes(values, scores.variance)
    found |= {"slope": slopes.slope, "Tau": scores.statistic_s / slopes.pairs}
    assert set(found) == set(given)
    for statistic, value in given.items():
        assert found[statistic][0] == pytest.approx(value, rel=1e-9), statistic


def with_covariance(values: Floats) -> dict[str, float]:
    """Return what that library's test with covariance gives; it has no continuity correction."""
    scores, (_, [pairs]) = kendall_scores(values), within_season_slopes(values)
    statistic, variance = scores.statistic_s[0], scores.variance[0]
    z = statistic / sqrt(variance)
    return {"s": statistic, "var_s": variance, "z": z, "p": two_sided_p(z).item(), "Tau": statistic / pairs}


def test_covariance_agrees_with_pymannkendall_where_no_year_has_a_gap(monthly, run):
    given, found = run("correlated_seasonal_test", "nottem_monthly_temp.csv"), with_covariance(monthly)
    assert sen_slopes(monthly, [1.0]).slope[0] == pytest.approx(given.pop("slope"), rel=1e-9)
    assert given == pytest.approx(found, rel=1e-9)
    # Ours is one step of S nearer to zero.
    assert standard_score(found["s"], found["var_s"]) == pytest.approx(1.5903, abs=1e-4)


def test_covariance_keeps_years_with_a_gap_that_a_library_drops(gappy, run):
    dropped = run("correlated_seasonal_test", "nottem_gappy_rounded.csv")
    assert (dropped["s"], kendall_scores(gappy).statistic_s[0]) == (9, -18)
    assert sen_slopes(gappy, [1.0]).slope[0] == dropped.pop("slope")  # of all years
    whole_years = gappy[:, ~np.isnan(gappy[0]).any(axis=1)]
    assert dropped == pytest.approx(with_covariance(whole_years), rel=1e-9)


@pytest.mark.parametrize(
    ("name", "column", "times"),
    [
        ("nile_annual_flow.csv", "value", None),
        ("lake_huron_annual_level.csv", "value", None),
        ("epa2009_ex17_7_sodium.csv", "sodium_ppm", "year"),
        ("helsel_hirsch_10pairs.csv", "y", "x"),
        ("theil_7pairs.csv", "y", "x"),
    ],
)
def test_sen_slope_agrees_with_scipy_and_its_limits_do_at_rounded_ranks(data, run, name, column, times):
    frame, given = data(name), run("stats.theilslopes", name)
    values, when = in_one_season(frame[column]), None if times is None else frame[times]
    variance = kendall_scores(values).variance
    slopes, pairs = within_season_slopes(values, when)
    found = sen_slopes(values, variance, when, confidence=0.95)
    assert found.slope[0] == pytest.approx(given["slope"], rel=1e-9)
    reach = normal_quantile(0.05) * np.sqrt(variance)
    ranks = np.round([(pairs - reach) / 2.0, (pairs + reach) / 2.0 + 1.0])
    expected = [given["low_slope"], given["high_slope"]]
    assert at_ranks(slopes, ranks, pairs).ravel() == pytest.approx(expected, rel=1e-9)


def test_limits_with_whole_ranks_differ_from_interpolated_ones(data, run):
    whole = run("stats.theilslopes", "epa2009_ex17_7_sodium.csv")
    frame = data("epa2009_ex17_7_sodium.csv")
    found = sen_slopes(in_one_season(frame["sodium_ppm"]), [125.0], frame["year"], confidence=0.95)
    assert round(whole["low_slope"], 4) == 0.4545
    assert round(float(found.low[0]), 4) == 0.3992


def test_adjusted_p_agrees_with_statsmodels_and_r(data, run):
    adjusted = adjusted_p(data("benjamini_hochberg1995_p.csv")["p"])
    for function in ("multipletests(fdr_bh", "p.adjust(BH)"):
        given = run(function, "benjamini_hochberg1995_p.csv")
        assert given.get("n_rejected", 4) == (adjusted <= 0.05).sum()
        for statistic, value in given.items():
            if statistic.startswith("adj_p_"):
                assert adjusted[int(statistic.removeprefix("adj_p_")) - 1] == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize("years", [3, 4])
def test_three_or_four_years_never_get_a_trend_word(monthly, years):
    """On so few years of one month the usual tests call a rise: no setting may let that through."""
    steep = monthly[:, :years] + 40.0 * np.arange(years)[:, None]
    scores = kendall_by_season(steep)
    p = two_sided_p(standard_score(scores.statistic_s.sum(), scores.variance.sum()))
    assert p < 0.001
    found = trend_findings(steep, trend_years=1)
    assert found.verdict.tolist() == ["too_few_years"]
    assert np.isnan(found.table.p).all()
    assert np.isnan(found.table.slope_per_year).all()
