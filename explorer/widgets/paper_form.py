"""What goes out from the desk: labels and sheets for a month, a season's lists, the freezer's."""

from collections.abc import Callable
from datetime import date, timedelta

import ipywidgets
import pandas as pd

from explorer.display.markup import element
from explorer.display.paper_files import page_csv, page_pdf
from explorer.display.season_papers import freezer_pages, lacking_page, quality_page
from explorer.display.visit_papers import VisitPapers
from explorer.intake.label_file import given_codes, register_beside
from explorer.intake.season_report import last_season
from explorer.intake.visits_ahead import give_codes, listed_visits, month_visits
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.records.record import Record
from explorer.widgets.file_drop import FileDrop
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.part_fold import PartFold
from explorer.widgets.written_line import written_line

__all__ = ["PaperForm"]

# Files for visits, by the button that makes each.
VISIT_FILES = {
    "labels": "labels.pdf", "data_sheets": "data_sheets.pdf", "data_sheet": "data_sheet.xlsx",
    "roster": "roster.pdf", "roster_list": "roster.csv", "hand_over": "hand_over.pdf",
}  # fmt: skip
SEASON_FILES = ("lacking", "quality", "quality_numbers")
FREEZER_FILES = ("freezer", "freezer_hand_over")


class PaperForm:
    """Buttons that make labels, sheets and lists, as the commands do.

    Parameters
    ----------
    record : Record
        A record in one file; the register of its sample codes lies beside it.
    language : str
        Language of the words.
    """

    def __init__(self, record: Record, language: str) -> None:
        self._record, self._language = record, language
        self._register = register_beside(record.opened_from)
        self._list: tuple[str, bytes] | None = None
        self.month = self._field("month", f"{date.today() + timedelta(days=14):%Y-%m}")
        self.used = self._field("used", "0")
        self.season = self._field("season", str(last_season(record) or date.today().year))
        self.drop = FileDrop(self.take_list, language, "list")
        self.listed = ipywidgets.HTML()
        self.forget = ipywidgets.Button(description=self._say("list_forget"))
        self.forget.on_click(lambda _: self._keep_list(None))
        self.visit_bar = self._bar(self.visit_file, VISIT_FILES)
        self.season_bar = self._bar(self.season_file, SEASON_FILES)
        self.freezer_bar = self._bar(self.freezer_file, FREEZER_FILES)
        rows = {
            "visits": [self.month, self.used, self.drop, self.listed, self.forget, self.visit_bar],
            "season": [self.season, self.season_bar],
            "freezer": [self.freezer_bar],
        }
        parts = []
        for name, widgets in rows.items():
            heading = ipywidgets.HTML(element("h3", self._say(f"{name}_title")))
            row = ipywidgets.HBox(widgets)
            row.add_class("paper-row")
            parts += [heading, row]
        words = element("p", self._say("words"))
        self.fold = PartFold(self._say("title"), parts, lambda: words, "papers")
        self._keep_list(None)

    def _say(self, code: str, **values: object) -> str:
        return say(f"desk_papers.{code}", values, self._language)

    def _field(self, code: str, value: str) -> ipywidgets.Text:
        return written_line(self._say(code), self._say(f"{code}_hint"), value)

    def _bar(self, make: Callable[[str], tuple[str, bytes]], kinds: object) -> KeepBar:
        bar = KeepBar(make, self._language, tuple(kinds))  # type: ignore[arg-type]
        bar.about = self._record.title
        return bar

    def take_list(self, files: list[tuple[str, bytes]], left_out: list[str]) -> None:
        """Take a list of visits in the month's place.

        Parameters
        ----------
        files : list of (str, bytes)
            Name and content; the last one counts.
        left_out : list of str
            Names of files that were too large to come.
        """
        if files:
            self._keep_list(files[-1])

    def _keep_list(self, given: tuple[str, bytes] | None) -> None:
        self._list = given
        self.listed.value = element("p", self._say("listed", name=given[0])) if given else ""
        self.forget.layout.display = "" if given else "none"
        self.month.disabled = given is not None

    def _visits(self, today: date) -> pd.DataFrame:
        if self._list is not None:
            return listed_visits(self._record, *self._list, today=today)
        try:
            day = date.fromisoformat(f"{self.month.value.strip()}-01")
        except ValueError as error:
            raise ExplorerError(self._say("no_month", found=self.month.value)) from error
        return month_visits(self._record, day.year, day.month)

    def visit_file(self, kind: str) -> tuple[str, bytes]:
        """Return one of the papers of the month's or the list's visits; their codes are given by then."""
        today, used = date.today(), self.used.value.strip() or "0"
        if not (used.isascii() and used.isdigit()):
            raise ExplorerError(self._say("no_count", found=self.used.value))
        coded, _ = give_codes(self._record, self._visits(today), self._register, today=today)
        papers = VisitPapers(self._record, coded, made_on=today, used=int(used))
        name = VISIT_FILES[kind]
        if name not in papers.names:
            raise ExplorerError(self._say("no_labels"))
        stem, _, ending = name.rpartition(".")
        return f"{stem}_{coded['month'].iloc[0]}.{ending}", papers.make(name)

    def season_file(self, kind: str) -> tuple[str, bytes]:
        """Return what a season lacks, or its quality report."""
        today, text = date.today(), self.season.value.strip()
        if not (text.isascii() and text.isdigit() and len(text) == 4):
            raise ExplorerError(self._say("no_season", found=self.season.value))
        make = lacking_page if kind == "lacking" else quality_page
        page = make(self._record, int(text), today)
        if kind == "quality_numbers":
            return f"quality_{text}.csv", page_csv(page)
        return f"{kind}_{text}.pdf", page_pdf(page, made_on=today)

    def freezer_file(self, kind: str) -> tuple[str, bytes]:
        """Return the freezer's list, or the sheet that hands its samples to the laboratory."""
        today = date.today()
        pages = freezer_pages(self._record, given_codes(self._register), today)
        return f"{kind}_{today.isoformat()}.pdf", page_pdf(pages[kind == "freezer_hand_over"], made_on=today)
