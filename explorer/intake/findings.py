"""What a check found: the places that its sentence names, and the readings that depend on them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = ["Findings", "at_containers", "at_entries", "at_visits", "number_texts"]

Chosen = npt.ArrayLike

_PLACE = ("file_name", "sha256", "sheet", "row", "column", "as_written")


@dataclass(frozen=True, slots=True)
class Findings:
    """What a check found, all of it.

    Attributes
    ----------
    places : DataFrame, n rows
        file_name, sha256, sheet, row, column and as_written of each finding.
    values : mapping of str to sequence of str, length n
        For the sentence.
    entries : ndarray of int, shape (m,)
        Index of the readings that a hold holds, or a refusal refuses.
    """

    places: pd.DataFrame
    values: Mapping[str, Sequence[str]] = field(default_factory=dict)
    entries: npt.NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def __len__(self) -> int:
        return len(self.places)


def number_texts(values: Any) -> list[str]:
    """Return numbers as a sentence shows them, four figures at most.

    Examples
    --------
    >>> number_texts([1842000.0, 0.03412, 4.0])
    ['1842000', '0.03412', '4']
    """
    return [f"{each:.0f}" if abs(each) >= 1000 else f"{each:.4g}" for each in np.asarray(values, dtype=float)]


def at_entries(entries: pd.DataFrame, chosen: Chosen, **values: Any) -> Findings:
    """Return findings at readings: each names its own cell.

    Parameters
    ----------
    entries : DataFrame
        All readings of the delivery.
    chosen : array_like of bool, shape (len(entries),)
        Which of them were found.
    **values
        For the sentence: one text; a text or a number for every reading of the delivery; or a function that
        makes the texts of those that were found.
    """
    mask = np.asarray(chosen, dtype=bool)
    found = _rows(entries, mask)
    own = {name: _chosen(value, mask, found) for name, value in values.items()}
    return Findings(found[list(_PLACE)], own, np.asarray(found.index, dtype=np.int64))


def at_visits(
    visits: pd.DataFrame, chosen: Chosen, entries: pd.DataFrame | None = None, **values: Any
) -> Findings:
    """Return findings at rows of data sheets; with entries given, all readings of those rows depend on them.

    Parameters
    ----------
    visits : DataFrame
        Columns of `DELIVERED_VISITS`.
    chosen : array_like of bool, shape (len(visits),)
        Which of them were found.
    entries : DataFrame, optional
        All readings of the delivery.
    **values
        For the sentence, as in `at_entries`.
    """
    mask = np.asarray(chosen, dtype=bool)
    rows = _rows(visits, mask)
    found = rows.assign(column="", as_written=rows["station_as_written"])
    own = {name: _chosen(value, mask, found) for name, value in values.items()}
    depends = np.zeros(0, dtype=np.int64)
    if entries is not None and mask.any():
        key = ["sha256", "sheet", "row"]
        own_entries = entries[key].reset_index().merge(found[key].drop_duplicates(), on=key)
        depends = own_entries["index"].to_numpy(dtype=np.int64)
    return Findings(found[list(_PLACE)], own, depends)


def at_containers(
    containers: pd.DataFrame, chosen: Chosen, entries: pd.DataFrame | None = None, **values: Any
) -> Findings:
    """Return findings at bottles and filters; with entries given, the results of their codes depend on them.

    Parameters
    ----------
    containers : DataFrame
        Columns of `DELIVERED_CONTAINERS`.
    chosen : array_like of bool, shape (len(containers),)
        Which of them were found.
    entries : DataFrame, optional
        All readings of the delivery.
    **values
        For the sentence, as in `at_entries`.
    """
    mask = np.asarray(chosen, dtype=bool)
    found = _rows(containers, mask)
    own = {name: _chosen(value, mask, found) for name, value in values.items()}
    depends = np.zeros(0, dtype=np.int64)
    if entries is not None and mask.any():
        codes = set(found["sample_code"]) - {""}
        depends = np.flatnonzero(entries["sample_code"].isin(codes)).astype(np.int64)
    return Findings(found[list(_PLACE)], own, depends)


def _rows(frame: pd.DataFrame, mask: npt.NDArray[np.bool_]) -> pd.DataFrame:
    """Return the chosen rows; for none, as most checks find nothing, no column is looked through."""
    return frame[mask] if mask.any() else frame.iloc[:0]


def _chosen(value: Any, mask: npt.NDArray[np.bool_], found: pd.DataFrame) -> Sequence[str]:
    """Return the texts of what was found; the many that were not are never made into text."""
    if isinstance(value, str):
        return [value] * len(found)
    if callable(value):
        texts: Sequence[str] = value(found)
        return texts
    array = np.asarray(value)[mask]
    return number_texts(array) if array.dtype.kind in "fi" else [str(each) for each in array]
