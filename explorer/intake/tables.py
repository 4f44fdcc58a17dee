"""Bytes of a file → grids of text cells, whatever the file is; and the table in the first of them."""

from explorer.intake.grids import Grid, read_text_grid
from explorer.intake.headings import HeadingNames
from explorer.intake.own_headings import heading_names
from explorer.intake.table_search import find_table
from explorer.intake.workbooks import is_workbook, read_workbook_grids
from explorer.model.problems import Problem
from explorer.records.text_tables import TextTable

__all__ = ["read_grids", "read_table"]


def read_grids(name: str, content: bytes) -> tuple[Grid | Problem, ...]:
    """Return the cells of every sheet of a file; a text file has one.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it: a workbook (.xlsx), or text with commas, semicolons or tabs between the cells.

    Returns
    -------
    tuple of Grid or Problem
        Never raises on content.

    Examples
    --------
    >>> read_grids("a.csv", b"station;secchi\\nA1;1,5")[0].rows
    (('station', 'secchi'), ('A1', '1,5'))
    """
    return read_workbook_grids(name, content) if is_workbook(content) else (read_text_grid(name, content),)


def read_table(name: str, content: bytes, names: HeadingNames | None = None) -> TextTable | Problem:
    """Return the table of a file's first sheet that has one, or the problem that keeps it from being read.

    Parameters
    ----------
    name : str
        Name of the file, for messages.
    content : bytes
        All of it.
    names : HeadingNames, optional
        What headings are called; the documented ones by default.

    Returns
    -------
    TextTable or Problem
        Never raises on content.

    Examples
    --------
    >>> table = read_table("a.csv", b"Mere 2025\\n\\nSite,Date,Secchi (ft)\\nA1,2025-05-01,6\\n")
    >>> table.headings, table.row_numbers
    (('Site', 'Date', 'Secchi (ft)'), (4,))
    """
    known = names or heading_names()
    found = [
        each if isinstance(each, Problem) else find_table(each, known) for each in read_grids(name, content)
    ]
    tables = [each.table for each in found if not isinstance(each, Problem)]
    return tables[0] if tables else next(each for each in found if isinstance(each, Problem))
