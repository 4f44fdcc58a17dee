"""The season of 2025 once more, as it came in: two sheets, a freezer log, two laboratory files, a probe's.

The cells say what the record's readings of 2025 say, in each writer's own manner, but for the slips listed
here; every slip is named in the folder's README.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from chance import Chance
from lake_model import profile_at, state_at
from sheet_rows import DELIVERY_DAY, FOOT_M, Row, sample_code
from visits import Visit

SEASON_YEAR = 2025
FERROW_SHEET, POND_SHEET, FREEZER_LOG = "ferrow secchi 2025.csv", "ponds_2025.csv", "freezer log.csv"
NUTRIENT_REPORT, CHLOROPHYLL_REPORT = "report_nutrients_2025.csv", "chlorophyll_2025_long.csv"
PROBE_CASTS = "probe casts 2025.csv"
PROBE_STATION, PROBE_MONTHS = "FER1", (5, 6, 7, 8, 9)


@dataclass(frozen=True)
class Slip:
    """One cell that says something else than the record, or says it in another way than its neighbours.

    `right` is what the cell would say without the slip, `written` what it says.
    """

    file: str
    station: str
    month: str
    column: str
    right: str
    written: str
    remark: str


SLIPS = (
    Slip(FERROW_SHEET, "FER2", "2025-06", "Where", "south bay", "Ferow Tarn S bay", "misspelt"),
    Slip(FERROW_SHEET, "FER3", "2025-07", "Date", "7/11/25", "11/7/25", "day first among month first"),
    Slip(FERROW_SHEET, "FER4", "2025-09", "Date", "9/12/25", "9/31/25", "there is no such day"),
    Slip(FERROW_SHEET, "FER1", "2025-05", "Bottle", "250317-1", "250371-1", "two digits changed places"),
    Slip(FERROW_SHEET, "FER2", "2025-08", "Bottle", "250962-1", "25O962-1", "a letter O for a zero"),
    Slip(FERROW_SHEET, "FER1", "2025-07", "Filter", "250690-2", "", "left out; the freezer log has it"),
    Slip(FERROW_SHEET, "FER1", "2025-10", "Temp F", "58.6", "14.8", "degrees Celsius among Fahrenheit"),
    Slip(FERROW_SHEET, "FER2", "2025-04", "mL", "500", "0.5 L", "another unit"),
    Slip(FERROW_SHEET, "FER1", "2025-06", "mL", "500", "250+250", "the filter was topped up"),
    Slip(FERROW_SHEET, "FER4", "2025-08", "Secchi (ft)", "2'11\"", "35 in", "inches among feet"),
    Slip(FERROW_SHEET, "FER3", "2025-04", "Secchi (ft)", "4'7\"", "4 1/2", "a fraction, to half a foot"),
    Slip(POND_SHEET, "SAL1", "2025-05", "disk m", ">2,4", "visible on bottom", "the bottom stands beside it"),
    Slip(POND_SHEET, "SAL1", "2025-06", "disk m", ">2,5", "VOB", "visible on bottom, shortened"),
    Slip(POND_SHEET, "SAL1", "2025-08", "water °C", "22,0", "220", "the comma is missing"),
    Slip(POND_SHEET, "TAR1", "2025-06", "pond", "TAR1", "TAR-1", "almost the code"),
    Slip(POND_SHEET, "TAR1", "2025-08", "pond", "TAR1", "Tarick Pond", "a name, misspelt"),
    Slip(POND_SHEET, "GRE2", "2025-08", "pond", "GRE2", "GR2", "a letter is missing"),
    Slip(POND_SHEET, "TAR1", "2025-09", "date", "10.09.25", "10.09.", "the year is missing"),
    Slip(POND_SHEET, "GRE1", "2025-05", "disk m", "0,55", "55 cm", "another unit"),
    Slip(POND_SHEET, "GRE2", "2025-09", "disk m", "0,35", "0.35", "a point among commas"),
    Slip(POND_SHEET, "TAR1", "2025-07", "disk m", "2,5", "2,5?", "a question mark behind it"),
    Slip(POND_SHEET, "GRE1", "2025-08", "volume", "100", "0,1 L", "another unit"),
    Slip(POND_SHEET, "GRE1", "2025-09", "sample", "251060", "251600", "two digits changed places"),
    Slip(POND_SHEET, "SAL1", "2025-09", "remarks", "", "=fewer weeds than last year", "text, no formula"),
    Slip(FREEZER_LOG, "FER2", "2025-08", "filter", "250962-2", "250926-2", "two digits changed places"),
    Slip(FREEZER_LOG, "SAL1", "2025-06", "bottle", "250456-1", "", "missing from the log"),
    Slip(FREEZER_LOG, "TAR1", "2025-07", "days late", "0", "3", "the filter lay in the cooler and thawed"),
    Slip(NUTRIENT_REPORT, "FER1", "2025-06", "TP", "27", "0.027 mg/L", "another unit"),
    Slip(NUTRIENT_REPORT, "FER1", "2025-09", "TP", "ND", "ND", "no limit: nothing can be stored"),
    Slip(NUTRIENT_REPORT, "GRE1", "2025-07", "TN", "1.842", "1842", "µg/L among mg/L"),
    Slip(NUTRIENT_REPORT, "SAL1", "2025-07", "Your no.", "250665-1", "250665", "without its container"),
    Slip(CHLOROPHYLL_REPORT, "FER1", "2025-08", "SampleID", "250946-2", "250946 2", "a blank for the dash"),
    Slip(CHLOROPHYLL_REPORT, "TAR1", "2025-05", "SampleID", "250278-2", "250287-2", "digits changed places"),
    Slip(CHLOROPHYLL_REPORT, "FER2", "2025-07", "Units", "ug/L", "mg/m3", "the same in another spelling"),
    Slip(PROBE_CASTS, "FER1", "2025-08", "In air after", "98.9 %", "91.2 %", "the probe drifted meanwhile"),
)  # fmt: skip


def season_files(pairs: Iterable[tuple[Visit, list[Row]]]) -> dict[str, bytes]:
    """Return the six files by name, from the season's visits and what was read on them."""
    of_year = [(visit, rows) for visit, rows in pairs if visit.day.year == SEASON_YEAR]
    ferrow = [each for each in of_year if each[0].water.code == "FER"]
    ponds = [each for each in of_year if each[0].water.code in ("SAL", "TAR", "GRE")]
    ponds.sort(key=lambda each: (each[0].water.code, each[0].day, each[0].place.code))
    return {
        FERROW_SHEET: b"\xef\xbb\xbf" + ferrow_sheet(ferrow).encode(),
        POND_SHEET: pond_sheet(ponds).encode("cp1252"),
        FREEZER_LOG: freezer_log([*ferrow, *ponds]).encode(),
        NUTRIENT_REPORT: nutrient_report([*ferrow, *ponds]).encode(),
        CHLOROPHYLL_REPORT: chlorophyll_report([*ferrow, *ponds]).encode(),
        PROBE_CASTS: probe_casts([visit for visit, _ in ferrow]).encode(),
    }


