"""The practice page in the browser: draws one page value, and hands back which button was pressed."""

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.practice_values import PracticePage
from explorer.model.words import say

__all__ = ["PracticeStage"]

_SAID = (
    "dress_letters_usual", "dress_letters_large", "dress_colours_light", "dress_colours_dark",
    "dress_keys_on", "dress_keys_off", "dress_label", "ways_label", "secret_show", "caution_label",
    "told_label",
)  # fmt: skip


class PracticeStage(anywidget.AnyWidget):
    """One page, its buttons by mouse, by tab and enter, and by number and letter keys.

    Parameters
    ----------
    on_press : callable
        Called with the code of a button and what stands in its field.
    language : str
        Language of the words.

    Attributes
    ----------
    text_size : {"", "large"}
        Usual or large.
    theme : {"", "light", "dark"}
        Colours; empty for those of the computer.
    """

    _esm = Path(__file__).with_name("practice_stage.js")
    page = traitlets.Dict().tag(sync=True)
    words = traitlets.Dict().tag(sync=True)
    text_size = traitlets.Enum(("", "large"), "").tag(sync=True)
    theme = traitlets.Enum(("", "light", "dark"), "").tag(sync=True)

    def __init__(self, on_press: Callable[[str, str], None], language: str = "en") -> None:
        said = {code: say(f"training.{code}", language=language) for code in _SAID}
        super().__init__(words=said)
        self._on_press = on_press
        self.on_msg(self._pressed)

    def show(self, page: PracticePage) -> None:
        """Show a page; one that is as before is drawn again, so that every press is answered.

        Parameters
        ----------
        page : PracticePage
            What to show.
        """
        self.page = {**asdict(page), "turn": int(self.page.get("turn", 0)) + 1}

    def _pressed(self, _: Any, content: dict[str, Any], __: Any) -> None:
        self._on_press(str(content.get("code", "")), str(content.get("written", "")))
