"""The meeting as a hall sees it: one page, by keys and clicks, measured in pixels."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from explorer.default_record import default_record
from explorer.display.meeting import MeetingRecord
from explorer.display.meeting_pages import build_meeting_pages

pytestmark = pytest.mark.browser

LIMIT_MS = 60_000
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CAUTION = "These measurements cannot tell whether the water is safe to swim in. Ask the health office."
MEASURES = """() => {
  const size = (node) => parseFloat(getComputedStyle(node).fontSize);
  const shown = [...document.querySelectorAll(".lake-meeting *")].filter(
    (node) => node.checkVisibility({ visibilityProperty: true }) && !node.closest("svg, .map-part") &&
      [...node.childNodes].some((each) => each.nodeType === 3 && each.data.trim()));
  const boxes = shown.map((node) => node.getBoundingClientRect());
  const svg = document.querySelector(".lm-picture svg");
  const letters = svg && [...svg.querySelectorAll("text")].map((node) => {
    const box = node.getBoundingClientRect();
    return [size(node) * svg.getScreenCTM().a, box.left, box.right];
  });
  return {
    sentence: size(document.querySelector(".lm-sentence")),
    others: Math.min(...shown.filter((node) => !node.matches("style")).map(size)),
    picture: letters && letters.length ? Math.min(...letters.map((each) => each[0])) : 99,
    left: Math.min(...boxes.map((box) => box.left), ...(letters || []).map((each) => each[1])),
    right: Math.max(...boxes.map((box) => box.right), ...(letters || []).map((each) => each[2])),
    bottom: Math.max(...boxes.map((box) => box.bottom)),
    page: ((root) => [root.scrollWidth, root.scrollHeight])(document.querySelector(".lake-meeting")),
  };
}"""


FOOT_WITH_CARDS = """(cards) => {
  const drawn = document.querySelector(".lm-bar"), foot = drawn.cloneNode(true);
  const row = foot.querySelector(".lm-cards"), keys = [...row.querySelectorAll("button")];
  keys.slice(cards).forEach((key) => key.remove());
  for (let number = keys.length; number < cards; number += 1) row.append(keys[0].cloneNode(true));
  foot.classList.toggle("lm-many", cards > 6);
  drawn.style.display = "none";
  drawn.after(foot);
  const words = [...foot.querySelectorAll(".lm-word")].filter((each) => each.checkVisibility());
  const found = {
    words: words.map((each) => each.textContent),
    tops: [...foot.querySelectorAll("button")].map((each) => each.getBoundingClientRect().top),
  };
  foot.remove();
  drawn.style.display = "";
  return found;
}"""


@pytest.fixture(scope="module")
def hall(running_command: Any, visit: Any) -> Iterator[Any]:
    """A hall's screen with the meeting of one lake, as the command opens it."""
    with running_command("--lake", "ferrow tarn", command="meeting") as running:
        running.wait_until_it_answers()
        assert running.address.endswith("#lake=FER")
        with visit(running.address, 1024, 768, accept_downloads=True) as opened:
            opened.page.set_default_timeout(LIMIT_MS)
            opened.page.wait_for_selector(".lm-sentence")
            yield opened.page


@pytest.fixture
def page(hall: Any) -> Any:
    """The first step of the same lake, nothing over it."""
    hall.keyboard.press("Escape")
    if hall.locator(".lm-choice").count():
        hall.click('.lm-choice[data-code="FER"]')
    hall.keyboard.press("Home")
    hall.wait_for_selector('.lm-body[data-step="0"]')
    return hall


def step_to(page: Any, key: str, number: int) -> None:
    page.keyboard.press(key)
    page.wait_for_selector(f'.lm-body[data-step="{number}"]')


@pytest.mark.parametrize("size", [(1024, 768), (1920, 1080)])
def test_every_step_is_large_and_nothing_is_cut(page: Any, size: tuple[int, int]) -> None:
    meetings = MeetingRecord(default_record())
    page.set_viewport_size({"width": size[0], "height": size[1]})
    scale = size[1] / 768
    for code in ("FER", "SED", "DUN") if scale == 1 else ("FER",):
        if code != "FER":
            page.keyboard.press("l")
            page.click(f'.lm-choice[data-code="{code}"]')
        steps = build_meeting_pages(meetings.basis(meetings.find(code)))
        for number, step in enumerate(steps):
            if number:
                step_to(page, "PageDown", number)
            page.wait_for_function(
                "text => document.querySelector('.lm-sentence')?.textContent === text", arg=step.sentence
            )
            assert page.inner_text(".lm-caution") == CAUTION
            found = page.evaluate(MEASURES)
            assert found["sentence"] >= 56 * scale
            assert found["others"] >= 40 * scale
            assert found["picture"] >= 40 * scale
            assert found["left"] >= 0
            assert found["right"] <= size[0]
            assert found["bottom"] <= size[1]
            assert found["page"] == list(size)
    page.set_viewport_size({"width": 1024, "height": 768})
    page.keyboard.press("l")
    page.wait_for_selector(".lm-choice")


def test_arrows_clicker_and_buttons_go_through_the_steps_and_the_address_follows(page: Any) -> None:
    for number, key in enumerate(("ArrowRight", "PageDown", "ArrowRight", "End"), 1):
        step_to(page, key, number)
    assert page.evaluate("location.hash") == "#lake=FER&step=5"
    assert page.locator('[aria-label="The next step"]').is_disabled()
    step_to(page, "PageUp", 3)
    step_to(page, "ArrowLeft", 2)
    page.click('[aria-label="The step before"]')
    page.wait_for_selector('.lm-body[data-step="1"]')
    page.reload()
    page.wait_for_selector('.lm-body[data-step="1"]')
    assert page.inner_text(".lm-lake") == "Ferrow Tarn"


