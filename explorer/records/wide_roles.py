"""The columns of a wide table that hold no readings: station, date, place, and what stands beside a value."""

import re
from collections.abc import Mapping

import numpy as np

from explorer.model.errors import nearest_name
from explorer.records.cells import Texts
from explorer.records.columns import ALSO, ColumnsFile
from explorer.records.findings import Findings
from explorer.records.text_tables import TextTable
from explorer.records.written import columns_file_of

__all__ = ["WITH_UNIT", "cells_under", "date_texts", "roles_of", "station_texts"]

# Headings that need no columns file, by what they stand for.
_USUAL: Mapping[str, tuple[str, ...]] = {
    "station": ("station", "station code"),
    "station_name": ("station name",),
    "water": ("lake code",),
    "date": ("date", "taken on"),
    "time": ("time", "taken time"),
    "longitude": ("longitude", "longitude deg"),
    "latitude": ("latitude", "latitude deg"),
    "bottom_depth": ("bottom depth m",),
    "depth_m": ("depth m",),
}
_STATION_WORDS = ("station", "site", "location", "place", "lake", "pond", "sample")
_DATE_WORDS = ("date", "day", "time", "season", "month", "year")
WITH_UNIT = re.compile(r"(.*\S)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")


def _folded(heading: str) -> str:
    return " ".join(heading.replace("_", " ").casefold().split())


def _likely(table: TextTable, words: tuple[str, ...]) -> str:
    """Return the heading to show in a question: one with such a word, else the first."""
    return next(
        (each for word in words for each in table.headings if word in each.casefold()), table.headings[0]
    )


def cells_under(table: TextTable, heading: str) -> Texts:
    """Return the cells under a heading as an array, shape (rows,)."""
    return np.array(table.column(heading), dtype=object)


def roles_of(table: TextTable, columns: ColumnsFile, findings: Findings) -> dict[str, str]:
    """Return the heading of every column that holds something other than readings, by what it is for.

    Headings of the usual names need no columns file; what the file says goes before them.

    Parameters
    ----------
    table : TextTable
        A wide table.
    columns : ColumnsFile
        What the file beside it says.
    findings : Findings
        Takes headings of the file that the table does not have.

    Returns
    -------
    dict of str to str
        Heading by role: station, date, time, longitude, observer …
    """
    usual = {**_USUAL, **{name: (_folded(name),) for name in ALSO if name != "depth_m"}}
    roles: dict[str, str] = {}
    stated = {role: getattr(columns, role) for role in _USUAL if role != "depth_m"} | dict(columns.also)
    settled = {*columns.answers, *columns.left_out, *stated.values()}
    for heading in table.headings:
        named = WITH_UNIT.fullmatch(heading)
        name = "depth m" if named and _folded(named[1]) == "depth" else _folded(heading)
        role = next((role for role, names in usual.items() if name in names), "")
        if role and heading not in settled:
            roles.setdefault(role, heading)
    roles |= {role: heading for role, heading in stated.items() if heading}
    for heading in (*roles.values(), *columns.left_out, *columns.answers):
        if heading not in table.headings:
            near = nearest_name(heading, table.headings)
            findings.add("columns_heading", "refuse", table.source(1), heading, near=near, file=columns.name)
    return {role: heading for role, heading in roles.items() if heading in table.headings}


def station_texts(
    table: TextTable, columns: ColumnsFile, roles: Mapping[str, str], findings: Findings
) -> Texts | None:
    """Return the station's code of every row, None where it must be asked for.

    Parameters
    ----------
    table : TextTable
        A wide table.
    columns : ColumnsFile
        May name one station for all rows, or say that every row is one.
    roles : mapping of str to str
        From `roles_of`.
    findings : Findings
        Takes the question, and rows without a station.
    """
    count = len(table.rows)
    if columns.one_station:
        return np.full(count, columns.one_station, dtype=object)
    if columns.station_per_row:
        digits = len(str(count))
        codes = [f"{columns.station_per_row}{number:0{digits}d}" for number in range(1, count + 1)]
        return np.array(codes, dtype=object)
    if "station" not in roles:
        findings.add("no_station_column", "refuse", table.source(1), ", ".join(table.headings),
                     file=columns_file_of(table.name), heading=_likely(table, _STATION_WORDS))  # fmt: skip
        return None
    texts = cells_under(table, roles["station"])
    for row in np.flatnonzero(texts == ""):
        findings.add("station_missing", "refuse", table.source(table.row_numbers[row], roles["station"]))
    return None if (texts == "").any() else texts


def date_texts(
    table: TextTable, columns: ColumnsFile, roles: Mapping[str, str], findings: Findings
) -> Texts | None:
    """Return the date of every row as text that `read_dates` reads, None where it must be asked for.

    Parameters
    ----------
    table : TextTable
        A wide table.
    columns : ColumnsFile
        May give one date for all rows, dates by name, or the year of days counted from New Year.
    roles : mapping of str to str
        From `roles_of`.
    findings : Findings
        Takes the question.
    """
    if columns.one_date:
        return np.full(len(table.rows), columns.one_date, dtype=object)
    if "date" not in roles:
        findings.add("no_date_column", "refuse", table.source(1), ", ".join(table.headings),
                     file=columns_file_of(table.name), heading=_likely(table, _DATE_WORDS))  # fmt: skip
        return None
    texts = cells_under(table, roles["date"])
    if columns.dates:
        return np.array([columns.dates.get(text, text) for text in texts], dtype=object)
    if columns.date_form == "day of year":
        if columns.year in table.headings:
            years = table.column(columns.year)
        elif re.fullmatch(r"\d{4}", columns.year):
            years = [columns.year] * len(texts)
        else:
            findings.add("no_year", "refuse", table.source(1, roles["date"]), columns.year, file=columns.name)
            return None
        pairs = zip(years, texts, strict=True)
        return np.array(
            [f"{year}-{day.zfill(3)}" if day.isdigit() else day for year, day in pairs], dtype=object
        )
    return texts
