"""The readings on a station's panels: the one under the pointer, and all of them as a list to pick from."""

from dataclasses import dataclass

import numpy as np

from explorer.display.choice import Choice
from explorer.display.numbers import date_text, reading_text
from explorer.display.origin_page import OriginPage
from explorer.display.panel_values import PanelPage
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = [
    "ReadingChoice",
    "build_reading_choice",
    "reading_at",
    "reading_entries",
    "reading_line",
    "reading_near",
]

NEAR_WIDTH, NEAR_HEIGHT = 0.02, 0.12  # [1] of the panel: how near the pointer must be to a reading


@dataclass(frozen=True, slots=True)
class ReadingChoice:
    """The readings of a station to pick from, and what lies behind the picked one.

    Attributes
    ----------
    quantities : tuple of (str, int)
        Name and position of every panel that has readings; before them an entry with -1 while the picked
        reading stands on no panel.
    panel : int
        The panel whose readings are listed; -1 where none has any, or the picked reading stands on none.
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


def reading_at(page: StationPage, reading_id: int) -> tuple[int, int] | None:
    """Return on which panel of a page a reading stands, and its row there; None where it is on none.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    reading_id : int
        Id of a reading, 0 for none.
    """
    for number, panel in enumerate(page.panels):
        rows = np.flatnonzero(panel.readings["reading_id"].to_numpy() == reading_id)
        if rows.size:
            return number, int(rows[0])
    return None


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
    at = reading_at(page, reading_id)
    quantities = tuple((page.panels[number].title, number) for number in filled)
    if at is None and origin is not None:
        elsewhere = (say("origin.on_no_panel", language=choice.language), -1)
        return ReadingChoice((elsewhere, *quantities), -1, ((origin.title, reading_id),), reading_id, origin)
    shown = at[0] if at else next(iter(filled), -1)
    return ReadingChoice(
        quantities=quantities,
        panel=shown,
        readings=reading_entries(page.panels[shown], choice) if shown >= 0 else (),
        reading_id=reading_id if at else None,
        origin=origin,
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


def reading_near(page: StationPage, panel: int, across: float, up: float) -> int | None:
    """Return the reading under the pointer.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    panel : int
        Position of the panel.
    across, up : float
        The pointer's place in the panel, from its left and its lower edge. [1]

    Returns
    -------
    int or None
        Row in the panel's readings; None where no reading is near.
    """
    readings = page.panels[panel].readings
    if readings.empty:
        return None
    width = page.last_year + 1 - page.first_year
    right = ((readings["when"].to_numpy() - page.first_year) / width - across) / NEAR_WIDTH
    above = (readings["place"].to_numpy() - up) / NEAR_HEIGHT
    distance = np.where(np.isnan(above), np.inf, right**2 + above**2)
    row = int(np.argmin(distance))
    return row if distance[row] <= 1 else None


def reading_line(panel: PanelPage, row: int, choice: Choice) -> str:
    """Return what is said of a reading of a panel: date, value, unit, and what it is where it is no value.

    Parameters
    ----------
    panel : PanelPage
        One panel.
    row : int
        Row in its readings.
    choice : Choice
        Units and language.
    """
    reading = panel.readings.iloc[row]
    line = say(
        "reading.line",
        {
            "date": date_text(reading["taken_on"].to_datetime64(), choice.language),
            "value": reading_text(
                reading["value"], reading["sign"], panel.quantity, choice.length_unit, choice.language
            ),
        },
        choice.language,
    )
    if reading["status"] == "held":
        return say("reading.held", {"line": line}, choice.language)
    if reading["sign"] == ">" and panel.quantity.unit == "m":
        return say("reading.on_bottom", {"line": line}, choice.language)
    if reading["sign"] == "<":
        return say("reading.below_limit", {"line": line}, choice.language)
    return line
