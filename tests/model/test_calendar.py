import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.model.calendar import Period, Season

DATES = st.dates(min_value=pd.Timestamp("1950-01-01").date(), max_value=pd.Timestamp("2050-12-31").date())
SEASONS = st.builds(
    lambda first, length: Season(tuple((first - 1 + each) % 12 + 1 for each in range(length))),
    st.integers(1, 12),
    st.integers(1, 12),
)


@given(DATES, SEASONS)
def test_a_date_of_the_season_lies_within_the_bounds_of_its_year(date, season):
    dates = pd.Series(pd.to_datetime([date]))
    year = int(season.year_of(dates).iloc[0])
    first, after = season.bounds(year)
    within = first <= np.datetime64(date) < after
    assert within == bool(season.contains(dates).iloc[0])


@given(DATES, SEASONS)
def test_a_year_holds_one_whole_season_and_every_date_of_it(date, season):
    dates = pd.Series(pd.to_datetime([date]))
    year = int(season.year_of(dates).iloc[0])
    first, after = season.year_bounds(year)
    assert first <= np.datetime64(date) < after
    start, end = season.bounds(year)
    assert first <= start < end <= after
    assert season.year_bounds(year + 1)[0] == after


def test_a_water_year_from_october_counts_its_last_summer_to_the_year_it_began_in():
    season = Season((10, 11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9))
    dates = pd.Series(pd.to_datetime(["2023-10-01", "2024-08-15", "2024-09-30", "2024-10-01"]))
    assert season.year_of(dates).tolist() == [2023, 2023, 2023, 2024]


@pytest.mark.parametrize("months", [(), (5, 7), (13,), (0,), (6, 5), (*range(5, 13), *range(1, 6))])
def test_season_of_months_that_do_not_follow_is_refused(months):
    with pytest.raises(ValueError, match="A season is months that follow one another"):
        Season(months)


def test_season_label_across_a_century_has_two_digits():
    assert Season((12, 1)).label(1999) == "1999/00"


def test_period_that_ends_before_it_begins_is_refused():
    with pytest.raises(ValueError, match="found 2024 to 2020"):
        Period(2024, 2020)


@given(st.integers(1900, 2100), st.integers(0, 60), st.integers(1890, 2200))
def test_period_contains_its_years_and_no_other(first, more, year):
    period = Period(first, first + more)
    assert bool(period.contains([year])[0]) == (first <= year <= first + more)
