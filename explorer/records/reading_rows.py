"""Rows of readings from the file as a frame: ids turned into codes here, not by joins in the file."""

from collections.abc import Callable, Mapping, Sequence
from itertools import chain
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.readings import READINGS

__all__ = ["CodeBook", "RowSource", "readings_frame", "readings_of", "readings_query"]

RowSource = Callable[..., list[tuple[Any, ...]]]

# Where a column is not in the row itself but behind one of its ids.
_IDS = {"quantity": "quantity_id", "method": "method_id", "batch": "batch_id", "file_name": "file_id"}
_BEHIND = {"station_code": "station_id", "lake_code": "station_id", "observer": "visit_id", **_IDS}

_READINGS_OF = """
SELECT {columns} FROM readings
WHERE {standing} AND taken_on IS NOT NULL AND station_id IN ({marks})
ORDER BY station_id, quantity_id, taken_on, depth_m
"""
_OBSERVERS_OF = """
SELECT visit_id, observer FROM visits WHERE {standing} AND observer <> '' AND station_id IN ({marks})
"""
_NOW = "left_in IS NULL"
_AFTER = "entered_in <= {change} AND (left_in IS NULL OR left_in > {change})"
_CODES = {
    "quantity": "SELECT quantity_id, code FROM quantities",
    "method": "SELECT method_id, code FROM methods",
    "batch": "SELECT batch_id, code FROM batches",
    "file_name": "SELECT file_id, name FROM files",
}


def _stored(columns: Sequence[str]) -> tuple[str, ...]:
    """Return the columns of the file that those of a frame are made from."""
    return tuple(dict.fromkeys(_BEHIND.get(name, name) for name in columns))


def _selected(columns: Sequence[str]) -> str:
    return ", ".join(f'"{name}"' for name in _stored(columns))


def readings_query(
    stations: int, *, after: int | None = None, columns: Sequence[str] = tuple(READINGS)
) -> str:
    """Return the query that asks for the readings of some stations; their ids are its values.

    Parameters
    ----------
    stations : int
        How many.
    after, columns
        As in `readings_of`.

    Examples
    --------
    >>> readings_query(2, columns=("value",)).split("WHERE")[1].split("ORDER")[0].strip()
    'left_in IS NULL AND taken_on IS NOT NULL AND station_id IN (?, ?)'
    """
    marks, standing = ", ".join("?" * stations), _standing(after)
    return _READINGS_OF.format(columns=_selected(columns), standing=standing, marks=marks)


def _standing(after: int | None) -> str:
    return _NOW if after is None else _AFTER.format(change=int(after))


class CodeBook:
    """The codes of a record's ids, read once for each version of the record.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    """

    def __init__(self, fetch: RowSource) -> None:
        self._fetch = fetch
        self._version = -1
        self._codes: dict[str, npt.NDArray[np.object_]] = {}

    def at_version(self, version: int) -> Mapping[str, npt.NDArray[np.object_]]:
        """Return arrays of codes whose position is the id, by the column that they fill."""
        if version != self._version:
            for name, query in _CODES.items():
                rows = self._fetch(query)
                codes = np.full(max((row[0] for row in rows), default=0) + 1, "", dtype=object)
                for number, code in rows:
                    codes[number] = code
                self._codes[name] = codes
            self._version = version
        return self._codes


def readings_of(
    fetch: RowSource,
    stations: Mapping[int, tuple[str, str]],
    codes: Mapping[str, npt.NDArray[np.object_]],
    *,
    after: int | None = None,
    columns: Sequence[str] = tuple(READINGS),
) -> pd.DataFrame:
    """Return the readings of some stations, as they stand now or stood after a change.

    Parameters
    ----------
    fetch : callable
        Returns the rows of a query.
    stations : mapping of int to (str, str)
        Station code and lake code by station id.
    codes : mapping of str to ndarray of str
        From `CodeBook.at_version`.
    after : int, optional
        Number of a change: the state of the record after it; the present one when left out.
    columns : sequence of str
        Those of `READINGS` that are wanted: fewer come sooner.

    Returns
    -------
    DataFrame
        The wanted columns. Held readings without a date are left out: they stand on no axis.
    """
    rows = fetch(readings_query(len(stations), after=after, columns=columns), tuple(stations))
    observers: dict[int, str] = {}
    if "observer" in columns:
        query = _OBSERVERS_OF.format(standing=_standing(after), marks=", ".join("?" for _ in stations))
        observers.update(fetch(query, tuple(stations)))
    return readings_frame(rows, stations, codes, observers, columns)


def readings_frame(
    rows: Sequence[tuple[Any, ...]],
    stations: Mapping[int, tuple[str, str]],
    codes: Mapping[str, npt.NDArray[np.object_]],
    observers: Mapping[int, str],
    columns: Sequence[str] = tuple(READINGS),
) -> pd.DataFrame:
    """Return rows of the record as a frame of readings.

    Parameters
    ----------
    rows : sequence of tuple
        Ids, numbers and texts as they stand in the file; dates as ISO text, None where nothing is known.
    stations : mapping of int to (str, str)
        Station code and lake code by station id.
    codes : mapping of str to ndarray of str
        Codes by id for quantity, method, batch and file_name.
    observers : mapping of int to str
        Observer by visit id, where there is one.
    columns : sequence of str
        The wanted columns; the rows hold what they are made from.

    Returns
    -------
    DataFrame
        Columns and types of `READINGS`, as far as they are wanted.

    Examples
    --------
    >>> len(readings_frame([], {}, {name: np.array([""]) for name in _IDS}, {}))
    0
    """
    stored = _stored(columns)
    flat = list(chain.from_iterable(rows))  # four times as fast as zip on thousands of rows
    cells: dict[str, Any] = {name: flat[place :: len(stored)] for place, name in enumerate(stored)}

    def cells_of(name: str) -> Any:
        if name in _IDS:
            return codes[name][np.array(cells[_IDS[name]], dtype=np.int64)]
        if name in ("station_code", "lake_code"):
            place = ("station_code", "lake_code").index(name)
            known = {number: pair[place] for number, pair in stations.items()}
            return _of_ids(np.array(cells["station_id"], dtype=np.int64), known)
        if name == "observer":
            return [observers.get(number, "") for number in cells["visit_id"]]
        if name == "taken_on":
            return np.array(cells[name], dtype="datetime64[D]").astype("datetime64[ms]")
        return cells[name]

    return pd.DataFrame({name: pd.Series(cells_of(name), dtype=READINGS[name]).array for name in columns})


def _of_ids(numbers: npt.NDArray[np.int64], codes: Mapping[int, str]) -> npt.NDArray[np.object_]:
    known = np.array(sorted(codes), dtype=np.int64)
    texts = np.array([codes[number] for number in known.tolist()], dtype=object)
    return texts[np.searchsorted(known, numbers)]
