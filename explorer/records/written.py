"""Readings as written: every form of table is brought into this one before a cell is read."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from explorer.records.cells import Texts
from explorer.records.text_tables import TextTable

__all__ = ["Answer", "StatedPlace", "WrittenReadings", "columns_file_of"]

NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a columns file answers about one column, or about one quantity of a long table.

    Attributes
    ----------
    quantity, unit, method : str
        What the column holds, in which unit and by which method; empty where not said.
    factor : float or None
        By what the numbers as written are multiplied; None where not said.
    detection_limit, reporting_limit : str
        Limits of the whole column, in its unit, as written; empty where not said.
    repeated : mapping of float to str
        What a number that is repeated stands for: "measured", "at least", "at most", "on the bottom" or
        "leave out".
    outside : str
        "measured" where values outside the plausible range are right.
    """

    quantity: str = ""
    unit: str = ""
    method: str = ""
    factor: float | None = None
    detection_limit: str = ""
    reporting_limit: str = ""
    repeated: Mapping[float, str] = field(default_factory=dict)
    outside: str = ""


@dataclass(frozen=True, slots=True)
class StatedPlace:
    """What a table of readings itself says of a station.

    Attributes
    ----------
    name, lake_code, kind : str
        Empty where not said.
    longitude_deg, latitude_deg : float
        NaN where not said. [deg, WGS 84]
    bottom_depth_m : float
        NaN where not said. [m]
    """

    name: str = ""
    lake_code: str = ""
    kind: str = ""
    longitude_deg: float = NAN
    latitude_deg: float = NAN
    bottom_depth_m: float = NAN


@dataclass(frozen=True, slots=True)
class WrittenReadings:
    """One row for every cell that states a value, all of it text as written.

    Attributes
    ----------
    table : TextTable
        Where they stand.
    rows : ndarray of int, shape (n,)
        Row of a spreadsheet.
    texts : mapping of str to ndarray of str, each shape (n,)
        Cells by the name of an entry: station_code, taken_on, quantity (a code), value, unit and column (the
        heading of the value) in any case; besides other names of `ENTRIES` also depth_unit, volume_unit and
        limit_unit (empty: m, mL and the value's unit).
    headings : mapping of str to str
        Heading under which a name stands in the table.
    answers : mapping of str to Answer
        By heading in a wide table, by quantity code in a long one.
    is_wide : bool
        Whether each quantity has a column of its own.
    date_form : str
        How dates are written, empty where the cells must prove it.
    places : mapping of str to StatedPlace
        What the table says of its stations, by station code.
    """

    table: TextTable
    rows: npt.NDArray[np.int64]
    texts: Mapping[str, Texts]
    headings: Mapping[str, str]
    answers: Mapping[str, Answer] = field(default_factory=dict)
    is_wide: bool = False
    date_form: str = ""
    places: Mapping[str, StatedPlace] = field(default_factory=dict)


def columns_file_of(table_name: str) -> str:
    """Return the name of the columns file that belongs to a table.

    Examples
    --------
    >>> columns_file_of("ponds.csv")
    'ponds.columns.toml'
    """
    return table_name.rpartition(".")[0] + ".columns.toml"
