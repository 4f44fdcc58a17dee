"""The desk: the demo's messy season goes in through the page, by keyboard, and what waits is decided on."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from explorer.default_record import default_record
from explorer.demo import demo_folder
from explorer.intake.check_in import check_in
from explorer.records.opening import open_record
from explorer.records.past import changes_of
from explorer.records.record import Record
from explorer.records.waiting import waiting_count

pytestmark = pytest.mark.browser

LIMIT_MS = 60_000
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
SHEETS = sorted((demo_folder() / "season_2025_sheets").glob("*.csv"))


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """The demo in one file, which takes a check-in."""
    path = tmp_path_factory.mktemp("desk") / "lakes.gpkg"
    return open_record(Path(shutil.copy(default_record().path, path)))


@pytest.fixture(scope="module")
def page(
    running_command: Callable[..., AbstractContextManager[Any]],
    visit: Callable[..., AbstractContextManager[Any]],
    record: Record,
) -> Iterator[Any]:
    """The desk as a coordinator sees it."""
    with running_command("--record", str(record.path), "--as", "M. Oak", command="check-in") as running:
        running.wait_until_it_answers()
        with visit(running.address, width=1024, height=768) as opened:
            opened.page.set_default_timeout(LIMIT_MS)
            opened.page.wait_for_selector(".file-drop")
            yield opened.page


def hand_over(page: Any) -> None:
    page.set_input_files(".desk-incoming .file-drop input", [str(path) for path in SHEETS])
    page.wait_for_selector(".desk-found tbody tr:nth-child(5)")


def press(page: Any, selector: str) -> None:
    """Reach a button by the keyboard's focus and press it."""
    page.locator(selector).focus()
    page.keyboard.press("Enter")


def test_page_without_files_asks_for_them_and_lists_what_waits(page: Any, record: Record) -> None:
    assert "only looked at" in page.locator(".desk-incoming .file-drop").inner_text()
    assert page.locator(".decision-form select").first.locator("option").count() == waiting_count(record)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.type") == "file"


def test_every_doubt_of_the_season_stands_on_the_page_with_its_cure(page: Any, record: Record) -> None:
    hand_over(page)
    found = check_in([(path.name, path.read_bytes()) for path in SHEETS], record)
    for name, severity in (("Not taken", "refuse"), ("Would wait", "hold"), ("Pointed out", "note")):
        button = page.locator(".fold-button", has_text=name)
        if button.get_attribute("aria-expanded") == "false":
            button.press("Enter")
        page.wait_for_function(
            "(name) => [...document.querySelectorAll('.fold-button')].some((each) => each.textContent"
            ".includes(name) && each.nextElementSibling.querySelector('td'))",
            arg=name,
        )
        region = page.locator(f"#{button.get_attribute('aria-controls')}")
        shown = " ".join(region.inner_text().split()).casefold()
        problems = [each for each in found.problems if each.severity == severity]
        assert button.inner_text().endswith(f"({len(problems)})")
        missing = [str(each) for each in problems if " ".join(each.sentence.split()).casefold() not in shown]
        assert missing == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_desk_keeps_the_rules_of_access(page: Any, theme: str) -> None:
    page.emulate_media(color_scheme=theme)
    found = Axe().run(page, options={"runOnly": RULES})
    ours = [
        f"{each['id']}: {node['target']}" for each in found.response["violations"] for node in each["nodes"]
    ]
    assert ours == []


@pytest.mark.parametrize("width", [1024, 1440])
def test_nothing_reaches_beyond_the_page(page: Any, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 768})
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    land = page.locator(".desk-landing button").bounding_box()
    assert land["y"] + land["height"] <= 768


def test_season_lands_by_keyboard_and_the_record_says_who(page: Any, record: Record) -> None:
    words = page.locator(".desk-landing button").inner_text()
    accepted, held = map(int, re.findall(r"\d+", words))
    waited = waiting_count(record)
    page.locator(".desk-landing input").fill("season 2025")
    press(page, ".desk-landing button")
    page.wait_for_selector("text=Version 2 of the record")
    change = changes_of(record)[-1]
    assert (change.kind, change.who, change.why) == ("check-in", "M. Oak", "season 2025")
    rows = dict(
        record.fetch_rows("SELECT status = 'held', count(*) FROM readings WHERE entered_in = 2 GROUP BY 1")
    )
    assert rows == {0: accepted, 1: held}
    page.wait_for_function(
        "(count) => document.querySelector('.decision-form select').options.length === count",
        arg=waited + held,
    )


def test_what_waits_is_decided_on_by_keyboard(page: Any, record: Record) -> None:
    waited = waiting_count(record)
    form = page.locator(".decision-form")
    form.locator("select").first.focus()
    page.keyboard.press("ArrowDown")
    form.locator("select").nth(1).select_option(label="Reject")
    form.get_by_label("Why").focus()
    page.keyboard.type("the sheet is torn")
    page.keyboard.press("Tab")
    press(page, ".decision-form button")
    page.wait_for_selector(".decision-said p")
    assert waiting_count(record) == waited - 1
    assert changes_of(record)[-1].why == "the sheet is torn"
