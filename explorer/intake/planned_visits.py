"""Who goes where when: from a list of visits as the office keeps it, or from the plan for a month."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from explorer.intake.file_rows import filled_frame
from explorer.intake.grids import Grid
from explorer.intake.headings import LONGEST_HEADING, HeadingNames
from explorer.intake.layout import Beside, Layout
from explorer.intake.station_names import StationNames
from explorer.intake.table_reader import TableReader
from explorer.intake.table_search import find_table
from explorer.intake.tables import read_grids
from explorer.intake.visits import read_visits
from explorer.model.plan import Plan, StationPlan
from explorer.model.problems import Problem
from explorer.model.quality_rules import CONTAINER_OF
from explorer.records.cells import read_flags

__all__ = ["PLANNED_VISITS", "planned_month", "read_visit_list"]

# A visit that is still to be made.
PLANNED_VISITS: Mapping[str, str] = {
    "station_code": "str",
    "month": "str",  # 2025-06
    "taken_on": "datetime64[ms]",  # NaT where the day is still open
    "taken_time": "str",
    "observer": "str",
    "has_bottle": "bool",
    "has_filter": "bool",
    "has_duplicate": "bool",
    "has_blank": "bool",
}

# Headings of a list of visits besides those of a data sheet (common practice).
_OWN_HEADINGS = {
    **dict.fromkeys(("duplicate", "duplicates", "duplicate sample", "field duplicate"), "has_duplicate"),
    **dict.fromkeys(("blank", "blanks", "field blank", "blank sample"), "has_blank"),
}


def read_visit_list(
    name: str, content: bytes, stations: StationNames, names: HeadingNames, plan: Mapping[str, StationPlan]
) -> tuple[pd.DataFrame, tuple[Problem, ...]]:
    """Return the visits that a list names, and every doubt about them.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        A workbook or text; columns for station and date, and where there are any for time, observers,
        duplicate and blank (yes or no).
    stations : StationNames
        What stations are called.
    names : HeadingNames
        What headings are called.
    plan : mapping of str to StationPlan
        Tells which stations are sampled; one that is not in it is taken for sampled.

    Returns
    -------
    visits : DataFrame
        Columns of `PLANNED_VISITS`, by date and station.
    problems : tuple of Problem
        Whatever a visit must not be made from.
    """
    own = {**names.roles, "data_sheet": {**names.roles["data_sheet"], **_OWN_HEADINGS}}
    known = replace(names, roles=own)
    frames, problems = [], []
    for grid in read_grids(name, content):
        layout = find_table(grid, known, "data_sheet") if isinstance(grid, Grid) else grid
        if isinstance(layout, Problem):
            problems.append(layout)
            continue
        reader = TableReader(layout, known)
        read = read_visits(reader, stations, in_order=True)
        flags = {}
        for role in ("has_duplicate", "has_blank"):
            flags[role], problem = read_flags(reader.texts(role))
            reader.hold(reader.cells(role), problem)
        months = read["taken_on"].astype("datetime64[M]").astype(str)
        sampled = _sampled([str(code) for code in read["station_code"]], plan)
        frames.append(
            filled_frame(PLANNED_VISITS, {**read, **sampled, **flags, "month": months}, reader.count)
        )
        problems += [each for each in reader.finish(frames[-1]).problems if each.severity != "note"]
        problems += [_without_date(each, layout) for each in layout.beside if each.why == "text_below"]
    if not frames:
        return filled_frame(PLANNED_VISITS, {}, 0), tuple(problems)
    visits = pd.concat(frames, ignore_index=True)
    return visits.sort_values(["taken_on", "station_code"], kind="stable", ignore_index=True), tuple(problems)


def _without_date(beside: Beside, layout: Layout) -> Problem:
    """Return the problem of a last row that names no day: a data sheet would pass it over."""
    found = ", ".join(filter(None, beside.cells))[:LONGEST_HEADING]
    column = next((each.heading for each in layout.columns_of("date")), "")
    return Problem("no_date", "hold", layout.table.source(beside.row, column), found)


def planned_month(stations: Mapping[str, StationPlan], plan: Plan, year: int, month: int) -> pd.DataFrame:
    """Return the visits that the plan has for a month, with its duplicates and blanks.

    Which visits take a duplicate or a blank moves on from month to month, so that all stations have their
    turn.

    Parameters
    ----------
    stations : mapping of str to StationPlan
        The plan's stations.
    plan : Plan
        Says how many duplicates and blanks a month has.
    year, month : int
        The month.

    Returns
    -------
    DataFrame
        Columns of `PLANNED_VISITS`, without days.

    Examples
    --------
    >>> stations = {"A1": StationPlan((6,), 2, ("total_phosphorus",)), "A2": StationPlan((7,), 1, ("ph",))}
    >>> visits = planned_month(stations, Plan(), 2025, 6)
    >>> visits[["station_code", "has_bottle", "has_filter"]].to_numpy().tolist()
    [['A1', True, False], ['A1', True, False]]
    """
    codes = [
        code for code, each in stations.items() if month in each.months for _ in range(each.visits_a_month)
    ]
    visits = filled_frame(
        PLANNED_VISITS,
        {"station_code": codes, "month": f"{year:04d}-{month:02d}", **_sampled(codes, stations)},
        len(codes),
    )
    sampled = np.flatnonzero((visits["has_bottle"] | visits["has_filter"]).to_numpy())
    turn = year * 12 + month
    duplicates = int(np.ceil(len(sampled) * plan.duplicates_percent / 100))
    for column, count, start in (("has_duplicate", duplicates, 0), ("has_blank", plan.blanks_a_month, 1)):
        chosen = np.zeros(len(visits), dtype=bool)
        chosen[_in_turn(sampled, count, turn * max(count, 1) + start)] = True
        visits[column] = chosen
    return visits


def _in_turn(places: Sequence[int] | np.ndarray, count: int, start: int) -> list[int]:
    """Return so many of some places, the next ones from a start, around and around."""
    return [int(places[(start + step) % len(places)]) for step in range(min(count, len(places)))]


def _sampled(codes: Sequence[str], plan: Mapping[str, StationPlan]) -> dict[str, list[bool]]:
    """Return for each visit whether it takes a bottle and a filter."""
    containers = {
        code: {CONTAINER_OF[quantity] for quantity in each.quantities if quantity in CONTAINER_OF}
        for code, each in plan.items()
    }
    both = set(CONTAINER_OF.values())
    return {
        f"has_{name}": [name in containers.get(code, both) for code in codes] for name in ("bottle", "filter")
    }
