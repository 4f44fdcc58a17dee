"""The units of a column of results where another column says them row by row."""

from dataclasses import replace

import numpy as np

from explorer.intake.layout import Column, Layout
from explorer.intake.results import ResultCells
from explorer.intake.table_reader import TableReader
from explorer.records.cells import Texts

__all__ = ["unit_column", "with_stated_units"]


def unit_column(layout: Layout, beside: Column | None) -> Column | None:
    """Return the column that says the units of some results: their own, else the only one for all.

    Parameters
    ----------
    layout : Layout
        The table.
    beside : Column or None
        The column of units that belongs to these results alone.
    """
    free = [each for each in layout.columns_of("unit") if not each.quantity]
    return beside or (free[0] if len(free) == 1 else None)


def with_stated_units(
    reader: TableReader, results: ResultCells, units: Column | None
) -> tuple[ResultCells, Texts]:
    """Return results with the unit of each row; what contradicts its heading is held.

    Parameters
    ----------
    reader : TableReader
        The table.
    results : ResultCells
        Of one column, in the unit of its heading.
    units : Column or None
        The column that says their units, if any.

    Returns
    -------
    ResultCells
        A unit that its row says stands before that of the heading.
    ndarray of str, shape (n,)
        Code of the problem of those that are held, "" for all others.
    """
    if units is None:
        return results, np.full(len(results.value), "", dtype=object)
    stated, heading = reader.column_texts(units), results.unit
    meant = {text: reader.names.unit_of(text) or text for text in {*stated.tolist(), *heading.tolist()}}
    row, column = (np.array([meant[text] for text in texts], dtype=object) for texts in (stated, heading))
    asked = (stated != "") & (heading != "") & (row != column) & (results.value != "")
    problem = np.where(asked, "units_contradict", "").astype(object)
    reader.hold(results.cells, problem, stated=stated, heading=heading)
    unit = np.where(stated == "", heading, stated)
    return replace(results, unit=unit, beside={**results.beside, "unit": reader.cells(units)}), problem
