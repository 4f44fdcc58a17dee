"""Every story planted in the demo record that makes a reading unusual is found and rightly explained."""

# ruff: noqa: PD011

from dataclasses import dataclass

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.analysis.evidence_reading import observer_line
from explorer.analysis.evidence_record import Surroundings
from explorer.demo import demo_folder
from explorer.model.evidence import NEXT_STEPS, Departure, Evidence
from explorer.records.opening import open_record

VISITS = "SELECT visit_id, weather, remark FROM visits WHERE left_in IS NULL"


@dataclass(frozen=True)
class Demo:
    """The demo's readings, what was found unusual, and why."""

    readings: pd.DataFrame
    found: pd.DataFrame
    told: dict[int, Departure]
    around: Surroundings

    def rows(self, quantity: str, first: str, last: str, *stations: str) -> pd.DataFrame:
        """Routine surface readings of a quantity between two days, at stations whose codes begin so."""
        frame = self.readings
        chosen = (frame["quantity"] == quantity) & frame["taken_on"].between(first, last)
        chosen &= (frame["sample_type"] == "routine") & (frame["stratum"] == "surface")
        return frame[chosen & frame["station_code"].str.startswith(stations or ("",))]

    def departures(self, rows: pd.DataFrame) -> list[Departure]:
        return [self.told[each] for each in rows["reading_id"] if each in self.told]

    def share_of_visits_marked(self, rows: pd.DataFrame) -> float:
        marked = self.found.loc[rows.index, "marked"]
        return float(marked.groupby([rows["station_code"], rows["taken_on"]]).any().mean())


@pytest.fixture(scope="module")
def demo() -> Demo:
    record = open_record(demo_folder())
    readings = pd.concat(list(record.chunks()), ignore_index=True)
    visits = pd.DataFrame(record.fetch_rows(VISITS), columns=["visit_id", "weather", "remark"])
    stations = {station.code: station for station in record.station_list()}
    programme = record.programme
    record.close()
    found = departures(readings, programme)
    told = explain(readings, found, stations, programme, visits=visits)
    around = Surroundings.of(readings, found, stations, programme, visits)
    return Demo(readings, found, {each.reading_id: each for each in told}, around)


def firsts(told: list[Departure]) -> set[str]:
    return {each.evidence[0].code for each in told}


def line(departure: Departure, code: str) -> Evidence:
    return next(each for each in departure.evidence if each.code == code)


def test_the_bad_batch_is_found_in_clear_waters_and_laid_to_the_batch(demo):
    rows = demo.rows("total_phosphorus", "2021-06-01", "2021-06-30")
    clear = rows[demo.found.loc[rows.index, "expected"] < 30]
    told = demo.departures(rows)
    assert len(demo.departures(clear)) == len(clear) >= 10
    assert firsts(told) == {"batch"}
    assert {each.next_step for each in told} == {"ask_the_laboratory"}
    assert {line(each, "blank").verdict for each in told} == {"for"}
    assert all(each.evidence[0].weight > line(each, "district").weight + 2 for each in told)


def test_the_volume_without_its_top_up_is_found_and_laid_to_the_volume(demo):
    (told,) = demo.departures(demo.rows("chlorophyll_a", "2019-07-01", "2019-07-31", "VEL1"))
    assert told.evidence[0].code == "volume"
    assert told.evidence[0].values["volume"] == 250
    assert told.evidence[0].values["volume_ratio"] == pytest.approx(2.0)
    assert (told.direction, told.companion, told.next_step) == ("higher", "secchi_depth", "look_at_the_sheet")


def test_the_sheet_in_feet_is_found_at_all_three_stations_and_laid_to_feet(demo):
    rows = demo.rows("secchi_depth", "2018-07-01", "2018-07-31", "ASK")
    told = demo.departures(rows)
    assert len(told) == len(rows) == 3
    assert firsts(told) == {"feet"}
    assert {each.next_step for each in told} == {"look_at_the_sheet"}
    assert {each.evidence[0].values["count"] for each in told} == {2}
    assert any(each.code == "too_deep" for one in told for each in one.evidence)


