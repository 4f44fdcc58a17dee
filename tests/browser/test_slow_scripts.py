"""The page on a computer that is slow to load its scripts: nothing that they are sent meanwhile is lost."""

from typing import Any

import pytest

pytestmark = pytest.mark.browser

LIMIT_MS = 40_000

# The library waits two seconds for a widget's script, then takes in no message any more. Here it waits one
# thousandth of that, which no script keeps to.
IMPATIENT = """
const timeout = AbortSignal.timeout.bind(AbortSignal);
AbortSignal.timeout = (ms) => timeout(ms === 2000 ? 2 : ms);
addEventListener("unhandledrejection", (event) => {
  if (String(event.reason).includes("Failed to initialize model")) window.gaveUp = (window.gaveUp ?? 0) + 1;
});
"""


def test_practice_goes_on_although_its_script_was_not_loaded_in_time(
    running_command: Any, browser: Any
) -> None:
    with running_command(command="practice") as running:
        running.wait_until_it_answers()
        with browser.new_context(viewport={"width": 1024, "height": 768}) as context:
            context.add_init_script(IMPATIENT)
            page = context.new_page()
            page.set_default_timeout(LIMIT_MS)
            page.goto(running.address, wait_until="commit")
            page.wait_for_selector(".stage-tile")
            page.wait_for_function("() => window.gaveUp > 0")
            before = page.locator("h1").first.inner_text()
            page.locator(".stage-tile").first.click()
            page.wait_for_function(
                "(before) => document.querySelector('h1').innerText !== before", arg=before
            )


def test_page_draws_all_although_no_script_was_loaded_in_time(served: Any, browser: Any) -> None:
    with browser.new_context(viewport={"width": 1440, "height": 900}) as context:
        context.add_init_script(IMPATIENT)
        page = context.new_page()
        page.set_default_timeout(LIMIT_MS)
        page.goto(f"{served.address}#station=FER1", wait_until="commit")
        page.wait_for_function("() => document.querySelectorAll('.season-cell').length === 20")
        assert page.evaluate("() => window.gaveUp") > 10, "the library has given up on our scripts"
        for panel in range(4):
            page.wait_for_selector(f".panel-{panel} .panel-dots .sign-measured", state="attached")
        page.locator(".fold-button", has_text="How do we know?").click()
        page.wait_for_selector(".fold-region h3", state="visible")
        page.locator(".season-cell").last.click()
        page.wait_for_selector(".season-picked")
        with page.expect_download() as download:
            page.locator(".keep-button", has_text="Numbers").click()
        assert download.value.suggested_filename == "ferrow_tarn_north_basin_2025.csv"
