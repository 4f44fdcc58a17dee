"""Records that nobody made for the explorer, on the served page; and a background map from a folder."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib import image

from explorer.default_record import default_record
from explorer.records.opening import open_record

pytestmark = pytest.mark.browser

REAL_TABLES = Path(__file__).parents[1] / "published" / "real_tables"
Running = Callable[..., AbstractContextManager[Any]]


def pick_first_found(page: Any, typed: str) -> str:
    page.locator(".station-search input").fill(typed)
    page.locator(".station-search input").press("Enter")
    page.wait_for_selector(".strip-cells .season-cell", state="visible")
    return str(page.locator(".heading-part h1").inner_text())


def test_record_without_coordinates_stands_on_its_list(running_command: Running, visit: Any) -> None:
    path = REAL_TABLES / "ponds.csv"
    stations = open_record(path).station_list()
    assert all(np.isnan(station.longitude_deg) for station in stations)
    with running_command("--record", str(path)) as served:
        served.wait_until_it_answers()
        assert served.lines[0] == f"Record: {path}"
        with visit(served.address) as opened:
            opened.page.wait_for_selector(".station-found select option", state="attached")
            assert opened.page.locator(".station-found select option").count() == len(stations)
            assert opened.page.locator("path.stn").count() == 0
            assert not opened.page.locator(".stations-map").is_visible()
            assert stations[4].name in pick_first_found(opened.page, stations[4].name)
            assert opened.page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")


def test_folder_of_lakes_with_coordinates_stands_on_the_map(running_command: Running, visit: Any) -> None:
    path = REAL_TABLES / "mountain_lakes"
    stations = open_record(path).station_list()
    with running_command("--record", str(path)) as served:
        served.wait_until_it_answers()
        with visit(served.address) as opened:
            opened.page.wait_for_selector("path.stn", state="visible")
            assert opened.page.locator("path.stn").count() == len(stations)
            assert stations[0].name in pick_first_found(opened.page, stations[0].name)


def test_background_map_from_a_folder_is_shown_and_asks_nobody(
    served: Any, visit: Any, tmp_path: Path
) -> None:
    for zoom in range(20):
        for column, row in tiles_of_the_demo(zoom):
            tile = tmp_path / str(zoom) / str(column) / f"{row}.png"
            tile.parent.mkdir(parents=True, exist_ok=True)
            image.imsave(tile, np.full((8, 8, 3), 0.5))
    with visit(served.address) as opened:
        page = opened.page
        page.wait_for_selector("path.stn", state="visible")
        page.locator(".page-button").click()
        page.locator(".page-row input[type=text]").fill(str(tmp_path))
        page.locator(".page-row input[type=text]").press("Enter")
        page.wait_for_function(
            "() => [...document.querySelectorAll('img.leaflet-tile')].some((tile) => tile.naturalWidth === 8)"
        )
        opened.complaints.clear()  # tiles that the folder lacks are answered with 404


def tiles_of_the_demo(zoom: int) -> set[tuple[int, int]]:
    """Return the tiles around every station (spherical Mercator, common practice)."""
    count = 2**zoom
    places = set()
    for station in default_record().station_list():
        latitude = np.radians(station.latitude_deg)
        column = (station.longitude_deg + 180) / 360 * count
        row = (1 - np.arcsinh(np.tan(latitude)) / np.pi) / 2 * count
        places.add((int(column), int(row)))
    return places