def test_every_question_has_its_key_on_the_screen_and_the_same_key_closes_it(page: Any) -> None:
    keys = page.locator(".lm-cards .lm-key").all_inner_texts()
    assert keys == list("12345678")
    for key in keys:
        page.keyboard.press(key)
        dialog = page.get_by_role("dialog")
        dialog.wait_for()
        assert dialog.get_by_role("heading").inner_text().endswith("?")
        assert CAUTION in dialog.inner_text()
        assert page.evaluate("document.querySelector('.lm-over').contains(document.activeElement)")
        page.keyboard.press(key)
        dialog.wait_for(state="hidden")
    page.keyboard.press("1")
    assert "We cannot tell" in page.get_by_role("dialog").inner_text()
    page.keyboard.press("PageDown")  # a clicker's first press only closes
    page.get_by_role("dialog").wait_for(state="hidden")
    assert page.locator('.lm-body[data-step="0"]').count() == 1


def test_point_is_opened_by_mouse_and_keys_and_names_nobody(page: Any) -> None:
    step_to(page, "ArrowRight", 1)
    page.locator('[data-point="2"]').click()
    said = page.get_by_role("dialog")
    said.wait_for()
    assert "11 July 2025, clarity: 1.2" in said.inner_text()
    assert page.locator(".lm-picked").get_attribute("data-point") == "2"
    page.keyboard.press("ArrowUp")
    page.wait_for_selector('.lm-picked[data-point="1"]')
    assert "16 June 2025" in said.inner_text()
    assert "V02" not in page.inner_text("body")
    page.keyboard.press("Escape")
    said.wait_for(state="hidden")
    page.keyboard.press("p")
    page.wait_for_selector('.lm-picked[data-point="4"]')
    page.keyboard.press("p")
    said.wait_for(state="hidden")


def test_how_we_know_and_all_keys_are_one_key_away(page: Any) -> None:
    assert page.locator(".lm-bar.lm-many").count() == 1  # the demo has eight cards
    for cards, width, words in (
        (9, 1024, []),
        (9, 1366, ["keys"]),
        (6, 1024, ["keys"]),
        (6, 1366, ["how", "point", "save", "lake", "keys"]),
    ):
        page.set_viewport_size({"width": width, "height": 768})
        across = "document.querySelector('.lm-bar').getBoundingClientRect().width"
        page.wait_for_function(f"Math.abs({across} - {width}) < 40")  # the page has been laid out
        found = page.evaluate(FOOT_WITH_CARDS, cards)
        assert found["words"] == words
        assert len(found["tops"]) == 7 + cards
        assert len(set(found["tops"])) == 1, "the foot takes one row"
    page.set_viewport_size({"width": 1024, "height": 768})
    for key, words in (
        ("h", "No month from May to September lacks a reading of algae."),
        ("k", "Home, End: first, last."),
    ):
        page.keyboard.press(key)
        assert words in page.get_by_role("dialog").inner_text()
        page.keyboard.press(key)
        page.get_by_role("dialog").wait_for(state="hidden")


def test_papers_are_saved_from_the_screen(page: Any, tmp_path: Path) -> None:
    page.keyboard.press("s")
    for kind, start in (("handout", b"%PDF"), ("html", b"<!doc")):
        with page.expect_download() as saved:
            page.click(f".keep-{kind}")
        assert saved.value.suggested_filename.startswith("ferrow_tarn_in_2025_fer_handout")
        saved.value.save_as(tmp_path / kind)
        assert (tmp_path / kind).read_bytes().startswith(start)
    page.keyboard.press("s")
    page.locator(".keep-bar").wait_for(state="hidden")


def test_water_is_found_by_name_or_on_the_map(page: Any) -> None:
    page.keyboard.press("l")
    page.fill(".lm-field", "pond")
    assert page.locator(".lm-choice").all_inner_texts() == ["Greenlow Pond", "Sallow Pond", "Tarrick Pond"]
    page.fill(".lm-field", "sal pon")
    page.keyboard.press("Enter")
    page.wait_for_function("document.querySelector('.lm-lake')?.textContent === 'Sallow Pond'")
    page.keyboard.press("l")
    page.fill(".lm-field", "")
    page.wait_for_selector("path.stn")
    page.locator("path.stn").first.click()
    page.wait_for_function("document.querySelector('.lm-lake')?.textContent === 'Askerel Lake'")
    page.keyboard.press("l")
    page.wait_for_selector(".lm-choice")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_screens_are_free_of_barriers_that_axe_finds(page: Any, theme: str) -> None:
    if page.evaluate("document.body.classList.contains('explorer-dark')") != (theme == "dark"):
        page.keyboard.press("d")
        page.wait_for_selector(f"body.explorer-{theme}")
    for keys in ("", "2", "Escape p", "Escape l"):
        for key in keys.split():
            page.keyboard.press(key)
        found = Axe().run(page, options={"runOnly": RULES})
        ours = [
            f"{each['id']}: {node['target']}"
            for each in found.response["violations"]
            for node in each["nodes"]
        ]
        assert ours == []
