"""Where over the panels the pointer is, and where it clicks."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

__all__ = ["Pointer"]


class Pointer(anywidget.AnyWidget):
    """Reports the pointer's place over the panels of the explorer that it stands in.

    Parameters
    ----------
    margins : sequence of dict
        Each panel's margins left, right, top, bottom. [px]
    on_move : callable
        Called with panel (-1 beside all), and the place across and up in it. [1]
    on_click : callable
        The same, where a panel was clicked.
    """

    _esm = Path(__file__).with_name("pointer.js")
    margins = traitlets.List(traitlets.Dict()).tag(sync=True)

    def __init__(
        self,
        margins: Sequence[dict[str, int]],
        on_move: Callable[[int, float, float], None],
        on_click: Callable[[int, float, float], None],
    ) -> None:
        super().__init__(margins=list(margins))
        self._on_move, self._on_click = on_move, on_click
        self.on_msg(self._answer)

    def _answer(self, _: Any, content: dict[str, Any], __: Any) -> None:
        heard = self._on_click if content.get("clicked") else self._on_move
        heard(int(content["panel"]), float(content.get("across", 0)), float(content.get("up", 0)))
        self.send({})
