"""What several tests share: the command run as a user runs it, a browser, and ears for swallowed failures."""

import io
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

import psutil
import pytest
from hypothesis import is_hypothesis_test, settings

from explorer import command
from explorer.ports import choose_port

CHROMIUM_VARIABLE = "STATION_EXPLORER_CHROMIUM"
CHROMIUM_NAMES = ("chromium", "chromium-browser", "chrome")
CHROMIUM_SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
COMMAND = Path(sys.executable).with_name("station-explorer")
START_LIMIT_S = 90
STOP_LIMIT_S = 20


# Fewer examples of a property each time, all in the long run; a busy machine fails none.
settings.register_profile("everyday", max_examples=40, deadline=None)
settings.register_profile("long", max_examples=100, deadline=None)


def _is_long(config: pytest.Config) -> bool:
    return bool(config.getoption("markexpr") == "long")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("long" if _is_long(config) else "everyday")
    os.environ.pop("STATION_EXPLORER_RECORD", None)  # the tests mean the demo when they name no record


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Let every property belong to the long run as well, where it has more examples."""
    for item in items if _is_long(config) else ():
        if is_hypothesis_test(getattr(item, "obj", None)) and not item.get_closest_marker("benchmark"):
            item.add_marker("long")


@pytest.fixture(autouse=True)
def swallowed_failures(caplog: pytest.LogCaptureFixture) -> Iterator[Callable[[], list[str]]]:
    """Fail a test in which a widget's callback failed: the dispatcher only logs it."""

    def found() -> list[str]:
        messages = [record.getMessage() for record in caplog.get_records("call")]
        return [message for message in messages if "Exception in" in message]

    yield found
    assert not found(), "a callback failed"


def _ended_command(*arguments: object, **env: str) -> subprocess.CompletedProcess[str]:
    given = [str(each) for each in arguments]
    out, errors = io.StringIO(), io.StringIO()
    signals = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    with redirect_stdout(out), redirect_stderr(errors), patch.dict(os.environ, env):
        try:
            status = command.main(given)
        except SystemExit as ended:
            status = int(ended.code or 0)
    for number, handler in signals.items():
        signal.signal(number, handler)
    return subprocess.CompletedProcess(given, status, out.getvalue(), errors.getvalue())


@pytest.fixture(scope="session")
def ended_command() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run `station-explorer` to its end in this process: for all but what a process alone can show."""
    return _ended_command


@dataclass
class RunningCommand:
    """A command that opens a page, while it runs."""

    process: subprocess.Popen[str]
    address: str = ""
    lines: list[str] = field(default_factory=list)

    def wait_until_it_answers(self) -> None:
        for line in self.process.stdout or ():
            self.lines.append(line.rstrip("\n"))
            if "http://" in line:
                self.address = next(word for word in line.split() if word.startswith("http://"))
            if "Ctrl-C" in line:
                return
        raise AssertionError(f"it ended while starting: {self.lines} {self.process.communicate()}")

    def family(self) -> list[psutil.Process]:
        return living(psutil.Process(self.process.pid).children(recursive=True))

    def stop(self, number: int = signal.SIGINT) -> tuple[int, str, list[psutil.Process]]:
        """Stop it; return its exit status, what stood on stderr, and the processes that are left."""
        family = self.family() if self.process.poll() is None else []
        self.process.send_signal(number)
        return self.end(family)

    def end(self, family: list[psutil.Process]) -> tuple[int, str, list[psutil.Process]]:
        """Wait until it has ended; return the same."""
        errors = self.process.communicate(timeout=STOP_LIMIT_S)[1]
        return self.process.returncode, errors, living(family)


def living(processes: list[psutil.Process]) -> list[psutil.Process]:
    """Return those that still run: a process that nobody has asked for its exit status does not."""
    return [each for each in processes if each.is_running() and each.status() != psutil.STATUS_ZOMBIE]


@contextmanager
def _running_command(
    *arguments: str, command: str = "explore", env: dict[str, str] | None = None
) -> Iterator[RunningCommand]:
    port = () if "--port" in arguments else ("--port", str(choose_port(0)))  # no other run comes between
    process = subprocess.Popen(
        [str(COMMAND), command, "--no-browser", *port, *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        stdin=subprocess.DEVNULL,
        text=True,
        env={**os.environ, **(env or {})},
    )
    running = RunningCommand(process)
    try:
        yield running
    finally:
        if process.poll() is None:
            status, errors, left = running.stop()
            assert (status, errors, left) == (0, "", [])


@pytest.fixture(scope="session")
def running_command() -> Callable[..., AbstractContextManager[RunningCommand]]:
    """Start `station-explorer explore`, or another command, without a browser; the block's end stops it."""
    return _running_command


@pytest.fixture(scope="session")
def served(
    running_command: Callable[..., AbstractContextManager[RunningCommand]],
) -> Iterator[RunningCommand]:
    """The demo, served as a user serves it."""
    with running_command() as running:
        running.wait_until_it_answers()
        yield running


def find_chromium() -> str | None:
    named = os.environ.get(CHROMIUM_VARIABLE)
    found = (shutil.which(name) for name in ([named] if named else CHROMIUM_NAMES))
    return next((path for path in found if path), None)


@pytest.fixture(scope="module")  # the driver holds an event loop that other modules must not find running
def browser() -> Iterator[Any]:
    """A headless Chromium of this computer."""
    path = find_chromium()
    if path is None:
        reason = f"no browser: install Chromium, or name one in {CHROMIUM_VARIABLE}"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_SWITCHES))
        yield started
        started.close()


@dataclass
class Visit:
    """One browser page with a record of what it asked for and what it complained of."""

    page: Any
    requests: list[str] = field(default_factory=list)
    sockets: list[Any] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def outside(self) -> list[str]:
        """Return the requests that would have left this computer."""
        inside = ("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")
        urls = [*self.requests, *(socket.url for socket in self.sockets)]
        return [url for url in urls if not url.startswith(inside)]

    def our_complaints(self) -> list[str]:
        return [text for text in self.complaints if not any(part in text for part in HARMLESS)]


# What the libraries themselves print while all is well: versions of modules that they share, and marks that
# have no points yet.
HARMLESS = (
    "Unsatisfied version",
    "No satisfying version",
    "Error: <g> attribute transform: ",
    "Error: <path> attribute d: Expected moveto path command ('M' or 'm'), \"null\"",
)


@pytest.fixture(scope="module")
def visit(browser: Any) -> Callable[..., AbstractContextManager[Visit]]:
    """Open an address in a fresh window; no request may leave and nothing of ours may complain."""

    @contextmanager
    def opened(address: str, width: int = 1440, height: int = 900, **options: Any) -> Iterator[Visit]:
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        page = context.new_page()
        kept = Visit(page)
        page.on("request", lambda request: kept.requests.append(request.url))
        page.on("websocket", lambda socket: kept.sockets.append(socket))
        page.on("console", lambda message: _note(kept, message))
        page.on("pageerror", lambda error: kept.complaints.append(str(error)))
        try:
            page.goto(address, wait_until="commit")
            yield kept
            assert kept.outside() == []
            assert kept.our_complaints() == []
        finally:
            context.close()

    return opened


def _note(kept: Visit, message: Any) -> None:
    if message.type in ("error", "warning"):
        kept.complaints.append(message.text)
