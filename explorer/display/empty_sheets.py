"""Empty data sheets as spreadsheets: a row a visit, stations and codes filled in, read back by the intake."""

import csv
import io
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from explorer.display.sheet_fields import SheetField, VisitSheet, field_place
from explorer.display.spreadsheet_text import guarded

__all__ = ["sheet_columns", "sheet_csv", "sheet_workbook"]

# How a spreadsheet shows what is typed: text stays text, a date is shown as it was taken.
_FORMATS = {
    "text": "@",
    "code": "@",
    "date": "yyyy-mm-dd",
    "time": "hh:mm",
    "number": "General",
    "yes or no": "@",
}
_LEAST_WIDTH, _MOST_WIDTH = 8, 24
_WIDE = ("weather", "remark", "observer")
SHEET_NAME = "Data sheet"


def sheet_columns(sheets: Sequence[VisitSheet]) -> tuple[SheetField, ...]:
    """Return the columns of a spreadsheet for several visits: every field that one of them has.

    Parameters
    ----------
    sheets : sequence of VisitSheet
        Visits.
    """
    fields = {field.code: field for sheet in sheets for field in sheet.fields}
    return tuple(sorted(fields.values(), key=lambda field: field_place(field.code)))


def sheet_csv(sheets: Sequence[VisitSheet]) -> bytes:
    """Return the empty data sheet of some visits as text that spreadsheets open.

    Parameters
    ----------
    sheets : sequence of VisitSheet
        Visits.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, cells parted by commas.
    """
    columns = sheet_columns(sheets)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([guarded(field.heading) for field in columns])
    writer.writerows([guarded(sheet.values.get(field.code, "")) for field in columns] for sheet in sheets)
    return out.getvalue().encode("utf-8-sig", errors="replace")


def sheet_workbook(sheets: Sequence[VisitSheet], *, made_on: date) -> bytes:
    """Return the empty data sheet of some visits as a workbook.

    Columns of dates show what was taken for a date; columns of codes and texts never turn it into anything
    else. A text that begins like a formula is kept as text.

    Parameters
    ----------
    sheets : sequence of VisitSheet
        Visits.
    made_on : date
        Day of making.
    """
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.worksheet.datavalidation import DataValidation

    columns = sheet_columns(sheets)
    book = Workbook()
    page = book.active
    page.title = SHEET_NAME
    for place, field in enumerate(columns, 1):
        head = page.cell(1, place, field.heading)
        head.data_type, head.font = "s", Font(bold=True)
        letter = head.column_letter
        wide = _MOST_WIDTH if field.code in _WIDE else min(_MOST_WIDTH, len(field.heading) + 2)
        page.column_dimensions[letter].width = max(_LEAST_WIDTH, wide)
        if field.kind == "yes or no" and sheets:
            choice = DataValidation(type="list", formula1='"yes,no"', allow_blank=True)
            page.add_data_validation(choice)
            choice.add(f"{letter}2:{letter}{len(sheets) + 1}")
        for row, sheet in enumerate(sheets, 2):
            _fill(page.cell(row, place), field, sheet.values.get(field.code, ""))
    page.freeze_panes = "C2"
    stamp = book.properties
    stamp.creator = "station-explorer"
    stamp.created = stamp.modified = datetime(made_on.year, made_on.month, made_on.day)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(cell: Any, field: SheetField, text: str) -> None:
    cell.number_format = _FORMATS[field.kind]
    if text and field.kind == "date":
        cell.value = date.fromisoformat(text)
        cell.number_format = _FORMATS["date"]
    elif text:
        cell.value = text
        cell.data_type = "s"
