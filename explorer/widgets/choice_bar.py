"""The menus: what judges, units and scale above the map; text size, colours and background under the page."""

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets

from explorer.display.map_groups import MAP_SHOWS
from explorer.model.classes import ClassScheme
from explorer.model.words import say

__all__ = ["ChoiceBar", "PageBar"]


def _menu(code: str, options: list[tuple[str, Any]]) -> ipywidgets.Dropdown:
    return ipywidgets.Dropdown(description=say(f"choice.{code}"), options=options)


def _options(schemes: Mapping[str, ClassScheme]) -> list[tuple[str, Any]]:
    return [(each.name, key) for key, each in schemes.items()]


class ChoiceBar:
    """The menus above the map.

    Parameters
    ----------
    schemes : mapping of str to ClassScheme
        Schemes to choose from, by key.
    on_choice : callable
        Called with the name of what was chosen ("scheme", "map_shows", "length_unit", "log") and its value.
    """

    def __init__(self, schemes: Mapping[str, ClassScheme], on_choice: Callable[[str, Any], None]) -> None:
        self.menus = {
            "scheme": _menu("scheme", _options(schemes)),
            "map_shows": _menu("map_shows", [(say(f"choice.{code}"), code) for code in MAP_SHOWS]),
            "length_unit": _menu("length_unit", [(say("choice.metres"), "m"), (say("choice.feet"), "ft")]),
            "log": _menu("scale", [(say("choice.log"), True), (say("choice.linear"), False)]),
        }
        for name, menu in self.menus.items():
            menu.observe(lambda change, name=name: on_choice(name, change["new"]), names="value")
        self.widget = ipywidgets.VBox(list(self.menus.values()))
        self.widget.add_class("choice-part")

    def offer(self, schemes: Mapping[str, ClassScheme]) -> None:
        """Offer other schemes than before, and keep the choice where it is still one of them."""
        menu = self.menus["scheme"]
        if list(menu.options) != _options(schemes):
            chosen = menu.value
            with menu.hold_trait_notifications():
                menu.options = _options(schemes)
                menu.value = chosen if chosen in schemes else next(iter(schemes))

    def show(self, **chosen: Any) -> None:
        """Show what is chosen.

        Parameters
        ----------
        **chosen
            Value by name; setting a menu to the value it has calls nobody.
        """
        for name, value in chosen.items():
            self.menus[name].value = value


class PageBar:
    """Text size, colours and background map, behind one button.

    Parameters
    ----------
    on_choice : callable
        Called with "text_size" or "theme" and its value, or "background" and what was typed.
    """

    def __init__(self, on_choice: Callable[[str, Any], None]) -> None:
        self.button = ipywidgets.ToggleButton(description=say("choice.view"))
        self.menus = {
            "text_size": _menu("text_size", [(say("choice.usual"), ""), (say("choice.large"), "large")]),
            "theme": _menu(
                "theme", [(say(f"choice.{each or 'system'}"), each) for each in ("", "light", "dark")]
            ),
            "background": ipywidgets.Text(
                description=say("choice.background"),
                placeholder=say("choice.background_hint", {"z": "{z}", "x": "{x}", "y": "{y}"}),
                continuous_update=False,
            ),
        }
        for name, menu in self.menus.items():
            menu.observe(lambda change, name=name: on_choice(name, change["new"]), names="value")
        caution = ipywidgets.HTML(say("choice.background_caution"))
        self.row = ipywidgets.HBox([*self.menus.values(), caution])
        self.row.layout.display = "none"
        self.button.observe(self._opened, names="value")
        self.row.add_class("page-row")
        self.button.add_class("page-button")

    def show(self, **chosen: str) -> None:
        """Show what is chosen, by name."""
        for name, value in chosen.items():
            self.menus[name].value = value

    def _opened(self, change: Any) -> None:
        self.row.layout.display = "" if change["new"] else "none"
