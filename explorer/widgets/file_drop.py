"""Where files come in: chosen with the keyboard or the mouse, or dropped; their bytes arrive in pieces."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.model.words import say

__all__ = ["MOST_BYTES", "FileDrop"]

MOST_BYTES = 64 * 1024 * 1024  # of one file


class FileDrop(anywidget.AnyWidget):
    """A button to choose files, on which they can be dropped as well.

    Parameters
    ----------
    take : callable
        Called with the files of one choice, by name, once all have come; and with the names of those that
        were too large.
    language : str
        Language of the words.
    name : str
        What the files are: "files", or "list" of visits; its words are `desk.choose_<name>` and
        `desk.drop_<name>`.
    """

    _esm = Path(__file__).with_name("file_drop.js")
    words = traitlets.Dict().tag(sync=True)
    most = traitlets.Int(MOST_BYTES).tag(sync=True)

    def __init__(
        self,
        take: Callable[[list[tuple[str, bytes]], list[str]], None],
        language: str = "en",
        name: str = "files",
    ) -> None:
        super().__init__(
            words={code: say(f"desk.{code}_{name}", language=language) for code in ("choose", "drop")}
        )
        self._take = take
        self._pieces: list[bytes] = []
        self._files: list[tuple[str, bytes]] = []
        self._left_out: list[str] = []
        self.add_class("file-part")
        self.on_msg(self._arrived)

    def _arrived(self, _: Any, about: dict[str, Any], buffers: list[Any]) -> None:
        self._pieces.extend(bytes(each) for each in buffers)
        if not about.get("end"):
            return
        name = str(about.get("name", "")) or "file"
        if about.get("kept"):
            self._files.append((name, b"".join(self._pieces)))
        else:
            self._left_out.append(name)
        self._pieces = []
        if about.get("last"):
            files, left_out = self._files, self._left_out
            self._files, self._left_out = [], []
            self._take(files, left_out)
