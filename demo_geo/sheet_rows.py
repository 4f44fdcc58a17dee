"""What was written down: each visit's readings as rows of text, with limits, duplicates and blanks."""

import math
from collections.abc import Iterator
from datetime import date, timedelta

from chance import Chance
from lake_model import State, is_profiled_year, profile_at, state_at, tube_from_turbidity
from stories import (
    BAD_BATCH,
    BAD_BATCH_ADDED_UG_PER_L,
    DEEP_READER,
    DEEP_READER_FACTOR,
    FEET_SHEET_LAKE,
    FEET_SHEET_MONTH,
    LABORATORY_CHANGE,
    LABORATORY_CHANGED_YEAR,
    LIMIT_CHANGED_YEAR,
    MARKS,
    NEW_LIMITS,
    OLD_LIMITS,
    SHORT_VOLUME_ML,
    SHORT_VOLUME_MONTH,
    SHORT_VOLUME_STATION,
    TRUE_VOLUME_ML,
)
from visits import Visit

COLUMNS = (
    "station_code", "taken_on", "taken_time", "quantity", "value", "unit", "depth_m", "stratum",
    "detection_limit", "reporting_limit", "qualifier", "status", "sample_code", "sample_type",
    "parent_sample", "method", "batch", "observer", "volume_filtered_ml", "analysed_on", "weather", "remark",
)  # fmt: skip

FOOT_M = 0.3048
TUBE_LENGTH_CM = 120
CHLOROPHYLL_METHOD = "acetone acidified (Ostrel)"
PHOSPHORUS_METHOD = "molybdate (Ostrel)"
NITROGEN_METHODS = ("Kjeldahl and nitrate (Ostrel)", "persulfate (Quenlow)")
CHLOROPHYLL_LIMIT_UG = 0.15  # µg on the filter that the laboratory can tell from none
SAMPLE_DEPTH_M = "0.5"
DELIVERY_DAY = 25  # of the month, after its last visit

Row = dict[str, str]


def sample_code(year: int, serial: int, container: int) -> str:
    """Return year, serial and check digit (ISO/IEC 7064, MOD 11,10), then the container's number.

    Containers: 1 bottle, 2 filter, 3 second bottle, 4 second filter.
    """
    digits = f"{year % 100:02d}{serial:03d}"
    product = 10
    for digit in digits:
        total = (int(digit) + product) % 10 or 10
        product = total * 2 % 11
    return f"{digits}{(11 - product) % 10}-{container}"


def rows_of_visit(visit: Visit) -> Iterator[Row]:
    """Yield every reading of a visit as texts, in the order in which a sheet is filled in."""
    changes = {mark.quantity: mark.changes for mark in MARKS
               if (mark.station, mark.month) == (visit.place.code, visit.month)}  # fmt: skip
    for row in _written(visit):
        is_plain = (row["sample_type"], row["stratum"]) == ("routine", "surface")
        is_marked = is_plain and row["quantity"] in changes
        yield {**row, **changes[row["quantity"]]} if is_marked else row


def _written(visit: Visit) -> Iterator[Row]:
    state = state_at(visit)
    sheet = _sheet(visit)
    yield from _field_rows(visit, state, sheet)
    if visit.second_observer:
        yield _secchi_row(visit, state, sheet, visit.second_observer)
    if visit.place.sampled:
        yield from _laboratory_rows(visit, state, sheet)
    if is_profiled_year(visit.place, visit.day.year) and 5 <= visit.day.month <= 9:
        yield from _profile_rows(visit, state, sheet)


def _sheet(visit: Visit) -> Row:
    """Return what all readings of a visit have in common."""
    remark = "filter topped up once" if _is_short_volume(visit) else ""
    return {
        "station_code": visit.place.code, "taken_on": visit.day.isoformat(), "taken_time": visit.time,
        "stratum": "surface", "status": _status(visit.day), "sample_type": "routine",
        "observer": visit.observer, "weather": visit.weather, "remark": remark,
    }  # fmt: skip


def _is_short_volume(visit: Visit) -> bool:
    return (visit.place.code, visit.month) == (SHORT_VOLUME_STATION, SHORT_VOLUME_MONTH)


