"""The frame of readings that crosses the walls: its columns, its signs, and a reading as an interval."""

from collections.abc import Mapping
from functools import cache

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.errors import ExplorerError

__all__ = [
    "CONTAINERS",
    "COUNTED",
    "ENTRIES",
    "READINGS",
    "SAMPLE_TYPES",
    "SEASONS",
    "SIGNS",
    "STATUSES",
    "STRATA",
    "VISITS",
    "check_frame",
    "empty_frame",
    "reading_interval",
    "usable",
]

SIGNS = ("=", "<", ">")
STRATA = ("surface", "mid", "bottom", "profile")
STATUSES = ("preliminary", "accepted", "accepted with a remark", "held", "rejected")
SAMPLE_TYPES = ("routine", "field duplicate", "lab duplicate", "field blank", "equipment blank", "spike")

READINGS: Mapping[str, str] = {
    "reading_id": "int64",
    "station_code": "str",
    "lake_code": "str",
    "quantity": "str",
    "taken_on": "datetime64[ms]",
    "taken_time": "str",
    "depth_m": "float64",
    "stratum": "str",
    "value": "float64",
    "sign": "str",
    "detection_limit": "float64",
    "reporting_limit": "float64",
    "qualifier": "str",
    "status": "str",
    "visit_id": "int64",
    "sample_code": "str",
    "sample_type": "str",
    "parent_sample": "str",
    "method": "str",
    "batch": "str",
    "observer": "str",
    "volume_filtered_ml": "float64",
    "as_written": "str",
    "file_name": "str",
    "sheet": "str",
    "row": "int64",
}

# What season tables and trends are made from.
COUNTED = (
    "station_code",
    "quantity",
    "taken_on",
    "stratum",
    "value",
    "sign",
    "status",
    "sample_type",
    "method",
)

# A reading on its way into the record: what a file gave, before the record gives it ids.
ENTRIES: Mapping[str, str] = {
    **{name: kind for name, kind in READINGS.items() if name not in ("reading_id", "visit_id", "lake_code")},
    "sha256": "str",  # of the file it came from
    "column": "str",
    "unit_as_written": "str",
    "estimated": "bool",  # between detection and reporting limit
    "analysed_on": "datetime64[ms]",
    "reason": "str",  # words code of the problem that holds it, or the remark
    "weather": "str",
    "remark": "str",
}

# A visit on its way into the record: what a data sheet says of it besides its readings.
VISITS: Mapping[str, str] = {
    "station_code": "str",
    "taken_on": "datetime64[ms]",
    "observer": "str",
    "taken_time": "str",
    "weather": "str",
    "remark": "str",
    "bottom_depth_m": "float64",
    "trained_on": "str",  # a date as ISO text, else as written; so are the next two
    "line_checked_on": "str",
    "calibrated_on": "str",
    "sunglasses": "str",
}

# A bottle or a filter: on a data sheet, which says of which visit it is, in a freezer log or at a laboratory.
CONTAINERS: Mapping[str, str] = {
    "sample_code": "str",  # with its container, "250122-1"; empty where it waits for an answer
    "container": "str",  # bottle, filter, second bottle, second filter, blank bottle, blank filter, sample
    "kind": "str",  # of the file: data_sheet, freezer_log, laboratory
    "station_code": "str",
    "taken_on": "datetime64[ms]",
    "observer": "str",
    "volume_filtered_ml": "float64",
    "on_ice_time": "str",
    "frozen_on": "datetime64[ms]",
    "frozen_time": "str",
    "taken_out_on": "datetime64[ms]",
    "freezer_temperature_degc": "float64",
    "remark": "str",
    "as_written": "str",
    "reason": "str",
    "file_name": "str",
    "sha256": "str",
    "sheet": "str",
    "row": "int64",
    "column": "str",
}

SEASONS: Mapping[str, str] = {
    "station_code": "str",
    "quantity": "str",
    "window": "str",
    "year": "int64",
    "method": "str",  # the one that counted: a season is one method
    "visits": "int64",
    "months": "int64",
    "median": "float64",
    "median_low": "float64",
    "median_high": "float64",
    "mean": "float64",
    "mean_low": "float64",
    "mean_high": "float64",
    "geometric_mean": "float64",
    "minimum": "float64",
    "maximum": "float64",
    "censored_share": "float64",
    "log_spread": "float64",
}


def empty_frame(columns: Mapping[str, str]) -> pd.DataFrame:
    """Return a frame without rows that has the given columns and types.

    Parameters
    ----------
    columns : mapping
        `READINGS`, `ENTRIES` or `SEASONS`.

    Examples
    --------
    >>> len(empty_frame(READINGS))
    0
    """
    return _empty_frame(tuple(columns.items())).copy()


@cache
def _empty_frame(columns: tuple[tuple[str, str], ...]) -> pd.DataFrame:
    return pd.DataFrame({name: pd.Series([], dtype=kind) for name, kind in columns})


def check_frame(frame: pd.DataFrame, columns: Mapping[str, str], name: str) -> pd.DataFrame:
    """Return the frame unchanged, or say which columns it lacks.

    Parameters
    ----------
    frame : DataFrame
        Rows of readings or seasons.
    columns : mapping
        The columns that must be there.
    name : str
        What the frame is called in the message.

    Raises
    ------
    ExplorerError
        If a column is missing.

    Examples
    --------
    >>> check_frame(pd.DataFrame({"value": [1.0]}), {"value": "float64", "sign": "str"}, "readings")
    Traceback (most recent call last):
    explorer.model.errors.ExplorerError: The readings need the columns value, sign; sign is missing ...
    """
    missing = [column for column in columns if column not in frame.columns]
    if missing:
        raise ExplorerError(
            f"The {name} need the columns {', '.join(columns)}; {', '.join(missing)} is missing "
            f"({len(missing)} in all)."
        )
    return frame


def reading_interval(
    value: npt.ArrayLike, sign: npt.ArrayLike
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Return the lowest and highest number that each reading may stand for.

    Parameters
    ----------
    value : array_like, shape (n,)
        The value, or the limit where the sign is "<" or ">". [record unit]
    sign : array_like of str, shape (n,)
        "=", "<" or ">".

    Returns
    -------
    low, high : ndarray, shape (n,)
        Equal for "="; zero to the limit for "<"; the limit to infinity for ">". [record unit]

    Examples
    --------
    >>> low, high = reading_interval([3.0, 5.0, 2.4], ["=", "<", ">"])
    >>> low.tolist(), high.tolist()
    ([3.0, 0.0, 2.4], [3.0, 5.0, inf])
    """
    number = np.asarray(value, dtype=np.float64)
    mark = np.asarray(sign, dtype=object)
    return np.where(mark == "<", 0.0, number), np.where(mark == ">", np.inf, number)


def usable(readings: pd.DataFrame) -> pd.Series:
    """Return which readings count in statistics: routine samples, neither held nor rejected, with a value.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`.

    Returns
    -------
    Series of bool, same index
        Blanks, duplicates and spikes judge a batch, not a lake: they are left out.

    Examples
    --------
    >>> frame = pd.DataFrame({"status": ["accepted", "held"], "sample_type": "routine", "value": [1.0, 2.0]})
    >>> usable(frame).tolist()
    [True, False]
    """
    status = readings["status"].to_numpy(dtype=object)
    counts = (status != "held") & (status != "rejected")
    counts &= readings["sample_type"].to_numpy(dtype=object) == "routine"
    return pd.Series(counts & readings["value"].notna().to_numpy(), index=readings.index)
