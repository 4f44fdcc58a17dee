import numpy as np
import pytest

from explorer.analysis.change import change_at, seasons_around
from explorer.model.calendar import Season
from explorer.model.changes import CHANGE_VERDICTS

SUMMER = Season((5, 6, 7, 8, 9))


def at(year, medians, signs=None, first=2001, month=1):
    date = np.datetime64(f"{year}-{month:02d}-15")
    years = np.arange(first, first + len(medians))
    return change_at(date, years, medians, SUMMER, signs=signs)


@pytest.mark.parametrize(
    ("medians", "year", "verdict"),
    [
        ([5.0, 5.1, 5.2, 4.9, 5.3, 9.0, 9.1, 9.2, 8.9], 2006, "higher"),
        ([9.0, 9.1, 9.2, 8.9, 5.0, 5.1, 5.2, 4.9, 5.3], 2005, "lower"),
        ([5.0, 5.6, 5.2, 4.9, 5.3, 5.1, 5.4, 5.05, 5.25], 2006, "no_difference_found"),
        ([5.0, 5.1, 5.2, 9.0, 9.1, 9.2], 2004, "cannot_tell_yet"),
        ([5.0, 5.1, 5.2, 9.0, 9.1], 2004, "too_few_seasons"),
        ([5.0, 5.1, np.nan, 9.0, 9.1, 9.2], 2004, "too_few_seasons"),
        ([5.0] * 9, 2006, "no_difference_found"),
    ],
)
def test_verdict(medians, year, verdict):
    assert at(year, medians).verdict == verdict
    assert verdict in CHANGE_VERDICTS


def test_the_season_that_the_date_falls_into_counts_to_neither_side():
    medians = [5.0, 5.1, 5.2, 4.9, 99.0, 9.1, 9.2, 8.9, 9.3]
    change = at(2005, medians, month=6)
    assert (change.before, change.after) == (4, 4)
    assert change.difference == pytest.approx(4.1, abs=0.11)


@pytest.mark.parametrize(
    ("day", "sides"), [("2005-05-01", (4, 5)), ("2005-10-01", (5, 4)), ("2005-09-30", (4, 4))]
)
def test_a_date_on_the_edge_of_a_season_leaves_it_whole(day, sides):
    before, after = seasons_around(range(2001, 2010), np.datetime64(day), SUMMER)
    assert (before.sum(), after.sum()) == sides


def test_a_winter_season_is_split_at_its_own_bounds():
    before, after = seasons_around([2003, 2004, 2005], np.datetime64("2005-01-10"), Season((11, 12, 1, 2)))
    assert (before.tolist(), after.tolist()) == ([True, False, False], [False, False, True])


def test_no_date_has_no_sides():
    assert at_nothing().verdict == "too_few_seasons"


def at_nothing():
    return change_at(np.datetime64("NaT"), range(2001, 2010), np.arange(9.0), SUMMER)


def test_reversing_the_sides_flips_the_difference():
    medians = np.array([5.0, 6.1, 5.2, 4.9, 5.3, 9.0, 7.1, 9.2, 8.9, 7.7])
    forward, backward = at(2006, medians), at(2006, medians[::-1])
    assert backward.p == pytest.approx(forward.p)
    assert backward.difference == pytest.approx(-forward.difference)
    assert backward.difference_low == pytest.approx(-forward.difference_high)


def test_percent_is_of_the_median_before():
    change = at(2006, [10.0, 10, 10, 10, 10, 15, 15, 15, 15, 15])
    assert (change.difference, change.percent) == (5.0, 50.0)


def test_a_limit_that_fell_with_the_date_makes_no_difference():
    """ "<10" before and "<2" after, the water at 5: held to 10 there is nothing to compare."""
    medians = [10.0] * 6 + [5.0, 4.8, 5.2, 5.1, 4.9, 5.05]
    signs = ["<"] * 6 + ["="] * 6
    assert at(2007, medians).verdict == "lower"
    change = at(2007, medians, signs)
    assert change.verdict == "beyond_limit"
    assert np.isnan([change.p, change.difference]).all()


def test_half_under_the_limit_has_a_p_and_no_difference():
    medians = [2.0, 2, 2, 2, 2, 2, 8.0, 9.0, 7.0, 2.0, 6.0]
    signs = ["<"] * 6 + ["=", "=", "=", "<", "="]
    change = at(2007, medians, signs)
    assert change.verdict == "higher"
    assert np.isnan(change.difference)


def test_years_that_follow_one_another_closely_are_warned_of():
    slow = 5.0 + np.sin(np.arange(20) / 3.0)
    assert at(2011, slow).persistent
    quick = 5.0 + 0.3 * (-1.0) ** np.arange(20)
    assert not at(2011, quick).persistent


def test_the_test_holds_its_level_on_independent_seasons():
    """2000 series of 6 and 8 seasons: at most 0.05 and three standard errors."""
    rng = np.random.default_rng(10)
    found = [at(2007, row).p <= 0.05 for row in rng.normal(10.0, 1.0, (2000, 14))]
    assert np.mean(found) <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / 2000)


def test_a_half_is_found_in_most_series_with_a_spread_of_a_fifth():
    """Power at a stated step: from 10 to 7 with a spread of 2, ten seasons each: at least 0.75."""
    rng = np.random.default_rng(11)
    values = rng.normal(10.0, 2.0, (500, 20)) - np.where(np.arange(20) < 10, 0.0, 3.0)
    assert np.mean([at(2011, row).verdict == "lower" for row in values]) > 0.75


def test_years_that_do_not_rise_are_refused():
    with pytest.raises(ValueError, match="Years rise"):
        change_at(np.datetime64("2005-01-01"), [2003, 2002], [1.0, 2.0], SUMMER)
