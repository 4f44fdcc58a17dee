"""The form in which a reading is decided on; without the right to write, a sentence in its place."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.markup import element
from explorer.model.errors import ExplorerError
from explorer.model.origins import MARKS
from explorer.model.words import say
from explorer.widgets.written_line import written_line

__all__ = ["MarkForm"]

NOTHING = ""  # chosen at first, so that a hasty press decides nothing


class MarkForm:
    """A menu of marks, a remark, and a button that writes.

    Parameters
    ----------
    writer : str
        Who writes; empty for a screen that only reads.
    refused : str
        Why the record takes no marks, empty where it does.
    on_mark : callable
        Called with a mark of `MARKS` and the remark; gives what came of it in words. An `ExplorerError` that
        it raises is shown, and what was typed stays.
    language : str
        Language of the words.
    """

    def __init__(self, writer: str, refused: str, on_mark: Callable[[str, str], str], language: str) -> None:
        self._on_mark, self._language = on_mark, language
        self._reading_id: int | None = None
        self.marks = ipywidgets.Dropdown(
            description=self._say("choice"),
            options=[(self._say("nothing"), NOTHING), *((self._say(mark), mark) for mark in MARKS)],
        )
        self.what, self.said = ipywidgets.HTML(), ipywidgets.HTML()
        self.remark = written_line(self._say("remark"), self._say("remark_hint"))
        self.write = ipywidgets.Button(description=say("mark.write", {"who": writer}, language))
        self.write.on_click(lambda _: self._written())
        self.marks.observe(self._chosen, names="value")
        self._chosen(None)
        title = ipywidgets.HTML(element("h3", self._say("title")))
        if writer and not refused:
            parts = [title, self.marks, self.what, self.remark, self.write, self.said]
        else:
            parts = [ipywidgets.HTML(element("p", refused or self._say("read_only")))]
        self.widget = ipywidgets.VBox(parts)
        self.widget.add_class("mark-form")
        self.remark.add_class("mark-remark")
        self.said.add_class("mark-said")

    def speak_of(self, reading_id: int | None) -> None:
        """Forget what was chosen, typed and said if it was of another reading.

        Parameters
        ----------
        reading_id : int or None
            The picked reading.
        """
        if reading_id != self._reading_id:
            self.marks.value = NOTHING
            self.remark.value = self.said.value = ""
        self._reading_id = reading_id

    def _say(self, code: str) -> str:
        return say(f"mark.{code}", language=self._language)

    def _chosen(self, _: Any) -> None:
        self.what.value = element("p", self._say(f"{self.marks.value or 'nothing'}_what"))

    def _written(self) -> None:
        """Write the mark, once however often the button is pressed meanwhile."""
        if self.marks.value == NOTHING:
            self.said.value = element("p", self._say("nothing_chosen"))
            return
        if self.write.disabled:
            return
        self.write.disabled = True
        try:
            self.said.value = element("p", self._on_mark(self.marks.value, self.remark.value))
            self.remark.value = ""
        except ExplorerError as error:
            self.said.value = element("p", error)
        finally:
            self.write.disabled = False
