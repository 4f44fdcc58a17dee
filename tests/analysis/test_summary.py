"""A record's summary: every station once, its last season's class, flat memory, progress."""

from collections.abc import Iterator
from datetime import date

import pandas as pd

from explorer.analysis.class_schemes import schemes
from explorer.analysis.summary import StationSummary, summarise, summary_frame
from explorer.model.programme import Programme

KINDS = pd.Series({"A": "lake", "B": "stream", "C": "pond", "D": "lake"})


class Source:
    """Two chunks: stations A and B, then C; D has no readings; X is not asked for."""

    programme = Programme()

    def chunks(self, stations: int = 64) -> Iterator[pd.DataFrame]:
        yield pd.concat(
            [season("A", 2023, [3.0] * 5), season("A", 2024, [1.5] * 5), season("B", 2024, [1.0] * 5)]
        )
        yield pd.concat([season("C", 2024, [2.0] * 2), season("X", 2024, [2.0] * 5)])


def season(station: str, year: int, depths: list[float]) -> pd.DataFrame:
    days = [pd.Timestamp(year, 5 + place, 10) for place in range(len(depths))]
    return pd.DataFrame(
        {
            "station_code": station, "quantity": "secchi_depth", "taken_on": days, "value": depths,
            "sign": "=", "stratum": "surface", "status": "accepted", "sample_type": "routine", "method": "",
        }
    )  # fmt: skip


def summaries() -> dict[str, StationSummary]:
    found = list(summarise(Source(), schemes().values(), KINDS))
    assert len(found) == len({each.station_code for each in found})
    return {each.station_code: each for each in found}


def test_summarise_gives_every_wanted_station_once_also_without_readings() -> None:
    assert sorted(summaries()) == ["A", "B", "C", "D"]
    nothing = summaries()["D"]
    assert (nothing.visits, nothing.first_visit, nothing.last_visit) == (0, None, None)
    assert (nothing.seasons, nothing.classes) == ({}, {})


def test_summarise_takes_the_class_of_the_last_season_with_data() -> None:
    found = summaries()["A"]
    assert (found.visits, found.first_visit, found.last_visit) == (10, date(2023, 5, 10), date(2024, 9, 10))
    assert found.seasons == {"secchi_depth": 2}
    latest = found.classes["carlson_simpson_1996"]
    assert (latest.year, latest.label, latest.quantity) == (2024, "eutrophic", "secchi_depth")
    assert latest.sureness
    assert found.classes["oecd_1982_fixed"].missing == "year_needed"


def test_summarise_says_why_there_is_no_class() -> None:
    assert summaries()["B"].classes["carlson_simpson_1996"].missing == "stream"
    few = summaries()["C"].classes["carlson_simpson_1996"]
    assert (few.missing, few.visits, few.label, few.sureness) == ("too_few_visits", 2, "", "")


def test_summarise_reports_progress_up_to_all_stations() -> None:
    steps: list[tuple[int, int]] = []
    for _ in summarise(Source(), [], KINDS, lambda done, total: steps.append((done, total))):
        pass
    assert steps == [(2, 4), (3, 4), (4, 4)]


def test_summarise_reads_no_further_than_it_is_asked() -> None:
    read = []

    class Counting(Source):
        def chunks(self, stations: int = 64) -> Iterator[pd.DataFrame]:
            for number, chunk in enumerate(super().chunks(stations)):
                read.append(number)
                yield chunk

    next(summarise(Counting(), [], KINDS))
    assert read == [0]


def test_summary_frame_has_one_row_a_station_with_class_or_reason() -> None:
    frame = summary_frame(summaries().values())
    assert frame.index.tolist() == ["A", "B", "C", "D"]
    assert frame["carlson_simpson_1996"].tolist()[:3] == ["eutrophic", "stream", "too_few_visits"]
    assert frame.loc["A", "carlson_simpson_1996_year"] == 2024
    assert pd.isna(frame.loc["D", "carlson_simpson_1996"])


def test_summary_frame_of_nothing_is_empty() -> None:
    assert summary_frame([]).empty
