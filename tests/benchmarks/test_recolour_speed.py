"""From the end of a drag over the season strip to the map's new colours, beside a bare map given new data."""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import pandas as pd
import pytest
from test_click_speed import opened

from explorer.demo import notebooks_folder
from explorer.intake.refresh import refresh
from explorer.model.places import Lake, Station
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES
from explorer.records.ledger import Arrival, create_record, enter
from explorer.records.opening import open_record

pytestmark = [pytest.mark.benchmark, pytest.mark.browser]

BUDGETS_MS = {500: 250, 5000: 600}  # by the number of stations
SEASONS = (2021, 2022, 2023)
DAYS_OF_SEASON = ("06-10", "07-10", "08-10")
SPANS = ((0, 0), (1, 1), (0, 1), (2, 2), (1, 2))  # first and last season of a drag
WARM_UP, DRAGS = 3, 15
PER_ROW = 100  # stations, from west to east
NAN = float("nan")
FILE = b"generated"

# As many stations on a bare map; a press of the button gives each another colour by new data.
BARE_PAGE = """
import ipyleaflet, ipywidgets, numpy as np
from explorer.default_record import default_record

places = [(s.longitude_deg, s.latitude_deg) for s in default_record().station_list()]
colours = np.array(["#2c7bb6", "#abd9e9", "#fdae61", "#d7191c"])
rng = np.random.default_rng(1)
def data():
    features = [
        {"type": "Feature", "geometry": {"type": "Point", "coordinates": place},
         "properties": {"style": {"className": f"stn stn-{i}", "fillColor": colour}}}
        for i, (place, colour) in enumerate(zip(places, rng.choice(colours, len(places)).tolist()))
    ]
    return {"type": "FeatureCollection", "features": features}
layer = ipyleaflet.GeoJSON(data=data(), point_style={"radius": 8, "weight": 2.5, "fillOpacity": 1})
def pressed(_):
    layer.data = data()
button = ipywidgets.Button(description="Recolour").add_class("recolour")
button.on_click(pressed)
layout = ipywidgets.Layout(width="400px", height="400px", min_width="400px", flex="0 0 auto")
map_ = ipyleaflet.Map(layers=(layer,), center=[sum(x) / len(x) for x in zip(*places)][::-1], zoom=7,
                      layout=layout)
ipywidgets.VBox([button, map_])
"""

# Notes the time of the next release of the mouse, and after it the frame in which the last change was painted
# of those that `counts` lets through: two frames later it stands on the screen.
LISTEN = """
([selector, wanted]) => {
  window.released = new Promise((done, failed) => {
    setTimeout(() => failed(new Error("no new colours in a minute")), 60_000);
    let start = null, quiet = null;
    const counts = (change) => [...change.addedNodes].some((node) => node.matches?.(wanted));
    const observer = new MutationObserver((changes) => {
      if (start === null || !changes.some(counts)) return;
      clearTimeout(quiet);
      requestAnimationFrame(() => requestAnimationFrame(() => {
        const painted = performance.now();
        clearTimeout(quiet);
        quiet = setTimeout(() => { observer.disconnect(); done(painted - start); }, 400);
      }));
    });
    observer.observe(document.querySelector(selector), { subtree: true, childList: true });
    addEventListener("pointerup", (event) => { start = event.timeStamp; }, { capture: true, once: true });
  });
}
"""


