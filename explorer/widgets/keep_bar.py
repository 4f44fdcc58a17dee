"""The row of buttons that hand what is seen to the reader: as files, or as Python to be pasted."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.downloads import KINDS
from explorer.model.errors import ExplorerError
from explorer.model.words import say

__all__ = ["KeepBar"]

_SAID = ("label", "working", "saved", "copied", "copy_by_hand", "by_hand", "no_answer")


class KeepBar(anywidget.AnyWidget):
    """Buttons for files, such as a picture, the numbers or a page for paper, with a line that answers.

    Parameters
    ----------
    make : callable
        Called with one of the kinds; gives the name and the content of the file.
    language : str
        Language of the words.
    kinds : sequence of str
        Kinds of files that are offered; each has its words in `keep.<kind>`.

    Attributes
    ----------
    about : str
        What would be kept, empty for nothing: then the buttons are hidden.
    """

    _esm = Path(__file__).with_name("keep_bar.js")
    about = traitlets.Unicode("").tag(sync=True)
    kinds = traitlets.List(traitlets.Unicode()).tag(sync=True)
    words = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        make: Callable[[str], tuple[str, bytes]],
        language: str = "en",
        kinds: Sequence[str] = KINDS,
    ) -> None:
        said = {code: say(f"keep.{code}", {"name": "{name}"}, language) for code in (*_SAID, *kinds)}
        super().__init__(kinds=list(kinds), words=said)
        self._make = make
        self._language = language
        self.on_msg(self._asked)

    def _asked(self, _: Any, content: dict[str, Any], __: Any) -> None:
        """Make a file and send it to the view that asked; what goes wrong is said there too."""
        kind = str(content.get("kind"))
        answer = {"view": content.get("view"), "kind": kind}
        try:
            name, made = self._make(kind)
        except ExplorerError as error:
            self.send({**answer, "failed": str(error)})
        except Exception:
            self.send({**answer, "failed": say("keep.failed", language=self._language)})
            raise
        else:
            self.send({**answer, "name": name}, [made])
