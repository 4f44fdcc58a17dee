"""Serves one notebook as a page of this computer alone, and ends whatever was started for it."""

import contextlib
import http.client
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psutil

from explorer.default_record import ONLY_READS_VARIABLE, RECORD_VARIABLE, WRITER_VARIABLE
from explorer.model.errors import ExplorerError
from explorer.page_token import logging_settings, new_token
from explorer.ports import HOST, choose_port

__all__ = ["Page", "ServeError", "served_page"]

START_LIMIT_S = 120.0
STOP_GRACE_S = 5.0
RUN_VARIABLE = "STATION_EXPLORER_RUN"  # marks every process that belongs to one run
MARK_HEADER = "Station-Explorer-Run"  # by its answers a server is known to be ours

_DATA_FOLDER = Path(__file__).parent / "_jupyter"


class ServeError(ExplorerError):
    """A server that does not start, or that ends by itself."""


@dataclass(frozen=True, slots=True)
class Page:
    """A notebook that is being served.

    Attributes
    ----------
    port : int
        Where the server listens.
    log : Path
        What the server writes while it runs.
    server : Popen
        The server; notebook kernels are its children.
    token : str
        What every address of the server begins with; empty for a page that only reads.
    """

    port: int
    log: Path
    server: subprocess.Popen[bytes]
    token: str = ""

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"http://{HOST}:{self.port}{_base_of(self.token)}"

    def wait(self) -> None:
        """Wait until the server ends by itself, which it should not.

        Raises
        ------
        ServeError
            When it has ended.
        """
        while (
            status := self.server.poll()
        ) is None:  # a wait without end cannot be stopped by Ctrl-C everywhere
            time.sleep(0.2)
        raise ServeError(f"The page's server ended by itself (status {status}). {self.log} says why.")


@contextlib.contextmanager
def served_page(
    notebook: Path, record: Path, port: int, log: Path, *, writable: bool = False, writer: str = ""
) -> Iterator[Page]:
    """Serve a notebook to this computer until the block ends; then no process of it is left.

    Parameters
    ----------
    notebook : Path
        The notebook whose output is the page.
    record : Path
        The record that its `default_record()` opens.
    port : int
        A free port.
    log : Path
        A file for what the server writes; made anew.
    writable : bool
        Whether the page may write. Its address then holds a token, without which the server answers nothing.
    writer : str
        Who writes, as typed: what the notebook's `default_writer()` gives.

    Yields
    ------
    Page
        As soon as the server answers. Its notebook starts when the page is opened.

    Raises
    ------
    ServeError
        If the server does not start.
    PortError
        If another program has taken the port meanwhile.
    """
    token, mark = new_token() if writable else "", new_token()
    with tempfile.TemporaryDirectory(prefix="station-explorer-", ignore_cleanup_errors=True) as name:
        run_folder = Path(name)  # nobody else may look into it
        settings = _settings(notebook, port, log, run_folder, token, mark)
        (run_folder / "voila.json").write_text(json.dumps(settings))
        try:
            with log.open("wb") as output:
                server = subprocess.Popen(
                    [sys.executable, "-m", "voila", str(notebook)],
                    cwd=run_folder,  # where voila.json is looked for first
                    env=_environment(record, run_folder, writer if writable else "", writable=writable),
                    stdin=subprocess.DEVNULL,
                    stdout=output,
                    stderr=subprocess.STDOUT,
                    **_own_group(),
                )
            page = Page(port, log, server, token)
            _wait_for_answer(page, mark)
            yield page
        finally:
            _end_run(run_folder)


def _base_of(token: str) -> str:
    return f"/{token}/" if token else "/"


