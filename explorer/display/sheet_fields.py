"""What a data sheet asks for: the same fields on paper and in the empty spreadsheet.

The spreadsheet's headings are names that the intake knows, in English: a filled sheet reads back without a
question. What stands on paper comes from the sentences.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import pandas as pd

from explorer.display.numbers import display_unit
from explorer.display.paper_tables import each_row
from explorer.model.places import Lake
from explorer.model.plan import StationPlan
from explorer.model.programme import Programme
from explorer.model.quality_rules import CONTAINER_OF

__all__ = ["SheetField", "VisitSheet", "field_place", "sheet_fields", "visit_sheets"]

# Quantities that have fields of their own.
_OWN_FIELDS = ("secchi_depth", "transparency_tube", "water_temperature")

# The order in which a sheet is filled in; what else is measured at the water stands behind the temperature.
_ORDER = (
    "station", "water", "date", "time", "observer", "line_checked_on", "weather", "secchi_lowered",
    "secchi_raised", "on_bottom", "bottom_depth", "in_plants", "line_too_short", "sunglasses",
    "transparency_tube", "water_temperature", "bottle", "filter", "bottle_duplicate", "filter_duplicate",
    "bottle_blank", "filter_blank", "volume_poured", "volume_topped_up", "volume_filtered", "on_ice_time",
    "remark",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SheetField:
    """A field of a data sheet.

    Attributes
    ----------
    code : str
        Its name.
    heading : str
        Its column in the spreadsheet.
    kind : {"text", "code", "date", "time", "number", "yes or no"}
        What is written into it.
    """

    code: str
    heading: str
    kind: str = "text"


@dataclass(frozen=True, slots=True)
class VisitSheet:
    """A visit's data sheet before anything is written on it.

    Attributes
    ----------
    station, place, water : str
        Code and name of the station, name of its water.
    values : mapping of str to str
        What is filled in already, by field.
    fields : tuple of SheetField
        What is to be filled in there.
    """

    station: str
    place: str
    water: str
    values: Mapping[str, str]
    fields: tuple[SheetField, ...]


def field_place(code: str) -> tuple[int, str]:
    """Return where a field stands among those of a sheet.

    Parameters
    ----------
    code : str
        Code of a field.

    Examples
    --------
    >>> sorted(["remark", "ph", "bottle", "date"], key=field_place)
    ['date', 'ph', 'bottle', 'remark']
    """
    return (_ORDER.index(code), "") if code in _ORDER else (_ORDER.index("water_temperature"), code)


def visit_sheets(
    visits: pd.DataFrame,
    names: Mapping[str, str],
    lakes: Mapping[str, Lake],
    plan: Mapping[str, StationPlan],
    programme: Programme,
) -> tuple[VisitSheet, ...]:
    """Return the data sheet of every planned visit.

    Parameters
    ----------
    visits : DataFrame
        Columns of `PLANNED_VISITS`, and sample_code and blank_code, empty where there is none.
    names : mapping of str to str
        Name of a station by its code.
    lakes : mapping of str to Lake
        Water by the code of a station.
    plan : mapping of str to StationPlan
        What is measured at a station; without it clarity and temperature.
    programme : Programme
        Units of depths, quantities.
    """
    sheets = []
    for visit in each_row(visits):
        code, lake = str(visit.station_code), lakes[str(visit.station_code)]
        day = "" if pd.isna(visit.taken_on) else str(visit.taken_on)[:10]
        values = {
            "station": code,
            "water": lake.name,
            "date": day,
            "time": str(visit.taken_time),
            "observer": str(visit.observer),
            **dict(_containers(visit)),
        }
        fields = sheet_fields(visit, lake, plan.get(code), programme)
        sheets.append(VisitSheet(code, names[code], lake.name, values, fields))
    return tuple(sheets)


def _containers(visit: object) -> Iterator[tuple[str, str]]:
    code, blank = getattr(visit, "sample_code", ""), getattr(visit, "blank_code", "")
    second = getattr(visit, "has_duplicate", False)
    for name, digit, other in (("bottle", 1, 3), ("filter", 2, 4)):
        if getattr(visit, f"has_{name}", False):
            yield name, f"{code}-{digit}"
            if second:
                yield f"{name}_duplicate", f"{code}-{other}"
            if blank:
                yield f"{name}_blank", f"{blank}-{digit}"


def sheet_fields(
    visit: object, lake: Lake, plan: StationPlan | None, programme: Programme
) -> tuple[SheetField, ...]:
    """Return the fields of a visit's sheet, in the order in which they are filled in.

    Parameters
    ----------
    visit : row of `PLANNED_VISITS`
        Which bottles and filters it takes.
    lake : Lake
        A stream has a tube instead of a disk.
    plan : StationPlan, optional
        What is measured there.
    programme : Programme
        Units of depths, quantities.
    """
    unit = programme.length_unit
    filled = dict(_containers(visit))
    quantities = plan.quantities if plan else ("secchi_depth", "water_temperature")
    fields = [
        SheetField("station", "Station", "code"),
        SheetField("water", "Lake"),
        SheetField("date", "Date", "date"),
        SheetField("time", "Time", "time"),
        SheetField("observer", "Observers"),
        SheetField("weather", "Weather"),
    ]
    if lake.kind == "stream":
        fields.append(SheetField("transparency_tube", "Tube (cm)", "number"))
    else:
        fields += [
            SheetField("line_checked_on", "Line checked", "date"),
            SheetField("secchi_lowered", f"Lowered ({unit})", "number"),
            SheetField("secchi_raised", f"Raised ({unit})", "number"),
            SheetField("on_bottom", "On bottom", "yes or no"),
            SheetField("bottom_depth", f"Bottom depth ({unit})", "number"),
            SheetField("in_plants", "In plants", "yes or no"),
            SheetField("line_too_short", "Line too short", "yes or no"),
            SheetField("sunglasses", "Sunglasses", "yes or no"),
        ]
    degrees = "°F" if unit == "ft" else "°C"
    fields.append(SheetField("water_temperature", f"Water temperature ({degrees})", "number"))
    for code in quantities:
        if code not in _OWN_FIELDS and code not in CONTAINER_OF:
            quantity = programme.quantities[code]
            shown = display_unit(quantity, unit)
            behind = "" if shown == quantity.name else f" ({shown})"
            fields.append(SheetField(code, f"{quantity.name}{behind}", "number"))
    fields += [SheetField(name, _HEADINGS[name], "code") for name in _HEADINGS if name in filled]
    if "filter" in filled:
        fields += [
            SheetField("volume_poured", "Poured (mL)", "number"),
            SheetField("volume_topped_up", "Topped up (mL)", "number"),
            SheetField("volume_filtered", "Total filtered (mL)", "number"),
        ]
    if filled:
        fields.append(SheetField("on_ice_time", "On ice at", "time"))
    fields.append(SheetField("remark", "Remarks"))
    return tuple(sorted(fields, key=lambda field: field_place(field.code)))


_HEADINGS = {
    "bottle": "Bottle", "filter": "Filter", "bottle_duplicate": "Second bottle",
    "filter_duplicate": "Second filter", "bottle_blank": "Blank bottle", "filter_blank": "Blank filter",
}  # fmt: skip
