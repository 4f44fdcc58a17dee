"""A practice record: the sheet of a whole visit goes through the intake's own door into a file of its own."""

from dataclasses import dataclass
from pathlib import Path

import pandas as pd
from shapely.geometry import Point

from explorer.intake.reading import FileReading, read_file
from explorer.intake.station_names import StationNames
from explorer.model.practice_rules import PracticeRules
from explorer.model.programme import Programme
from explorer.practice.disk_line import LINES
from explorer.practice.visit_sheet import PRACTICE_LAKE, PRACTICE_STATION
from explorer.records.ledger import Arrival, create_record, enter

__all__ = ["SheetCheck", "check_sheet", "enter_sheet"]

RECORD_NAME = "practice.gpkg"
LAKE_RADIUS_DEG = 0.004  # the outline of the invented lake


@dataclass(frozen=True, slots=True)
class SheetCheck:
    """What the intake makes of a data sheet.

    Attributes
    ----------
    found : FileReading
        All that it read.
    name : str
        Name of the sheet's file.
    content : bytes
        The sheet.
    """

    found: FileReading
    name: str
    content: bytes

    @property
    def entries(self) -> pd.DataFrame:
        """Readings of the sheet, columns of `explorer.model.readings.ENTRIES`."""
        return self.found.tables[0].entries

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the check has to say, place by place; empty where nothing waits for an answer."""
        return tuple(str(problem) for problem in self.found.problems)


def check_sheet(content: bytes, name: str = "practice_sheet.csv") -> SheetCheck:
    """Return what the intake reads from a data sheet of the invented lake; it writes nothing.

    Parameters
    ----------
    content : bytes
        The sheet, as `explorer.practice.whole_visit.data_sheet` gives it.
    name : str
        What its file is called.

    Examples
    --------
    >>> sheet = b"Station,Date,Secchi (m)\\r\\nPRA1,2025-07-09,4.35\\r\\n"
    >>> check_sheet(sheet).entries[["quantity", "value", "status"]].to_numpy().tolist()
    [['secchi_depth', 4.35, 'accepted']]
    """
    stations = StationNames({PRACTICE_STATION.code: PRACTICE_STATION}, {PRACTICE_LAKE.code: PRACTICE_LAKE})
    return SheetCheck(read_file(name, content, stations=stations, kind="data_sheet"), name, content)


def enter_sheet(check: SheetCheck, folder: Path, rules: PracticeRules, who: str) -> Path:
    """Enter a checked sheet into the practice record of a folder, which is made where there is none.

    Parameters
    ----------
    check : SheetCheck
        Of `check_sheet`.
    folder : Path
        Where the practice record lies; whoever owns it removes it at the end.
    rules : PracticeRules
        The programme's rules: depths are shown in the unit of its line.
    who : str
        Nickname of the observer.

    Returns
    -------
    Path
        The record, to be opened like any.
    """
    path = folder / RECORD_NAME
    is_new = not path.exists()
    if is_new:
        unit = LINES[rules.line].unit
        create_record(path, f'length_unit = "{unit}"\n', Programme().quantities.values())
    arrival = Arrival(
        lakes=(PRACTICE_LAKE,) if is_new else (),
        outlines={PRACTICE_LAKE.code: _outline()} if is_new else {},
        stations=(PRACTICE_STATION,) if is_new else (),
        entries=check.entries,
        files={check.name: check.content},
        problems=check.found.problems,
    )
    enter(path, arrival, kind="practice", who=who or "practice", why="practice visit")
    return path


def _outline() -> Point:
    station = PRACTICE_STATION
    return Point(station.longitude_deg, station.latitude_deg).buffer(LAKE_RADIUS_DEG)
