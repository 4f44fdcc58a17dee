"""The served page in a real browser: what it draws is held against the record, read off as a reader would."""

import re
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
import pytest
from axe_playwright_python.sync_playwright import Axe

from explorer.default_record import default_record
from explorer.display.district_seasons import standing_stations
from explorer.records.record import Record

pytestmark = pytest.mark.browser

Floats = npt.NDArray[np.float64]

PANELS = (  # the quantity with more readings is drawn
    ("secchi_depth", "transparency_tube"),
    ("chlorophyll_a", "chlorophyll_a_uncorrected"),
    ("total_phosphorus",),
    ("total_nitrogen",),
)
CLARITY = 0  # the panel with equal distances; on the others, equal ratios are equal distances
LIMIT_MS = 15_000
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LABEL_SHIFT_PX = 6.0  # a label stands within half its height of the place that it names
DOT_SHIFT_PX = 1.5  # rounding of labels, and of dates in leap years

# A dot is a piece of path that starts and ends at one place; labels are read with their middle.
READ_PANEL = """
(number) => {
  const figure = document.querySelector(`.panel-figure.panel-${number}`);
  const dots = [];
  for (const path of figure.querySelectorAll(".panel-dots .sign-measured")) {
    const matrix = path.getScreenCTM();
    for (const [, x, y] of path.getAttribute("d").matchAll(/M([^ ]+) ([^h]+)h0/g)) {
      const place = new DOMPoint(x, y).matrixTransform(matrix);
      dots.push([place.x, place.y]);
    }
  }
  const middle = (element) => {
    const box = element.getBoundingClientRect();
    return [element.textContent, (box.left + box.right) / 2, (box.top + box.bottom) / 2];
  };
  const field = figure.querySelector(".plotarea_background").getBoundingClientRect();
  const labels = [...figure.querySelectorAll("text.label")].filter((text) => text.textContent !== "");
  return {
    dots,
    field: [field.left, field.top, field.right, field.bottom],
    values: labels.map(middle).filter(([, x]) => x < field.left),
    years: [...figure.querySelectorAll(".axis .tick")].map((tick) => {
      const matrix = tick.getScreenCTM();
      return [tick.textContent, matrix.e, matrix.f];
    }),
  };
}
"""

# After a change of the page's width a figure follows its dots a moment later.
SAME_FIELDS = """
() => [...document.querySelectorAll(".panel-figure")].every((figure) => {
  const [field, dots] = [".plotarea_background", ".panel-dots"].map((name) =>
    figure.querySelector(name).getBoundingClientRect());
  return ["left", "right", "top", "bottom"].every((side) => Math.abs(field[side] - dots[side]) < 1);
})
"""

NUMBERS_CUT = """
() => [...document.querySelectorAll(".station-explorer *")].filter((element) =>
    element.children.length === 0 && element.textContent.trim() !== "" && element.getClientRects().length > 0
    && !element.closest("svg, select, style, script")
    && (element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).display !== "inline"
        || element.getBoundingClientRect().right > innerWidth + 0.5
        || element.getBoundingClientRect().left < -0.5))
  .map((element) => element.textContent)
"""

# A list's entries have no width of their own: the canvas measures their letters.
NAMES_CUT = """
() => [...document.querySelectorAll(".station-found select")].flatMap((list) => {
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = getComputedStyle(list).font;
  return [...list.options].map((option) => option.textContent)
    .filter((text) => pen.measureText(text).width + 6 > list.clientWidth);
})
"""


@pytest.fixture(scope="module")
def record() -> Iterator[Record]:
    opened = default_record()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def explore(served: Any, visit: Callable[..., AbstractContextManager[Any]]) -> Iterator[Any]:
    """The demo's page with its map drawn."""
    with visit(served.address) as opened:
        opened.page.set_default_timeout(LIMIT_MS)
        opened.page.wait_for_selector("#starting", state="visible")
        opened.page.wait_for_selector("path.stn", state="visible")
        yield opened


def number_of(text: str) -> float:
    return float(re.sub(r"[^\d.\-]", "", text.replace("−", "-")))


def pick(page: Any, record: Record, code: str) -> None:
    """Click the station on the map and wait until its name stands at the top."""
    stations = record.station_list()
    position = next(i for i, station in enumerate(stations) if station.code == code)
    page.locator(f"path.stn-{position}").click()
    wait_for_heading(page, stations[position].name)