def _slipped(file: str, visit: Visit, cells: dict[str, str]) -> dict[str, str]:
    """Return the cells with this visit's slips in them, each of which must replace what it names."""
    written = dict(cells)
    for slip in SLIPS:
        if (slip.file, slip.station, slip.month) != (file, visit.place.code, visit.month):
            continue
        if slip.column in cells:
            if cells[slip.column] != slip.right:
                raise ValueError(
                    f"{slip} does not fit: the cell says {cells[slip.column]!r}. Correct the table."
                )
            written[slip.column] = slip.written
    return written


def _slip(file: str, visit: Visit, column: str, text: str) -> str:
    return _slipped(file, visit, {column: text})[column]


def _csv(lines: Iterable[Sequence[str]], separator: str = ",") -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(lines)
    return text.getvalue()


def _routine(rows: list[Row], quantity: str) -> str:
    return next(row["value"] for row in rows if row["quantity"] == quantity and _is_routine(row))


def _is_routine(row: Row) -> bool:
    return row["sample_type"] == "routine" and row["stratum"] == "surface"


def feet_and_inches(depth_m: float, manner: int) -> str:
    """Return a depth as people write it: 5'7", 5 ft 7, 5' 7", 5.58."""
    inches = round(depth_m / FOOT_M * 12)
    feet, rest = divmod(inches, 12)
    return (f"{feet}'{rest}\"", f"{feet} ft {rest}", f"{feet}' {rest}\"", f"{inches / 12:.2f}")[manner]


