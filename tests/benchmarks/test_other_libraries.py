"""The same click in plotly's FigureWidget and in Panel with Bokeh, on the same 4 x 300 readings, beside ours.

They come with the extra `[benchmark]`. `other_pages` says what is compared: in every click all three read the
record, judge it and draw the same parts of the same page.
"""

import importlib.util
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.request import ProxyHandler, build_opener

import nbformat
import numpy as np
import pytest
from other_pages import MAP_PX, PANEL_PAGE, PANEL_PX, PLOTLY_PAGE, SAME_JOB
from test_click_speed import CLICKS, STATIONS, WARM_UP, click_times, opened

from explorer.default_record import RECORD_VARIABLE
from explorer.demo import notebooks_folder
from explorer.ports import choose_port

pytestmark = [pytest.mark.benchmark, pytest.mark.browser]

COUNT = 300
START_LIMIT_S = 60

# Bokeh draws on canvases in shadow trees: notes every stroke of the pen on a panel instead of every change of
# the page. The first drawing after a click is the map's own mark of it, which does not count.
HOOK = """
(() => {
  window.drawn = () => {};
  for (const name of ["clearRect", "beginPath", "drawImage"]) {
    const pen = CanvasRenderingContext2D.prototype;
    const own = pen[name];
    pen[name] = function (...rest) {
      if (this.canvas.width > PANEL_PX / 2) window.drawn();
      return own.apply(this, rest);
    };
  }
})();
"""
LISTEN = """
() => {
  window.clicked = new Promise((done, failed) => {
    setTimeout(() => failed(new Error("nothing drawn in a minute")), 60_000);
    let start = null, quiet = null, waiting = false;
    window.drawn = () => {
      if (start === null || waiting) return;
      waiting = true;
      clearTimeout(quiet);
      requestAnimationFrame(() => {
        const channel = new MessageChannel();  // its message comes after the frame was painted
        channel.port1.onmessage = () => {
          waiting = false;
          const painted = performance.now();
          clearTimeout(quiet);
          quiet = setTimeout(() => { window.drawn = () => {}; done(painted - start); }, 250);
        };
        channel.port2.postMessage(null);
      });
    };
    addEventListener("click", (event) => { start = event.timeStamp; }, { capture: true, once: true });
  });
}
"""


@pytest.fixture(scope="module")
def record(make_record: Callable[[int, int], Path]) -> Path:
    return make_record(STATIONS, COUNT)


@pytest.fixture(scope="module")
def ours_ms(record: Path, visit: Any, tmp_path_factory: pytest.TempPathFactory) -> np.ndarray:
    log = tmp_path_factory.mktemp("ours") / "log"
    with opened(notebooks_folder() / "explore_stations.ipynb", record, log, visit) as (_, page):
        return np.array(click_times(page, CLICKS))


def needs(library: str) -> pytest.MarkDecorator:
    reason = f"{library} is not installed: pip install -e '.[test,benchmark]'"
    return pytest.mark.skipif(importlib.util.find_spec(library) is None, reason=reason)


def compare(name: str, ours_ms: np.ndarray, theirs_ms: np.ndarray, report: Any, remark: Any) -> None:
    middle, late = np.median(theirs_ms), np.percentile([ours_ms, theirs_ms], 95, axis=1)
    ratio = report(f"click to last frame, 4 x {COUNT}", np.median(ours_ms) / 1e3, name, middle / 1e3)
    remark(f"    95th percentile {late[0]:.0f} ms and {late[1]:.0f} ms; budget: below 1.00 times")
    assert ratio < 3.0


@needs("plotly")
def test_click_beside_plotly_figure_widget(
    record: Path, ours_ms: np.ndarray, visit: Any, tmp_path: Path, report: Any, remark: Any
) -> None:
    notebook = tmp_path / "plotly.ipynb"
    cells = [nbformat.v4.new_code_cell(cell) for cell in (SAME_JOB, PLOTLY_PAGE)]
    nbformat.write(nbformat.v4.new_notebook(cells=cells), notebook)
    with opened(notebook, record, tmp_path / "log", visit) as (_, page):
        page.wait_for_function(f"document.querySelectorAll('.panel-figure .point').length == 4 * {COUNT}")
        theirs_ms = np.array(click_times(page, CLICKS))
    compare("plotly FigureWidget", ours_ms, theirs_ms, report, remark)


@contextmanager
def panel_page(folder: Path, record: Path) -> Iterator[str]:
    """Serve the page of Panel to this computer until the block ends; yield its address."""
    program, port = folder / "stations.py", choose_port(0)
    program.write_text(
        SAME_JOB + PANEL_PAGE.replace("MAP_PX", str(MAP_PX)).replace("PANEL_PX", str(PANEL_PX))
    )
    address = f"http://127.0.0.1:{port}/stations"
    command = [sys.executable, "-m", "panel", "serve", str(program), "--address=127.0.0.1", f"--port={port}"]
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(
            command, env={**os.environ, RECORD_VARIABLE: str(record)}, stdout=log, stderr=log
        )
        try:
            wait_for_answer(address, server)
            yield address
        finally:
            server.terminate()
            server.wait(timeout=20)


def wait_for_answer(address: str, server: subprocess.Popen[bytes]) -> None:
    ends = time.monotonic() + START_LIMIT_S
    without_proxy = build_opener(ProxyHandler({}))
    while server.poll() is None and time.monotonic() < ends:
        try:
            without_proxy.open(address, timeout=START_LIMIT_S).close()
            return
        except URLError:
            time.sleep(0.1)
    raise AssertionError("the server of Panel does not answer")


def panel_click_times(page: Any) -> np.ndarray:
    stations_map = page.locator(".bk-events").last
    times = []
    for number in range(WARM_UP + CLICKS):
        page.evaluate(LISTEN)
        across = (number % STATIONS + 1) / (STATIONS + 1)
        stations_map.click(position={"x": across * MAP_PX, "y": MAP_PX / 2})
        times.append(page.evaluate("() => window.clicked"))
    return np.array(times[WARM_UP:])


@needs("panel")
def test_click_beside_panel_with_bokeh(
    record: Path, ours_ms: np.ndarray, browser: Any, tmp_path: Path, report: Any, remark: Any
) -> None:
    with panel_page(tmp_path, record) as address, browser.new_context() as context:
        context.set_default_timeout(60_000)
        page = context.new_page()
        page.set_viewport_size({"width": 1440, "height": 900})
        page.add_init_script(HOOK.replace("PANEL_PX", str(PANEL_PX)))
        page.goto(address)
        page.locator("canvas").nth(2 * 5 - 1).wait_for(
            state="visible"
        )  # two layers a figure; the map is last
        theirs_ms = panel_click_times(page)
    compare("Panel with Bokeh", ours_ms, theirs_ms, report, remark)