def wait_for_heading(page: Any, name: str) -> None:
    page.wait_for_function(
        "(name) => document.querySelector('.heading-part h1')?.textContent.endsWith(name)", arg=name
    )
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def measured(record: Record, code: str, panel: int) -> pd.DataFrame:
    """Return the readings that stand as dots on a panel: routine, at the surface, with a plain value."""
    readings = record.history(code).readings
    plain = readings[
        (readings["sample_type"] == "routine")
        & (readings["stratum"] == "surface")
        & ~readings["status"].isin(["held", "rejected"])
    ]
    quantity = max(PANELS[panel], key=lambda each: int((plain["quantity"] == each).sum()))
    return plain[(plain["quantity"] == quantity) & (plain["sign"] == "=") & plain["value"].notna()]


def places(readings: pd.DataFrame, panel: dict[str, Any], number: int) -> Floats:
    """Return where the readings must lie on the page, by the labels of its axes alone. [px]"""
    _, top, _, bottom = panel["field"]
    years, lefts = zip(*[(number_of(text), x) for text, x, _ in panel["years"]], strict=True)
    per_year, left = np.polyfit(years, lefts, 1)
    # a label near an edge is moved inwards
    inner = [(number_of(text), y) for text, _, y in panel["values"] if top + 12 < y < bottom - 12]
    values, heights = zip(*inner, strict=True)
    assert len(values) >= 2
    scale = (lambda x: np.asarray(x, float)) if number == CLARITY else np.log
    per_step, zero = np.polyfit(scale(values), heights, 1)
    taken = readings["taken_on"].dt
    when = taken.year + (taken.day_of_year - 1) / 365.25
    return np.column_stack([left + per_year * when, zero + per_step * scale(readings["value"])])


def farthest(found: Floats, wanted: Floats) -> float:
    """Return how far, at most, a place of one set lies from the nearest of the other. [px]"""
    distances = np.hypot(*(found[:, None, :] - wanted[None, :, :]).transpose(2, 0, 1))
    return float(max(distances.min(axis=0).max(), distances.min(axis=1).max()))


def assert_shows(page: Any, record: Record, code: str) -> None:
    page.wait_for_function(SAME_FIELDS)
    read = [page.evaluate(READ_PANEL, number) for number in range(len(PANELS))]
    for number, panel in enumerate(read):
        readings = measured(record, code, number)
        assert len(panel["dots"]) == len(readings), f"panel {number} of {code}"
        if len(readings):
            dots, wanted = np.array(panel["dots"]), places(readings, panel, number)
            shift = np.median(dots, axis=0) - np.median(wanted, axis=0)
            assert np.abs(shift).max() < LABEL_SHIFT_PX, f"panel {number} of {code}"
            assert farthest(dots - shift, wanted) < DOT_SHIFT_PX, f"panel {number} of {code}"


def test_page_has_its_title_and_every_station(explore: Any, record: Record) -> None:
    placed = [station for station in record.station_list() if not np.isnan(station.longitude_deg)]
    assert explore.page.title() == "Station explorer"
    assert explore.page.locator("path.stn").count() == len(placed)
    assert not explore.page.is_visible("#starting")


def test_seasons_of_all_waters_stand_there_until_one_is_picked_by_keyboard(
    explore: Any, record: Record
) -> None:
    page = explore.page
    standing = standing_stations(record.station_list())
    assert page.locator(".waters-pick").count() == len(standing)
    for theme in ("dark", "light"):
        page.emulate_media(color_scheme=theme)
        found = Axe().run(page, options={"runOnly": RULES}).response
        assert [(each["id"], each["nodes"][0]["html"][:200]) for each in found["violations"]] == []
    page.evaluate("() => document.activeElement?.blur()")
    tab_to(page, ".waters-year")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Class in 2010 by")
    page.keyboard.press("Space")
    page.wait_for_selector("text=Class in 2025 by")
    tab_to(page, ".waters-pick")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    wait_for_heading(page, standing[1].name)
    assert not page.is_visible(".waters")


