"""One message for all that a redraw changes: the page takes it in at once and is painted once."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import anywidget
import ipywidgets
import traitlets

__all__ = ["OneMessage"]


class OneMessage(anywidget.AnyWidget):
    """Sends what changes in many widgets as one message.

    The libraries send a message for each widget that changes, each of which the page lays out and paints by
    itself. Until a page has shown that it hears this one, and whenever its script cannot run, every widget
    still speaks for itself.

    A widget with a script of its own is deaf to the library's messages for good when the script takes more
    than two seconds to load. The page therefore takes in what such widgets are sent whether or not their
    scripts have loaded, and is sent their state once more as soon as it hears.

    Parameters
    ----------
    root : Widget
        It and all widgets in it, as they are now, take part.

    Examples
    --------
    >>> row = ipywidgets.HBox([ipywidgets.HTML(), ipywidgets.HTML()])
    >>> together = OneMessage(row)
    >>> with together.gathered():
    ...     row.children[0].value, row.children[1].value = "<p>4.2 m</p>", "<p>5 visits</p>"
    """

    _esm = Path(__file__).with_name("one_message.js")
    scripted = traitlets.List(traitlets.Unicode()).tag(sync=True)

    def __init__(self, root: ipywidgets.Widget) -> None:
        widgets = _widgets_in(root)
        self._scripted = [widget for widget in widgets if isinstance(widget, anywidget.AnyWidget)]
        own_id = uuid4().hex
        super().__init__(model_id=own_id, scripted=[own_id, *(each.model_id for each in self._scripted)])
        self._heard = False
        self._updates: list[tuple[dict[str, Any], list[Any]]] | None = None
        self.on_msg(self._answer)
        for widget in widgets:
            if widget.comm is not None:
                widget.comm = _SharedComm(widget.comm, self)

    @contextmanager
    def gathered(self) -> Iterator[None]:
        """Send all changes of the widgets that take part when the outermost block ends."""
        if self._updates is not None or not self._heard:
            yield
            return
        self._updates = []
        try:
            yield
        finally:
            updates, self._updates = self._updates, None
            if updates:
                buffers = [buffer for _, some in updates for buffer in some]
                self.send({"updates": [update for update, _ in updates]}, buffers)

    def takes(self, comm_id: str, data: dict[str, Any], buffers: list[Any] | None) -> bool:
        """Keep an update of a widget's state for the message that is being gathered, if there is one.

        Parameters
        ----------
        comm_id : str
            Of the widget.
        data : dict
            What its comm was to send.
        buffers : list or None
            The binary parts of it.
        """
        if self._updates is None or data.get("method") != "update":
            return False
        update = {"model": comm_id, "state": data["state"], "buffer_paths": data["buffer_paths"]}
        self._updates.append((update, buffers or []))
        return True

    def _answer(self, _: Any, content: dict[str, Any], __: Any) -> None:
        """A page greets, is answered, and says that it has heard the answer: from then on it hears all."""
        self._heard = bool(content["heard"])
        if not self._heard:
            self.send({"answer": True})
        with self.gathered():
            for widget in self._scripted if self._heard else ():
                widget.send_state([name for name in widget.keys if not name.startswith("_")])


class _SharedComm:
    """A widget's comm, whose updates may go with those of others."""

    def __init__(self, comm: Any, together: OneMessage) -> None:
        self._comm = comm
        self._together = together

    def send(self, data: Any = None, metadata: Any = None, buffers: Any = None) -> None:
        if not self._together.takes(self._comm.comm_id, data, buffers):
            self._comm.send(data, metadata, buffers)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._comm, name)


def _widgets_in(root: ipywidgets.Widget) -> list[ipywidgets.Widget]:
    """Return a widget and all that its synchronized traits lead to, each once."""
    found: dict[int, ipywidgets.Widget] = {}
    ahead: list[Any] = [root]
    while ahead:
        value = ahead.pop()
        if isinstance(value, ipywidgets.Widget):
            if id(value) not in found:
                found[id(value)] = value
                ahead.extend(value.trait_values(sync=True).values())
        elif isinstance(value, dict):
            ahead.extend(value.values())
        elif isinstance(value, (list, tuple)):
            ahead.extend(value)
    return list(found.values())
