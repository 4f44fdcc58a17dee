"""One station's whole story as it crosses from the record to the screen, and whoever can tell it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import pandas as pd

from explorer.model.places import Lake, Station
from explorer.model.programme import Programme

__all__ = ["ReadingSource", "StationHistory"]


@dataclass(frozen=True, slots=True)
class StationHistory:
    """A station, its water, and all that was measured there.

    Attributes
    ----------
    station, lake : Station, Lake
        Where it is.
    readings : DataFrame
        Columns of `READINGS`, by date; current rows only.
    version : int
        Version of the record it was read from.
    """

    station: Station
    lake: Lake
    readings: pd.DataFrame
    version: int


class ReadingSource(Protocol):
    """Whatever gives readings station by station: a record, or a frame in a test."""

    @property
    def programme(self) -> Programme:
        """The settings by which it is judged."""
        ...

    def chunks(self, stations: int = 64) -> Iterator[pd.DataFrame]:
        """Yield readings of so many stations at a time, columns of `READINGS`."""
        ...
