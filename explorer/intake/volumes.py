"""Volumes filtered as they are written: millilitres, litres, and what was poured and topped up as a sum."""

import re
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.model.errors import UnknownNameError
from explorer.model.units import convert, find_unit
from explorer.records.cells import Column, Texts, is_empty, read_each, read_numbers

__all__ = ["Volumes", "read_volumes"]

_TIMES = re.compile(r"([1-9]\d?)\s*[x×*]\s*(.+)", re.IGNORECASE)
_NUMBER_UNIT = re.compile(r"([\d.,]*\d[\d.,]*)\s*([A-Za-zµ]*)\.?")


@dataclass(frozen=True, slots=True)
class Volumes:
    """Volumes of a column, each array of shape (n,).

    Attributes
    ----------
    total_ml : ndarray of float
        Sum of all that is written in the cell. [mL] NaN where none can be read.
    parts : ndarray of int
        Number of volumes that the sum is made of.
    problem : ndarray of str
        "", "not_a_volume", "volume_zero" or "thousands_or_decimals".
    note : ndarray of str
        "", "other_volume_unit" or "volume_in_parts".
    """

    total_ml: npt.NDArray[np.float64]
    parts: npt.NDArray[np.int64]
    problem: Texts
    note: Texts


def read_volumes(texts: Column, unit: str = "mL", *, decimal: str = "") -> Volumes:
    """Return the total volume and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "500", "0.5 L", "250+250", "2 x 250 mL".
    unit : str
        Unit of the column.
    decimal : {".", ",", ""}
        The mark before decimals in this table.

    Examples
    --------
    >>> read_volumes(["500", "0.5 L", "250+250", "2 x 250"]).total_ml.tolist()
    [500.0, 500.0, 500.0, 500.0]
    """
    rows = read_each(texts, lambda text: _read(" ".join(text.split()), unit or "mL", decimal))
    return Volumes(
        np.array([row[0] for row in rows], dtype=np.float64),
        np.array([row[1] for row in rows], dtype=np.int64),
        np.array([row[2] for row in rows], dtype=object),
        np.array([row[3] for row in rows], dtype=object),
    )


def _read(text: str, unit: str, decimal: str) -> tuple[float, int, str, str]:
    nothing = float("nan")
    if is_empty(text):
        return nothing, 0, "", ""
    times = _TIMES.fullmatch(text)
    written = [times[2].strip()] * int(times[1]) if times else [part.strip() for part in text.split("+")]
    last_unit = _unit_of(written[-1])
    total, note = 0.0, "volume_in_parts" if len(written) > 1 else ""
    for part in written:
        found = _NUMBER_UNIT.fullmatch(part)
        number, sign, problem = read_numbers([found[1] if found else part], decimal)
        if not found or problem[0] or sign[0] != "=":
            known = problem[0] if problem[0] == "thousands_or_decimals" else "not_a_volume"
            return nothing, 0, str(known), ""
        own = found[2] or last_unit or unit
        try:
            total += float(convert([number[0]], own, "mL")[0])
        except (UnknownNameError, ValueError):
            return nothing, 0, "not_a_volume", ""
        note = note or ("" if find_unit(own) is find_unit(unit) else "other_volume_unit")
    if total <= 0 or not np.isfinite(total):
        return nothing, 0, "volume_zero", ""
    return total, len(written), "", note


def _unit_of(part: str) -> str:
    found = _NUMBER_UNIT.fullmatch(part)
    return found[2] if found else ""
