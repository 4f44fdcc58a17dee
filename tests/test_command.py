"""The command: what it says, what it refuses, and that nothing is left when it stops."""

import contextlib
import http.client
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import nbformat
import pytest

from explorer import command
from explorer.command import terminal
from explorer.default_record import RECORD_VARIABLE, default_place, default_record, introduce
from explorer.demo import demo_folder, notebooks_folder
from explorer.ports import FIRST_PORT, HOST, PortError, at_free_port, choose_port
from explorer.records.opening import open_record
from explorer.serve import served_page

Run = Callable[..., subprocess.CompletedProcess[str]]
Running = Callable[..., AbstractContextManager[Any]]
posix_only = pytest.mark.skipif(os.name != "posix", reason="signals of this kind exist on POSIX systems only")


def run(*arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run the command to its end, as a user would in a terminal."""
    return subprocess.run(
        [str(Path(sys.executable).with_name("station-explorer")), *arguments],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, **env},
    )


@pytest.fixture
def taken_port() -> Any:
    with socket.socket() as taken:
        taken.bind((HOST, 0))
        taken.listen()
        yield taken.getsockname()[1]


def fetch(address: str, **headers: str) -> tuple[int, str]:
    try:
        with urllib.request.urlopen(urllib.request.Request(address, headers=headers), timeout=60) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def notebook_of(folder: Path, *cells: str) -> Path:
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    path = folder / "page.ipynb"
    nbformat.write(notebook, path)
    return path


def test_help_names_the_command_and_exits_0() -> None:
    done = run("--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert "explore" in done.stdout


def test_command_without_arguments_shows_the_help() -> None:
    assert run().stdout == run("--help").stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["explor"], 'There is no command "explor"; "explore" is the nearest.'),
        (["explore", "--prot", "8700"], 'There is no option "--prot"; "--port" is the nearest.'),
        (["explore", "lakes.gpkg"], '"lakes.gpkg" stands alone. If it is your record, write --record before'),
        (["explore", "--port", "80000"], '"80000" is no port; write a number from 1024 to 65535.'),
        (["explore", "--port", "²"], '"²" is no port'),
        (["explore", "--record"], "--record: expected one argument."),
        (["explore", "--record", " "], "--record: it is empty; write the name of a file or folder."),
        (["explore", "--write"], "--write needs --as NAME"),
        (["explore", "--write", "--as", " "], "--write needs --as NAME"),
        (["explore", "--as", "Ada"], "--as NAME is for writing only"),
    ],
)
def test_wrong_argument_is_named_with_its_cure_and_exits_2(
    ended_command: Run, arguments: list[str], said: str
) -> None:
    done = ended_command(*arguments)
    assert done.returncode == terminal.REFUSED
    assert said in done.stderr
    assert done.stderr.count("\n") == 1


def test_explore_with_a_file_that_is_no_record_exits_2_with_one_message(
    ended_command: Run, tmp_path: Path
) -> None:
    wrong = tmp_path / "letter.txt"
    wrong.write_text("Dear county")
    done = ended_command("explore", "--no-browser", "--record", str(wrong))
    assert done.returncode == terminal.REFUSED
    assert done.stdout == f"Record: {wrong}\n"
    assert "is no record" in done.stderr
    assert done.stderr.count("\n") == 1


def test_explore_with_a_wrong_class_rule_names_line_and_key(ended_command: Run, tmp_path: Path) -> None:
    (tmp_path / "programme.toml").write_text("[class_schemes.county]\nformat = 1\nclases = []\n")
    (tmp_path / "readings.csv").write_text(
        "station_code,taken_on,quantity,value,unit\nA1,2024-05-10,secchi_depth,2,m\n"
    )
    done = ended_command("explore", "--no-browser", "--record", str(tmp_path))
    assert done.returncode == terminal.REFUSED
    first, *others = done.stderr.splitlines()
    assert first.startswith('programme.toml, line 3, "clases": there is no such key. Did you mean "classes"?')
    missing = re.compile(r'programme\.toml, line 1, "(\w+)": the key "\1" is missing\. Add the line\.')
    assert others
    assert all(missing.fullmatch(each) for each in others)


def test_explore_with_a_misspelt_record_names_the_nearest(ended_command: Run, tmp_path: Path) -> None:
    (tmp_path / "lakes.gpkg").touch()
    done = ended_command("explore", "--no-browser", "--record", str(tmp_path / "lake.gpkg"))
    assert done.returncode == terminal.REFUSED
    assert 'Did you mean "lakes.gpkg"?' in done.stderr


def test_explore_in_a_terminal_without_the_letters_says_it_all_the_same(tmp_path: Path) -> None:
    done = run(
        "explore", "--no-browser", "--record", str(tmp_path / "Überblick.gpkg"), PYTHONIOENCODING="ascii"
    )
    assert done.returncode == terminal.REFUSED
    assert "berblick.gpkg" in done.stdout
    assert "There is no" in done.stderr


def test_explore_opens_the_record_that_the_environment_names(ended_command: Run, tmp_path: Path) -> None:
    done = ended_command("explore", "--no-browser", **{RECORD_VARIABLE: str(tmp_path / "none.gpkg")})
    assert done.returncode == terminal.REFUSED
    assert done.stdout == f"Record: {tmp_path / 'none.gpkg'}\n"


def test_explore_on_a_taken_port_exits_2_with_the_cure(ended_command: Run, taken_port: int) -> None:
    done = ended_command("explore", "--no-browser", "--port", str(taken_port))
    assert done.returncode == terminal.REFUSED
    assert f"Port {taken_port} is taken" in done.stderr
    assert "leave --port out" in done.stderr


def test_failure_inside_is_one_line_and_a_log_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def broken(*_: object, **__: object) -> int:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(command.explore, "run", broken)
    monkeypatch.setattr(terminal, "log_file", lambda name: tmp_path / name)
    assert command.main(["explore"]) == terminal.FAILED
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "Traceback" not in said
    assert str(tmp_path / "command") in said
    assert "ZeroDivisionError: by zero" in (tmp_path / "command").read_text()


def test_default_port_passes_over_one_that_is_taken() -> None:
    with socket.socket() as taken:
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind((HOST, choose_port()))
        taken.listen()
        assert choose_port() in range(FIRST_PORT, FIRST_PORT + 20)
        assert choose_port() != taken.getsockname()[1]


def test_page_goes_to_the_next_port_where_another_explorer_takes_the_first_meanwhile() -> None:
    with contextlib.ExitStack() as others:

        @contextlib.contextmanager
        def serve(port: int) -> Iterator[int]:
            if port not in taken:
                taken.append(port)
                if len(taken) == 1:
                    others.enter_context(socket.create_server((HOST, port)))
                    raise PortError("taken meanwhile")
            yield port

        taken: list[int] = []
        with at_free_port(serve) as port:
            assert port == taken[1]
            assert port != taken[0]
        taken.clear()
        with pytest.raises(PortError, match="taken meanwhile"), at_free_port(serve, choose_port(0)):
            pass


def test_wanted_port_that_is_taken_raises(taken_port: int) -> None:
    with pytest.raises(PortError, match=f"Port {taken_port} is taken"):
        choose_port(taken_port)


def test_default_record_is_the_demo_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(RECORD_VARIABLE, "  ")
    assert default_place() == demo_folder()
    assert "the demo" in introduce(default_place())
    assert default_record().station_list()


def test_first_lines_say_which_record_and_where_the_page_is(served: Any) -> None:
    assert served.lines[0] == introduce(demo_folder())
    assert "40 stations" in served.lines[1]
    assert f"{served.address} and can be reached from this computer only." in served.lines[-2]


@pytest.mark.parametrize(
    "path", ["voila/tree", "voila/files/explore_stations.ipynb", "api/contents", "other"]
)
def test_page_serves_nothing_but_its_notebook(served: Any, path: str) -> None:
    assert fetch(served.address + path)[0] in (403, 404)


def test_page_refuses_a_request_that_names_another_host(served: Any) -> None:
    before = len(served.family())
    assert fetch(served.address, Host="lakes.example")[0] == 403
    assert len(served.family()) == before, "a kernel was started for it"


def test_page_listens_on_this_computer_only(served: Any) -> None:
    listening = {
        connection.laddr.ip
        for process in served.family()
        for connection in process.net_connections()
        if connection.status == "LISTEN"
    }
    assert listening == {HOST}


@posix_only
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_signal_ends_server_and_kernel_with_status_0(
    running_command: Running, small_record: Path, number: int
) -> None:
    with running_command("--record", str(small_record)) as running:
        running.wait_until_it_answers()
        fetch(running.address)  # starts a kernel
        assert len(running.family()) >= 2
        assert running.stop(number) == (terminal.STOPPED, "", [])
    with pytest.raises(OSError, match="refused"):
        socket.create_connection((HOST, int(running.address.rsplit(":")[-1].strip("/"))), timeout=1)


@posix_only
def test_signal_while_the_server_starts_ends_it_with_status_0(running_command: Running) -> None:
    with running_command("--port", str(choose_port(0))) as running:
        while not running.family():
            time.sleep(0.01)
        assert running.stop() == (terminal.STOPPED, "", [])


@posix_only
def test_server_that_dies_is_reported_with_status_1(running_command: Running, small_record: Path) -> None:
    with running_command("--record", str(small_record)) as running:
        running.wait_until_it_answers()
        fetch(running.address)
        family = running.family()
        next(each for each in family if "voila" in each.cmdline()).kill()
        status, errors, left = running.end(family)
    assert (status, left) == (terminal.FAILED, [])
    assert "The page's server ended by itself" in errors
    assert errors.count("\n") == 1


@posix_only
def test_explore_opens_the_browser_at_the_page(tmp_path: Path) -> None:
    seen = tmp_path / "seen"
    script = tmp_path / "browser"
    script.write_text(f'#!/bin/sh\necho "$1" > {seen}\n')
    script.chmod(0o755)
    port = choose_port(0)
    process = subprocess.Popen(
        [str(Path(sys.executable).with_name("station-explorer")), "explore", "--port", str(port)],
        stdout=subprocess.PIPE,
        env={**os.environ, "BROWSER": f"{script} %s"},
    )
    try:
        ends = time.monotonic() + 60
        while not (seen.exists() and seen.read_text()) and time.monotonic() < ends:
            time.sleep(0.05)
        assert seen.read_text().strip() == f"http://{HOST}:{port}/"
    finally:
        process.terminate()
        process.communicate(timeout=20)
    assert process.returncode == terminal.STOPPED


def test_page_of_a_record_that_has_gone_shows_its_message_alone(tmp_path: Path) -> None:
    notebook = notebooks_folder() / "explore_stations.ipynb"
    with served_page(notebook, tmp_path / "gone.gpkg", choose_port(0), tmp_path / "log") as page:
        _, html = fetch(page.address)
    assert f"There is no {tmp_path / 'gone.gpkg'}" in html
    assert "Traceback" not in html


def test_page_is_never_that_of_another_server_which_took_its_port(tmp_path: Path) -> None:
    notebook, port = notebook_of(tmp_path, "'here'"), choose_port(0)
    with (
        served_page(notebook, tmp_path, port, tmp_path / "log"),
        pytest.raises(PortError, match=f"Port {port} is taken"),
        served_page(notebook, tmp_path, port, tmp_path / "other_log"),
    ):
        pass


def test_page_that_fails_names_the_log_and_shows_no_traceback(tmp_path: Path) -> None:
    with served_page(
        notebook_of(tmp_path, "print('aside')", "1 / 0"), tmp_path, choose_port(0), tmp_path / "log"
    ) as page:
        _, html = fetch(page.address)
        assert "ZeroDivisionError" in page.log.read_text()
    assert f"What happened is written in {page.log}" in html
    assert not any(word in html for word in ("ZeroDivisionError", "Traceback", "aside"))


def test_page_asks_nothing_of_an_outside_host_and_its_run_leaves_no_folder_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with served_page(notebook_of(tmp_path, "'here'"), tmp_path, choose_port(0), tmp_path / "log") as page:
        _, html = fetch(page.address)
        assert list(tmp_path.glob("station-explorer-*"))
    assert "here" in html
    assert "https://" not in html
    assert not list(tmp_path.glob("station-explorer-*"))


@pytest.fixture(scope="module")
def small_record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A GeoPackage with one reading."""
    folder = tmp_path_factory.mktemp("small")
    table = folder / "readings.csv"
    table.write_text("station_code,taken_on,quantity,value,unit\nA1,2024-05-10,secchi_depth,2,m\n")
    return Path(shutil.copy(open_record(table).path, folder / "small.gpkg"))


@pytest.fixture(scope="module")
def writable(running_command: Running, small_record: Path) -> Any:
    """The explorer on that record, as somebody who writes starts it."""
    with running_command("--record", str(small_record), "--write", "--as", "Ada") as running:
        running.wait_until_it_answers()
        yield running


def token_of(running: Any) -> str:
    return str(running.address.rstrip("/").rsplit("/", 1)[1])


def test_page_that_writes_answers_with_its_token(writable: Any) -> None:
    status, html = fetch(writable.address)
    assert status == 200
    assert f'data-base-url="/{token_of(writable)}/voila/"' in html


def test_page_that_writes_says_its_address_and_to_keep_it(writable: Any) -> None:
    assert any(f"The page is at {writable.address}" in line for line in writable.lines)
    assert any("give it to nobody" in line for line in writable.lines)
    assert len(token_of(writable)) == 48


@pytest.mark.parametrize(
    "path",
    ["", "voila/static/voila.js", "voila/templates/lab/static/theme-dark.css", "api/kernels", "login",
     "logout", "voila/api/shutdown/0", "favicon.ico", "?token=0", f"{'0' * 48}/"],
)  # fmt: skip
def test_page_that_writes_answers_nothing_without_its_token(writable: Any, path: str) -> None:
    before = len(writable.family())
    port = int(writable.address.split(":")[2].split("/")[0])
    status, said = fetch(f"http://{HOST}:{port}/{path}")
    assert status in (404, 405)
    assert len(said) < 100
    assert len(writable.family()) == before, "a kernel was started for it"


def test_kernel_of_a_page_that_writes_is_not_reached_without_the_token(writable: Any) -> None:
    kernel = re.search(r'"kernelId": "([0-9a-f-]+)"', fetch(writable.address)[1])
    assert kernel is not None
    port = int(writable.address.split(":")[2].split("/")[0])
    path = f"api/kernels/{kernel[1]}/channels"
    upgrade = {
        "Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "MDEyMzQ1Njc4OWFiY2RlZg==",
    }  # fmt: skip
    assert answer_of(port, f"/{path}", upgrade) == 404
    assert answer_of(port, f"/{token_of(writable)}/{path}", upgrade) == 101


def answer_of(port: int, path: str, headers: dict[str, str]) -> int:
    connection = http.client.HTTPConnection(HOST, port, timeout=20)
    try:
        connection.request("GET", path, headers=headers)
        return connection.getresponse().status
    finally:
        connection.close()


def test_token_is_on_no_command_line_and_in_no_log(writable: Any) -> None:
    token = token_of(writable)
    assert fetch(writable.address + "voila/files/nothing")[0] == 403
    port = int(writable.address.split(":")[2].split("/")[0])
    log = terminal.log_file(f"page-{port}").read_text()
    assert "/(token)/voila/files/nothing" in log
    assert token not in log
    assert not any(token in word for process in writable.family() for word in process.cmdline())


def test_page_that_only_reads_has_no_token(served: Any) -> None:
    assert served.address.count("/") == 3


def test_writer_of_the_environment_counts_only_with_write(small_record: Path, tmp_path: Path) -> None:
    notebook = notebook_of(
        tmp_path, "from explorer.default_record import default_writer\nf'writer:{default_writer()}.'"
    )
    for writable, said in ((False, "writer:."), (True, "writer:Ada.")):
        with served_page(
            notebook, small_record, choose_port(0), tmp_path / "log", writable=writable, writer="Ada"
        ) as page:
            assert said in fetch(page.address)[1]


@pytest.mark.parametrize("place", ["demo", "table"])
def test_record_of_texts_cannot_be_written_and_says_so(
    ended_command: Run, place: str, small_record: Path
) -> None:
    table = small_record.with_name("readings.csv")
    named = ["--record", str(table)] if place == "table" else []
    done = ended_command("explore", "--no-browser", "--write", "--as", "Ada", *named)
    assert done.returncode == terminal.REFUSED
    assert "is read afresh at each opening, so a change would be lost" in done.stderr
    assert done.stderr.count("\n") == 1


def test_practice_with_a_wrong_rule_names_line_key_and_cure(ended_command: Run, tmp_path: Path) -> None:
    (tmp_path / "programme.toml").write_text('[practice]\nreadings = 5\nboat_side = "lee"\n')
    (tmp_path / "readings.csv").write_text(
        "station_code,taken_on,quantity,value,unit\nA1,2024-05-10,secchi_depth,2,m\n"
    )
    done = ended_command("practice", "--no-browser", "--record", str(tmp_path))
    assert done.returncode == terminal.REFUSED
    assert (
        'programme.toml, line 3, "boat_side": found \'lee\'. Write one of "shaded", "sunny".' in done.stderr
    )
    assert done.stderr.count("\n") == 1
