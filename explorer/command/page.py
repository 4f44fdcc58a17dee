"""Opens a notebook of the explorer as a page of this computer."""

import os
import sys
import webbrowser
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.terminal import STOPPED, count_of, log_file, stop_at_signals, tell

if TYPE_CHECKING:
    from explorer.serve import Page

__all__ = ["open_page"]


def open_page(
    notebook: str,
    record: Path | None,
    port: int | None,
    *,
    browser: bool,
    writable: bool = False,
    writer: str = "",
    fragment: str = "",
) -> int:
    """Serve a notebook on a record until somebody stops it, and return the exit status.

    Parameters
    ----------
    notebook : str
        File name of one of the explorer's notebooks.
    record : Path or None
        The record; None for the one that is opened when none is named.
    port : int or None
        Port of the page; None for the first free one.
    browser : bool
        Whether to open the page in a browser.
    writable : bool
        Whether the page may write. Its address then holds a token.
    writer : str
        Who writes, as typed; may be empty where the page asks for it.
    fragment : str
        What stands after "#" in the address that is opened, empty for nothing: where the page begins.

    Raises
    ------
    ExplorerError
        If the record, a class rule of its programme, or the port is refused, a record that takes no changes
        is to be written, or the server does not start.
    """
    from explorer.analysis.class_schemes import programme_schemes
    from explorer.default_record import default_place, introduce
    from explorer.demo import notebooks_folder
    from explorer.ports import at_free_port
    from explorer.records.opening import open_record
    from explorer.serve import served_page

    stop_at_signals()
    place = default_place() if record is None else record
    tell(introduce(place))
    opened = open_record(place)
    if writable:
        opened.check_writable()
    programme_schemes(opened.settings, "programme.toml", opened.programme.quantities)  # refuses a wrong rule
    waters, stations = len(opened.lakes()), len(opened.station_list())
    tell(f"{count_of(waters, 'water')}, {count_of(stations, 'station')}.", *opened.messages)
    opened.close()
    tell("The page is starting …")

    def page_at(free_port: int) -> AbstractContextManager["Page"]:
        log, path = log_file(f"page-{free_port}"), notebooks_folder() / notebook
        return served_page(path, place, free_port, log, writable=writable, writer=writer)

    with at_free_port(page_at, port) as page:
        address = f"{page.address}#{fragment}" if fragment else page.address
        tell(f"The page is at {address} and can be reached from this computer only.")
        if writable:
            tell("Whoever has this address can write into the record: give it to nobody.")
        tell("Press Ctrl-C here to stop it.")
        if browser and not _open_browser(address):
            tell("No browser was found: open that address in one yourself.")
        page.wait()
    return STOPPED


def _open_browser(address: str) -> bool:
    """Open the address in a window; a browser that would take over the terminal is not opened."""
    if sys.platform.startswith("linux") and not {"DISPLAY", "WAYLAND_DISPLAY", "BROWSER"} & os.environ.keys():
        return False
    try:
        return webbrowser.open(address)
    except webbrowser.Error:
        return False
