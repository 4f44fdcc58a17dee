import numpy as np
import pytest
from trend_judgement import trend_findings

import explorer.analysis.trend_findings as judging
from explorer.analysis.power import years_needed
from explorer.model.trends import TREND_VERDICTS, Trend


def noise(series=1, years=20, spread=0.15, rise=0.0, seed=1, months=5):
    """Values about 20 that rise by a share of 20 a year; half of the spread is common to a year."""
    rng = np.random.default_rng(seed)
    error = rng.normal(size=(series, years, months)) + rng.normal(size=(series, years, 1))
    return 20.0 * (1.0 + spread * error / np.sqrt(2.0) + rise * np.arange(years)[:, None])


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        (noise(years=4), "too_few_years"),
        (noise(years=5), "drawn_only"),
        (noise(years=7, rise=0.5), "drawn_only"),
        (noise(years=8, spread=0.02, rise=0.05), "rising"),
        (noise(rise=0.04), "rising"),
        (noise(rise=-0.03), "falling"),
        (noise(), "no_trend_found"),
        (noise(years=9, spread=0.5), "cannot_tell_yet"),
        (np.full((1, 12, 5), np.nan), "too_few_years"),
        (np.full((1, 12, 5), 3.0), "no_trend_found"),
    ],
)
def test_verdict(values, verdict):
    assert trend_findings(values).verdict.tolist() == [verdict]
    assert verdict in TREND_VERDICTS


def test_verdict_of_values_below_the_limit_is_that_they_are():
    values = np.full((1, 12, 5), 2.0)
    assert trend_findings(values, np.full(values.shape, "<")).verdict.tolist() == ["beyond_limit"]


def test_verdict_without_a_slope_is_that_it_cannot_be_told():
    """Six in ten under the limit: a rise would be called, but how much was missed cannot be said."""
    values = noise()
    limit = np.quantile(values, 0.6)
    found = trend_findings(np.where(values < limit, limit, values), np.where(values < limit, "<", "="))
    assert found.verdict.tolist() == ["cannot_tell_yet"]
    assert np.isnan([found.smallest_found[0], found.years_needed[0]]).all()


def test_a_setting_of_more_years_makes_a_longer_wait():
    values = noise(years=9, rise=0.2)
    assert trend_findings(values).verdict.tolist() == ["rising"]
    found = trend_findings(values, trend_years=12)
    assert (found.verdict.tolist(), found.years_needed.tolist()) == (["drawn_only"], [3.0])
    assert np.isnan(found.table.p).all()


def test_a_finding_among_many_tests_needs_more():
    values = noise(series=60, spread=0.1, seed=2)
    among = trend_findings(values)
    first = int(np.argmin(among.table.p))
    alone = trend_findings(values[first : first + 1])
    assert alone.table.p[0] == among.table.p[first] <= 0.05 < among.table.p_adjusted[first]
    assert alone.verdict[0] in ("rising", "falling")
    assert among.verdict[first] == "no_trend_found"


def test_what_could_be_missed_grows_with_the_number_of_tests():
    values = noise(series=60, seed=2)
    alone = trend_findings(values[5:6]).smallest_found[0]
    assert 1.1 * alone < trend_findings(values).smallest_found[5] < 3.0 * alone


def test_findings_have_no_smallest_change_and_others_have_one():
    found = trend_findings(np.concatenate([noise(rise=0.04), noise(seed=3)]))
    assert np.isnan(found.smallest_found).tolist() == [True, False]
    assert found.verdict.tolist() == ["rising", "no_trend_found"]


def test_the_order_of_stations_makes_no_difference_to_findings():
    values = noise(series=80, years=12, spread=0.3)
    order = np.random.default_rng(4).permutation(80)
    plain, moved = trend_findings(values), trend_findings(values[order])
    np.testing.assert_array_equal(moved.smallest_found, plain.smallest_found[order])
    np.testing.assert_array_equal(moved.years_needed, plain.years_needed[order])
    assert moved.verdict.tolist() == plain.verdict[order].tolist()


def test_the_same_series_give_the_same_findings():
    values = noise(series=10, years=12, spread=0.3)
    plain, again = (trend_findings(values).smallest_found for _ in range(2))
    assert (plain == again).all()


def test_no_trend_is_said_only_where_a_large_change_would_have_been_found():
    found = trend_findings(noise(series=60, years=15, spread=0.2, seed=5))
    percent = 100.0 * found.smallest_found / found.table.median
    assert set(found.verdict) == {"no_trend_found", "cannot_tell_yet"}
    assert (percent[found.verdict == "no_trend_found"] <= 5.0).all()
    assert (percent[found.verdict == "cannot_tell_yet"] > 5.0).all()
    assert (found.years_needed[found.verdict == "no_trend_found"] == 0).all()
    assert (found.years_needed[found.verdict == "cannot_tell_yet"] >= 1).all()


def test_values_without_a_positive_median_are_not_judged_in_percent():
    found = trend_findings(noise(spread=0.3) - 60.0)
    assert found.verdict.tolist() == ["no_trend_found"]
    assert np.isfinite(found.smallest_found).all()
    assert np.isnan(found.trend(0).smallest_percent)


def test_years_needed_are_those_after_which_the_change_is_found(monkeypatch):
    """Forty records of twelve years, and forty that are longer by the years their noise asked for."""
    monkeypatch.setattr(judging, "LARGE_PERCENT_PER_YEAR", 2.0)
    short = [trend_findings(each[None]) for each in noise(40, 12, 0.2, seed=6)]
    more = int(np.nanmedian([found.years_needed[0] for found in short]))
    longer = [trend_findings(each[None]).trend(0) for each in noise(40, 12 + more, 0.2, seed=7)]
    assert 3 <= more <= 12
    assert np.nanmedian([trend.smallest_percent for trend in longer]) == pytest.approx(2.0, rel=0.2)


def test_years_needed_of_a_ratio_of_one_are_none():
    assert years_needed([0.2, 0.2000001], [8, 8], [0.2, 0.2]).tolist() == [0.0, 1.0]


def test_one_trend_holds_what_the_table_holds():
    found = trend_findings(noise(series=3, spread=0.3, seed=8))
    trend = found.trend(2)
    assert isinstance(trend, Trend)
    assert trend.p == found.table.p[2]
    assert trend.verdict == found.verdict[2]
    assert trend.smallest_percent == pytest.approx(100 * found.smallest_found[2] / found.table.median[2])
    assert isinstance(trend.years, int)
    with pytest.raises(IndexError):
        found.trend(3)
