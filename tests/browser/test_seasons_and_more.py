"""Periods, comparison, folds, downloads, the address and the access rules, in a real browser."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import Any

import pandas as pd
import pytest
from axe_playwright_python.sync_playwright import Axe

from explorer.default_record import default_record
from explorer.display.choice import Choice
from explorer.display.record_pages import RecordPages
from explorer.model.calendar import Period

pytestmark = pytest.mark.browser

LIMIT_MS = 40_000
STATION = "FER1"
LEFT_PX, RIGHT_PX = 48, 124  # a panel's margins
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture(scope="module")
def pages() -> RecordPages:
    return RecordPages(default_record())


@pytest.fixture(scope="module")
def page(served: Any, visit: Callable[..., AbstractContextManager[Any]], pages: RecordPages) -> Iterator[Any]:
    with visit(f"{served.address}#station={STATION}") as opened:
        opened.page.set_default_timeout(LIMIT_MS)
        opened.page.wait_for_selector(".strip-cells .season-cell", state="visible")
        opened.page.wait_for_function("() => document.querySelectorAll('.season-cell').length === 20")
        yield opened.page


@pytest.fixture(autouse=True)
def all_seasons(page: Any) -> Iterator[None]:
    yield
    if page.locator(".strip-all").is_enabled():
        page.locator(".strip-all").click()
        wait_for_caption(page, "Class in 2025 by")


def wait_for_caption(page: Any, words: str) -> None:
    """Wait until the map tells of a period and the address, which is written last, agrees."""
    page.wait_for_function(
        """(words) => {
          const years = words.match(/\\d{4}/g);
          const picked = `seasons=${years[0]}-${years.at(-1)}`;
          const chosen = document.querySelector('.season-picked') !== null;
          return document.querySelector('.map-caption')?.textContent.startsWith(words)
            && location.hash.includes(chosen ? picked : 'station=')
            && location.hash.includes('seasons=') === chosen;
        }""",
        arg=words,
    )


def drag(page: Any, selector: str, first: int, last: int, left: int = 0, right: int = 0) -> None:
    """Drag from the middle of one season to the middle of another over a part of the page."""
    box = page.locator(selector).bounding_box()
    step = (box["width"] - left - right) / 20
    height = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + left + (first - 2006 + 0.5) * step, height)
    page.mouse.down()
    page.mouse.move(box["x"] + left + (last - 2006 + 0.5) * step, height, steps=5)
    page.mouse.up()


def shown(pages: RecordPages, period: Period) -> Any:
    return pages.station(Choice(STATION, period, picked=True)).page


def said(page: Any, selector: str) -> str:
    return str(page.locator(selector).inner_text()).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("selector", "left", "right"), [(".strip-cells", 0, 0), (".panel-1", LEFT_PX, RIGHT_PX)]
)
def test_drag_picks_whole_seasons_and_everything_follows(
    page: Any, pages: RecordPages, selector: str, left: int, right: int
) -> None:
    drag(page, selector, 2012, 2016, left, right)
    wait_for_caption(page, "Class in 2012 to 2016 by")
    wanted = shown(pages, Period(2012, 2016))
    heading = said(page, ".heading-part")
    assert wanted.sentences[0].replace("\N{NO-BREAK SPACE}", " ") in heading
    assert "Period chosen by you." in heading
    for number, panel in enumerate(wanted.panels):
        head = said(page, f".panel:has(.panel-{number}) .panel-title")
        assert panel.value.replace("\N{NO-BREAK SPACE}", " ") in head
    picked = page.locator(".season-cell.season-picked")
    assert picked.count() == 5
    assert_stations_are_coloured_for(page, pages, Period(2012, 2016))


def assert_stations_are_coloured_for(page: Any, pages: RecordPages, period: Period) -> None:
    groups = pages.map_page(Choice(STATION, period, picked=True)).groups
    colours = page.evaluate(
        "() => [...document.querySelectorAll('path.stn')].map((path) =>"
        "[+[...path.classList].find((name) => /^stn-/.test(name)).slice(4), getComputedStyle(path).fill])"
    )
    for number, fill in colours:
        index = groups.indexes[number]
        if index >= 0:
            red, green, blue = (int(groups.colours[index][i : i + 2], 16) for i in (1, 3, 5))
            assert fill == f"rgb({red}, {green}, {blue})"


def test_escape_gives_all_seasons_back(page: Any) -> None:
    drag(page, ".strip-cells", 2010, 2011)
    wait_for_caption(page, "Class in 2010 to 2011 by")
    page.keyboard.press("Escape")
    wait_for_caption(page, "Class in 2025 by")
    assert "Period chosen by you." not in said(page, ".heading-part")


def test_arrow_keys_move_and_widen_the_period(page: Any) -> None:
    page.locator(".strip-cells").focus()
    page.keyboard.press("ArrowLeft")
    wait_for_caption(page, "Class in 2025 by")
    page.keyboard.press("ArrowLeft")
    wait_for_caption(page, "Class in 2024 by")
    page.keyboard.press("Shift+ArrowRight")
    wait_for_caption(page, "Class in 2024 to 2025 by")


def test_pointer_over_a_dot_says_value_unit_and_date(page: Any, pages: RecordPages) -> None:
    wanted = pages.station(Choice(STATION, pages.latest)).page
    panel = wanted.panels[2]
    row = int(panel.measured.rows[-1])
    reading = panel.readings.iloc[row]
    box = page.locator(".panel-2").bounding_box()
    share = (reading["when"] - wanted.first_year) / (wanted.last_year + 1 - wanted.first_year)
    x = box["x"] + LEFT_PX + share * (box["width"] - LEFT_PX - RIGHT_PX)
    y = box["y"] + 3 + (1 - reading["place"]) * (box["height"] - 6)
    page.mouse.move(x - 3, y)
    page.mouse.move(x, y)
    page.wait_for_function("() => document.querySelectorAll('.panel-said')[2].textContent.trim() !== ''")
    line = said(page, ".panel:has(.panel-2) .panel-said")
    assert f"{reading['value']:.0f} µg/L" in line
    assert str(reading["taken_on"].year) in line


def test_address_opens_the_same_view_again(page: Any, served: Any, visit: Any) -> None:
    drag(page, ".strip-cells", 2008, 2010)
    wait_for_caption(page, "Class in 2008 to 2010 by")
    address = page.url
    assert "seasons=2008-2010" in address
    with visit(address) as again:
        again.page.wait_for_selector(".strip-cells .season-cell", state="visible")
        wait_for_caption(again.page, "Class in 2008 to 2010 by")
        assert said(again.page, ".heading-part") == said(page, ".heading-part")


def test_numbers_are_kept_as_they_are_seen(page: Any, pages: RecordPages, tmp_path: Any) -> None:
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Numbers (CSV)").click()
    path = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(path)
    kept = pd.read_csv(path)
    wanted = pages.station(Choice(STATION, pages.latest)).page
    assert len(kept) == sum(len(panel.readings) for panel in wanted.panels)
    assert set(kept["record_version"]) == {pages.version}


def test_picture_is_kept(page: Any, tmp_path: Any) -> None:
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Picture (PNG)").click()
    path = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(path)
    assert path.read_bytes().startswith(b"\x89PNG")


def test_folds_explain_and_stay_open_over_another_station(page: Any) -> None:
    fold = page.locator(".fold-button").first
    fold.click()
    page.wait_for_function("() => document.querySelector('.fold-region')?.textContent.includes('5 visits')")
    assert fold.get_attribute("aria-expanded") == "true"
    fold.click()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_rule_of_access_is_broken(page: Any, theme: str) -> None:
    page.emulate_media(color_scheme=theme)
    found = Axe().run(page, options={"runOnly": RULES}).response
    assert len(found["passes"]) > 15
    assert [
        (each["id"], [node["html"][:200] for node in each["nodes"]]) for each in found["violations"]
    ] == []


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1024, 768)])
def test_large_text_is_not_cut_sideways(page: Any, width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.get_by_role("button", name="More choices").click()
    page.get_by_label("Text").select_option(label="large")
    page.wait_for_selector(".station-explorer.large-text")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    size = page.evaluate(
        "() => parseFloat(getComputedStyle(document.querySelector('.heading-part h1')).fontSize)"
    )
    assert size >= 30
    page.get_by_label("Text").select_option(label="usual size")
    page.get_by_role("button", name="More choices").click()
    page.set_viewport_size({"width": 1440, "height": 900})