def test_the_flood_is_found_at_every_water_and_laid_to_the_whole_district(demo):
    rows = demo.rows("total_phosphorus", "2013-07-08", "2013-07-13")
    told = demo.departures(rows)
    assert len(told) == len(rows)
    assert rows["lake_code"].nunique() == 12
    assert firsts(told) == {"district"}
    assert {each.scope for each in told} == {"district"}
    assert {each.next_step for each in told} == {"accept"}
    assert {line(each, "weather").verdict for each in told} <= {"for", "cannot_tell"}
    every = [each for each in demo.told.values() if each.reading_id in set(in_flood(demo)["reading_id"])]
    assert np.mean([each.evidence[0].code in ("district", "weather", "season") for each in every]) >= 0.9


def in_flood(demo: Demo) -> pd.DataFrame:
    return demo.readings[demo.readings["taken_on"].between("2013-07-08", "2013-07-13")]


@pytest.mark.parametrize(
    ("station", "month", "quantity", "code", "step"),
    [
        ("UMB1", "2024-07", "chlorophyll_a", "ten", "ask_the_laboratory"),
        ("COL1", "2025-08", "secchi_depth", "ten", "look_at_the_sheet"),
        ("ASK2", "2023-06", "water_temperature", "fahrenheit", "look_at_the_sheet"),
    ],
)
def test_a_held_reading_is_explained_before_it_is_answered(demo, station, month, quantity, code, step):
    rows = demo.rows(quantity, f"{month}-01", f"{month}-28", station)
    (told,) = demo.departures(rows[rows["status"] == "held"])
    assert (told.evidence[0].code, told.next_step) == (code, step)


def test_the_deep_reader_is_known_from_shared_days(demo):
    """A quarter deeper is within what a month brings: no single reading is unusual, but the habit shows."""
    rows = demo.rows("secchi_depth", "2015-05-01", "2018-09-30", "COL")
    row = rows.index[rows["observer"] == "V19"][0]
    case = demo.around.case(int(demo.around.judged.rows_of(demo.readings.loc[row, "reading_id"])))
    found = observer_line(case, demo.around)
    assert found is not None
    assert found.values["observer"] == "V19"
    assert found.values["days"] >= 20
    assert found.values["ratio"] == pytest.approx(1.25, abs=0.05)


def without_single_stories(demo: Demo) -> pd.DataFrame:
    frame = demo.readings[
        (demo.readings["sample_type"] == "routine") & (demo.readings["stratum"] != "profile")
    ]
    frame = frame[~frame["taken_on"].between("2013-07-08", "2013-07-13")]
    return frame[~frame["taken_on"].between("2021-06-01", "2021-06-30") & (frame["status"] != "held")]


@pytest.mark.parametrize(
    ("story", "quantity", "stations"),
    [
        ("a lake that worsens", None, ("FER",)),
        ("a lake that recovers after a treatment", None, ("TES",)),
        ("a stained lake", None, ("UMB",)),
        ("a clear pond whose disk lies on the bottom", "secchi_depth", ("SAL",)),
        ("a pond limited by nitrogen", None, ("TAR",)),
        ("a change of detection limit", "total_phosphorus", ("HOL",)),
        ("a change of laboratory", "total_nitrogen", ("",)),
    ],
)
def test_what_lasts_makes_no_single_reading_unusual(demo, story, quantity, stations):
    frame = without_single_stories(demo)
    frame = frame[frame["station_code"].str.startswith(stations)]
    frame = frame if quantity is None else frame[frame["quantity"] == quantity]
    assert demo.share_of_visits_marked(frame) <= 0.05


def test_without_its_stories_at_most_one_visit_in_twenty_is_marked(demo):
    assert demo.share_of_visits_marked(without_single_stories(demo)) <= 0.05


def test_every_next_step_has_an_unusual_reading(demo):
    assert {each.next_step for each in demo.told.values()} == set(NEXT_STEPS)
