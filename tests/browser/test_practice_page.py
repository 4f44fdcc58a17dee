"""The practice page in a real browser, by keyboard alone: a learner who knows only what the page shows."""

import re
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

LIMIT_MS = 15_000
READINGS = 3
PROGRAMME = f"""
name = "Test programme"
[practice]
readings = {READINGS}
"""
MOST_TABS = 60
SEEN = ("plain to see", "faint", "still in sight, lying on the bottom")
SMALLEST_PX, TASK_PX = (
    15.0,
    22.0,
)  # of letters on a screen 900 high: 1 in 60 for what is read close by, 1 in 40


class Learner:
    """Presses keys, and reads the page's words."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def turn(self) -> int:
        return int(self.page.locator(".stage-body").get_attribute("data-turn"))

    def after(self, turn: int) -> None:
        self.page.wait_for_function(
            "turn => Number(document.querySelector('.stage-body').dataset.turn) > turn", arg=turn
        )

    def button(self, label: str) -> Any:
        return self.page.get_by_role("button", name=label, exact=True)

    def can(self, label: str) -> bool:
        return self.button(label).count() == 1

    def press(self, label: str) -> None:
        """Press a button by its key, or by tab and enter where it has none."""
        turn, button = self.turn(), self.button(label)
        if self.page.evaluate("document.activeElement.tagName === 'INPUT'"):
            self.page.keyboard.press("Escape")
        key = button.get_attribute("aria-keyshortcuts")
        if key:
            assert button.locator("kbd").text_content() == key
            self.page.keyboard.press(key)
        else:
            self.tab_to(button)
            self.page.keyboard.press("Enter")
        self.after(turn)

    def tab_to(self, target: Any) -> None:
        handle = target.element_handle()
        for _ in range(MOST_TABS):
            if self.page.evaluate("element => document.activeElement === element", handle):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError("it cannot be reached with the tab key")

    def write(self, label: str, text: str) -> None:
        turn = self.turn()
        self.tab_to(self.page.get_by_label(label, exact=True))
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")
        self.after(turn)

    def sees(self, name: str) -> str:
        """Return what stands beside a name on the last paper that has it."""
        lines = self.page.locator(".stage-line").filter(has=self.page.get_by_text(name, exact=True))
        return str(lines.last.locator("dd").text_content()) if lines.count() else ""

    def told(self) -> str:
        return str(self.page.locator(".stage-told").text_content())

    def open(self, title: str) -> None:
        """Go to an exercise from anywhere, past what is read before it."""
        if self.can("All exercises"):
            self.press("All exercises")
        self.page.keyboard.press(self.tile(title).get_attribute("aria-keyshortcuts"))
        self.page.wait_for_function(
            "title => document.querySelector('.stage h1').textContent.startsWith(title)", arg=title
        )
        if self.can("We have read it: begin"):
            self.press("We have read it: begin")

    def tile(self, title: str) -> Any:
        return self.page.locator(".stage-tile", has_text=title)

    def heading(self) -> str:
        return str(self.page.locator(".stage h1").text_content())

    def score(self) -> tuple[int, int]:
        found = re.match(r"(\d+) of (\d+) points", self.page.locator(".stage-task").text_content())
        assert found
        return int(found[1]), int(found[2])

    def listed(self, title: str) -> list[str]:
        part = self.page.locator(".stage-listing").filter(has=self.page.get_by_text(title, exact=True))
        return [str(text) for text in part.locator("li").all_text_contents()]


@pytest.fixture(scope="module")
def practice(
    running_command: Callable[..., AbstractContextManager[Any]],
    visit: Callable[..., AbstractContextManager[Any]],
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Any]:
    """The page of a programme that wants three disk readings."""
    folder: Path = tmp_path_factory.mktemp("programme")
    (folder / "programme.toml").write_text(PROGRAMME)
    (folder / "readings.csv").write_text(
        "station_code,taken_on,quantity,value,unit\nA1,2024-05-10,secchi_depth,2,m\n"
    )
    left = tmp_path_factory.mktemp("temporary")
    with running_command("--record", str(folder), command="practice", env={"TMPDIR": str(left)}) as running:
        running.wait_until_it_answers()
        with visit(running.address, accept_downloads=True) as opened:
            opened.page.set_default_timeout(LIMIT_MS)
            opened.page.wait_for_selector(".stage-tile")
            yield opened
            assert list(left.glob("station-explorer-*"))
    assert not list(left.rglob("station-explorer-*"))


@pytest.fixture
def learner(practice: Any) -> Learner:
    return Learner(practice.page)


class DiskReader:
    """Reads the disk by the rules on the page, counting half marks."""

    def __init__(self, learner: Learner) -> None:
        self.learner = learner
        self.halves = 0

    def move(self, way: str, step: str) -> None:
        names = {
            "long": ("one metre", 20),
            "mark": ("one mark (10 cm)", 2),
            "half": ("half a mark (5 cm)", 1),
        }
        name, halves = names[step]
        self.learner.press(f"{way} {name}")
        self.halves = max(0, self.halves + (halves if way == "Lower" else -halves))

    def disk(self) -> str:
        return self.learner.sees("Disk")

    def prepare(self) -> None:
        learner = self.learner
        if learner.can("Take the sunglasses off"):
            learner.press("Take the sunglasses off")
        learner.press(f"Go to the {learner.sees('Side of the boat')}")
        while "cloudy" in learner.sees("Water"):
            learner.press("Wait a minute")

    def read(self) -> None:
        learner, self.halves = self.learner, 0
        self.move("Lower", "mark")
        if "slants" in learner.sees("Line"):
            learner.press("Pull the line straight")
        while self.disk() in SEEN[:2]:
            self.move("Lower", "long")
            if self.disk() == "hidden among plants":
                learner.press("Row clear of the plants")
                self.halves = 0
                self.move("Lower", "mark")
                if "slants" in learner.sees("Line"):
                    learner.press("Pull the line straight")
        if self.disk() == SEEN[2]:
            return self.note_bottom()
        while self.disk() not in SEEN:
            self.move("Raise", "mark")
        while self.disk() in SEEN:
            self.move("Lower", "half")
        gone = self.halves
        learner.press("Note: just gone")
        while self.disk() not in SEEN:
            self.move("Raise", "half")
        back = self.halves
        learner.press("Note: just back")
        return self.write((gone + back) / 2)

    def note_bottom(self) -> None:
        while self.disk() == SEEN[2]:
            self.move("Raise", "half")
        self.move("Lower", "half")
        self.learner.press("Note: still in sight on the bottom")
        self.write(self.halves)

    def write(self, halves: float) -> None:
        self.learner.write("Depth in metres, as 4.35", f"{halves * 0.05:.3f}")


def filter_by_keyboard(learner: Learner) -> None:
    learner.press("Take the measuring cylinder")
    learner.press("Bring your eye down to the level")
    portion = {"pale": 250, "green": 100, "very green": 50}[learner.sees("Jug")]
    total = 0
    while learner.sees("Filter") in ("white", "hardly any colour"):
        learner.press("Swirl the jug")
        for label, most in (
            ("Pour a good splash", 50.0),
            ("Pour a little", 10.0),
            ("Add 1 mL in drops", 1.0),
        ):
            while level(learner) <= portion - most:
                learner.press(label)
        learner.press("Empty the vessel into the funnel")
        total += portion
        while learner.sees("Funnel"):
            learner.press("Pump gently")
    learner.press("Stop: there is enough on the filter")
    learner.write("Total volume in millilitres", str(total))


def level(learner: Learner) -> float:
    found = re.search(r"curve at ([\d.]+) mL", learner.sees("Level"))
    assert found
    return float(found[1])


def test_disk_can_be_taken_from_start_to_score_by_keyboard(learner: Learner) -> None:
    learner.open("Reading the disk")
    reader = DiskReader(learner)
    reader.prepare()
    for number in range(READINGS):
        assert f"Reading {number + 1} of {READINGS}" in learner.page.locator(".stage-task").text_content()
        reader.read()
    points, of = learner.score()
    assert learner.listed("What to practise again")[0].startswith("Nothing this time")
    assert points == of > 0
    assert learner.heading() == "Reading the disk: how it went"
    assert len(learner.listed("What went well")) == 6
    assert any("they agree" in line for line in learner.listed("What came out"))
    label = learner.page.locator(".stage-picture svg").get_attribute("aria-label")
    assert label.count("Reading ") == READINGS


def test_filter_can_be_taken_from_start_to_score_by_keyboard(learner: Learner) -> None:
    learner.open("Filtering")
    filter_by_keyboard(learner)
    points, of = learner.score()
    assert learner.listed("What to practise again")[0].startswith("Nothing this time")
    assert points == of > 0
    result = next(line for line in learner.listed("What came out") if "laboratory reports" in line)
    found = re.search(r"a factor of (\d+(?:\.\d+)?)", result)
    assert found
    assert float(found[1]) == pytest.approx(1.0, abs=0.03)


RIGHT_ANSWERS = {
    "worn", "two_adults", "stay", "wait", "ashore", "dry_clothes", "keep_out", "health_office", "stop",
    "stay_off", "adult_low", "put_away", "trained_only", "leave_closed",
    "wash", "supplied", "below_surface", "lake_water", "forceps", "one", "other_pair", "stain_inside",
    "coated", "desiccant", "pencil_now",
}  # fmt: skip
RIGHT_DAY = (
    "Three bags of ice (3 kg)", "In the cooler", "In the cooler", "In the cooler", "Into the freezer at once",
    "With the delivery in ", "Packed between frozen packs",
)  # fmt: skip


def answer_all(learner: Learner) -> None:
    page = learner.page
    while page.locator('[data-scene="choice"]').count():
        codes = page.eval_on_selector_all(".stage-row button", "all => all.map((e) => e.dataset.code)")
        right = next(code for code in codes if code.removeprefix("do:choose:") in RIGHT_ANSWERS)
        turn = learner.turn()
        page.keyboard.press(page.locator(f'[data-code="{right}"]').get_attribute("aria-keyshortcuts"))
        learner.after(turn)


def test_slip_is_told_at_once_with_its_consequence_in_numbers(learner: Learner) -> None:
    learner.open("Filtering")
    learner.press("Take the measuring cylinder")
    learner.press("Bring your eye down to the level")
    learner.press("Swirl the jug")
    for label, most in (("Pour a good splash", 50.0), ("Pour a little", 10.0), ("Add 1 mL in drops", 1.0)):
        while level(learner) <= 50 - most:
            learner.press(label)
    learner.press("Empty the vessel into the funnel")
    learner.press("Pump hard")
    assert "bursts cells" in learner.told()
    while learner.sees("Funnel"):
        learner.press("Pump gently")
    learner.press("Stop: there is enough on the filter")
    learner.write("Total volume in millilitres", "0.05")
    points, of = learner.score()
    assert points < of
    assert any("1000 times too high" in line for line in learner.listed("What to practise again"))


def test_focus_stays_on_the_button_that_was_pressed_and_goes_to_the_top_of_a_new_page(
    learner: Learner,
) -> None:
    learner.open("Reading the disk")
    learner.press("Go to the shaded side")
    button = learner.button("Lower one mark (10 cm)")
    learner.tab_to(button)
    for _ in range(2):
        turn = learner.turn()
        learner.page.keyboard.press("Enter")
        learner.after(turn)
    assert learner.page.evaluate("document.activeElement.textContent").endswith("Lower one mark (10 cm)")
    learner.press("All exercises")
    assert learner.page.evaluate("document.activeElement.tagName") == "H1"


def test_new_screen_is_shown_from_its_top_however_far_the_last_one_was_scrolled(learner: Learner) -> None:
    top = "document.querySelector('.stage h1').getBoundingClientRect().top"
    if learner.can("All exercises"):
        learner.press("All exercises")
    learner.button("Larger letters").click()
    learner.button("Usual letters").wait_for()
    tile = learner.tile("All together")
    tile.scroll_into_view_if_needed()
    learner.page.mouse.move(400, 400)
    learner.page.mouse.wheel(0, 2000)
    learner.page.wait_for_function(f"{top} < 0")
    tile.click()
    learner.page.wait_for_function(
        "document.querySelector('.stage h1').textContent.startsWith('All together')"
    )
    assert learner.page.evaluate(top) >= 0
    learner.button("Usual letters").click()
    learner.button("Larger letters").wait_for()


def test_keys_can_be_turned_off_and_leave_fields_alone(learner: Learner) -> None:
    learner.open("Labels and sheet")
    learner.tab_to(learner.button("Keys: on"))
    learner.page.keyboard.press("Enter")
    turn = learner.turn()
    learner.page.keyboard.press("1")
    learner.tab_to(learner.button("Keys: off"))
    learner.page.keyboard.press("Enter")
    learner.page.wait_for_function("() => !document.querySelector('.stage-keyless')")
    assert learner.turn() == turn
    learner.press("All exercises")
    learner.open("All together")
    learner.write("Nickname, no full name", "B12")
    assert "B12 is with you." in learner.told()


def test_group_is_hidden_until_all_is_shown_and_erased_at_the_end(learner: Learner) -> None:
    learner.press("All exercises")
    learner.open("All together")
    page = learner.page
    for name, depth in (("Ada", "4.31"), ("Ben", "4.42"), ("Cyd", "5.33")):
        turn = learner.turn()
        page.get_by_label("Nickname, no full name").fill(name)
        page.keyboard.press("Enter")
        learner.after(turn)
        turn, field = learner.turn(), page.locator(f'.stage-field[data-code="do:write:{name}"]')
        field.fill(depth)
        assert field.evaluate("e => getComputedStyle(e).webkitTextSecurity") == "disc"
        page.keyboard.press("Enter")
        learner.after(turn)
        assert depth not in page.locator(".stage").inner_html()
        assert field.input_value() == ""
    learner.press("Show all readings")
    assert "27 % apart" not in learner.told()
    assert re.search(r"3 readings lie 2\d % apart", learner.told())
    assert "Cyd wrote 5.33 m" in learner.told()
    assert page.locator(".stage-picture svg circle").count() == 2  # and one diamond
    learner.press("A page to keep")
    learner.press("Page of Cyd")
    with page.expect_download() as saved:
        page.locator(".keep-csv").click()
    text = Path(saved.value.path()).read_text(encoding="utf-8-sig")
    assert "Cyd" in text
    assert "5.33 m" in text
    assert "Ada" not in text
    learner.press("Erase everything")
    learner.press("Yes, erase everything")
    assert "Everything is erased." in learner.told()
    learner.press("A page to keep")
    assert not learner.can("Page of Cyd")
    assert "Cyd" not in page.locator(".stage").inner_html()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_screen_is_free_of_barriers_that_axe_finds(learner: Learner, theme: str) -> None:
    page = learner.page
    page.emulate_media(color_scheme=theme)
    found = {}

    def look(name: str) -> None:
        result = Axe().run(page, options={"resultTypes": ["violations"]}).response
        found.update({f"{name}: {each['id']}": str(each["nodes"])[:600] for each in result["violations"]})

    learner.press("All exercises")
    look("start")
    page.keyboard.press("2")
    page.wait_for_selector('[data-kind="before"]')
    look("before")
    for title in (
        "Reading the disk",
        "Filtering",
        "Labels and sheet",
        "Keeping it cold",
        "Safety first",
        "All together",
    ):
        if not learner.can("All exercises"):
            learner.press("All exercises")
        learner.open(title)
        look(title)
    for name in ("Ada", "Ben"):
        for code, text in (("do:join", name), (f"do:write:{name}", "4.2")):
            turn = learner.turn()
            page.locator(f'.stage-field[data-code="{code}"]').fill(text)
            page.keyboard.press("Enter")
            learner.after(turn)
    learner.press("Show all readings")
    look("all shown")
    learner.press("A page to keep")
    look("keep")
    learner.press("Erase everything")
    look("erase")
    learner.press("Yes, erase everything")
    learner.open("Labels and sheet")
    learner.press("Hand the papers in")
    look("score")
    assert found == {}


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1024, 768)])
def test_letters_can_be_read_from_the_back_and_nothing_is_cut(
    learner: Learner, width: int, height: int
) -> None:
    page = learner.page
    page.set_viewport_size({"width": width, "height": height})
    for title in ("Reading the disk", "Filtering", "Labels and sheet", "Safety first", "All together"):
        learner.open(title)
        sizes = page.evaluate(
            "() => [...document.querySelectorAll('.stage *')].filter((e) => e.childElementCount === 0 &&"
            "e.textContent.trim() && e.getClientRects().length && !e.closest('svg'))"
            ".map((e) => [parseFloat(getComputedStyle(e).fontSize), e.textContent])"
        )
        assert [each for each in sizes if each[0] < SMALLEST_PX * min(1.0, height / 900)] == []
        task = page.locator(".stage-task").evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
        assert task >= TASK_PX * min(1.0, height / 900)
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width
        cut = page.evaluate(
            "() => [...document.querySelectorAll('.stage *')].filter((e) => e.getClientRects().length &&"
            "!e.closest('svg') && (e.getBoundingClientRect().right > innerWidth + 0.5"
            "|| e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline'"
            "&& e.tagName !== 'INPUT')).map((e) => e.outerHTML.slice(0, 120))"
        )
        assert cut == []
    page.set_viewport_size({"width": 1440, "height": 900})


def test_whole_visit_by_keyboard_goes_through_the_check_and_appears_on_the_map(learner: Learner) -> None:
    learner.open("A whole visit")
    page = learner.page
    answer_all(learner)
    reader = DiskReader(learner)
    reader.prepare()
    reader.read()
    answer_all(learner)
    filter_by_keyboard(learner)
    for choice in RIGHT_DAY:
        turn = learner.turn()
        page.keyboard.press(
            page.locator(".stage-row button", has_text=choice).first.get_attribute("aria-keyshortcuts")
        )
        learner.after(turn)
    for label in ("Code of the bottle", "Code of the filter"):
        printed = page.locator(".stage-paper").first.locator(".stage-line", has_text=label).locator("dd")
        learner.write(label, printed.text_content())
    learner.write("Observer, a nickname", "Ada")
    depth = float(learner.sees("Secchi (m)").strip("> m"))
    learner.press("Hand the sheet in")
    points, of = learner.score()
    assert points == of > 100
    assert (
        "nothing waits for an answer" in learner.listed("What the office's check says about your sheet")[-1]
    )
    page.keyboard.press(learner.button("Show the visit on the map").get_attribute("aria-keyshortcuts"))
    page.wait_for_selector("path.stn", state="visible")
    page.wait_for_function(
        "() => document.querySelector('.heading-part h1')?.textContent.startsWith('Practice Mere')"
    )
    shown = page.locator(".panel-value").first.text_content()
    found = re.search(r"([\d.]+)", shown)
    assert found, shown
    assert float(found[1]) == pytest.approx(depth, abs=0.051), shown
    assert Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"] == []
    page.get_by_role("button", name="Back to the practice").click()
    page.wait_for_function(
        "() => document.querySelector('.stage h1')?.textContent.startsWith('A whole visit')"
    )


def test_no_request_has_left_and_nothing_has_complained(practice: Any) -> None:
    assert len(practice.requests) > 10
    assert practice.outside() == []
    assert practice.our_complaints() == []