def ferrow_sheet(pairs: list[tuple[Visit, list[Row]]]) -> str:
    """Return a sheet in feet, inches and Fahrenheit, month first, with names for stations."""
    lines: list[list[str]] = [["Ferrow Tarn 2025", "", "", ""], []]
    typed: dict[str, list[str]] = {}
    for visit, rows in pairs:
        sampled, day = visit.sample > 0, visit.day
        depth, celsius = float(_routine(rows, "secchi_depth")), float(_routine(rows, "water_temperature"))
        cells = {
            "Where": visit.place.name.split(", ")[1],
            "Date": f"{day.month}/{day.day}/{day:%y}",
            "Time": visit.time,
            "Secchi (ft)": feet_and_inches(depth, Chance(visit.place.code, day, "manner").whole(0, 3)),
            "Temp F": f"{celsius * 1.8 + 32:.1f}",
            "Bottle": sample_code(day.year, visit.sample, 1) if sampled else "",
            "Filter": sample_code(day.year, visit.sample, 2) if sampled else "",
            "mL": str(visit.water.volume_ml) if sampled else "",
            "Name": visit.observer,
            "Sky": visit.weather,
            "Notes": "took two of each" if visit.duplicated else "",
        }
        typed[f"{visit.place.code} {visit.month}"] = list(_slipped(FERROW_SHEET, visit, cells).values())
        heading = list(cells)
    twice = typed["FER2 2025-05"]
    lines += [heading, *typed.values(), [], twice, [], ["Average", "", "", "4.7", "", "", "", "", "", "", ""]]
    return _csv(lines)


def pond_sheet(pairs: list[tuple[Visit, list[Row]]]) -> str:
    """Return a sheet with semicolons, decimal commas and the day first."""
    lines: list[list[str]] = []
    for visit, rows in pairs:
        sampled = visit.sample > 0
        bottom_m = _routine(rows, "secchi_depth").lstrip(">") if visit.water.code == "SAL" else ""
        cells = {
            "pond": visit.place.code,
            "date": f"{visit.day:%d.%m.%y}",
            "hour": visit.time.replace(":", "h"),
            "disk m": _routine(rows, "secchi_depth").replace(".", ","),
            "bottom m": bottom_m.replace(".", ",") if visit.month in ("2025-05", "2025-06") else "",
            "water °C": _routine(rows, "water_temperature").replace(".", ","),
            "sample": sample_code(visit.day.year, visit.sample, 1)[:-2] if sampled else "",
            "volume": str(visit.water.volume_ml) if sampled else "",
            "observer": visit.observer,
            "weather": visit.weather,
            "remarks": "",
        }
        if not lines:
            lines.append(list(cells))
        lines.append(list(_slipped(POND_SHEET, visit, cells).values()))
    return _csv(lines, ";")


def _containers(visit: Visit) -> list[tuple[str, int, int]]:
    """Return kind, serial and container number of everything filled on a visit."""
    filled = [("bottle", visit.sample, 1), ("filter", visit.sample, 2)] if visit.sample else []
    if visit.duplicated:
        filled += [("second bottle", visit.sample, 3), ("second filter", visit.sample, 4)]
    if visit.blank:
        filled += [("blank bottle", visit.blank, 1), ("blank filter", visit.blank, 2)]
    return filled + ([("deep bottle", visit.bottom_sample, 1)] if visit.bottom_sample else [])


def freezer_log(pairs: list[tuple[Visit, list[Row]]]) -> str:
    """Return when each container went into the freezer and when it left for the laboratory."""
    lines = [["container", "in", "freezer °C", "out", "remark"]]
    for visit, _ in sorted(pairs, key=lambda pair: (pair[0].day, pair[0].place.code)):
        days_late = int(_slip(FREEZER_LOG, visit, "days late", "0"))
        for kind, serial, number in _containers(visit):
            code = _slip(FREEZER_LOG, visit, kind, sample_code(visit.day.year, serial, number))
            late = days_late if kind == "filter" else 0
            if code:
                came_in = visit.day + timedelta(days=late)
                degrees = "-4" if late else str(-20 - Chance(code, "freezer").whole(0, 3))
                remark = "left in the cooler over the weekend" if late else ""
                lines.append(
                    [code, came_in.isoformat(), degrees, f"{visit.day:%Y-%m}-{DELIVERY_DAY}", remark]
                )
    lines.append(["251999-1", "2025-09-19", "-21", "2025-09-25", "no name on the bag"])
    return _csv(lines)


