"""A record's summary: every station once, its last season's class, its trends."""

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.class_schemes import schemes
from explorer.analysis.newest_series import newest_series
from explorer.analysis.season_table import season_table
from explorer.analysis.station_trends import series_trends
from explorer.analysis.summary import TREND_COLUMNS, station_rows, summary_frame
from explorer.model.programme import Programme
from explorer.model.readings import SEASONS, empty_frame
from explorer.model.station_trends import TRENDS
from explorer.model.trends import LAG1_WARNING, Trend

KINDS = pd.Series({"A": "lake", "B": "stream", "C": "pond", "D": "lake"})
PROGRAMME = Programme()


def season(station: str, year: int, depths: list[float]) -> pd.DataFrame:
    days = [pd.Timestamp(year, 5 + place, 10) for place in range(len(depths))]
    return pd.DataFrame(
        {
            "station_code": station, "quantity": "secchi_depth", "taken_on": days, "value": depths,
            "sign": "=", "stratum": "surface", "status": "accepted", "sample_type": "routine", "method": "",
        }
    )  # fmt: skip


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    """A and B over twelve seasons, A getting clearer; C with two visits; D without readings."""
    random = np.random.default_rng(3)
    readings = pd.concat(
        [season("A", 2010 + n, (2.0 + 0.3 * n + random.normal(0, 0.1, 5)).tolist()) for n in range(12)]
        + [season("B", 2010 + n, (1.0 + random.normal(0, 0.1, 5)).tolist()) for n in range(12)]
        + [season("C", 2024, [2.0] * 2)],
        ignore_index=True,
    )
    days = readings.groupby("station_code")["taken_on"]
    visits = days.agg(visits="nunique", first_visit="min", last_visit="max")
    codes = readings["station_code"]
    portions = [readings[codes.isin(some)] for some in (["A", "B"], ["C", "D"])]
    trends = series_trends([newest_series(some, PROGRAMME) for some in portions], PROGRAMME)
    rows = [
        station_rows(visits, season_table(some, PROGRAMME), schemes().values(), PROGRAMME, kinds)
        for some, kinds in zip(portions, (KINDS.iloc[:2], KINDS.iloc[2:]), strict=True)
    ]
    return summary_frame(rows, trends, PROGRAMME)


def test_every_wanted_station_stands_once_also_without_readings(frame: pd.DataFrame) -> None:
    assert frame.index.tolist() == ["A", "B", "C", "D"]
    nothing = frame.loc["D"]
    assert (nothing["visits"], nothing["secchi_depth_seasons"], nothing["secchi_depth_trend"]) == (0, 0, "")
    assert pd.isna(nothing["first_visit"])


def test_class_is_that_of_the_last_season_or_says_why_there_is_none(frame: pd.DataFrame) -> None:
    assert frame["carlson_simpson_1996"].tolist() == ["oligotrophic", "stream", "too_few_visits", ""]
    assert frame.loc["A", ["carlson_simpson_1996_year", "visits", "secchi_depth_seasons"]].tolist() == [
        2021,
        60,
        12,
    ]
    assert frame.loc["A", "carlson_simpson_1996_sureness"]
    assert frame.loc["C", "carlson_simpson_1996_sureness"] == ""
    assert frame.loc["A", "oecd_1982_fixed"] == "year_needed"


def test_trend_stands_with_the_numbers_behind_it(frame: pd.DataFrame) -> None:
    assert frame["secchi_depth_trend"].tolist() == ["rising", "no_trend_found", "too_few_years", ""]
    clearer = frame.loc["A"]
    assert clearer["secchi_depth_slope_low"] < 0.3 < clearer["secchi_depth_slope_high"]
    assert (clearer["secchi_depth_years"], clearer["secchi_depth_months"]) == (12, 5)
    assert frame.loc["B", "secchi_depth_smallest_found"] > 0
    likeness, persistent = frame["secchi_depth_lag1"], frame["secchi_depth_persistent"]
    assert persistent[["A", "B"]].tolist() == (likeness[["A", "B"]] > LAG1_WARNING).tolist()
    assert persistent[["C", "D"]].isna().all()


def test_columns_of_a_trend_are_those_that_a_trend_has() -> None:
    assert all(hasattr(Trend, name) for name in TREND_COLUMNS if name != "trend")


def test_quantities_without_a_reading_have_no_column(frame: pd.DataFrame) -> None:
    assert not [name for name in frame if name.startswith("chlorophyll")]


def test_record_without_readings_has_its_stations() -> None:
    visits = pd.DataFrame({"visits": [], "first_visit": [], "last_visit": []})
    rows = station_rows(visits, empty_frame(SEASONS), schemes().values(), PROGRAMME, KINDS)
    frame = summary_frame([rows], empty_frame(TRENDS), PROGRAMME)
    assert frame["visits"].tolist() == [0] * 4
    assert frame["carlson_simpson_1996"].tolist() == [""] * 4
