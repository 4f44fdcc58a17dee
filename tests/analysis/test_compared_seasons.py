"""Seasons beside one station's: what may stand there, and a computation step by step beside it."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.compared_seasons import ComparedSeasons, compared_seasons, season_middles

INF, NAN = float("inf"), float("nan")


def seasons_of(*rows: tuple[str, int, float, float], **columns: object) -> pd.DataFrame:
    """Return season rows from station, year, lowest and highest median; other columns by name."""
    codes, years, low, high = zip(*rows, strict=True) if rows else ((), (), (), ())
    frame = pd.DataFrame(
        {
            "station_code": pd.Series(codes, dtype="str"),
            "quantity": "total_phosphorus",
            "window": "season",
            "year": np.array(years, dtype="int64"),
            "method": "lab",
            "visits": 4,
            "median_low": np.array(low, dtype="float64"),
            "median_high": np.array(high, dtype="float64"),
        }
    )
    frame["median"] = frame["median_low"].where(frame["median_low"] == frame["median_high"])
    return frame.assign(**columns)


def beside(seasons: pd.DataFrame, *others: str, station: str = "A") -> ComparedSeasons:
    return compared_seasons(season_middles(seasons), "total_phosphorus", station, others)


def test_middle_of_several_stations_is_their_median_season_by_season() -> None:
    rows = [("A", 2023, 9, 9), ("B", 2023, 2, 2), ("C", 2023, 3, 3), ("D", 2023, 7, 7), ("A", 2024, 9, 9),
            ("B", 2024, 4, 4), ("C", 2024, 6, 6)]  # fmt: skip
    found = beside(seasons_of(*rows), "B", "C", "D")
    assert found.years.tolist() == [2023, 2024]
    assert found.middles.tolist() == [3.0, 5.0]
    assert found.visits.tolist() == [12, 8]
    assert found.own_visits.tolist() == [4, 4]
    assert found.own_low.tolist() == [9.0, 9.0]
    assert (found.stations, found.left_out, found.missing) == (3, 0, "")


def test_season_that_only_one_of_both_has_is_not_compared() -> None:
    found = beside(
        seasons_of(("A", 2022, 1, 1), ("B", 2023, 2, 2), ("A", 2024, 3, 3), ("B", 2024, 4, 4)), "B"
    )
    assert found.years.tolist() == [2024]


@pytest.mark.parametrize(
    ("low", "high", "median", "drawn"),
    [
        (0.0, 6.0, NAN, 6.0),  # below what could be measured: at the limit
        (2.4, INF, NAN, 2.4),  # beyond it: at the limit
        (3.0, 5.0, NAN, 5.0),
        (4.0, 6.0, 5.0, 5.0),  # the median is known though some months are not
    ],
)
def test_middle_that_is_not_known_stands_at_an_end_that_is(
    low: float, high: float, median: float, drawn: float
) -> None:
    seasons = seasons_of(("A", 2024, 3, 3), ("B", 2024, low, high), median=[3.0, median])
    found = beside(seasons, "B")
    assert (found.middles[0], found.low[0], found.high[0]) == (drawn, low, high)


def test_station_is_never_compared_with_itself() -> None:
    seasons = seasons_of(("A", 2024, 1, 1), ("B", 2024, 5, 5))
    assert beside(seasons, "A", "B").middles.tolist() == [5.0]
    assert beside(seasons, "A").missing == "there"


def test_season_by_another_method_is_left_out_and_counted() -> None:
    rows = [("A", 2023, 1, 1), ("B", 2023, 2, 2), ("A", 2024, 1, 1), ("B", 2024, 3, 3), ("C", 2024, 8, 8)]
    found = beside(seasons_of(*rows, method=["old", "old", "new", "old", "new"]), "B", "C")
    assert found.years.tolist() == [2023, 2024]
    assert found.middles.tolist() == [2.0, 8.0]
    assert (found.stations, found.left_out) == (2, 1)


@pytest.mark.parametrize(
    ("rows", "columns", "missing"),
    [
        ([("B", 2024, 1, 1)], {}, "here"),
        ([("A", 2024, 1, 1)], {}, "there"),
        ([("A", 2024, 1, 1), ("B", 2023, 1, 1)], {}, "season"),
        ([("A", 2024, 1, 1), ("B", 2024, 1, 1)], {"method": ["one", "other"]}, "method"),
        ([("A", 2024, 1, 1), ("B", 2024, 1, 1)], {"window": ["year", "year"]}, "here"),
        ([("A", 2024, 1, 1), ("B", 2024, 1, 1)], {"quantity": "ph"}, "here"),
        ([], {}, "here"),
    ],
)
def test_reason_is_given_where_nothing_may_be_compared(
    rows: list[tuple[str, int, float, float]], columns: dict[str, object], missing: str
) -> None:
    found = beside(seasons_of(*rows, **columns), "B", "no such station")
    assert (found.missing, found.years.size, found.stations) == (missing, 0, 0)
    assert found.left_out == (1 if missing == "method" else 0)


@st.composite
def many_seasons(draw: st.DrawFn) -> pd.DataFrame:
    random = np.random.default_rng(draw(st.integers(0, 10**6)))
    cells = [(code, year) for code in "ABCDE" for year in range(2015, 2025) if random.random() < 0.7]
    low = random.integers(0, 9, len(cells)).astype(float)
    high = low + random.choice([0.0, 0.0, 0.0, 2.0, INF], len(cells))
    rows = [(code, year, a, b) for (code, year), a, b in zip(cells, low, high, strict=True)]
    method = random.choice(["one", "other"], len(cells), p=[0.8, 0.2])
    return seasons_of(*rows, method=method, visits=random.integers(1, 9, len(cells)))


def by_hand(seasons: pd.DataFrame, others: list[str]) -> dict[int, tuple[float, float, float, int, int]]:
    found = {}
    for own in seasons[seasons["station_code"] == "A"].to_dict("records"):
        same = (seasons["year"] == own["year"]) & (seasons["method"] == own["method"])
        rows = seasons[same & seasons["station_code"].isin(others)]
        if len(rows):
            end = rows["median_high"].where(np.isfinite(rows["median_high"]), rows["median_low"])
            values = (rows["median"].fillna(end), rows["median_low"], rows["median_high"])
            middle, low, high = (float(np.median(each)) for each in values)
            found[own["year"]] = (middle, low, high, int(rows["visits"].sum()), own["visits"])
    return found


@settings(max_examples=60, deadline=None)
@given(many_seasons())
def test_compared_seasons_equal_what_one_computes_by_hand(seasons: pd.DataFrame) -> None:
    found = beside(seasons, "B", "C", "E")
    columns = (found.middles, found.low, found.high, found.visits, found.own_visits)
    rows = zip(*(column.tolist() for column in columns), strict=True)
    assert dict(zip(found.years.tolist(), rows, strict=True)) == by_hand(seasons, ["B", "C", "E"])
    assert (found.low <= found.middles).all()
    assert (found.middles <= found.high).all()


@settings(max_examples=40, deadline=None)
@given(many_seasons(), st.integers(0, 1000))
def test_order_of_rows_and_of_stations_changes_nothing(seasons: pd.DataFrame, seed: int) -> None:
    one = beside(seasons, "B", "C", "D")
    other = beside(seasons.sample(frac=1, random_state=seed), "D", "B", "C")
    for name in ComparedSeasons.__slots__:
        assert np.array_equal(getattr(one, name), getattr(other, name)), name
