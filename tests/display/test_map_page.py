import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.class_schemes import schemes
from explorer.display.choice import Choice
from explorer.display.map_groups import class_groups
from explorer.display.map_page import build_map_page, fitted_view, found_stations
from explorer.model.calendar import Period
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme

NAN = float("nan")
LAKES = {"HM": Lake("HM", "Hollow Mere", "pond", frozenset(), NAN, NAN, NAN)}
CLASSES = pd.DataFrame(
    {"class_index": [1, -1], "letter": ["M", ""], "visits": [5, 2], "missing": ["", "too_few_visits"]},
    index=["HM1", "HM2"],
)


def build(*places):
    stations = tuple(
        Station(f"HM{number}", f"Hollow Mere, part {number}", "HM", *place, NAN, True)
        for number, place in enumerate(places, 1)
    )
    choice = Choice("", Period(2024, 2024))
    groups = class_groups(CLASSES, choice, schemes()["carlson_simpson_1996"], Programme())
    return build_map_page(stations, LAKES, groups, "en")


def test_labels_say_class_and_visits_or_why_there_is_none():
    assert build((-30.0, 45.0), (-30.1, 45.0)).groups.labels == ("M · 5 visits", "– · 2 visits: too few")


def test_record_without_places_says_that_there_is_no_map():
    assert build((NAN, NAN), (NAN, NAN)).message.startswith(
        "This record has no coordinates, so there is no map."
    )


def test_station_without_a_place_is_counted():
    assert (
        build((-30.0, 45.0), (NAN, NAN)).message
        == "1 station has no coordinates and stands in the list only."
    )


@pytest.mark.parametrize(("words", "found"), [("", [0, 1]), ("hollow 2", [1]), ("MERE", [0, 1]), ("x", [])])
def test_search_finds_stations_that_hold_every_word(words, found):
    assert found_stations(build((-30.0, 45.0), (-30.1, 45.0)), words) == found


@given(
    st.lists(st.tuples(st.floats(-170, 170), st.floats(-70, 70)), min_size=1, max_size=20),
    st.integers(200, 1200), st.integers(200, 900),
)  # fmt: skip
def test_fitted_view_holds_every_place(places, width, height):
    longitudes, latitudes = np.array(places).T
    (latitude, longitude), zoom = fitted_view(longitudes, latitudes, width, height)
    pixels = 256 * 2**zoom

    def y(degrees):
        return 0.5 - np.arcsinh(np.tan(np.radians(degrees))) / (2 * np.pi)

    if zoom > 1:
        assert (np.abs(longitudes - longitude) / 360 * pixels <= width / 2).all()
        assert (np.abs(y(latitudes) - y(latitude)) * pixels <= height / 2 + 1).all()
