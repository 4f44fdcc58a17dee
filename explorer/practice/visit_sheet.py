"""The invented lake of the whole visit, its labels, and the data sheet that comes out of it as bytes."""

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from random import Random

from explorer.intake.sample_codes import sample_code
from explorer.model.places import Lake, Station
from explorer.practice.cold_day import ColdState
from explorer.practice.disk_state import DiskReading, DiskState
from explorer.practice.filtering_deeds import FilteringState
from explorer.practice.turn import PracticeState

__all__ = [
    "PRACTICE_LAKE",
    "PRACTICE_STATION",
    "PRACTICE_YEAR",
    "VisitLabels",
    "draw_labels",
    "sheet_bytes",
    "visit_cells",
]

PRACTICE_YEAR = 2025  # of all invented visits

# Invented, and placed where no land is.
PRACTICE_LAKE = Lake("PRA", "Practice Mere", "lake", frozenset(), 0.6, 180.0, 18.0)
PRACTICE_STATION = Station("PRA1", "Practice Mere, middle", "PRA", -30.4, 45.3, 18.0, True)


@dataclass(frozen=True, slots=True)
class VisitLabels:
    """What the programme has printed for one visit.

    Attributes
    ----------
    day : date
        Day of the visit.
    time : str
        Time of the disk reading, "HH:MM".
    bottle, filter : str
        Sample codes on the labels.
    """

    day: date
    time: str
    bottle: str
    filter: str


def draw_labels(seed: int) -> VisitLabels:
    """Return the labels of a seed.

    Parameters
    ----------
    seed : int
        Any whole number.

    Examples
    --------
    >>> draw_labels(1).bottle[:6] == draw_labels(1).filter[:6]
    True
    """
    draw = Random(f"visit {seed}")
    day, serial = date(PRACTICE_YEAR, draw.randint(5, 9), draw.randint(1, 28)), draw.randint(1, 999)
    time = f"{draw.randint(10, 15):02d}:{draw.randint(0, 11) * 5:02d}"
    return VisitLabels(day, time, sample_code(day.year, serial, 1), sample_code(day.year, serial, 2))


def visit_cells(
    labels: VisitLabels, parts: Iterable[PracticeState], written: Mapping[str, str]
) -> dict[str, str]:
    """Return headings and cells of the data sheet, as far as they are written.

    Parameters
    ----------
    labels : VisitLabels
        Day and time of the visit.
    parts : iterable of PracticeState
        Where the parts of the visit stand; those of disk, filtering and cold day are asked.
    written : mapping of str to str
        Cells that the learner wrote on the sheet itself.

    Examples
    --------
    >>> visit_cells(draw_labels(1), (), {"Observer": "Ada"})["Observer"]
    'Ada'
    """
    cells = {"Station": PRACTICE_STATION.code, "Date": labels.day.isoformat(), "Time": labels.time}
    for part in parts:
        if isinstance(part, DiskState):
            reading = part.readings[-1] if part.readings else None
            sign = "> " if reading and reading.on_bottom else ""
            cells[f"Secchi ({part.line.unit})"] = f"{sign}{reading.text}" if reading else ""
            cells["Bottom depth (m)"] = f"{_sounded_m(part, reading):.2f}" if reading else ""
            cells["Weather"] = "sun" if part.water.is_sunny else "cloud"
        elif isinstance(part, FilteringState):
            cells["Total volume filtered (mL)"] = "" if part.written_ml is None else f"{part.written_ml:g}"
        elif isinstance(part, ColdState):
            cells["Water temperature (°C)"] = f"{part.day.water_degc:.0f}"
    return {**cells, **written}


def _sounded_m(disk: DiskState, reading: DiskReading) -> float:
    """Return the depth of the water as the same line gives it: one that is just tight reaches the bottom."""
    if not reading.on_bottom:
        return disk.water.bottom_m
    return min(max(disk.water.bottom_m, reading.line_m), disk.water.bottom_m + disk.line.mark_m)


def sheet_bytes(cells: Mapping[str, str]) -> bytes:
    """Return a data sheet of one visit as CSV: headings and one row, UTF-8.

    Parameters
    ----------
    cells : mapping of str to str
        Heading to cell.

    Examples
    --------
    >>> sheet_bytes({"Station": "PRA1", "Secchi (m)": "4.35"})
    b'Station,Secchi (m)\\r\\nPRA1,4.35\\r\\n'
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([list(cells), list(cells.values())])
    return text.getvalue().encode()
