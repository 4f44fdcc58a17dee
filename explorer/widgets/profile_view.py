"""The fold of depth profiles: a menu of days, one of quantities, and what they show."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from explorer.display.markup import element
from explorer.display.profile_page import ProfilePage
from explorer.display.profile_picture import day_html, seasons_html
from explorer.model.words import say
from explorer.widgets.part_fold import PartFold, offer

__all__ = ["ProfileView"]


class ProfileView:
    """Depth profiles of the station on the screen.

    Parameters
    ----------
    make : callable
        Called without arguments for the page, only while the fold is open; None where no station is picked.
    on_choice : callable
        Called with "profile_visit" and a visit's id, or "profile_quantity" and a quantity's code.
    language : str
        Language of the words.
    """

    def __init__(
        self, make: Callable[[], ProfilePage | None], on_choice: Callable[[str, Any], None], language: str
    ) -> None:
        self._make, self._language = make, language
        self._on_choice = on_choice
        self.days = ipywidgets.Dropdown(description=say("profile.day", language=language))
        self.quantities = ipywidgets.Dropdown(description=say("profile.quantity", language=language))
        self.day, self.seasons = ipywidgets.HTML(), ipywidgets.HTML()
        parts = [self.days, self.day, self.quantities, self.seasons]
        self.fold = PartFold(say("fold.profiles", language=language), parts, self._fill, "profile")
        self.days.observe(self._day_chosen, names="value")
        self.quantities.observe(self._quantity_chosen, names="value")

    def _day_chosen(self, change: Any) -> None:
        self._on_choice("profile_visit", change["new"])

    def _quantity_chosen(self, change: Any) -> None:
        self._on_choice("profile_quantity", change["new"])

    def _fill(self) -> str:
        page = self._make()
        shown = page is not None and page.day is not None and page.seasons is not None
        for part in (self.days, self.day, self.quantities, self.seasons):
            part.layout.display = "" if shown else "none"
        if page is None or page.day is None or page.seasons is None:
            return element("p", page.message) if page else ""
        offer(self.days, page.days, page.day.visit_id, self._day_chosen)
        offer(self.quantities, page.quantities, page.seasons.code, self._quantity_chosen)
        self.day.value, self.seasons.value = day_html(page.day), seasons_html(page.seasons)
        return element("p", say("profile.words", language=self._language))
