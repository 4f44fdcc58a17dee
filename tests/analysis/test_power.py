import numpy as np
import pytest

from explorer.analysis.power import smallest_found
from explorer.analysis.seasonal_kendall import kendall_scores, standard_score
from explorer.analysis.sen_slope import sen_slopes


def years_of_noise(rng, series, years, months, within):
    """Unit variance; `within` is the correlation of two months of one year."""
    common = np.sqrt(within) * rng.normal(size=(series, years, 1))
    return common + np.sqrt(1.0 - within) * rng.normal(size=(series, years, months))


def smallest(values, **settings):
    found = sen_slopes(values, kendall_scores(values).variance)
    return smallest_found(values, found.slope, (found.low, found.high), **settings)


def share_found(rng, slope, years, months, within, series=4000):
    rising = years_of_noise(rng, series, years, months, within) + slope * np.arange(years)[:, None]
    scores = kendall_scores(rising)
    return (standard_score(scores.statistic_s, scores.variance) >= 1.959964).mean()


@pytest.mark.parametrize(
    ("years", "months", "within"), [(20, 5, 0.0), (20, 5, 0.5), (12, 5, 0.3), (10, 1, 0.0)]
)
def test_the_smallest_change_is_found_in_four_of_five_new_records(years, months, within):
    """The median over 200 records, tried on 4000 new ones; the errors of the two are 0.02 and 0.006."""
    rng = np.random.default_rng(9)
    typical = np.median(smallest(years_of_noise(rng, 200, years, months, within)))
    assert share_found(rng, typical, years, months, within) == pytest.approx(0.80, abs=0.04)


def test_a_trend_in_the_series_does_not_change_what_could_be_found():
    flat = years_of_noise(np.random.default_rng(1), 50, 15, 5, 0.3)
    rising = flat + 0.3 * np.arange(15.0)[:, None]
    ratio = np.median(smallest(rising) / smallest(flat))
    assert ratio == pytest.approx(1.0, abs=0.35)  # the covariance takes some of a trend for noise


def test_gaps_make_what_could_be_found_larger():
    rng = np.random.default_rng(2)
    whole = years_of_noise(rng, 60, 15, 5, 0.0)
    gappy = np.where(rng.random(whole.shape) < 0.4, np.nan, whole)
    assert np.median(smallest(gappy) / smallest(whole)) > 1.1


def test_values_under_a_limit_make_what_could_be_found_larger():
    values = 10.0 + years_of_noise(np.random.default_rng(3), 60, 15, 5, 0.3)
    limit = np.full(60, np.quantile(values, 0.45))
    held = np.where(values < limit[0], limit[0] / 2.0, values)
    scores = kendall_scores(held)
    found = sen_slopes(held, scores.variance)
    censored = smallest_found(held, found.slope, (found.low, found.high), below=limit)
    assert np.median(censored / smallest(values)) > 1.1


def test_a_stricter_level_makes_it_larger_and_never_out_of_reach_infinite():
    values = years_of_noise(np.random.default_rng(4), 20, 8, 1, 0.0)
    usual, strict, out_of_reach = (smallest(values, level=level) for level in (0.05, 0.01, 1e-5))
    assert (strict > usual).all()
    assert np.isinf(out_of_reach).all()  # S of 28 over 8 years has z = 3.3 at most


def test_a_series_without_a_slope_has_none():
    assert np.isnan(smallest(np.full((1, 10, 2), np.nan))).all()


def test_a_constant_series_would_have_shown_any_change():
    assert smallest(np.full((1, 12, 3), 4.0)).tolist() == [0.0]


def test_years_without_a_visit_stay_where_they_are():
    """Ten years at the two ends of thirty reach further than ten years in a row."""
    values = np.full((40, 30, 1), np.nan)
    values[:, [0, 1, 2, 3, 4, 25, 26, 27, 28, 29]] = years_of_noise(np.random.default_rng(5), 40, 10, 1, 0.0)
    close = values[:, [0, 1, 2, 3, 4, 25, 26, 27, 28, 29]]
    assert np.median(smallest(values) / smallest(close)) < 0.5


@pytest.mark.parametrize("step", [0.3, 1.0, 1.5])
def test_the_smallest_change_of_rounded_readings_is_found_in_four_of_five_rounded_records(step):
    """Spread 1. Equal readings are spread evenly over their step, which errs to the larger change."""
    rng = np.random.default_rng(5)
    rounded = step * np.round((50.3 + years_of_noise(rng, 200, 20, 5, 0.2)) / step)
    typical = np.median(smallest(rounded))
    rising = years_of_noise(rng, 4000, 20, 5, 0.2) + typical * np.arange(20)[:, None]
    scores = kendall_scores(step * np.round((50.3 + rising) / step))
    found = (standard_score(scores.statistic_s, scores.variance) >= 1.959964).mean()
    assert 0.76 <= found <= 0.88


def test_equal_readings_of_one_value_alone_stay_without_spread():
    assert smallest(np.full((1, 12, 5), 3.0)).tolist() == [0.0]