def test_a_click_brings_all_that_it_changes_in_one_message(explore: Any, record: Record) -> None:
    first, second = (station.code for station in record.station_list()[:2])
    pick(explore.page, record, first)
    frames: list[bytes] = []
    explore.sockets[-1].on("framereceived", lambda frame: frames.append(bytes(frame)))
    pick(explore.page, record, second)
    own = [frame for frame in frames if b'"updates": ' in frame]
    others = [frame for frame in frames if b'"method": "update"' in frame]
    assert len(own) == 1
    assert len(others) <= 3  # what the map says of the station under the pointer comes before the click


def richest_stations(record: Record) -> list[str]:
    """Return one station of each lake and pond, the one with most readings."""
    counts = pd.Series(
        {station.code: len(record.history(station.code).readings) for station in record.station_list()}
    )
    lakes = pd.Series({station.code: station.lake_code for station in record.station_list()})
    kinds = {code: lake.kind for code, lake in record.lakes().items()}
    best = counts.groupby(lakes).idxmax()
    return [code for lake, code in best.items() if kinds[lake] != "stream"]


def test_click_on_a_station_redraws_every_panel_with_its_readings(explore: Any, record: Record) -> None:
    codes = richest_stations(record)
    assert max(len(measured(record, code, CLARITY)) for code in codes) > 50
    for code in codes:
        pick(explore.page, record, code)
        assert_shows(explore.page, record, code)


def test_station_without_readings_says_so_and_shows_no_dot(explore: Any, record: Record) -> None:
    empty = [each.code for each in record.station_list() if record.history(each.code).readings.empty]
    assert empty, "the demo has such a station"
    pick(explore.page, record, empty[0])
    assert_shows(explore.page, record, empty[0])
    assert "readings" in explore.page.locator(".panel").first.inner_text()


def tab_to(page: Any, selector: str) -> None:
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("(selector) => document.activeElement?.matches(selector)", selector):
            return
    raise AssertionError(f"{selector} cannot be reached with the Tab key")


def test_keyboard_alone_finds_and_picks_a_station(explore: Any, record: Record) -> None:
    page = explore.page
    page.evaluate("() => document.activeElement?.blur()")
    wanted = record.station(richest_stations(record)[-1])
    tab_to(page, ".station-search input")
    page.keyboard.type(f"{record.lakes()[wanted.lake_code].name} {wanted.name}")
    page.wait_for_function("() => document.querySelector('.station-found select').options.length === 1")
    page.keyboard.press("Enter")
    wait_for_heading(page, wanted.name)
    assert_shows(page, record, wanted.code)


def test_arrow_key_in_the_list_picks_the_next_station(explore: Any, record: Record) -> None:
    page = explore.page
    search = page.locator(".station-search input")
    search.fill("")
    page.wait_for_function("() => document.querySelector('.station-found select').options.length > 10")
    first, second = record.station_list()[:2]
    pick(page, record, first.code)
    tab_to(page, ".station-found select")
    page.keyboard.press("ArrowDown")
    wait_for_heading(page, second.name)
    assert_shows(page, record, second.code)


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1024, 768)])
def test_nothing_is_cut_or_scrolled_sideways(explore: Any, record: Record, width: int, height: int) -> None:
    page, code = explore.page, richest_stations(record)[0]
    page.set_viewport_size({"width": width, "height": height})
    pick(page, record, code)
    page.wait_for_function(
        "() => { const figure = document.querySelector('.panel-3'), svg = figure.querySelector('svg');"
        "return Math.abs(figure.clientWidth - svg.clientWidth) < 3 }"
    )
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    assert page.evaluate(NUMBERS_CUT) == []
    assert page.evaluate(NAMES_CUT) == []
    left, right = (page.locator(part).bounding_box() for part in (".left-part", ".right-part"))
    assert left["x"] + left["width"] <= right["x"]
    caution = page.locator(".caution-part").bounding_box()
    assert caution["y"] + caution["height"] <= height, "the caution stands in sight"
    assert_shows(page, record, code)


CLASS_NAMES = """
() => [...document.querySelectorAll(".panel")].map((panel) => {
  const edge = panel.querySelector(".plotarea_background").getBoundingClientRect().right;
  const whole = panel.getBoundingClientRect();
  const boxes = [...panel.querySelectorAll(".panel-labels text")].map((text) => text.getBoundingClientRect())
    .filter((box) => box.left > edge).sort((a, b) => a.top - b.top);
  return {
    count: boxes.length,
    cut: boxes.filter((box) => box.right > whole.right + 0.5 || box.bottom > whole.bottom + 1).length,
    nearest: Math.min(...boxes.slice(1).map((box, index) => box.top - boxes[index].top)),
  };
})
"""


