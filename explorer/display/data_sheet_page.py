"""Blank data sheets for the boat, a page a visit, as a tagged PDF."""

from collections.abc import Sequence
from datetime import date

from explorer.display.sheet_fields import VisitSheet
from explorer.display.typeset import typeset
from explorer.model.programme import Programme
from explorer.model.words import say, word_codes

__all__ = ["data_sheets_pdf"]

# Fields by the act in which they are filled in; whatever is not named here is measured at the water.
_GROUPS = {
    "who": ("date", "time", "observer", "line_checked_on", "weather"),
    "disk": ("secchi_lowered", "secchi_raised", "on_bottom", "bottom_depth", "in_plants", "line_too_short",
             "sunglasses"),
    "tube": ("transparency_tube",),
    "water": ("water_temperature",),
    "samples": ("bottle", "filter", "bottle_duplicate", "filter_duplicate", "bottle_blank", "filter_blank"),
    "filtering": ("volume_poured", "volume_topped_up", "volume_filtered"),
    "ice": ("on_ice_time",),
    "remark": ("remark",),
}  # fmt: skip
_WIDE = ("observer", "weather", "remark")


def data_sheets_pdf(sheets: Sequence[VisitSheet], programme: Programme, *, made_on: date) -> bytes:
    """Return a page for every visit, with what is known filled in and lines for the rest.

    Parameters
    ----------
    sheets : sequence of VisitSheet
        Visits.
    programme : Programme
        Its name, language and paper.
    made_on : date
        Day of making.
    """
    language = programme.office_language
    values = {
        "sheets": [_page(sheet, language) for sheet in sheets],
        "programme": programme.name,
        "paper": "us-letter" if programme.label_sheet.page == "letter" else "a4",
        "language": language,
        "words": {
            code.partition(".")[2]: say(code, language=language)
            for code in word_codes(language)
            if code.startswith("data_sheet.")
        },
        "swimming": say("caution.swimming", language=language),
    }
    return typeset("data_sheet", values, made_on=made_on)


def _page(sheet: VisitSheet, language: str) -> dict[str, object]:
    known = {code: group for group, codes in _GROUPS.items() for code in codes}
    names = set(word_codes(language))
    groups: dict[str, list[dict[str, object]]] = {group: [] for group in _GROUPS}
    for field in sheet.fields:
        if field.code in ("station", "water"):
            continue
        code = f"data_sheet.field_{field.code}"
        unit = field.heading[field.heading.rindex("(") + 1 : -1] if field.heading.endswith(")") else ""
        groups[known.get(field.code, "water")].append(
            {
                "name": say(code, language=language) if code in names else field.heading.partition(" (")[0],
                "unit": unit,
                "kind": field.kind,
                "value": sheet.values.get(field.code, ""),
                "wide": field.code in _WIDE,
            }
        )
    return {
        "station": sheet.station,
        "place": sheet.place,
        "groups": [{"name": group, "fields": fields} for group, fields in groups.items() if fields],
    }