def _settings(
    notebook: Path, port: int, log: Path, run_folder: Path, token: str, mark: str
) -> dict[str, Any]:
    """Return the server's settings: one notebook, this computer only, nothing fetched from outside."""
    policy = (
        "default-src 'self' data: blob: 'unsafe-inline' 'unsafe-eval'; "
        "img-src 'self' data: blob: http: https:; "  # tiles of a background map that the reader names
        f"connect-src 'self' ws://{HOST}:{port}; object-src 'none'; base-uri 'none'; frame-ancestors 'none'"
    )
    headers = {"Content-Security-Policy": policy, "Referrer-Policy": "no-referrer", MARK_HEADER: mark}
    return {
        "Voila": {
            "ip": HOST,
            "port": port,
            "base_url": _base_of(token),
            "port_retries": 0,
            "open_browser": False,
            "root_dir": str(notebook.parent),
            "connection_dir_root": str(run_folder),
            "tornado_settings": {
                "allow_remote_access": False,  # refuses requests that name another host
                "disable_check_xsrf": True,  # or a closed page cannot end its kernel, which only it can name
                "headers": headers,
            },
            **({"logging_config": logging_settings(token, "Voila")} if token else {}),
        },
        "IdentityProvider": {"logout_handler_class": "tornado.web.RequestHandler"},  # answers nothing
        "VoilaConfiguration": {
            "template": "station_explorer",
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "file_allowlist": [],
            "extension_denylist": ["@pyviz/jupyterlab_pyviz"],  # comes with Panel and fails on a bare page
            "show_tracebacks": True,  # the template shows the kind message and keeps the rest to itself
            "resources": {"log_file": str(log)},
        },
    }


def _environment(record: Path, run_folder: Path, writer: str, *, writable: bool) -> dict[str, str]:
    """Return the server's environment, without the user's own notebook settings and startup files."""
    return {
        **os.environ,
        RECORD_VARIABLE: str(record.absolute()),
        WRITER_VARIABLE: writer,
        ONLY_READS_VARIABLE: "" if writable else "yes",
        RUN_VARIABLE: str(run_folder),
        "JUPYTER_PATH": str(_DATA_FOLDER),
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_CONFIG_DIR": str(run_folder / "config"),
        "JUPYTER_RUNTIME_DIR": str(run_folder / "runtime"),
        "IPYTHONDIR": str(run_folder / "ipython"),
        **dict.fromkeys(("TMPDIR", "TEMP", "TMP"), str(run_folder)),  # what a page leaves goes with the run
    }


def _own_group() -> dict[str, Any]:
    """Return what keeps a Ctrl-C in the terminal from reaching the server before it reaches us."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
    return {"start_new_session": True}


def _wait_for_answer(page: Page, mark: str) -> None:
    """Wait for an answer of this very server: another explorer may have taken the port in between."""
    ends = time.monotonic() + START_LIMIT_S
    while time.monotonic() < ends:
        if (status := page.server.poll()) is not None:
            choose_port(page.port)
            raise ServeError(f"The page's server did not start (status {status}). {page.log} says why.")
        connection = http.client.HTTPConnection(HOST, page.port, timeout=5)  # never by way of a proxy
        try:
            connection.request("GET", f"{_base_of(page.token)}voila/labextensions/none")  # no notebook starts
            if connection.getresponse().getheader(MARK_HEADER) == mark:
                return
        except (OSError, http.client.HTTPException):
            pass
        finally:
            connection.close()
        time.sleep(0.05)
    raise ServeError(f"The page's server did not answer in {START_LIMIT_S:g} s. {page.log} says why.")


def _end_run(run_folder: Path) -> None:
    """Ask the processes of a run to end, and end those that do not."""
    for ask in (psutil.Process.terminate, psutil.Process.kill):
        for process in _processes_of(run_folder):
            with contextlib.suppress(psutil.Error):  # it has just ended
                ask(process)
        ends = time.monotonic() + STOP_GRACE_S
        while _processes_of(run_folder) and time.monotonic() < ends:
            time.sleep(0.05)


def _processes_of(run_folder: Path) -> list[psutil.Process]:
    """Return the processes that carry the run's mark: a kernel keeps it even when the server has gone."""
    found = []
    for process in psutil.process_iter():
        try:
            if process.environ().get(RUN_VARIABLE) == str(run_folder):
                found.append(process)
        except (psutil.Error, OSError):  # another account's, or just ended
            continue
    return found
