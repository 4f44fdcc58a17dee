"""The practice day on a screen: it shows one page, hands pages to keep out, and opens the practice record."""

import secrets
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets
import traitlets

from explorer.display.learner_page import LEARNER_KINDS, learner_download
from explorer.display.practice_day_page import build_day_page
from explorer.display.practice_page import DO, GO, keys_of, with_keys
from explorer.model.check_in import CheckIn
from explorer.model.programme import Programme
from explorer.model.words import say
from explorer.practice.day import Day, do, go
from explorer.practice.practice_record import make_practice_record, receive_sheet, seed_of_next_visit
from explorer.practice.visit_sheet import PRACTICE_STATION
from explorer.records.opening import open_record
from explorer.records.record import Record
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.one_message import OneMessage
from explorer.widgets.practice_stage import PracticeStage
from explorer.widgets.station_explorer import StationExplorer
from explorer.widgets.style import practice_style_html

__all__ = ["PracticeDay"]

MOST_SEEDS = 2**31


def _fresh_seed() -> int:
    return secrets.randbelow(MOST_SEEDS)


class PracticeDay(ipywidgets.VBox):  # type: ignore[misc]
    """Exercises for volunteers on a screen, by one person at home or a group around a projector.

    All state is in the traits. Nothing is stored: the day lives in memory, the practice record of a whole
    visit in a temporary folder; erasing the day removes both, and so does the end of the program.

    Parameters
    ----------
    source : Record or Programme
        Whose rules are practised. A record is only read.
    new_seed : callable
        Gives the number from which each try is drawn.

    Attributes
    ----------
    day : Day
        What is shown, and what has been practised.
    text_size : {"", "large"}
        Usual or large.
    theme : {"", "light", "dark"}
        Colours; empty for those of the computer.
    """

    day = traitlets.Instance(Day)
    text_size = traitlets.Enum(("", "large"), "")
    theme = traitlets.Enum(("", "light", "dark"), "")

    def __init__(self, source: Record | Programme, new_seed: Callable[[], int] = _fresh_seed) -> None:
        programme = source if isinstance(source, Programme) else source.programme
        super().__init__(day=Day(programme.practice_rules))
        self._programme = programme
        self._new_seed = new_seed
        self._keys: dict[str, str] = {}  # of the buttons of the exercise at hand
        self._folder: TemporaryDirectory[str] | None = None
        self._record: Record | None = None
        self._checked: CheckIn | None = None
        self._map: StationExplorer | None = None
        self.stage = PracticeStage(self.press, programme.office_language)
        self.keep_bar = KeepBar(self.keep, programme.office_language, LEARNER_KINDS)
        self.leave_map = ipywidgets.Button(
            description=say("training.go_leave_map", language=programme.office_language)
        )
        self.leave_map.add_class("leave-map")
        self.leave_map.on_click(lambda _: self.press(f"{GO}leave_map"))
        self._style = ipywidgets.HTML(practice_style_html())
        traitlets.link((self, "text_size"), (self.stage, "text_size"))
        traitlets.link((self, "theme"), (self.stage, "theme"))
        self.add_class("practice-day")
        self.observe(self._show, names=["day"])
        self._show(None)
        self._together = OneMessage(self)  # nothing is lost while the scripts are loading

    def press(self, code: str, written: str = "") -> None:
        """Press a button of the page.

        Parameters
        ----------
        code : str
            Its code.
        written : str
            What stands in its field.
        """
        before = self.day
        if code.startswith(DO):
            self.day = do(before, code.removeprefix(DO), written)
        elif code.startswith(GO):
            self.day = go(before, code.removeprefix(GO), written, self._seed())
        if code == f"{GO}erase_yes":
            self._wipe()
        if self.day == before:
            self._show(None)  # every press is answered

    def _seed(self) -> int:
        return seed_of_next_visit(self._record, self._new_seed) if self._record else self._new_seed()

    def keep(self, kind: str) -> tuple[str, bytes]:
        """Return the page of whoever is shown as a file: its name and its bytes."""
        return learner_download(
            kind, self.day.shown_learner, self._programme.name, self.day.rules, date.today()
        )

    @property
    def practice_record(self) -> Path | None:
        """Where the record of the practice visits lies for now; None before the first."""
        return self._record.path if self._record else None

    def _show(self, change: Any) -> None:
        day = self.day
        if change and day.sheet != change["old"].sheet:
            self._checked = self._receive(day.sheet, day.learner.nickname) if day.sheet else None
        self.keep_bar.about = "page" if day.screen == "keep" else ""
        if day.screen == "map":
            self.children = [self._style, self.leave_map, self._explorer()]
        else:
            page = with_keys(build_day_page(day, self._checked), self._keys)
            self._keys = keys_of(page, self._keys)
            self.stage.show(page)
            if len(self.children) != 3 or self.children[1] is not self.stage:
                self.children = [self._style, self.stage, self.keep_bar]

    def _receive(self, sheet: bytes, who: str) -> CheckIn:
        """Check a sheet in to the practice record of this day."""
        if self._folder is None:
            self._folder = TemporaryDirectory(prefix="station-explorer-practice-", ignore_cleanup_errors=True)
        if self._record is None:
            self._record = make_practice_record(Path(self._folder.name), self.day.rules)
        checked = receive_sheet(sheet, self._record, who)
        self._close_map()
        self._record.close()
        self._record = open_record(self._record.path)  # with what it has to say about its files
        return checked

    def _explorer(self) -> StationExplorer:
        """Return the station explorer on the practice record."""
        assert self._record is not None  # a sheet was checked
        if self._map is None:
            self._map = StationExplorer(self._record)
            self._map.theme, self._map.text_size = self.theme, self.text_size
            self._map.pick(PRACTICE_STATION.code)
        return self._map

    def _close_map(self) -> None:
        if self._map is not None:
            self._map.close()
        self._map = None

    def _wipe(self) -> None:
        """Remove the practice record of this day."""
        self._close_map()
        if self._record is not None:
            self._record.close()
        self._record = self._checked = None
        if self._folder is not None:
            with suppress(OSError):
                self._folder.cleanup()
        self._folder = None
