import pandas as pd

from explorer.analysis.class_schemes import schemes
from explorer.display.choice import Choice
from explorer.display.district_seasons import MOST_ROWS, build_district_seasons, standing_stations
from explorer.model.calendar import Period
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme

NAN = float("nan")
LAKES = {
    "HM": Lake("HM", "Hollow Mere", "lake", frozenset(), NAN, NAN, NAN),
    "BR": Lake("BR", "Brindle Water", "lake", frozenset(), NAN, NAN, NAN),
}
SCHEME = schemes()["carlson_simpson_1996"]
NO_CLASSES = pd.DataFrame({
    "station_code": pd.Series([], dtype="str"), "year": pd.Series([], dtype="int64"), "label": [],
    "letter": [], "class_index": [], "visits": [], "missing": [],
})  # fmt: skip


def station(code: str, lake: str, is_index: bool) -> Station:
    return Station(code, f"station {code}", lake, NAN, NAN, NAN, is_index)


def page(classes: pd.DataFrame, stations: tuple[Station, ...]):
    choice = Choice("", Period(2024, 2024))
    return build_district_seasons(classes, stations, LAKES, choice, SCHEME, Programme())


def test_a_water_is_shown_by_its_index_station_and_one_without_by_all_that_it_has():
    stations = (
        station("H1", "HM", False),
        station("H2", "HM", True),
        *(station(f"B{n}", "BR", False) for n in "12"),
    )
    standing = standing_stations(stations)
    rows = page(NO_CLASSES, standing).rows
    assert [(row.station, row.name) for row in rows] == [
        ("H2", "Hollow Mere"), ("B1", "Brindle Water, station B1"), ("B2", "Brindle Water, station B2"),
    ]  # fmt: skip


def test_every_row_has_a_cell_for_every_season_of_the_record():
    classes = pd.DataFrame({
        "station_code": ["H2", "B1"], "year": [2022, 2024], "label": ["mesotrophic", ""], "letter": ["M", ""],
        "class_index": [1, -1], "visits": [5, 2], "missing": ["", "too_few_visits"],
    })  # fmt: skip
    stations = (station("H2", "HM", True), station("B1", "BR", True))
    rows = page(classes, stations).rows
    assert ["".join(cell.letter or "." for cell in row.cells) for row in rows] == ["M..", "..–"]
    assert rows[0].cells[0].said == "2022: mesotrophic, 5 visits"
    meaning, how = page(classes, stations).sentences
    assert "from oligotrophic (little plant food, few algae) to hypereutrophic" in meaning
    assert how.startswith("Pick a year")


def test_a_record_without_readings_has_rows_without_cells_and_explains_none():
    shown = page(NO_CLASSES, (station("H2", "HM", True),))
    assert (shown.rows[0].cells, shown.sentences) == ((), ())


def test_more_waters_than_anybody_reads_are_cut_and_it_is_said():
    many = tuple(station(f"S{number}", "HM", True) for number in range(MOST_ROWS + 5))
    shown = page(NO_CLASSES, many)
    assert len(shown.rows) == MOST_ROWS
    assert (
        shown.sentences[-1]
        == f"The first {MOST_ROWS} of {MOST_ROWS + 5} are shown; the list finds the others."
    )
    assert page(NO_CLASSES, many[:5]).sentences == ()
