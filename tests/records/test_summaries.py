"""Stored season tables: given back as stored, stale when the record or the settings have moved on."""

import shutil

import numpy as np
import pandas as pd
import pytest

from explorer.model.errors import UnknownNameError
from explorer.model.readings import SEASONS
from explorer.records.folder import read_folder
from explorer.records.folder_texts import collect_texts
from explorer.records.ledger import Arrival, enter
from explorer.records.opening import open_record
from explorer.records.summaries import store_seasons, stored_seasons


def seasons_of(*codes: str) -> pd.DataFrame:
    usual: dict[str, object] = {name: 1.0 for name, kind in SEASONS.items() if kind == "float64"}
    usual |= {
        "station_code": list(codes), "quantity": "secchi_depth", "window": "season", "year": 2024,
        "method": "lab", "visits": 3, "months": 3, "log_spread": np.nan,
    }  # fmt: skip
    return pd.DataFrame(usual, index=range(len(codes))).astype(dict(SEASONS))[list(SEASONS)]


@pytest.fixture
def path(tmp_path, large_record):
    made = tmp_path / "record.gpkg"
    made.write_bytes(large_record(40, 20).read_bytes())
    return made


def test_record_without_stored_seasons_has_all_stations_stale(path):
    seasons, stale = stored_seasons(open_record(path), 1)
    assert seasons.empty
    assert {name: str(kind) for name, kind in seasons.dtypes.items()} == {
        name: str(pd.Series([], dtype=kind).dtype) for name, kind in SEASONS.items()
    }
    assert len(stale) == 40


def test_stored_seasons_come_back_as_they_were(path):
    codes = ["S0000", "S0001", "S0002"]  # the last was computed and has no season
    store_seasons(path, seasons_of("S0000", "S0001"), codes, version=1, formulas=1)
    seasons, stale = stored_seasons(open_record(path), 1)
    pd.testing.assert_frame_equal(seasons, seasons_of("S0000", "S0001"))
    assert len(stale) == 37
    assert not set(codes) & set(stale)


def test_storing_again_replaces_what_was_stored(path):
    for _ in range(2):
        store_seasons(path, seasons_of("S0000"), ["S0000"], version=1, formulas=1)
    assert len(stored_seasons(open_record(path), 1)[0]) == 1


def test_other_formulas_make_all_stale(path):
    store_seasons(path, seasons_of("S0000"), ["S0000"], version=1, formulas=1)
    seasons, stale = stored_seasons(open_record(path), 2)
    assert seasons.empty
    assert len(stale) == 40


def test_seasons_of_a_version_that_is_gone_are_not_stored(path):
    store_seasons(path, seasons_of("S0000"), ["S0000"], version=7, formulas=1)
    assert stored_seasons(open_record(path), 1)[0].empty


def test_new_reading_makes_its_station_stale_and_no_other(listed, folder, tmp_path):
    built = open_record(listed("HM1,2024-05-17,TP,12,ug/L", "HM2,2024-05-17,TP,12,ug/L")).path
    path = tmp_path / "record.gpkg"
    shutil.copy(built, path)
    seasons = seasons_of("HM1", "HM2").assign(method="")
    store_seasons(path, seasons, ["HM1", "HM2"], version=1, formulas=1)
    text = "station_code,taken_on,quantity,value,unit\nHM1,2024-06-17,TP,13,ug/L\n"
    later = read_folder(collect_texts(folder({"more.csv": text}))).arrival
    arrival = Arrival((), {}, (), later.entries, later.files)
    enter(path, arrival, kind="check-in", who="A. Typed", why="")
    seasons, stale = stored_seasons(open_record(path), 1)
    assert stale == ["HM1"]
    assert seasons["station_code"].tolist() == ["HM2"]


def test_seasons_of_an_unknown_station_are_refused(path):
    with pytest.raises(UnknownNameError, match='No station "S9999" in the record'):
        store_seasons(path, seasons_of("S9999"), ["S9999"], version=1, formulas=1)


def test_seasons_by_an_unknown_method_are_refused(path):
    with pytest.raises(UnknownNameError, match=r'No method "labs" in the record\. Did you mean "lab"'):
        store_seasons(path, seasons_of("S0000").assign(method="labs"), ["S0000"], version=1, formulas=1)
