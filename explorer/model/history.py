"""One station's whole story as it crosses from the record to the screen."""

from dataclasses import dataclass

import pandas as pd

from explorer.model.places import Lake, Station

__all__ = ["StationHistory"]


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
