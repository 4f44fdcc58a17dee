"""Columns of texts and days, each different one looked up or written once."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd

__all__ = ["iso_days", "looked_up", "texts_by"]


def texts_by(keys: pd.Series, by: Mapping[Any, Any], nothing: str = "") -> pd.Series:
    """Return a text for every key.

    Parameters
    ----------
    keys : Series of str, shape (n,)
    by : mapping of str to str
        Text by key.
    nothing : str
        What stands for a key that has none.

    Examples
    --------
    >>> texts_by(pd.Series(["a", "x"]), {"a": "one"}, "-").tolist()
    ['one', '-']
    """
    return keys.map({key: by.get(key, nothing) for key in keys.unique().tolist()}).astype("str")


def iso_days(dates: pd.Series) -> pd.Series:
    """Return dates as ISO text, empty where there is none.

    Parameters
    ----------
    dates : Series of datetime64, shape (n,)

    Examples
    --------
    >>> iso_days(pd.to_datetime(pd.Series(["2025-05-01", None]))).tolist()
    ['2025-05-01', '']
    """
    texts = np.datetime_as_string(dates.to_numpy().astype("datetime64[D]"))
    return pd.Series(np.where(texts == "NaT", "", texts), index=dates.index, dtype="str")


def looked_up(keys: pd.Series, by: pd.Series) -> pd.Series:
    """Return a value for every key, missing where there is none; also of no keys the values' own type.

    Parameters
    ----------
    keys : Series of str, shape (n,)
    by : Series
        Values by key, each key once.

    Examples
    --------
    >>> looked_up(pd.Series(["b", "x"]), pd.Series([1.0, 2.0], index=["a", "b"])).tolist()
    [2.0, nan]
    """
    return by.reindex(pd.Index(keys.to_numpy(dtype=object))).set_axis(keys.index)
