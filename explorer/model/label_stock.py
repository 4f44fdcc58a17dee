"""Sheets of labels: how large the labels are and where they lie on the page.

In a programme's `programme.toml` one of the known sheets, or the measures of another, each as "63.5 mm" or
"2.625 in":

    [labels]
    sheet = "letter_30"

    [labels]
    page = "a4"
    columns = 3
    rows = 7
    width = "63.5 mm"
    height = "38.1 mm"
    left = "7.2 mm"                     # from the page's edge to the first label
    top = "15.1 mm"
    gap_across = "2.5 mm"               # between labels; without: none
    gap_down = "0 mm"
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from explorer.model.setting_checks import Mistakes, Wrong, check_keys, checked_count, checked_word

__all__ = ["LABEL_SHEETS", "PAGES_MM", "LabelSheet", "read_label_sheet"]

INCH_MM = 25.4
PAGES_MM: Mapping[str, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
LEAST_MM = (45.0, 22.0)  # width and height that code, name and two lines to write on need
MOST_ACROSS = 50
SLACK_MM = 0.6  # printed measures of label sheets are rounded


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels.

    Attributes
    ----------
    page : str
        Paper: "a4" or "letter".
    columns, rows : int
        Labels across and down.
    width_mm, height_mm : float
        Of one label. [mm]
    left_mm, top_mm : float
        From the page's edge to the first label. [mm]
    gap_across_mm, gap_down_mm : float
        Between labels. [mm]

    Examples
    --------
    >>> LABEL_SHEETS["letter_30"].count
    30
    """

    page: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_across_mm: float = 0.0
    gap_down_mm: float = 0.0

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows


# Sizes in which weather- and freezer-proof label sheets are sold (common practice; measure before printing).
LABEL_SHEETS: Mapping[str, LabelSheet] = {
    "letter_30": LabelSheet("letter", 3, 10, 66.675, 25.4, 4.7625, 12.7, 3.175),  # 2 5/8 x 1 in
    "letter_20": LabelSheet("letter", 2, 10, 101.6, 25.4, 3.96875, 12.7, 4.7625),  # 4 x 1 in
    "a4_21": LabelSheet("a4", 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
    "a4_27": LabelSheet("a4", 3, 9, 63.5, 29.6, 7.25, 15.3, 2.5),
}

_MEASURES = ("width", "height", "left", "top", "gap_across", "gap_down")
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|in)")


def read_label_sheet(table: Mapping[str, Any], wrong: Wrong) -> LabelSheet:
    """Return the sheet that the table [labels] of a programme's settings names or measures.

    Parameters
    ----------
    table : mapping
        The table.
    wrong : callable
        Makes the error for a key, empty for the table itself, and what is wrong with it.

    Raises
    ------
    ProgrammeError
        If keys are unknown or measures cannot be read: all of them; or the labels do not fit on the page.

    Examples
    --------
    >>> from explorer.model.setting_place import SettingPlace
    >>> read_label_sheet({"sheet": "a4_21"}, SettingPlace()).count
    21
    """
    mistakes = Mistakes()
    mistakes.read(check_keys, table, ("sheet", "page", "columns", "rows", *_MEASURES), "[labels]", wrong)
    if "sheet" in table:
        with mistakes.gathered():
            if len(table) > 1:
                raise wrong("sheet", "give either the name of a sheet or its measures, not both.")
        named = mistakes.read(checked_word, table, "sheet", "", LABEL_SHEETS, wrong)
        mistakes.refuse()
        return LABEL_SHEETS[named]
    needed = [key for key in ("columns", "rows", *_MEASURES) if not key.startswith("gap")]
    missing = [key for key in needed if key not in table]
    with mistakes.gathered():
        if missing:
            what = f"{', '.join(missing)} is missing. Give all measures of the sheet"
            raise wrong("", f"{what}, or name one of {', '.join(LABEL_SHEETS)}.")
    page = mistakes.read(checked_word, table, "page", "a4", PAGES_MM, wrong)
    bounds = (1, MOST_ACROSS)
    counts = [mistakes.read(checked_count, table, key, 1, bounds, wrong) for key in ("columns", "rows")]
    measures = [mistakes.read(_length_mm, table, key, wrong) for key in _MEASURES if key not in missing]
    mistakes.refuse()
    sheet = LabelSheet(page, *counts, *measures)
    _check_fit(sheet, wrong)
    return sheet


def _length_mm(table: Mapping[str, Any], key: str, wrong: Wrong) -> float:
    text = table.get(key, "0 mm" if key.startswith("gap") else None)
    found = _LENGTH.fullmatch(text.strip()) if isinstance(text, str) else None
    if found is None:
        raise wrong(key, f'found {text!r}. Write a measure with its unit: "63.5 mm" or "2.625 in".')
    return float(found[1]) * (INCH_MM if found[2] == "in" else 1.0)


def _check_fit(sheet: LabelSheet, wrong: Wrong) -> None:
    across = sheet.left_mm + sheet.columns * sheet.width_mm + (sheet.columns - 1) * sheet.gap_across_mm
    down = sheet.top_mm + sheet.rows * sheet.height_mm + (sheet.rows - 1) * sheet.gap_down_mm
    width, height = PAGES_MM[sheet.page]
    small = "a label of {:g} mm is too small for its text; it needs {:g} mm."
    mistakes = Mistakes()
    for key, fails, what in (
        ("width", sheet.width_mm < LEAST_MM[0], small.format(sheet.width_mm, LEAST_MM[0])),
        ("height", sheet.height_mm < LEAST_MM[1], small.format(sheet.height_mm, LEAST_MM[1])),
        ("columns", across > width + SLACK_MM,
         f"the labels reach to {across:g} mm, the page is {width:g} mm wide."),
        ("rows", down > height + SLACK_MM,
         f"the labels reach to {down:g} mm, the page is {height:g} mm high."),
    ):  # fmt: skip
        with mistakes.gathered():
            if fails:
                raise wrong(key, what)
    mistakes.refuse()