@pytest.mark.parametrize(("text", "letter"), [("", 12), ("large", 14)])
def test_names_of_many_classes_are_whole_and_apart(
    served: Any, visit: Callable[..., AbstractContextManager[Any]], text: str, letter: int
) -> None:
    view = f"#station=FER1&classes=burns_1999&text={text}"
    with visit(served.address + view, width=1024, height=768) as opened:
        page = opened.page
        page.wait_for_function(
            "() => document.querySelectorAll('.panel-labels text').length > 24"
            " && document.querySelector('.heading-part h1').textContent.includes('north basin')"
        )
        panels = page.evaluate(CLASS_NAMES)
    assert max(panel["count"] for panel in panels) == 7
    assert [panel["cut"] for panel in panels] == [0] * 4
    assert min(panel["nearest"] for panel in panels) >= 0.9 * letter


def test_panels_stay_where_they_are_from_station_to_station(explore: Any, record: Record) -> None:
    page = explore.page
    wordiest = ["TES1", "TES3", "HOL3"]  # trend with a caution, a doubtful class, a disk on the bottom
    for size, codes in (((1440, 900), richest_stations(record)[::3]), ((1024, 768), wordiest)):
        page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
        tops = set()
        for code in codes:
            pick(page, record, code)
            tops.add(page.locator(".season-strip").bounding_box()["y"])
        assert len(tops) == 1, size


def test_closed_page_ends_its_kernel(served: Any, visit: Callable[..., AbstractContextManager[Any]]) -> None:
    before = len(served.family())
    with visit(served.address) as opened:
        opened.page.wait_for_selector("path.stn", state="visible")
        assert len(served.family()) == before + 1
        opened.page.close(run_before_unload=True)
        ends = time.monotonic() + 20
        while len(served.family()) > before and time.monotonic() < ends:
            time.sleep(0.05)
    assert len(served.family()) == before


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_heading_stands_out_from_the_page_in_both_themes(explore: Any, record: Record, theme: str) -> None:
    page = explore.page
    page.emulate_media(color_scheme=theme)
    page.reload(wait_until="commit")
    page.wait_for_selector("path.stn", state="visible")
    pick(page, record, richest_stations(record)[0])
    ink, paper = page.evaluate(
        "() => [getComputedStyle(document.querySelector('.heading-part h1')).color,"
        "getComputedStyle(document.querySelector('.station-explorer')).backgroundColor]"
    )
    assert contrast(ink, paper) >= 4.5
    assert (luminance(paper) < 0.2) == (theme == "dark")


def test_open_page_follows_the_theme_of_the_system(explore: Any) -> None:
    page = explore.page
    dark = """(dark) => ["station-explorer", "leaflet-control-zoom-in"].every((name) => {
      const ground = getComputedStyle(document.querySelector("." + name)).backgroundColor;
      return (Math.max(...ground.match(/[0-9]+/g).slice(0, 3).map(Number)) < 90) === dark;
    })"""
    for theme in ("light", "dark", "light"):
        page.emulate_media(color_scheme=theme)
        page.wait_for_function(dark, arg=theme == "dark")


def test_map_stays_in_its_place_whatever_it_shows(explore: Any) -> None:
    page = explore.page
    shows = page.locator(".choice-part select").nth(1)
    tops = set()
    for number in (3, 7, 0):  # a trend with its tilted lines, places only, classes
        shows.select_option(index=number)
        page.wait_for_function(
            "(tilted) => (document.querySelector('.map-part marker') !== null) === tilted", arg=number == 3
        )
        tops.add(page.locator(".stations-map").bounding_box()["y"])
    assert len(tops) == 1


def luminance(colour: str) -> float:
    """Return the relative luminance of "rgb(r, g, b)" (WCAG 2.2, definition of relative luminance)."""
    parts = np.array([float(part) for part in re.findall(r"[\d.]+", colour)[:3]]) / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_no_request_has_left_and_nothing_has_complained(explore: Any) -> None:
    assert len(explore.requests) > 20
    assert explore.outside() == []
    assert explore.our_complaints() == []
