"""Depth profiles, what goes together, what lies behind a dot, and marks, clicked as a reader clicks them."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from explorer.analysis.pairs import visit_pairs
from explorer.analysis.profiles import profile_days
from explorer.default_record import default_record
from explorer.display.choice import Choice
from explorer.display.reading_choice import reading_at
from explorer.display.record_pages import RecordPages
from explorer.records.opening import open_record
from explorer.records.past import changes_of
from explorer.records.provenance import reading_origin
from explorer.records.record import Record

pytestmark = pytest.mark.browser

LIMIT_MS = 40_000
STATION = "FER1"
LEFT_PX, RIGHT_PX, EDGE_PX = 48, 124, 3  # a panel's margins
FOLDS = (
    "Is it changing?", "Unusual readings", "Behind a reading", "What goes together", "Depth profiles",
    "What waits for a decision",
)  # fmt: skip
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """The demo in one file, which takes marks."""
    path = tmp_path_factory.mktemp("marks") / "lakes.gpkg"
    return open_record(Path(shutil.copy(default_record().path, path)))


@pytest.fixture(scope="module")
def page(
    running_command: Callable[..., AbstractContextManager[Any]],
    visit: Callable[..., AbstractContextManager[Any]],
    record: Record,
) -> Iterator[Any]:
    """The explorer as somebody sees it who started it to write, with a station picked."""
    with running_command("--record", str(record.path), "--write", "--as", "Ada Reed") as running:
        running.wait_until_it_answers()
        with visit(f"{running.address}#station={STATION}") as opened:
            opened.page.set_default_timeout(LIMIT_MS)
            opened.page.wait_for_function("() => document.querySelectorAll('.season-cell').length === 20")
            opened.page.wait_for_function("() => document.querySelector('.panel-3 .panel-dots path')")
            yield opened.page


@pytest.fixture
def shown(record: Record) -> Any:
    pages = RecordPages(record)
    return pages.station(Choice(STATION, pages.latest))


def turn(page: Any, name: str, *, expanded: bool) -> None:
    button = page.locator(".fold-button", has_text=name)
    if (button.get_attribute("aria-expanded") == "true") != expanded:
        button.click()
    page.wait_for_function(
        "([name, expanded]) => [...document.querySelectorAll('.fold-button')].find("
        "(button) => button.textContent === name).getAttribute('aria-expanded') === String(expanded)",
        arg=[name, expanded],
    )


def place_of_dot(page: Any, shown: Any, panel: int, row: int) -> tuple[float, float]:
    """Return where on the window a reading's dot lies."""
    page.locator(f".panel-{panel}").scroll_into_view_if_needed()
    box = page.locator(f".panel-{panel}").bounding_box()
    reading = shown.page.panels[panel].readings.iloc[row]
    years = shown.page.last_year + 1 - shown.page.first_year
    share = (reading["when"] - shown.page.first_year) / years
    x = box["x"] + LEFT_PX + share * (box["width"] - LEFT_PX - RIGHT_PX)
    y = box["y"] + EDGE_PX + (1 - reading["place"]) * (box["height"] - 2 * EDGE_PX)
    return x, y


def text_of(page: Any, selector: str) -> str:
    return str(page.locator(selector).inner_text()).replace("\N{NO-BREAK SPACE}", " ")


def facts_of(page: Any) -> dict[str, str]:
    pairs = page.evaluate(
        "() => [...document.querySelectorAll('.origin-shown dt')]"
        ".map((term) => [term.textContent, term.nextElementSibling.textContent])"
    )
    return {name: text.replace("\N{NO-BREAK SPACE}", " ") for name, text in pairs}


def wait_for_label(page: Any, label: str) -> None:
    page.wait_for_function(
        "(label) => [...document.querySelectorAll('.origin-shown dd')]"
        ".some((each) => each.textContent === label)",
        arg=label,
    )


def wait_until_in_view(page: Any, selector: str) -> None:
    page.wait_for_function(
        "(selector) => { const box = document.querySelector(selector).getBoundingClientRect();"
        " return box.height > 0 && box.top >= 0 && box.bottom <= innerHeight; }",
        arg=selector,
    )


def click_dot(page: Any, shown: Any, panel: int, row: int) -> str:
    """Click a dot and wait until its label stands in the fold; return the label."""
    label = str(shown.page.panels[panel].readings["sample_code"].iloc[row])
    page.mouse.click(*place_of_dot(page, shown, panel, row))
    wait_for_label(page, label)
    return label


