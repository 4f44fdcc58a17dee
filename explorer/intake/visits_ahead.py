"""Visits that are still to be made, with the codes that their samples are given."""

from datetime import date
from pathlib import Path

import pandas as pd

from explorer.intake.label_file import open_register
from explorer.intake.own_headings import heading_names
from explorer.intake.planned_visits import planned_month, read_visit_list
from explorer.intake.season_report import season_plan
from explorer.intake.station_names import StationNames
from explorer.intake.visit_codes import coded_visits
from explorer.model.errors import ExplorerError
from explorer.model.problems import describe_problems
from explorer.records.record import Record

__all__ = ["give_codes", "listed_visits", "month_visits"]


def month_visits(record: Record, year: int, month: int) -> pd.DataFrame:
    """Return the visits that the plan has for a month.

    Parameters
    ----------
    record : Record
        An open record.
    year, month : int
        The month.

    Returns
    -------
    DataFrame
        Columns of `PLANNED_VISITS`, at least one row.

    Raises
    ------
    ExplorerError
        If the plan has none, or names a station that the record does not hold.
    """
    visits = planned_month(season_plan(record, year), record.programme.plan, year, month)
    if visits.empty:
        raise ExplorerError(
            f"The plan has no visits in {year}-{month:02d}. Write them into the programme's settings, under "
            "[plan], or give a list of visits."
        )
    return visits


def listed_visits(record: Record, name: str, content: bytes, *, today: date) -> pd.DataFrame:
    """Return the visits that a file lists; a list with a doubt in it gives none.

    Parameters
    ----------
    record : Record
        An open record.
    name : str
        Name of the file.
    content : bytes
        A workbook or text: station, date, and if wanted time, observers, duplicate and blank.
    today : date
        Its season's plan tells which stations are sampled.

    Returns
    -------
    DataFrame
        Columns of `PLANNED_VISITS`, at least one row.

    Raises
    ------
    ExplorerError
        If anything in it is doubtful, or it lists nothing: with every doubt.
    """
    stations = StationNames({each.code: each for each in record.station_list()}, record.lakes())
    names = heading_names(record.programme.headings, record.programme.quantities)
    visits, problems = read_visit_list(name, content, stations, names, season_plan(record, today.year))
    if problems or visits.empty:
        what = describe_problems(problems) or f"{name} names no visit."
        raise ExplorerError(f"{what}\nNo labels were made and no code was given.")
    return visits


def give_codes(
    record: Record, visits: pd.DataFrame, register: Path, *, today: date, after: int = 0
) -> tuple[pd.DataFrame, int]:
    """Give every visit the codes of its sample and its blank, and write the new ones into the register.

    Parameters
    ----------
    record : Record
        Tells which codes came in already.
    visits : DataFrame
        Columns of `PLANNED_VISITS`.
    register : Path
        Register of the codes that were given; the same visits get the same codes again.
    today : date
        Written beside new codes.
    after : int
        Serial number behind which to go on in any case.

    Returns
    -------
    visits : DataFrame
        With sample_code and blank_code, see `coded_visits`.
    new : int
        How many codes are new.

    Raises
    ------
    ExplorerError
        If the register cannot be written, or a year's numbers are used up.
    """
    with open_register(register) as codes:
        before = len(codes.given)
        coded = coded_visits(visits, codes, record, today=today, after=after)
        new = len(codes.given) - before
    return coded, new
