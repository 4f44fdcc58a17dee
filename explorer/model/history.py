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
        One row a reading, by date, current rows only; columns of `READINGS`. value is in the unit of its
        quantity in `Programme.quantities`; where sign is "<" or ">" it is the limit that the reading lies
        below or above. taken_on is the local date, depth_m a depth [m], volume_filtered_ml a volume [mL];
        status is one of `STATUSES`, stratum of `STRATA`, sample_type of `SAMPLE_TYPES`.
    version : int
        Version of the record it was read from.
    """

    station: Station
    lake: Lake
    readings: pd.DataFrame
    version: int