def test_click_on_a_dot_shows_where_it_comes_from(page: Any, shown: Any, record: Record) -> None:
    row = int(shown.page.panels[2].measured.rows[-3])
    click_dot(page, shown, 2, row)
    origin = reading_origin(record, int(shown.page.panels[2].readings["reading_id"].iloc[row]))
    facts = facts_of(page)
    assert facts["File"] == origin.source.file_name
    assert facts["Row"] == str(origin.source.row)
    assert facts["SHA-256 of the file"] == origin.source.sha256
    assert facts["Observer"] == origin.observer
    assert f'"{origin.as_written}"' in facts["As written"]
    assert f"The batch {origin.batch}" in text_of(page, ".origin-shown")
    top = page.locator(".origin-fold .fold-button").bounding_box()["y"]
    assert 0 <= top < page.viewport_size["height"], "the fold was brought into view"


def test_drag_over_a_panel_opens_no_reading(page: Any, shown: Any) -> None:
    turn(page, "Behind a reading", expanded=False)
    x, y = place_of_dot(page, shown, 2, int(shown.page.panels[2].measured.rows[-30]))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y, steps=4)
    page.mouse.up()
    page.wait_for_selector(".season-picked")
    assert page.locator(".origin-fold .fold-button").get_attribute("aria-expanded") == "false"
    page.keyboard.press("Escape")
    page.wait_for_function("() => !document.querySelector('.season-picked')")


def test_reading_is_picked_from_the_list_with_the_keyboard(page: Any, shown: Any) -> None:
    turn(page, "Behind a reading", expanded=True)
    page.get_by_label("Quantity", exact=True).select_option(label="Chlorophyll a")
    latest = str(shown.page.panels[1].readings["sample_code"].iloc[-1])
    before = str(shown.page.panels[1].readings["sample_code"].iloc[-2])
    for key, label in (("Home", latest), ("ArrowDown", before)):
        page.get_by_label("Readings", exact=True).focus()
        page.keyboard.press(key)
        wait_for_label(page, label)


def test_mark_stands_in_record_history_and_panel_at_once(page: Any, shown: Any, record: Record) -> None:
    row = int(shown.page.panels[2].measured.rows[-5])
    reading = int(shown.page.panels[2].readings["reading_id"].iloc[row])
    click_dot(page, shown, 2, row)
    version = record.version()
    assert page.locator(".legend-held").count() == 0
    page.get_by_label("Mark", exact=True).select_option(label="Ask the laboratory")
    page.get_by_label("Remark", exact=True).focus()
    page.keyboard.type("<b>Twice</b> the usual, and the whole of it is kept however fast it was typed")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.mark-said')?.textContent.includes('Written')")
    wait_until_in_view(page, ".mark-said")
    after = reading_origin(record, reading)
    assert record.version() == version + 1
    assert (after.status, after.reason) == ("held", "ask_the_laboratory")
    assert changes_of(record)[-1].who == "Ada Reed"
    page.wait_for_function(
        "() => document.querySelector('.origin-shown').textContent.includes('marked by Ada Reed')"
    )
    assert "Why: <b>Twice</b> the usual, and the whole of it is kept however fast it was typed" in text_of(
        page, ".origin-shown"
    )
    assert page.locator(".origin-shown b").count() == 0
    assert page.locator(".legend-held").count() == 1
    listed = page.get_by_label("Readings", exact=True).locator("option:checked").inner_text()
    assert listed.replace("\N{NO-BREAK SPACE}", " ").endswith("(waiting for an answer)")


def test_hasty_press_and_mark_without_a_remark_write_nothing(page: Any, shown: Any, record: Record) -> None:
    click_dot(page, shown, 2, int(shown.page.panels[2].measured.rows[-7]))
    version = record.version()
    button = page.get_by_role("button", name="Write it into the record as Ada Reed")
    button.click()
    page.wait_for_function("() => document.querySelector('.mark-said')?.textContent.includes('Choose first')")
    page.get_by_label("Mark", exact=True).select_option(label="Accept with a remark")
    button.click()
    page.wait_for_function(
        "() => document.querySelector('.mark-said')?.textContent.includes('needs a remark')"
    )
    assert record.version() == version
    turn(page, "Behind a reading", expanded=False)


