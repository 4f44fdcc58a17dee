"""Levels, spreads and trends behind a departure, against the same by hand."""

import numpy as np
import pandas as pd
import pytest
from scipy import optimize, stats

from explorer.analysis.departure_columns import ScoredReadings
from explorer.analysis.departure_companions import companions, relations
from explorer.analysis.departure_levels import trend_levels
from explorer.analysis.departure_others import NEIGHBOURS_WEIGH, SERIES_WEIGHS
from explorer.analysis.departure_scope import Places, reach
from explorer.analysis.departure_scores import month_scores
from explorer.analysis.departures import visit_scores
from explorer.model.programme import Programme

FLOOR = 0.01


def scores_of(value, month, sign=None, series=None):
    value = np.asarray(value, dtype=float)
    zeros = np.zeros(value.size, dtype=int)
    return month_scores(
        value,
        zeros if sign is None else sign,
        zeros if series is None else series,
        month,
        np.ones(value.size, dtype=bool),
        np.full(value.size, FLOOR),
        np.ones(value.size, dtype=bool),
    )


def by_hand(value, month, row):
    """Level and spread of one reading from the definition, month by month, with loops."""
    years_apart = {}
    for offset in (-1, 0, 1):
        wanted = month[row] + offset
        there = [
            value[other]
            for other in range(len(value))
            if (month[other] - wanted) % 12 == 0 and month[other] != wanted
        ]
        years_apart[offset] = np.array(there)
    here, beside = years_apart[0], np.concatenate([years_apart[-1], years_apart[1]])
    weigh = NEIGHBOURS_WEIGH if beside.size else 0.0
    level = (here.sum() + weigh * (beside.mean() if beside.size else 0.0)) / (here.size + weigh)
    squares = sum(((each - each.mean()) ** 2).sum() for each in years_apart.values() if each.size)
    freedom = sum(max(each.size - 1, 0) for each in years_apart.values())
    by_month = [value[month % 12 == each] for each in np.unique(month % 12)]
    all_squares = sum(((each - each.mean()) ** 2).sum() for each in by_month)
    all_freedom = sum(each.size - 1 for each in by_month)
    more = min(SERIES_WEIGHS, all_freedom)
    variance = (squares + more * all_squares / all_freedom) / (freedom + more)
    return level, np.sqrt(variance * (1 + 1 / (here.size + weigh))), freedom + more


