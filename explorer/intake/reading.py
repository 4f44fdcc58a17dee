"""A file's bytes → everything that is read from it: the one door into the intake."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from explorer.intake.data_sheet import read_data_sheet
from explorer.intake.file_rows import FileRows
from explorer.intake.freezer_log import read_freezer_log
from explorer.intake.grids import Grid
from explorer.intake.headings import HeadingNames
from explorer.intake.laboratory import read_laboratory
from explorer.intake.layout import Layout
from explorer.intake.own_headings import heading_names
from explorer.intake.probe import read_probe
from explorer.intake.station_names import StationNames
from explorer.intake.table_search import find_table
from explorer.intake.tables import read_grids
from explorer.model.check_in import CellAccount
from explorer.model.problems import Problem

__all__ = ["FileReading", "read_file"]

Reader = Callable[[Layout, HeadingNames, StationNames], FileRows]
_READERS: Mapping[str, Reader] = {
    "data_sheet": read_data_sheet,
    "laboratory": read_laboratory,
    "probe": read_probe,
    "freezer_log": lambda layout, names, _: read_freezer_log(layout, names),
}


@dataclass(frozen=True, slots=True)
class FileReading:
    """All that a file holds.

    Attributes
    ----------
    name, sha256 : str
        File name and checksum of its bytes.
    tables : tuple of FileRows
        One for every sheet that has a table.
    problems : tuple of Problem
        Every doubt, of the file, its sheets and their cells.
    account : CellAccount
        What became of every cell; cells of a sheet without a table that is known are refused.
    """

    name: str
    sha256: str
    tables: tuple[FileRows, ...]
    problems: tuple[Problem, ...]
    account: CellAccount


def read_file(
    name: str,
    content: bytes,
    *,
    stations: StationNames | None = None,
    names: HeadingNames | None = None,
    kind: str = "",
) -> FileReading:
    """Return everything that is read from a file; whatever it holds, this does not raise.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it.
    stations : StationNames, optional
        What stations are called; without, every station is asked about.
    names : HeadingNames, optional
        What headings are called; the documented ones by default.
    kind : str
        One of `explorer.intake.headings.KINDS`; empty: the headings tell.

    Examples
    --------
    >>> found = read_file("a.csv", b"Site,Date,Secchi (ft)\\nA1,2025-05-01,6'4\\n")
    >>> found.tables[0].entries[["quantity", "value", "status"]].round(3).to_numpy().tolist()
    [['secchi_depth', 1.93, 'held']]
    >>> print(found.problems[0])
    a.csv, row 2, "Site": the list of stations has no "A1". ...
    """
    known = names or heading_names()
    placed = stations or StationNames({}, {})
    tables: list[FileRows] = []
    problems: list[Problem] = []
    account = CellAccount()
    for grid in read_grids(name, content):
        if not isinstance(grid, Grid):
            problems.append(grid)
            continue
        layout = find_table(grid, known, kind)
        if isinstance(layout, Problem):
            problems.extend((*grid.problems, layout))
            account += CellAccount(grid.filled, refused=grid.filled)
            continue
        rows = _READERS[layout.kind](layout, known, placed)
        tables.append(rows)
        problems.extend(rows.problems)
        account += rows.account
    return FileReading(name, hashlib.sha256(content).hexdigest(), tuple(tables), tuple(problems), account)