def test_unusual_reading_is_picked_with_the_keyboard_ringed_and_told(page: Any, shown: Any) -> None:
    turn(page, "Unusual readings", expanded=True)
    page.wait_for_selector(".unusual-fold option", state="attached")
    listed = page.get_by_label("Unusual readings of this station")
    listed.wait_for()  # its entries come before it is shown, and what is not shown takes no keys
    listed.focus()
    page.keyboard.press("Home")
    page.wait_for_selector(".unusual-next")
    first = text_of(page, ".unusual-shown h3")
    page.keyboard.press("ArrowDown")
    page.wait_for_function(
        "(first) => document.querySelector('.unusual-shown h3').textContent !== first", arg=first
    )
    number = int(listed.input_value())
    told = RecordPages(shown.record).departures.set_index("reading_id").loc[number]
    title = text_of(page, ".unusual-shown h3")
    for part in (f"{told['low']:.0f}", told["direction"]):
        assert part in title
    page.wait_for_function(
        "() => document.querySelector('.origin-fold .fold-button').getAttribute('aria-expanded') === 'true'"
    )
    assert reading_at(shown.page, number) is not None
    page.wait_for_selector(".panel-said span")
    page.get_by_role("button", name="Decide on it").click()
    page.wait_for_function("() => document.activeElement.matches('.mark-form select')")
    wait_until_in_view(page, ".mark-form")
    assert "Nothing is chosen yet" in text_of(page, ".mark-form")


def test_reading_that_waits_leads_to_its_station(page: Any, record: Record) -> None:
    turn(page, "What waits for a decision", expanded=True)
    listed = page.get_by_label("Unusual readings of all stations")
    listed.locator("option").nth(1).wait_for(state="attached")
    numbers = map(int, listed.locator("option").evaluate_all("(all) => all.map((option) => option.value)"))
    stations = {number: reading_origin(record, number).station_code for number in numbers}
    assert set(stations.values()) - {STATION}, stations
    number, station = next(each for each in stations.items() if each[1] != STATION)
    listed.select_option(str(number))
    page.wait_for_function("() => !document.querySelector('h1').textContent.includes('Ferrow')")
    page.wait_for_function("(code) => location.hash.includes(`station=${code}`)", arg=station)
    assert page.get_by_label("Unusual readings of this station").input_value() == str(number)
    page.evaluate("(station) => { location.hash = `station=${station}`; }", STATION)
    page.wait_for_function("() => document.querySelector('h1').textContent.includes('Ferrow')")
    for name in ("What waits for a decision", "Unusual readings", "Behind a reading"):
        turn(page, name, expanded=False)


def strong(page: Any) -> list[int]:
    """Return how many points of each plot are strong."""
    return page.evaluate(
        "() => [...document.querySelectorAll('.relation-svg')].map((picture) =>"
        "picture.querySelectorAll('[data-day]:not(.relation-faint)').length)"
    )


def test_frame_around_points_picks_visits_and_escape_gives_them_back(page: Any, shown: Any) -> None:
    turn(page, "What goes together", expanded=True)
    page.wait_for_selector(".relation-svg [data-day]")
    pairs = visit_pairs(shown.history.readings, "total_phosphorus", "chlorophyll_a")
    days = page.evaluate(
        "() => [...document.querySelector('.relation-svg').querySelectorAll('[data-day]')]"
        ".map((point) => point.dataset.day)"
    )
    assert days == [f"{day:%Y-%m-%d}" for day in pairs["taken_on"]]
    everything = strong(page)
    picture = page.locator(".relation-svg").first
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    places = page.evaluate(
        "() => [...document.querySelector('.relation-svg').querySelectorAll('[data-day]')]"
        ".map((point) => point.getBoundingClientRect())"
        ".map((box) => [box.x + box.width / 2, box.y + box.height / 2])"
    )
    left, top, right, foot = box["x"] + 200, box["y"] + 12, box["x"] + 386, box["y"] + 140
    inside = {day for day, (x, y) in zip(days, places, strict=True) if left < x < right and top < y < foot}
    assert 0 < len(inside) < len(days)
    page.mouse.move(left, top)
    page.mouse.down()
    page.mouse.move(right, foot, steps=5)
    page.mouse.up()
    words = "1 visit picked." if len(inside) == 1 else f"{len(inside)} visits picked."
    page.wait_for_function(
        "(words) => document.querySelector('.relation-foot').textContent.includes(words)", arg=words
    )
    assert strong(page)[0] == len(inside)
    assert strong_dots(page, 1) == len(inside)
    page.keyboard.press("Escape")
    page.wait_for_function("() => !document.querySelector('.relation-foot').textContent.includes('picked')")
    assert strong(page) == everything
    assert strong_dots(page, 1) == len(shown.page.panels[1].measured.rows)