def _results(rows: list[Row], quantity: str) -> list[Row]:
    return [row for row in rows if row["quantity"] == quantity and row.get("sample_code")]


def nutrient_report(pairs: list[tuple[Visit, list[Row]]]) -> str:
    """Return a report with a letterhead, two rows of headings and one column a quantity."""
    lines = [
        ["Quenlow and Ostrel laboratories", "Report of results"],
        ["Sent by", "Vellory District volunteer lake programme"],
        [],
        ["Lab no.", "Your no.", "Received", "TP", "TN"],
        ["", "", "", "ug/L as P", "mg/L as N"],
    ]
    for visit, rows in pairs:
        nitrogen = {row["sample_code"]: row for row in _results(rows, "total_nitrogen")}
        for row in _results(rows, "total_phosphorus"):
            other = nitrogen.get(row["sample_code"])
            cells = {
                "Your no.": row["sample_code"],
                "Received": f"{visit.day:%Y-%m}-{DELIVERY_DAY}",
                "TP": f"{row['value']} {row.get('qualifier', '').replace('U', '')}".strip(),
                "TN": other["value"] if other else "",
            }
            if _is_routine(row):
                cells = _slipped(NUTRIENT_REPORT, visit, cells)
            lines.append([f"{len(lines) - 4:04d}", *cells.values()])
    lines += [[], ["J", "between detection limit (TP 2, TN 0.03) and reporting limit (TP 4, TN 0.06)"]]
    return _csv([*lines, ["ND", "not detected"]])


def chlorophyll_report(pairs: list[tuple[Visit, list[Row]]]) -> str:
    """Return one row a result; where nothing was found the limit stands as the result, with a U."""
    lines = [["SampleID", "Analyte", "Result", "Flag", "MDL", "RL", "Units", "Analysis_Date", "mL"]]
    for visit, rows in pairs:
        for row in _results(rows, "chlorophyll_a"):
            cells = {"SampleID": row["sample_code"], "Units": "ug/L"}
            if _is_routine(row):
                cells = _slipped(CHLOROPHYLL_REPORT, visit, cells)
            limits = [row["detection_limit"], row["reporting_limit"]]
            day = date.fromisoformat(row["analysed_on"])
            end = [*limits, cells["Units"], f"{day:%Y%m%d}", row["volume_filtered_ml"]]
            result, flag = row["value"].lstrip("<"), row.get("qualifier", "")
            lines.append([cells["SampleID"], "Chlorophyll a (corrected)", result, flag, *end])
            if flag != "U":
                pheophytin = (0.12 + Chance(row["sample_code"], "pheophytin").normal(0.08)) * float(result)
                lines.append(
                    [cells["SampleID"], "Pheophytin a", f"{round(pheophytin, 1) + 0.0:.1f}", "", *end]
                )
            else:
                lines.append([cells["SampleID"], "Pheophytin a", "ND", "", *end])
    return _csv(lines)


def probe_casts(visits: Iterable[Visit]) -> str:
    """Return the staff's casts: a row a depth, with the check in moist air before and after each."""
    lines: list[list[str]] = []
    for visit in visits:
        if visit.place.code != PROBE_STATION or visit.day.month not in PROBE_MONTHS:
            continue
        chance = Chance(visit.place.code, visit.day, "air check")
        before, after = (f"{100 + chance.normal(0.8):.1f} %" for _ in range(2))
        depths = [0.5, *(float(depth) for depth in range(1, int(visit.place.bottom_depth_m)))]
        for depth, (celsius, oxygen) in zip(depths, profile_at(visit, state_at(visit), depths), strict=True):
            cells = {
                "Station": visit.place.code,
                "Date": visit.day.isoformat(),
                "Time": visit.time,
                "Depth (m)": f"{depth:g}",
                "Temp (C)": f"{celsius:.1f}",
                "DO (mg/L)": f"{oxygen:.1f}",
                "Calibrated": visit.day.isoformat(),
                "In air before": before,
                "In air after": after,
            }
            if not lines:
                lines.append(list(cells))
            lines.append(list(_slipped(PROBE_CASTS, visit, cells).values()))
    return _csv(lines)