def _status(day: date) -> str:
    return "preliminary" if day >= date(2025, 9, 1) else "accepted"


def _row(sheet: Row, quantity: str, value: str, unit: str, **more: str) -> Row:
    return {**sheet, "quantity": quantity, "value": value, "unit": unit, **more}


def _field_rows(visit: Visit, state: State, sheet: Row) -> Iterator[Row]:
    if visit.water.kind == "stream":
        tube_cm = tube_from_turbidity(state.turbidity)
        value = f">{TUBE_LENGTH_CM}" if tube_cm >= TUBE_LENGTH_CM else f"{tube_cm:.0f}"
        yield _row(sheet, "transparency_tube", value, "cm")
    else:
        yield _secchi_row(visit, state, sheet, visit.observer)
    yield _row(sheet, "water_temperature", f"{state.water_temperature:.1f}", "°C", depth_m=SAMPLE_DEPTH_M)
    if visit.place.is_index:
        for quantity in visit.water.staff_quantities:
            yield _row(sheet, quantity, *_staff_text(quantity, state), depth_m=SAMPLE_DEPTH_M)


def _staff_text(quantity: str, state: State) -> tuple[str, str]:
    value = getattr(state, quantity)
    decimals, unit = {
        "dissolved_oxygen": (1, "mg/L"), "ph": (1, "pH"), "conductivity": (0, "µS/cm"),
        "true_colour": (0, "PCU"), "turbidity": (1, "NTU"),
    }[quantity]  # fmt: skip
    return f"{value:.{decimals}f}", unit


def _secchi_row(visit: Visit, state: State, sheet: Row, observer: str) -> Row:
    depth_m = state.secchi_depth * Chance(visit.place.code, visit.day, observer).factor(0.04)
    if observer == DEEP_READER:
        depth_m *= DEEP_READER_FACTOR
    level_m = Chance(visit.water.code, visit.day, "level").normal(0.06)
    bottom_m = visit.place.bottom_depth_m + level_m
    on_bottom = depth_m >= bottom_m
    seen_m = min(depth_m, bottom_m)
    own = {**sheet, "observer": observer}
    if visit.water.length_unit == "ft":
        text, unit = f"{round(2 * seen_m / FOOT_M) / 2:.1f}", "ft"
    elif (visit.water.code, visit.month) == (FEET_SHEET_LAKE, FEET_SHEET_MONTH):
        text, unit = f"{seen_m / FOOT_M:.1f}", "m"
    else:
        text, unit = f"{seen_m:.1f}" if seen_m >= 1 else f"{seen_m:.2f}", "m"
    return _row(own, "secchi_depth", f">{text}" if on_bottom else text, unit)


def _laboratory_rows(visit: Visit, state: State, sheet: Row) -> Iterator[Row]:
    year = visit.day.year
    bottle, filter_ = sample_code(year, visit.sample, 1), sample_code(year, visit.sample, 2)
    yield from _analysed(visit, state, sheet, bottle, filter_)
    if visit.duplicated:
        twice = {**sheet, "sample_type": "field duplicate"}
        codes = sample_code(year, visit.sample, 3), sample_code(year, visit.sample, 4)
        for row in _analysed(visit, state, twice, *codes):
            parent = filter_ if row["quantity"] == "chlorophyll_a" else bottle
            yield {**row, "parent_sample": parent}
    if visit.blank:
        codes = sample_code(year, visit.blank, 1), sample_code(year, visit.blank, 2)
        yield from _blank_rows(visit, {**sheet, "sample_type": "field blank"}, *codes)
    if visit.bottom_sample:
        deep = {**sheet, "stratum": "bottom", "depth_m": f"{visit.place.bottom_depth_m - 1:g}"}
        code = sample_code(year, visit.bottom_sample, 1)
        yield _phosphorus_row(visit, state.bottom_phosphorus, {**deep, "sample_code": code})


def _analysed(visit: Visit, state: State, sheet: Row, bottle: str, filter_: str) -> Iterator[Row]:
    """Yield one set of results; the laboratory's own noise hangs on the container."""
    chance = Chance(bottle, "laboratory")
    wet = {**sheet, "depth_m": SAMPLE_DEPTH_M}
    yield _chlorophyll_row(visit, state.chlorophyll_a * chance.factor(0.06), {**wet, "sample_code": filter_})
    yield _phosphorus_row(visit, state.total_phosphorus * chance.factor(0.04), {**wet, "sample_code": bottle})
    yield _nitrogen_row(visit, state.total_nitrogen * chance.factor(0.03), {**wet, "sample_code": bottle})