def strong_dots(page: Any, panel: int) -> int:
    """Return how many dots of a panel are drawn at full strength: pieces of path without a length."""
    return int(
        page.evaluate(
            "(panel) => [...document.querySelectorAll(`.panel-${panel} .dots-strong .sign-measured`)]"
            ".reduce((count, path) => count + path.getAttribute('d').split('h0').length - 1, 0)",
            panel,
        )
    )


def test_visits_are_picked_from_the_list_and_given_back_by_the_button(page: Any) -> None:
    turn(page, "What goes together", expanded=True)
    page.get_by_label("Visits: total phosphorus, chlorophyll a, clarity").focus()
    page.keyboard.press("Home")
    page.keyboard.press("Shift+ArrowDown")
    page.wait_for_function(
        "() => document.querySelector('.relation-foot').textContent.includes('2 visits picked.')"
    )
    page.get_by_role("button", name="All visits again").click()
    page.wait_for_function("() => !document.querySelector('.relation-foot').textContent.includes('picked')")
    turn(page, "What goes together", expanded=False)


def test_profile_of_a_chosen_day_is_that_of_the_record(page: Any, shown: Any) -> None:
    turn(page, "Depth profiles", expanded=True)
    page.wait_for_selector(".profile-day svg")
    days = profile_days(shown.history.readings)
    visit = int(days["visit_id"].iloc[-4])
    page.get_by_label("Day", exact=True).focus()
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    readings = shown.history.readings
    read = readings[(readings["visit_id"] == visit) & (readings["stratum"] == "profile")]
    temperature = read[read["quantity"] == "water_temperature"].sort_values("depth_m")["value"]
    wanted = [f"{value:.1f} °C" for value in temperature]
    page.wait_for_function(
        "(wanted) => JSON.stringify([...document.querySelectorAll('.profile-table tbody tr td:nth-child(2)')]"
        ".map((cell) => cell.textContent.replace('\\u00a0', ' '))) === JSON.stringify(wanted)",
        arg=wanted,
    )
    assert page.locator(".profile-day svg").first.locator("circle.profile-dot").count() == len(wanted)


def test_all_days_of_a_chosen_quantity_are_shown(page: Any, shown: Any) -> None:
    turn(page, "Depth profiles", expanded=True)
    page.get_by_label("All days of", exact=True).select_option(label="Dissolved oxygen")
    readings = shown.history.readings
    count = ((readings["stratum"] == "profile") & (readings["quantity"] == "dissolved_oxygen")).sum()
    page.wait_for_function(
        "() => document.querySelector('.profile-seasons').textContent.includes('oxygen on all days')"
    )
    assert page.locator(".profile-seasons svg rect:has(title)").count() == count


def test_date_is_entered_by_keyboard_and_compared(page: Any) -> None:
    page.locator(".fold-button", has_text="Is it changing?").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector(".trend-fold .plain-table tbody tr")
    page.get_by_label("Before and after", exact=True).focus()
    page.keyboard.type("2014-04-15")
    page.keyboard.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('.trend-fold').innerText.includes('Before and after 15 April 2014')"
    )
    assert "The water is less clear than before: by about " in text_of(page, ".trend-fold")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_rule_of_access_is_broken_with_all_folds_open(page: Any, theme: str) -> None:
    page.emulate_media(color_scheme=theme)
    for name in FOLDS:
        turn(page, name, expanded=True)
    page.wait_for_selector(".profile-day svg")
    found = Axe().run(page, options={"runOnly": RULES}).response
    assert len(found["passes"]) > 15
    assert [
        (each["id"], [node["html"][:200] for node in each["nodes"]]) for each in found["violations"]
    ] == []


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1024, 768)])
def test_open_folds_are_not_cut_sideways(page: Any, width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    for name in FOLDS:
        turn(page, name, expanded=True)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    cut = page.evaluate(
        "() => [...document.querySelectorAll('.fold-body svg, .fold-body select, .fold-body table')]"
        ".filter((part) => part.getBoundingClientRect().right > innerWidth).length"
    )
    assert cut == 0
