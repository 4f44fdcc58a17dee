"""What the panels show as a table: a frame, a file for spreadsheets, and HTML that can be read aloud."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import pandas as pd

from explorer.display.choice import Choice
from explorer.display.markup import element, escaped
from explorer.display.numbers import count_text, date_text, display_factor, display_unit, reading_text
from explorer.display.panel_values import PanelPage
from explorer.display.record_facts import SOFTWARE, RecordFacts
from explorer.display.spreadsheet_text import guarded
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = ["readings_csv", "readings_html", "seen_readings"]

MOST_ROWS = 100  # of one panel's HTML table; the file holds all

_TEXTS = ("status", "qualifier", "method", "sample_code", "file_name", "sheet")
_LIMITS = ("detection_limit", "reporting_limit")


def seen_readings(page: StationPage, choice: Choice) -> pd.DataFrame:
    """Return every reading on the panels of a page.

    Parameters
    ----------
    page : StationPage
        The page.
    choice : Choice
        What it was built from: units and language.

    Returns
    -------
    DataFrame, one row a reading, by panel and date
        date; quantity (its name); sign ("" measured, "<" below the value, ">" beyond it); value
        [unit of the row, as on the panel]; unit; shown (the reading in words); in_period (whether it lies in
        the picked period; all do when none is picked); detection_limit and reporting_limit [unit of the row]
        (NaN where there is none); status, qualifier, method, sample_code, file_name, sheet, row.
    """
    panels = [_panel_readings(panel, choice) for panel in page.panels]
    filled = [panel for panel in panels if len(panel)]
    return pd.concat(filled, ignore_index=True) if filled else panels[0]


def _panel_readings(panel: PanelPage, choice: Choice) -> pd.DataFrame:
    readings, quantity = panel.readings, panel.quantity
    factor = display_factor(quantity, choice.length_unit)
    shown = [
        reading_text(value, sign, quantity, choice.length_unit, choice.language)
        for value, sign in zip(readings["value"], readings["sign"], strict=True)
    ]
    return pd.DataFrame(
        {
            "date": readings["taken_on"],
            "quantity": _same(quantity.name, readings),
            "sign": readings["sign"].replace("=", ""),
            "value": readings["value"] * factor,
            "unit": _same(display_unit(quantity, choice.length_unit), readings),
            "shown": pd.Series(shown, index=readings.index, dtype="str"),
            "in_period": readings["inside"].astype(bool),
            **{name: readings[name] * factor for name in _LIMITS},
            **{name: readings[name] for name in _TEXTS},
            "row": readings["row"],
        }
    )


def _same(text: str, readings: pd.DataFrame) -> pd.Series:
    return pd.Series([text] * len(readings), index=readings.index, dtype="str")


def readings_csv(page: StationPage, choice: Choice, facts: RecordFacts) -> bytes:
    """Return every reading on the panels of a page as a file that spreadsheets and pandas open.

    One table, one heading line, cells parted by commas, UTF-8 with a byte order mark. What holds for all rows
    (station, picked period, record, its version, settings, class scheme, software) stands in columns of its
    own, so that files can be put together and nothing is passed over on reading; the long source of the
    scheme's limits is said once, in the last column of the first row. Text that a spreadsheet would take for
    a formula has an apostrophe before it; numbers never do.

    Parameters
    ----------
    page : StationPage
        The page.
    choice : Choice
        What it was built from.
    facts : RecordFacts
        The record it came from.

    Returns
    -------
    bytes
        `pandas.read_csv` reads it without options.
    """
    frame = seen_readings(page, choice)
    frame.insert(0, "station_code", _same(page.station, frame))
    frame.insert(1, "station_name", _same(page.heading, frame))
    picked = f"{choice.period.first_year}-{choice.period.last_year}" if choice.picked else ""
    for name, text in (
        ("picked_period", picked),
        ("class_scheme", page.scheme.name if page.scheme else ""),
        ("record", facts.name),
        ("record_version", str(facts.version)),
        ("settings_hash", facts.settings_hash),
        ("software", SOFTWARE),
    ):
        frame[name] = _same(text, frame)
    source = page.scheme.source if page.scheme else ""
    frame["class_limits_source"] = pd.Series([source, *[""] * (len(frame) - 1)][: len(frame)], dtype="str")
    for name in frame.columns[~frame.dtypes.map(pd.api.types.is_numeric_dtype)].drop("date"):
        frame[name] = frame[name].map(guarded)
    text = frame.to_csv(index=False, lineterminator="\r\n", date_format="%Y-%m-%d", float_format="%.10g")
    return text.encode("utf-8-sig", errors="replace")


def readings_html(page: StationPage, choice: Choice, most: int = MOST_ROWS) -> str:
    """Return a table for each panel of a page, for readers who do not see the panels.

    Parameters
    ----------
    page : StationPage
        The page.
    choice : Choice
        What it was built from.
    most : int
        Rows of one table at most, the newest first; a sentence says how many there are.

    Returns
    -------
    str
        HTML; all text escaped.
    """
    return "".join(_panel_html(panel, choice, most) for panel in page.panels)


def _panel_html(panel: PanelPage, choice: Choice, most: int) -> str:
    language = choice.language
    frame = _panel_readings(panel, choice).iloc[::-1]
    if frame.empty:
        return element("p", f"{panel.title}: {panel.message}", "readings-none")
    caption = say(
        "keep.table_caption", {"title": panel.title, "unit": panel.unit, "value": panel.value}, language
    )
    columns = ["date", "value", "status", "method", "sample", "file"]
    if choice.picked:
        columns.insert(2, "in_period")
    heads = "".join(
        f'<th scope="col">{escaped(say(f"keep.column_{name}", language=language))}</th>' for name in columns
    )
    rows = "".join(_row_html(row, columns, language) for row in _rows(frame.iloc[:most]))
    table = (
        f'<table class="readings-table">{element("caption", caption)}<thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )
    if len(frame) <= most:
        return table
    rest = count_text("keep.table_rest", len(frame), {"shown": most}, language)
    return table + element("p", rest, "readings-rest")


def _rows(frame: pd.DataFrame) -> Iterator[dict[str, Any]]:
    names = list(frame.columns)
    for cells in zip(*(frame[name].tolist() for name in names), strict=True):
        yield dict(zip(names, cells, strict=True))


def _row_html(row: dict[str, Any], columns: list[str], language: str) -> str:
    inside = "yes" if row["in_period"] else "no"
    place = {"file": row["file_name"], "sheet": row["sheet"], "row": row["row"]}
    cells = {
        "value": row["shown"],
        "in_period": say(f"keep.in_period_{inside}", language=language),
        "status": say(f"keep.status_{str(row['status']).replace(' ', '_')}", language=language),
        "method": row["method"],
        "sample": row["sample_code"],
        "file": say("keep.place_in_sheet" if row["sheet"] else "keep.place", place, language),
    }
    date = date_text(np.datetime64(row["date"], "D"), language)
    return (
        f'<tr><th scope="row">{escaped(date)}</th>'
        + "".join(element("td", cells[name]) for name in columns[1:])
        + "</tr>"
    )
