"""Labels for bottles and filters, on the grid of a label sheet."""

import io
from dataclasses import dataclass
from datetime import date

import pandas as pd
import segno

from explorer.display.paper_tables import each_row
from explorer.display.typeset import typeset
from explorer.intake.sample_codes import CONTAINERS
from explorer.model.errors import ExplorerError
from explorer.model.label_stock import PAGES_MM, LabelSheet
from explorer.model.words import say

__all__ = ["Label", "frozen_labels", "labels_of", "labels_pdf", "square_code"]

# Containers of a visit: what the label says, by the digit behind the dash.
BOTTLES_AND_FILTERS = (("1", "has_bottle", False), ("2", "has_filter", False),
                       ("3", "has_bottle", True), ("4", "has_filter", True))  # fmt: skip
QUIET_MODULES = 4  # white around a QR code: ISO/IEC 18004


@dataclass(frozen=True, slots=True)
class Label:
    """A label.

    Attributes
    ----------
    code : str
        Sample code with its container: "250122-1".
    container : str
        What it goes on, in words.
    station : str
        Code of the station that it is meant for.
    """

    code: str
    container: str
    station: str


def labels_of(visits: pd.DataFrame, language: str = "en") -> tuple[Label, ...]:
    """Return the labels of planned visits, in the order in which they are handed out.

    Parameters
    ----------
    visits : DataFrame
        Columns of `PLANNED_VISITS`, and sample_code and blank_code, empty where there is none.
    language : str
        Language of the words.
    """
    labels = []
    for visit in each_row(visits):
        for digit, column, is_second in BOTTLES_AND_FILTERS:
            if getattr(visit, column) and (visit.has_duplicate or not is_second):
                labels.append(_label(f"{visit.sample_code}-{digit}", CONTAINERS[digit], visit, language))
        for digit, column, is_second in BOTTLES_AND_FILTERS:
            if visit.blank_code and getattr(visit, column) and not is_second:
                name = f"blank {CONTAINERS[digit]}"
                labels.append(_label(f"{visit.blank_code}-{digit}", name, visit, language))
    return tuple(labels)


def frozen_labels(samples: pd.DataFrame, language: str = "en") -> tuple[tuple[Label, ...], dict[str, str]]:
    """Return what stands on the labels of containers in the freezer, and the days on which they were taken.

    Parameters
    ----------
    samples : DataFrame
        Columns of `FROZEN_SAMPLES`.
    language : str
        Language of the words.
    """
    rows = sorted(each_row(samples), key=lambda row: str(row.sample_code))
    labels = tuple(_label(row.sample_code, row.container, row, language) for row in rows)
    days = {row.sample_code: "" if pd.isna(row.taken_on) else str(row.taken_on)[:10] for row in rows}
    return labels, days


def _label(code: str, container: str, visit: object, language: str) -> Label:
    word = say(f"labels.{container.replace(' ', '_')}", language=language)
    return Label(code, word, str(getattr(visit, "station_code", "")))


def labels_pdf(
    labels: tuple[Label, ...], sheet: LabelSheet, *, made_on: date, skip: int = 0, language: str = "en"
) -> bytes:
    """Return labels as a tagged PDF, to be printed at their true size.

    Parameters
    ----------
    labels : tuple of Label
        What to print.
    sheet : LabelSheet
        Where labels lie on the page.
    made_on : date
        Day of making.
    skip : int
        Labels of the first sheet that are used already.
    language : str
        Language of the words.

    Raises
    ------
    ExplorerError
        If there are no labels, or a whole sheet and more is to be passed over.
    """
    if not labels:
        raise ExplorerError("No visit takes a bottle or a filter: there are no labels to print.")
    if not 0 <= skip < sheet.count:
        raise ExplorerError(
            f"A sheet has {sheet.count} labels; {skip} cannot be used already. Put in a new one."
        )
    placed: list[dict[str, object]] = []
    for number, label in enumerate(labels, skip):
        page, place = divmod(number, sheet.count)
        row, column = divmod(place, sheet.columns)
        placed.append(
            {
                "page": page,
                "left": sheet.left_mm + column * (sheet.width_mm + sheet.gap_across_mm),
                "top": sheet.top_mm + row * (sheet.height_mm + sheet.gap_down_mm),
                "code": label.code,
                "container": label.container,
                "station": label.station,
                "square": square_code(label.code),
                "alt": say("labels.square", {"code": label.code}, language),
            }
        )
    width, height = PAGES_MM[sheet.page]
    words = {name: say(f"labels.{name}", language=language) for name in ("title", "lake", "date", "time")}
    values = {
        "labels": placed, "width": width, "height": height, "label_width": sheet.width_mm,
        "label_height": sheet.height_mm, "words": words, "language": language,
    }  # fmt: skip
    return typeset("labels", values, made_on=made_on)


def square_code(code: str) -> str:
    """Return a QR code as an SVG drawing, for a scanner that types what it reads.

    Parameters
    ----------
    code : str
        Sample code with its container.

    References
    ----------
    .. [1] ISO/IEC 18004, "QR Code bar code symbology specification"; version 1, correction level M.

    Examples
    --------
    >>> square_code("250122-1").startswith("<svg")
    True
    """
    drawing = io.BytesIO()
    made = segno.make_qr(code, error="m", version=1, boost_error=False)
    made.save(drawing, kind="svg", xmldecl=False, nl=False, border=QUIET_MODULES)
    return drawing.getvalue().decode()
