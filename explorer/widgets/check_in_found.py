"""What files on their way in come to: a line for each, every doubt and what changes; to keep as files."""

from collections.abc import Callable

import ipywidgets

from explorer.display.check_in_lines import SEVERITIES
from explorer.display.check_in_page import CheckInPage
from explorer.display.markup import element
from explorer.display.table_html import table_html
from explorer.model.check_in import CheckIn
from explorer.model.words import say
from explorer.widgets.fold import Fold
from explorer.widgets.keep_bar import KeepBar

__all__ = ["CheckInFound"]

KEPT = ("csv", "pdf")


class CheckInFound(ipywidgets.VBox):  # type: ignore[misc]
    """A looked-at check-in.

    Parameters
    ----------
    keep : callable
        Makes a file of a kind: its name and its bytes.
    language : str
        Language of the words.
    """

    def __init__(self, keep: Callable[[str], tuple[str, bytes]], language: str = "en") -> None:
        super().__init__()
        self._language = language
        self._page: CheckInPage | None = None
        self.lead = ipywidgets.HTML()
        self.lead.add_class("desk-found")
        self.folds = {each: Fold("", self._doubts_of(each)) for each in SEVERITIES}
        self.tables = {each: Fold("", self._table_of(each)) for each in ("samples", "differences")}
        self.keep_bar = KeepBar(keep, language, KEPT)
        folds = (*self.folds.values(), *self.tables.values())
        self.children = [self.lead, *(each.widget for each in folds), self.keep_bar]
        self.add_class("desk-findings")

    def show(self, page: CheckInPage, checked: CheckIn, about: str) -> None:
        """Show what was found.

        Parameters
        ----------
        page : CheckInPage
            What is shown.
        checked : CheckIn
            What it is shown of.
        about : str
            Record and version, for what is kept.
        """
        self._page = page
        self.keep_bar.about = about
        self.lead.value = "".join(element("p", line) for line in page.lead) + table_html(page.files)
        for severity, fold in self.folds.items():
            count = sum(each.severity == severity for each in checked.problems)
            self._show_fold(fold, f"doubts_{severity}", count, is_open=severity != "note")
        for name, table in (("samples", page.samples), ("differences", page.differences)):
            self._show_fold(
                self.tables[name], f"{name}_title", len(table.rows), is_open=name == "differences"
            )

    def _show_fold(self, fold: Fold, code: str, count: int, *, is_open: bool) -> None:
        what = say(f"desk.{code}", language=self._language)
        fold.widget.title = say("desk.doubts_title", {"what": what, "count": count}, self._language)
        fold.widget.layout.display = "" if count else "none"
        fold.expanded = is_open and bool(count)
        fold.refresh()

    def _doubts_of(self, severity: str) -> Callable[[], str]:
        def made() -> str:
            page = self._page
            return "".join(table_html(each) for each in page.doubts[severity]) if page else ""  # type: ignore[index]

        return made

    def _table_of(self, name: str) -> Callable[[], str]:
        return lambda: table_html(getattr(self._page, name)) if self._page else ""
