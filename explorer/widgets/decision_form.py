"""The readings that wait in the record, and the form in which they are corrected, accepted or rejected."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.held_page import WaitingChoice, WaitingPage
from explorer.display.markup import element
from explorer.display.numbers import count_text
from explorer.intake.waiting_decisions import DECISIONS
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.widgets.part_fold import offer
from explorer.widgets.written_line import written_line

__all__ = ["DecisionForm"]


class DecisionForm:
    """A list of waiting readings, what can be decided on one, and a button that writes.

    Parameters
    ----------
    decide : callable
        Called with the reading's id, one of `DECISIONS`, what is to stand instead and the reason; returns
        what came of it in words. An `ExplorerError` is shown, and what was typed stays.
    language : str
        Language of the words.
    """

    def __init__(self, decide: Callable[[int, str, str, str], str], language: str) -> None:
        self._decide, self._language = decide, language
        self._page = WaitingPage((), 0)
        self.title, self.what, self.said = (ipywidgets.HTML() for _ in range(3))
        self.readings = ipywidgets.Select(description=self._say("reading"), rows=8)
        self.choice = ipywidgets.Dropdown(
            description=self._say("choice"), options=[(self._say(each), each) for each in DECISIONS]
        )
        self.new = written_line(self._say("new"))
        self.why = written_line(self._say("why"), self._say("why_hint"))
        self.write = ipywidgets.Button(description=self._say("write"))
        self.write.on_click(lambda _: self._written())
        self.readings.observe(self._picked, names="value")
        self.choice.observe(self._picked, names="value")
        self.form = ipywidgets.VBox([self.readings, self.what, self.choice, self.new, self.why, self.write])
        self.widget = ipywidgets.VBox([self.title, self.form, self.said])
        self.widget.add_class("decision-form")
        self.said.add_class("decision-said")

    def _say(self, code: str, **values: object) -> str:
        return say(f"desk.decide_{code}", values, self._language)

    def show(self, page: WaitingPage) -> None:
        """Show what waits.

        Parameters
        ----------
        page : WaitingPage
            The readings.
        """
        self._page = page
        more = count_text("desk.decide_more", page.count, {"shown": len(page.choices)}, self._language)
        waits = count_text("desk.waiting", page.count, language=self._language)
        self.title.value = (
            element("h2", self._say("title"))
            + element("p", waits)
            + (element("p", more) if page.count > len(page.choices) else "")
        )
        options = [(each.option, each.reading_id) for each in page.choices]
        known = {number for _, number in options}
        value = self.readings.value if self.readings.value in known else (options[0][1] if options else None)
        offer(self.readings, options, value, self._picked)
        self.form.layout.display = "" if options else "none"
        self._picked(None)

    def _chosen(self) -> WaitingChoice | None:
        return next((each for each in self._page.choices if each.reading_id == self.readings.value), None)

    def _picked(self, _: Any) -> None:
        chosen = self._chosen()
        self.what.value = element("p", chosen.what) if chosen else ""
        corrects = self.choice.value in DECISIONS[:3]
        self.new.layout.display = "" if corrects else "none"
        if chosen and corrects:
            self.new.placeholder = self._say(f"new_hint_{self.choice.value}", unit=chosen.unit)

    def _written(self) -> None:
        """Write the decision, once however often the button is pressed meanwhile."""
        chosen = self._chosen()
        if self.write.disabled or chosen is None:
            return
        self.write.disabled = True
        try:
            said = self._decide(chosen.reading_id, self.choice.value, self.new.value, self.why.value)
            self.new.value = self.why.value = ""
            self.said.value = element("p", said)
        except ExplorerError as error:
            self.said.value = element("p", error)
        finally:
            self.write.disabled = False
