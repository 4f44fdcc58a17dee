"""The readings on a station's panels as a list to pick from."""

from dataclasses import dataclass

from explorer.display.choice import Choice
from explorer.display.numbers import date_text, reading_text
from explorer.display.origin_page import OriginPage
from explorer.display.panel_values import PanelPage
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = ["ReadingChoice", "build_reading_choice", "reading_entries", "reading_panel"]


@dataclass(frozen=True, slots=True)
class ReadingChoice:
    """The readings of a station to pick from, and what lies behind the picked one.

    Attributes
    ----------
    quantities : tuple of (str, int)
        Name and position of every panel that has readings.
    panel : int
        The panel whose readings are listed; -1 where none has any.
    readings : tuple of (str, int)
        What each is called, and its id, the latest first.
    reading_id : int or None
        The picked reading, None for none.
    origin : OriginPage or None
        What lies behind it.
    """

    quantities: tuple[tuple[str, int], ...]
    panel: int
    readings: tuple[tuple[str, int], ...]
    reading_id: int | None
    origin: OriginPage | None


def reading_panel(page: StationPage, reading_id: int) -> int:
    """Return on which panel of a page a reading stands, -1 where it is on none.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    reading_id : int
        Id of a reading, 0 for none.
    """
    for number, panel in enumerate(page.panels):
        if (panel.readings["reading_id"] == reading_id).any():
            return number
    return -1


def build_reading_choice(
    page: StationPage, choice: Choice, reading_id: int, origin: OriginPage | None
) -> ReadingChoice:
    """Return the readings of a page to pick from.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    choice : Choice
        Units and language.
    reading_id : int
        The picked reading, 0 for none.
    origin : OriginPage or None
        What lies behind it.
    """
    filled = [number for number, panel in enumerate(page.panels) if len(panel.readings)]
    panel = reading_panel(page, reading_id)
    shown = panel if panel >= 0 else next(iter(filled), -1)
    return ReadingChoice(
        quantities=tuple((page.panels[number].title, number) for number in filled),
        panel=shown,
        readings=reading_entries(page.panels[shown], choice) if shown >= 0 else (),
        reading_id=reading_id if panel >= 0 else None,
        origin=origin if panel >= 0 else None,
    )


def reading_entries(panel: PanelPage, choice: Choice) -> tuple[tuple[str, int], ...]:
    """Return what the readings of a panel are called in a list, and their ids, the latest first.

    Parameters
    ----------
    panel : PanelPage
        One panel.
    choice : Choice
        Units and language.
    """
    columns = (panel.readings[name].tolist() for name in ("value", "sign", "status", "reading_id"))
    days = panel.readings["taken_on"].to_numpy()
    entries = []
    for day, value, sign, status, number in zip(days, *columns, strict=True):
        values = {
            "date": date_text(day, choice.language),
            "value": reading_text(value, sign, panel.quantity, choice.length_unit, choice.language),
        }
        line = say("reading.line", values, choice.language)
        held = say("reading.held", {"line": line}, choice.language)
        entries.append((held if status == "held" else line, int(number)))
    return tuple(reversed(entries))
