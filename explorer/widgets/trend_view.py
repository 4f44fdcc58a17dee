"""The fold that asks whether it is changing: trends with their numbers, and before and after a date."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.change_page import ChangePage
from explorer.display.markup import element
from explorer.display.table_html import table_html
from explorer.display.trend_page import TrendPage
from explorer.model.words import say
from explorer.widgets.fold import sections_html
from explorer.widgets.part_fold import PartFold

__all__ = ["TrendView"]


class TrendView:
    """Trends of the station on the screen.

    Parameters
    ----------
    make : callable
        Called without arguments for the two pages, only while the fold is open; None where no station is
        picked.
    on_choice : callable
        Called with "change_on" and the date that was entered.
    language : str
        Language of the words.
    """

    def __init__(
        self,
        make: Callable[[], tuple[TrendPage, ChangePage] | None],
        on_choice: Callable[[str, Any], None],
        language: str,
    ) -> None:
        self._make, self._language = make, language
        self.trends, self.change, self.numbers = (ipywidgets.HTML() for _ in range(3))
        self.date = ipywidgets.Text(
            description=say("change_page.date", language=language),
            placeholder=say("change_page.date_hint", language=language),
            continuous_update=False,
        )
        parts = [self.trends, self.numbers, self.date, self.change]
        self.fold = PartFold(say("fold.trends", language=language), parts, self._fill, "trend")
        self.date.observe(lambda change: on_choice("change_on", change["new"]), names="value")

    def _fill(self) -> str:
        made = self._make()
        if made is None:
            return ""
        page, change = made
        self.date.value = change.date
        self.trends.value = sections_html(page.sections)
        title = element("h3", change.title) if change.title else ""
        self.change.value = title + element("p", change.message) + _with_small_heads(change)
        how = sections_html([page.how]) if page.how else ""
        self.numbers.value = (table_html(page.numbers, self._language) if page.numbers else "") + how
        return element("p", page.message or say("trend_page.words", language=self._language))


def _with_small_heads(page: ChangePage) -> str:
    return "".join(
        element("h4", section.title) + "".join(element("p", line) for line in section.lines)
        for section in page.sections
    )