@pytest.mark.parametrize(
    "season",
    [(0,), (6,), (11, 0), (4, 5, 6, 7, 8), (10, 11, 0, 1), (1, 3, 5, 7, 9, 11), (0, 2, 3, 8), range(11)],
)
def test_months_measured_elsewhere_change_nothing(season):
    rng = np.random.default_rng(3)
    month = np.add.outer(np.arange(15) * 12, sorted(season)).ravel()
    value = rng.normal(0.0, 0.3, month.size) + np.where(month >= 90, 1.0, 0.0)
    all_year = np.arange(180)
    alone = scores_of(value, month)
    among = scores_of(
        np.append(value, rng.normal(0.0, 1.0, 180)),
        np.append(month, all_year),
        None,
        np.repeat([0, 1], [month.size, 180]),
    )
    for name in ("expected", "spread", "freedom", "others", "years"):
        np.testing.assert_allclose(getattr(alone, name), getattr(among, name)[: month.size], rtol=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_level_and_spread_agree_with_loops(seed):
    rng = np.random.default_rng(seed)
    month = np.sort(rng.choice(7 * 12, 45, replace=False))  # seven years: too few for a trend
    value = rng.uniform(-0.5, 0.5, month.size)
    scores = scores_of(value, month)
    for row in range(month.size):
        level, spread, freedom = by_hand(value, month, row)
        if scores.years[row] >= 5:
            assert scores.expected[row] == pytest.approx(level)
            assert scores.spread[row] == pytest.approx(max(spread, FLOOR))
            assert scores.freedom[row] == freedom
        else:
            assert np.isnan(scores.expected[row])
    assert (scores.years >= 5).any()


def test_other_series_do_not_speak():
    rng = np.random.default_rng(3)
    month = np.tile(np.arange(10) * 12 + 6, 2)
    value = rng.normal(0, 0.3, 20)
    both = scores_of(np.r_[value[:10], value[10:] + 50], month, series=np.repeat([7, 2], 10))
    alone = scores_of(value[:10], month[:10])
    np.testing.assert_allclose(both.expected[:10], alone.expected)
    np.testing.assert_allclose(both.spread[:10], alone.spread)


def test_values_below_a_limit_speak_as_maximum_likelihood_would_have_them():
    """One month of many years, a third of it below a limit, against the censored normal likelihood."""
    rng = np.random.default_rng(8)
    value = rng.normal(2.0, 0.5, 300)
    limit = np.quantile(value, 0.33)
    sign = np.where(value < limit, -1, 0)
    held = np.maximum(value, limit)

    def unlikely(p):
        measured = stats.norm.logpdf(held[sign == 0], p[0], np.exp(p[1])).sum()
        return -(measured + (sign < 0).sum() * stats.norm.logcdf(limit, p[0], np.exp(p[1])))

    middle, log_spread = optimize.minimize(unlikely, [2.0, -0.7]).x
    scores = scores_of(held, np.arange(300) * 12, sign)
    assert np.median(scores.expected) == pytest.approx(middle, abs=0.05)
    assert np.median(scores.spread) == pytest.approx(np.exp(log_spread), rel=0.08)


def test_a_date_far_off_takes_neither_time_nor_memory():
    month = np.append(np.arange(40) * 12, [-20_000, 90_000])
    series = np.append(np.repeat(np.arange(4), 10), [4, 5])
    scores = scores_of(np.r_[np.linspace(0, 1, 40), 5.0, 5.0], month, series=series)
    assert np.isfinite(scores.expected[:40]).all()
    assert np.isnan(scores.expected[40:]).all()


def level_of(years: np.ndarray, seed: int = 1) -> np.ndarray:
    noise = np.random.default_rng(seed).normal(0, 0.1, (1, years.size, 5))
    return trend_levels(years[None, :, None] + noise)[0, :, 2]


def test_a_line_a_step_and_neither_are_told_apart():
    year = np.arange(20)
    assert np.ptp(level_of(np.zeros(20))) == 0.0
    np.testing.assert_allclose(np.diff(level_of(0.1 * year)), 0.1, atol=0.02)
    step = level_of(np.where(year < 12, 0.0, 1.0))
    assert len(set(step.round(6))) == 2
    np.testing.assert_allclose(step[-1] - step[0], 1.0, atol=0.1)


def test_fewer_than_eight_years_have_one_level():
    assert np.ptp(level_of(np.arange(7) * 1.0)) == 0.0
    assert np.ptp(level_of(np.arange(8) * 1.0)) > 5.0


def test_a_step_moves_to_the_month_in_which_it_happened():
    months = np.zeros((1, 12, 12))
    months[0].ravel()[64:] = 1.0  # May of the sixth year
    months += np.random.default_rng(2).normal(0, 0.05, months.shape)
    levels = trend_levels(months).ravel()
    assert np.flatnonzero(np.diff(levels)).tolist() == [63]


def test_chance_makes_hardly_any_trend():
    noise = np.random.default_rng(4).normal(0, 0.3, (1000, 15, 5))
    noise += np.random.default_rng(5).normal(0, 0.15, (1000, 15, 1))
    assert (np.ptp(trend_levels(noise), axis=(1, 2)) > 0).mean() <= 0.04


def test_a_visits_score_is_the_mean_of_its_measured_surface_readings():
    days = pd.to_datetime(["2020-06-01"] * 5 + ["2020-07-01"])
    readings = pd.DataFrame({
        "reading_id": range(6), "station_code": "A1",
        "quantity": ["secchi_depth"] * 4 + ["turbidity", "secchi_depth"], "taken_on": days,
        "value": 2.0, "sign": ["=", "=", ">", "=", "=", "="], "method": "",
        "status": ["accepted", "accepted", "accepted", "held", "accepted", "accepted"],
        "stratum": ["surface"] * 6, "sample_type": "routine",
    })  # fmt: skip
    scored = ScoredReadings.of(readings, Programme())
    found = visit_scores(scored, np.array([1.0, 2.0, 9.0, 9.0, 4.0, np.nan]))
    np.testing.assert_array_equal(found, [[1.5, 4.0], [np.nan, np.nan]])


def test_companions_agree_with_a_line_fitted_to_the_other_visits():
    rng = np.random.default_rng(6)
    first = rng.normal(0, 0.9, 40)
    pair = np.column_stack([first, -0.8 * first + rng.normal(0, 0.4, 40)])
    where = np.zeros(40, dtype=int)
    fit = companions(pair, where, relations(pair, where))
    for visit in (0, 7, 39):
        others = np.arange(40) != visit
        slope = (pair[others, 0] @ pair[others, 1]) / (pair[others, 1] @ pair[others, 1])
        assert fit.expected[visit, 0] == pytest.approx(slope * pair[visit, 1])
    assert (fit.tail[:, 0] < 0.05).mean() <= 0.15


def test_quantities_that_do_not_go_together_are_no_companions():
    pair = np.random.default_rng(7).normal(size=(60, 2))
    where = np.zeros(60, dtype=int)
    fit = companions(pair, where, relations(pair, where))
    assert (fit.quantity == -1).all()
    assert np.isnan(fit.tail).all()


def places(score, day, station, lake):
    zero = np.zeros(len(score), dtype=int)
    return Places(
        np.asarray(score, float), zero, np.asarray(day), np.asarray(station), np.asarray(lake),
        np.ones(len(score), bool), zero.astype(float),
    )  # fmt: skip


def test_reach_tells_district_lake_and_station_apart():
    station, lake = np.arange(8), np.array([0, 0, 0, 1, 1, 2, 3, 4])
    day = np.array([10, 10, 11, 8, 8, 12, 13, 14])
    wide = reach(np.array([0]), places([4, 3, 3, 2, 3, 3, 3, 2], day, station, lake))
    own = reach(np.array([0]), places([4, 3, 3, 0, 0, 0, 0, 0], day, station, lake))
    alone = reach(np.array([0]), places([4, 0, 0, 0, 0, 0, 0, 0], day, station, lake))
    nobody = reach(np.array([0]), places([4, 3, 3, 3, 3, 3, 3, 3], day + np.r_[0, 7 * [20]], station, lake))
    assert [each.scope(0) for each in (wide, own, alone, nobody)] == [
        "district",
        "lake",
        "station",
        "unknown",
    ]
    assert (wide.waters[0], wide.waters_same[0], wide.stations[0], wide.stations_same[0]) == (4, 4, 2, 2)


def test_reach_takes_the_nearest_visit_of_each_station_and_the_other_direction_does_not_count():
    found = reach(np.array([0]), places([-4, -3, 3, -3], [10, 11, 13, 11], [0, 1, 1, 2], [0, 0, 0, 0]))
    assert (found.stations[0], found.stations_same[0]) == (2, 2)
    found = reach(np.array([0]), places([-4, 3, 3, -3], [10, 11, 13, 11], [0, 1, 1, 2], [0, 0, 0, 0]))
    assert (found.stations[0], found.stations_same[0]) == (2, 1)