def make_record(path: Path, stations: int) -> Path:
    """Return a new record with three Secchi depths in each of three seasons for every station, seeded."""
    create_record(path, 'name = "A programme of one disk"\n', QUANTITIES.values())
    codes = [f"S{number:04d}" for number in range(stations)]
    lakes = tuple(Lake(f"L{code}", f"Lake {code}", "lake", frozenset(), NAN, NAN, NAN) for code in codes)
    places = tuple(
        Station(code, "Middle", f"L{code}", -30 + 0.05 * (n % PER_ROW), 45 + 0.05 * (n // PER_ROW), 12, True)
        for n, code in enumerate(codes)
    )
    arrival = Arrival(lakes, {}, places, secchi_depths(codes), {"depths.csv": FILE})
    enter(path, arrival, kind="import", who="", why="benchmark")
    record = open_record(path)
    refresh(record)
    record.close()
    return path


def secchi_depths(codes: list[str]) -> pd.DataFrame:
    """Return the readings of every station, whose water is clear in one season and turbid in another."""
    days = pd.to_datetime([f"{year}-{day}" for year in SEASONS for day in DAYS_OF_SEASON])
    of_season = np.exp(np.random.default_rng(20240502).normal(0.9, 0.8, (len(codes), len(SEASONS))))
    depths = np.clip(np.round(np.repeat(of_season, len(DAYS_OF_SEASON), axis=1).ravel(), 2), 0.1, 20)
    columns: dict[str, object] = {name: "" for name, kind in ENTRIES.items() if kind == "str"}
    columns |= {name: NAN for name, kind in ENTRIES.items() if kind == "float64"}
    columns |= {
        "station_code": np.repeat(codes, len(days)), "taken_on": np.tile(days.to_numpy(), len(codes)),
        "quantity": "secchi_depth", "value": depths, "as_written": [f"{depth:g}" for depth in depths],
        "unit_as_written": "m", "sign": "=", "stratum": "surface", "status": "accepted",
        "sample_type": "routine", "analysed_on": pd.NaT, "estimated": False, "file_name": "depths.csv",
        "sha256": hashlib.sha256(FILE).hexdigest(), "row": range(2, len(depths) + 2),
    }  # fmt: skip
    return pd.DataFrame(columns)[list(ENTRIES)].astype(dict(ENTRIES))


def times_of_releases(page: Any, selector: str, wanted: str, act: Callable[[int], None]) -> np.ndarray:
    """Return the time of each act from its release of the mouse on, the first of which only warm up. [ms]"""
    times = []
    for number in range(WARM_UP + DRAGS):
        page.evaluate(LISTEN, [selector, wanted])
        act(number)
        times.append(page.evaluate("() => window.released"))
    return np.array(times[WARM_UP:])


def drag(page: Any, number: int) -> None:
    cells = page.locator(".strip-cells .season-cell").all()[-len(SEASONS) :]  # empty ones may stand before
    first, last = (cells[cell].bounding_box() for cell in SPANS[number % len(SPANS)])
    page.mouse.move(first["x"] + first["width"] / 2, first["y"] + first["height"] / 2)
    page.mouse.down()
    page.mouse.move(last["x"] + last["width"] / 2, last["y"] + last["height"] / 2, steps=5)
    page.mouse.up()


@pytest.mark.parametrize("stations", BUDGETS_MS)
def test_recolouring_takes_no_longer_than_new_data_on_a_bare_map(
    stations: int, visit: Any, tmp_path: Path, report: Any, remark: Any
) -> None:
    record = make_record(tmp_path / "depths.gpkg", stations)
    bare = tmp_path / "bare.ipynb"
    nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(BARE_PAGE)]), bare)
    with opened(bare, record, tmp_path / "log", visit) as (_, page):
        button = page.locator(".recolour")
        plain = times_of_releases(page, ".leaflet-overlay-pane", "path.stn", lambda _: button.click())
    with opened(notebooks_folder() / "explore_stations.ipynb", record, tmp_path / "log", visit) as (_, page):
        page.locator(f"path.stn-{stations - 1}").click()
        page.locator(".strip-cells .season-cell").nth(len(SEASONS) - 1).wait_for(state="visible")
        ours = times_of_releases(page, ".map-part", "style", lambda number: drag(page, number))
    ratio = report(
        f"drag to new colours, {stations} stations",
        np.median(ours) / 1e3,
        "new data on a bare map",
        np.median(plain) / 1e3,
    )
    remark(f"    95th percentile {np.percentile(ours, 95):.0f} ms; budget {BUDGETS_MS[stations]} ms median")
    assert ratio < 3.0
