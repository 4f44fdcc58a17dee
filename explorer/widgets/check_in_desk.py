"""The desk where files are checked in: they are looked at, let land, and what waits is decided on."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import ipywidgets
import traitlets

from explorer.display.check_in_lines import problems_csv
from explorer.display.check_in_page import CheckInPage, build_check_in_page
from explorer.display.downloads import letters_of
from explorer.display.held_page import build_waiting_page
from explorer.display.markup import element
from explorer.display.paper_files import page_pdf
from explorer.display.station_name import station_name
from explorer.intake.check_in import accept, check_in
from explorer.intake.refresh import refresh_if_possible
from explorer.intake.waiting_decisions import decide_on
from explorer.model.check_in import CheckIn
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.records.reason_problems import ReasonProblems
from explorer.records.record import Record
from explorer.records.waiting import waiting_count, waiting_readings
from explorer.widgets.check_in_found import CheckInFound
from explorer.widgets.decision_form import DecisionForm
from explorer.widgets.file_drop import MOST_BYTES, FileDrop
from explorer.widgets.history_form import HistoryForm
from explorer.widgets.one_message import OneMessage
from explorer.widgets.paper_form import PaperForm
from explorer.widgets.style import desk_style_html
from explorer.widgets.written_line import written_line

__all__ = ["CheckInDesk"]

MOST_WAITING = 500  # readings in the list


class CheckInDesk(ipywidgets.VBox):  # type: ignore[misc]
    """Data sheets, freezer logs, a laboratory's and a probe's files on their way into a record.

    All state is in the traits.

    Parameters
    ----------
    record : Record
        An open record. Of one that takes no changes, files are looked at and nothing lands.
    writer : str
        Who writes, as typed; can be typed on the screen as well.
    only_looks : bool
        Whether nothing may land, whatever the record takes.

    Attributes
    ----------
    files : tuple of (str, bytes)
        What has come so far, by name.
    checked : CheckIn or None
        What they come to.
    """

    files = traitlets.Tuple()
    checked = traitlets.Instance(CheckIn, allow_none=True)

    def __init__(self, record: Record, writer: str = "", *, only_looks: bool = False) -> None:
        super().__init__()
        self._record = record
        self._language = language = record.programme.office_language
        self._page: CheckInPage | None = None
        self.drop = FileDrop(self.take, language)
        self.heading, self.progress, self.said = (ipywidgets.HTML() for _ in range(3))
        self.clear = self._button("clear", self.start_again)
        self.found = CheckInFound(self.keep, language)
        self.who = self._field("who", writer)
        self.remark = self._field("remark")
        self.land = self._button("land_title", self.let_land)
        self.decisions = DecisionForm(self.decide, language)
        self._refused = self._why_nothing_lands(only_looks=only_looks)
        self.papers = None if self._refused else PaperForm(record, language)
        self.history = HistoryForm(record, language)
        self.children = self._arranged()
        self.add_class("check-in-desk")
        self._together = OneMessage(self)  # nothing is lost while the scripts are loading
        self.observe(self._look, names="files")
        self.observe(self._show, names="checked")
        self._show(None)

    def _button(self, code: str, press: Any) -> ipywidgets.Button:
        button = ipywidgets.Button(description=say(f"desk.{code}", language=self._language))
        button.on_click(lambda _: press())
        return button

    def _field(self, code: str, value: str = "") -> ipywidgets.Text:
        said = (say(f"desk.{each}", language=self._language) for each in (code, f"{code}_hint"))
        return written_line(next(said), next(said), value)

    def _why_nothing_lands(self, *, only_looks: bool) -> str:
        if only_looks:
            return say("desk.started_to_look", language=self._language)
        try:
            self._record.check_writable()
        except ExplorerError as error:
            return str(error)
        return ""

    def _arranged(self) -> list[ipywidgets.Widget]:
        if self._refused:
            said = say("desk.only_looks", {"reason": self._refused}, self._language)
            self.landing = ipywidgets.HBox([ipywidgets.HTML(element("p", said))])
        else:
            self.landing = ipywidgets.HBox([self.remark, self.land])
        self.result = ipywidgets.VBox([self.found, self.landing])
        waiting = [self.papers.fold.widget, self.decisions.widget] if self.papers else []
        style = ipywidgets.HTML(desk_style_html())
        incoming = ipywidgets.HBox([self.drop, self.clear])
        if not self._refused:
            incoming.children = (*incoming.children, self.who)
        for widget, name in (
            (self.heading, "desk-heading"), (incoming, "desk-incoming"), (self.progress, "desk-progress"),
            (self.result, "desk-result"), (self.landing, "desk-landing"), (self.said, "desk-said"),
        ):  # fmt: skip
            widget.add_class(name)
        return [
            style,
            self.heading,
            incoming,
            self.progress,
            self.result,
            self.said,
            *waiting,
            self.history.fold.widget,
        ]

    def take(self, files: list[tuple[str, bytes]], left_out: list[str]) -> None:
        """Take files in beside those that have come; one of the same name takes the other's place.

        Parameters
        ----------
        files : list of (str, bytes)
            Content by name.
        left_out : list of str
            Names of files that were too large to come.
        """
        names = {name for name, _ in files}
        self.said.value = "".join(
            element("p", say("desk.too_large", {"name": name, "most": MOST_BYTES >> 20}, self._language))
            for name in left_out
        )
        self.files = (*(each for each in self.files if each[0] not in names), *files)

    def start_again(self) -> None:
        """Forget the files that have come; nothing of them was written."""
        self.said.value = ""
        self.files = ()

    def let_land(self) -> None:
        """Write the check-in into the record, once however often the button is pressed meanwhile."""
        if self.land.disabled or self.checked is None:
            return
        self.land.disabled = True
        self._tell("landing")
        try:
            version = accept(self._record, self.checked, who=self.who.value, remark=self.remark.value)
            self.files = ()
            self.remark.value = ""
            self.said.value = element("p", say("desk.landed", {"version": version}, self._language))
            refresh_if_possible(self._record, lambda done, count: self._tell("stale", done=done, count=count))
        except ExplorerError as error:
            self.said.value = element("p", error)
        finally:
            self.progress.value = ""
            self.land.disabled = False
        self._show(None)

    def decide(self, reading_id: int, choice: str, new: str, why: str) -> str:
        """Decide on a reading that waits, and return what came of it in words."""
        version = decide_on(self._record, reading_id, choice, new, who=self.who.value, why=why)
        refresh_if_possible(self._record)
        self._show(None)
        return say("desk.landed", {"version": version}, self._language)

    def keep(self, kind: str) -> tuple[str, bytes]:
        """Return what was found as a file: its name and its bytes."""
        assert self._page is not None  # the buttons are hidden without
        assert self.checked is not None
        title = say("desk.title", language=self._language)
        today = date.today()
        programme = self._record.programme
        page = self._page.paper_page(title, self._named(), programme.label_sheet.page, self._language)
        made = page_pdf(page, made_on=today) if kind == "pdf" else problems_csv(self.checked.problems)
        return f"{letters_of(title)}_{today.isoformat()}.{kind}", made

    def _tell(self, code: str, **values: object) -> None:
        self.progress.value = element("p", say(f"desk.{code}", values, self._language))

    def _look(self, _: Any) -> None:
        """Look at all files together."""
        if not self.files:
            self.checked = None
            return
        try:
            self.checked = check_in(list(self.files), self._record, progress=self._reading)
        except ExplorerError as error:
            self.checked = None
            self.said.value = element("p", error)
        finally:
            self.progress.value = ""

    def _reading(self, name: str, done: int, count: int) -> None:
        if name:
            self._tell("reading", name=name, number=done + 1, count=count)
        else:
            self._tell("looking")

    def _named(self) -> str:
        values = {
            "name": self._record.programme.name or self._record.title,
            "version": self._record.version(),
        }
        return say("desk.record", values, self._language)

    def _show(self, _: Any) -> None:
        title = say("desk.title", language=self._language)
        self.heading.value = element("h1", title) + element("p", self._named())
        quantities = self._record.programme.quantities
        names = {code: each.name for code, each in quantities.items()}
        checked = self.checked
        self._page = page = None if checked is None else build_check_in_page(checked, names, self._language)
        self.result.layout.display = self.clear.layout.display = "none" if page is None else ""
        if page is not None and checked is not None:
            self.found.show(page, checked, self._named())
            self.landing.layout.display = "" if page.action else "none"
            self.land.description = page.action
        if not self._refused:
            waiting = waiting_readings(self._record, MOST_WAITING)
            count = waiting_count(self._record)
            stations = self._stations()
            self.decisions.show(
                build_waiting_page(
                    waiting, count, stations, quantities, self._language, ReasonProblems(self._record)
                )
            )
        self.history.fold.refresh()

    def _stations(self) -> Mapping[str, str]:
        lakes = self._record.lakes()
        return {
            each.code: station_name(each, lakes[each.lake_code], self._language)
            for each in self._record.station_list()
        }
