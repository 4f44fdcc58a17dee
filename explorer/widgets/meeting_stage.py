"""A meeting in the browser: draws its steps and cards, by buttons, by keys and by a clicker."""

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from explorer.display.meeting import Meeting
from explorer.display.meeting_drawing import draw_picture
from explorer.display.meeting_values import MeetingStep
from explorer.model.words import say

__all__ = ["MeetingStage"]

_SAID = (
    "pick", "pick_label", "pick_none", "previous", "following", "questions", "known", "point", "other_lake",
    "keys", "keep_key", "theme", "close", "keys_title", "key_step", "key_card", "key_known", "key_point",
    "key_lake", "key_keep", "key_theme", "key_close", "point_of", "step_of", "word_known", "word_point",
    "word_keep", "word_lake", "word_keys",
)  # fmt: skip


class MeetingStage(anywidget.AnyWidget):
    """The steps of one lake, or the list of lakes while none is picked.

    Parameters
    ----------
    on_pick : callable
        Called with the name or code of a lake; empty for none.
    language : str
        Language of the words.

    Attributes
    ----------
    lakes : list of dict
        Name and code of every lake that can be picked.
    page : dict
        The lake's steps and cards, empty while none is picked.
    message : str
        What went wrong, empty if nothing.
    step : int
        The step on the screen, from 0.
    opened : str
        What lies over it: "card 1", "known", "point 3", "keys", "keep"; empty for nothing.
    theme : {"", "light", "dark"}
        Colours; empty for those of the computer.
    """

    _esm = Path(__file__).with_name("meeting_stage.js")
    words = traitlets.Dict().tag(sync=True)
    lakes: Any = traitlets.List().tag(sync=True)
    page = traitlets.Dict().tag(sync=True)
    message = traitlets.Unicode("").tag(sync=True)
    step = traitlets.Int(0).tag(sync=True)
    opened = traitlets.Unicode("").tag(sync=True)
    theme = traitlets.Enum(("", "light", "dark"), "").tag(sync=True)

    def __init__(self, on_pick: Callable[[str], None], language: str = "en") -> None:
        blanks = {name: f"{{{name}}}" for name in ("number", "of")}
        super().__init__(words={code: say(f"meeting_stage.{code}", blanks, language) for code in _SAID})
        self._on_pick = on_pick
        self.on_msg(self._told)

    def show(self, meeting: Meeting) -> None:
        """Show a lake's meeting from its first step.

        Parameters
        ----------
        meeting : Meeting
            What to show.
        """
        with self.hold_sync():
            self.message, self.opened = "", ""
            self.page = {
                "code": meeting.lake.code,
                "lake": meeting.lake.name,
                "steps": [_step(step) for step in meeting.steps],
                "cards": [asdict(card) for card in meeting.cards],
                "known_title": meeting.say("handout_known"),
            }

    def clear(self, message: str = "") -> None:
        """Show the list of lakes, and what went wrong if anything did."""
        with self.hold_sync():
            self.page, self.step, self.opened, self.message = {}, 0, "", message

    def _told(self, _: Any, content: dict[str, Any], __: Any) -> None:
        if "pick" in content:
            self._on_pick(str(content["pick"]))


def _step(step: MeetingStep) -> dict[str, object]:
    return {
        "title": step.title,
        "sentence": step.sentence,
        "sureness": f"{step.sureness} {step.figures[0]}",
        "picture": draw_picture(step.picture) if step.picture else "",
        "points": [point.words for point in step.picture.points] if step.picture else [],
        "known": [*step.figures[1:], *step.known],
        "caution": step.caution,
    }
