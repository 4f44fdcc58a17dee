"""A practice record: the sheet of a whole visit is checked in like any, into a file of its own."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from shapely.geometry import Point

from explorer.intake.check_in import accept, check_in
from explorer.model.check_in import CheckIn
from explorer.model.practice_rules import PracticeRules
from explorer.model.programme import Programme
from explorer.model.readings import ENTRIES, empty_frame
from explorer.practice.disk_line import LINES
from explorer.practice.visit_sheet import PRACTICE_LAKE, PRACTICE_STATION, PRACTICE_YEAR, draw_labels
from explorer.records.ledger import Arrival, create_record, enter
from explorer.records.opening import open_record
from explorer.records.record import Record

__all__ = ["check_sheet", "make_practice_record", "receive_sheet", "seed_of_next_visit"]

RECORD_NAME = "practice.gpkg"
LAKE_RADIUS_DEG = 0.004  # the outline of the invented lake
MOST_DRAWS = 1000  # after so many every day of the season has its visit
CHECK_DAY = date(PRACTICE_YEAR, 12, 31)  # the invented season lies behind it, whatever the clock says


def make_practice_record(folder: Path, rules: PracticeRules) -> Record:
    """Make a record that holds the invented lake and no reading yet.

    Parameters
    ----------
    folder : Path
        Where it shall lie; whoever owns the folder removes it at the end.
    rules : PracticeRules
        The programme's rules: depths are shown in the unit of its line.

    Returns
    -------
    Record
        Open.
    """
    path = folder / RECORD_NAME
    unit = LINES[rules.line].unit
    create_record(path, f'length_unit = "{unit}"\n', Programme().quantities.values())
    station = PRACTICE_STATION
    outline = Point(station.longitude_deg, station.latitude_deg).buffer(LAKE_RADIUS_DEG)
    lake = Arrival(
        lakes=(PRACTICE_LAKE,),
        outlines={PRACTICE_LAKE.code: outline},
        stations=(station,),
        entries=empty_frame(ENTRIES),
        files={},
    )
    enter(path, lake, kind="import", who="practice", why="the invented lake of the practice")
    return open_record(path)


def check_sheet(sheet: bytes, record: Record) -> CheckIn:
    """Return what the check-in makes of a data sheet; nothing is written.

    Parameters
    ----------
    sheet : bytes
        As `explorer.practice.whole_visit.data_sheet` gives it.
    record : Record
        Of `make_practice_record`.
    """
    name = f"practice_sheet_{record.version()}.csv"  # another name each visit: none corrects an earlier one
    return check_in({name: sheet}, record, today=CHECK_DAY)


def receive_sheet(sheet: bytes, record: Record, who: str) -> CheckIn:
    """Check a data sheet in, and let it land in the practice record, doubts included.

    Parameters
    ----------
    sheet : bytes
        As `explorer.practice.whole_visit.data_sheet` gives it.
    record : Record
        Of `make_practice_record`.
    who : str
        Nickname of the learner, may be empty.

    Returns
    -------
    CheckIn
        What was found.
    """
    checked = check_sheet(sheet, record)
    accept(record, checked, who=who or "practice", remark="practice visit")
    return checked


def seed_of_next_visit(record: Record, new_seed: Callable[[], int]) -> int:
    """Return a seed whose visit falls on a day of which the record holds none: two would not correspond.

    Parameters
    ----------
    record : Record
        Of `make_practice_record`.
    new_seed : callable
        Gives one number after another.
    """
    taken = set(record.history(PRACTICE_STATION.code).readings["taken_on"].dt.date)
    seed = new_seed()
    for _ in range(MOST_DRAWS):
        if draw_labels(seed).day not in taken:
            break
        seed = new_seed()
    return seed