def _blank_rows(visit: Visit, sheet: Row, bottle: str, filter_: str) -> Iterator[Row]:
    trace = abs(Chance(bottle, "blank").normal(0.5))
    yield _chlorophyll_row(visit, 0.0, {**sheet, "sample_code": filter_})
    yield _phosphorus_row(visit, trace, {**sheet, "sample_code": bottle})
    yield _nitrogen_row(visit, 0.0, {**sheet, "sample_code": bottle})


def _chlorophyll_row(visit: Visit, true: float, sheet: Row) -> Row:
    written_ml = visit.water.volume_ml
    value = true
    if _is_short_volume(visit):
        written_ml, value = SHORT_VOLUME_ML, true * TRUE_VOLUME_ML / SHORT_VOLUME_ML
    detection = CHLOROPHYLL_LIMIT_UG * 1000 / written_ml
    decimals = 1 if value >= 1 else 2
    return _lab_row(visit, sheet, "chlorophyll_a", value, "µg/L", decimals, (detection, 3 * detection),
                    CHLOROPHYLL_METHOD, volume_filtered_ml=str(written_ml))  # fmt: skip


def _phosphorus_row(visit: Visit, true: float, sheet: Row) -> Row:
    limits = OLD_LIMITS if visit.day.year < LIMIT_CHANGED_YEAR else NEW_LIMITS
    value = true + (BAD_BATCH_ADDED_UG_PER_L if visit.delivery == BAD_BATCH else 0.0)
    decimals = 1 if value < 20 else 0
    return _lab_row(visit, sheet, "total_phosphorus", value, "µg/L", decimals, limits, PHOSPHORUS_METHOD)


def _nitrogen_row(visit: Visit, true: float, sheet: Row) -> Row:
    if visit.day.year < LABORATORY_CHANGED_YEAR:
        return _lab_row(visit, sheet, "total_nitrogen", 10 * round(true / 10), "µg/L", 0, (50.0, 100.0),
                        NITROGEN_METHODS[0])  # fmt: skip
    milligrams = true * LABORATORY_CHANGE / 1000
    return _lab_row(visit, sheet, "total_nitrogen", milligrams, "mg/L", 3, (0.03, 0.06), NITROGEN_METHODS[1])


def _lab_row(
    visit: Visit, sheet: Row, quantity: str, value: float, unit: str, decimals: int,
    limits: tuple[float, float], method: str, **more: str,
) -> Row:  # fmt: skip
    detection, reporting = limits
    shown = float(f"{value:.{decimals}f}")
    below, estimated = shown < detection, detection <= shown < reporting
    received = date(visit.day.year, visit.day.month, DELIVERY_DAY)
    days = Chance(visit.delivery, method, "analysed").whole(1, 2)  # a filter keeps for three and a half weeks
    return _row(
        sheet, quantity, f"<{detection:g}" if below else f"{value:.{decimals}f}", unit,
        detection_limit=f"{detection:g}", reporting_limit=f"{reporting:g}",
        qualifier="U" if below else "J" if estimated else "", method=method, batch=visit.delivery,
        analysed_on=(received + timedelta(days=days)).isoformat(), **more,
    )  # fmt: skip


def _profile_rows(visit: Visit, state: State, sheet: Row) -> Iterator[Row]:
    bottom = visit.place.bottom_depth_m
    step = 2 if bottom > 20 else 1
    depths = [0.5, *(float(depth) for depth in range(1, math.floor(bottom), step))]
    common = {**sheet, "stratum": "profile", "method": "probe"}
    for depth, (temperature, oxygen) in zip(depths, profile_at(visit, state, depths), strict=True):
        at = {**common, "depth_m": f"{depth:g}"}
        yield _row(at, "water_temperature", f"{temperature:.1f}", "°C")
        yield _row(at, "dissolved_oxygen", f"{oxygen:.1f}", "mg/L")
