"""Serves a folder of map tiles to this computer's browser alone."""

import re
import threading
from collections.abc import Callable
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from explorer.model.errors import ExplorerError

__all__ = ["Background", "TileFolder", "tile_address"]

HOST = "127.0.0.1"
TILE = re.compile(r"/\d{1,2}/\d{1,8}/\d{1,8}\.(?:png|jpg|jpeg|webp)", re.ASCII)


class _TileRequest(SimpleHTTPRequestHandler):
    """Answers with tiles and with nothing else of the folder."""

    def do_GET(self) -> None:
        if TILE.fullmatch(self.path.partition("?")[0]):
            super().do_GET()
        else:
            self.send_error(404)

    do_HEAD = do_GET

    def log_message(self, format: str, *args: object) -> None:
        """Write nothing: which tiles were looked at is nobody's business."""


class TileFolder:
    """A folder `zoom/column/row.png` behind an address of this computer.

    Parameters
    ----------
    folder : Path
        The folder.

    Raises
    ------
    ExplorerError
        If it holds no tiles.

    Attributes
    ----------
    address : str
        What a map takes, with {z}, {x} and {y}.
    """

    def __init__(self, folder: Path) -> None:
        first = next((each for each in folder.glob("*/*/*.*") if each.suffix in _ENDINGS), None)
        if first is None:
            raise ExplorerError(
                f"{folder} holds no map tiles. A folder of tiles has zoom/column/row.png inside. "
                "Name such a folder, or leave the field empty."
            )
        handler = partial(_TileRequest, directory=str(folder))
        self._server = ThreadingHTTPServer((HOST, 0), handler)
        self.address = f"http://{HOST}:{self._server.server_address[1]}/{{z}}/{{x}}/{{y}}{first.suffix}"
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def close(self) -> None:
        """Stop serving."""
        self._server.shutdown()
        self._server.server_close()


_ENDINGS = (".png", ".jpg", ".jpeg", ".webp")


def tile_address(text: str) -> str:
    """Return an address of tiles if the text is one, empty if it names a folder.

    Parameters
    ----------
    text : str
        As typed.

    Raises
    ------
    ExplorerError
        If it is an address that lacks {z}, {x} or {y}.

    Examples
    --------
    >>> tile_address("tiles")
    ''
    """
    if not text.startswith(("http://", "https://")):
        return ""
    if not all(part in text for part in ("{z}", "{x}", "{y}")):
        raise ExplorerError(
            f'"{text}" is no address of map tiles: it must hold {{z}}, {{x}} and {{y}}. Correct it, or leave '
            "the field empty."
        )
    return text


class Background:
    """What lies under a map: nothing, tiles at an address, or a folder of tiles that is served while it does.

    Parameters
    ----------
    lay_under : callable
        Takes an address with {z}, {x} and {y}, or empty text for nothing.
    """

    def __init__(self, lay_under: Callable[[str], None]) -> None:
        self._lay_under = lay_under
        self._folder: TileFolder | None = None

    def lay(self, text: str) -> None:
        """Lay what was typed under the map, in the place of what lay there.

        Parameters
        ----------
        text : str
            A folder, an address, or nothing.

        Raises
        ------
        ExplorerError
            If the folder holds no tiles, or the address lacks a part.
        """
        if self._folder is not None:
            self._folder.close()
            self._folder = None
        text = text.strip()
        address = tile_address(text) if text else ""
        if text and not address:
            self._folder = TileFolder(Path(text).expanduser())
            address = self._folder.address
        self._lay_under(address)
