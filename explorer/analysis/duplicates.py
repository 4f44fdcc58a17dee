"""Duplicates beside their samples: how far two results lie apart, and the spread that all of them show."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.model.readings import check_frame

__all__ = ["DUPLICATES", "duplicate_pairs", "pooled_precision", "relative_percent_difference"]

Numbers = npt.NDArray[np.float64]

DUPLICATES = ("field duplicate", "lab duplicate")
_NEEDED = ("station_code", "quantity", "taken_on", "value", "sign", "detection_limit", "reporting_limit",
           "status", "sample_code", "sample_type", "parent_sample", "method", "batch")  # fmt: skip


def relative_percent_difference(first: npt.ArrayLike, second: npt.ArrayLike) -> Numbers:
    """Return how far two results lie apart, in percent of their mean.

    Parameters
    ----------
    first, second : array_like, shape (n,)
        Results of the same sample. [same unit]

    Returns
    -------
    ndarray, shape (n,)
        100 |a - b| / ((a + b) / 2). [%] NaN where the mean is zero or one of them is missing.

    References
    ----------
    .. [1] U.S. Geological Survey, data-quality note of a ScienceBase release: ABS(2 (A - B) / (A + B)).

    Examples
    --------
    >>> relative_percent_difference([10.0, 0.0], [12.0, 0.0]).round(4).tolist()
    [18.1818, nan]
    """
    a, b = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    mean = (a + b) / 2
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(mean == 0, np.nan, 100 * np.abs(a - b) / np.abs(mean))


def duplicate_pairs(samples: pd.DataFrame, limit_percent: float) -> pd.DataFrame:
    """Return every duplicate beside its sample, and whether the two agree.

    Two results from their reporting limit upwards are judged by their relative percent difference [1]_. Below
    it no relative limit applies [1]_: there they agree when they differ by no more than the reporting limit
    (common practice). A result below a detection limit lies somewhere under it: the least difference counts.

    Parameters
    ----------
    samples : DataFrame
        Columns of `READINGS`; duplicates and the samples that they belong to. Rejected rows are left out;
        held ones count, else a pair that was held for lying apart would make the others look better.
    limit_percent : float
        Relative percent difference that duplicates may have, at most. [%]

    Returns
    -------
    DataFrame, one row a duplicate
        station_code, quantity, taken_on, sample_type, parent_sample, sample_code, method, batch; first and
        second [record unit] with first_sign and second_sign; difference [record unit] and percent [%], NaN
        where one of the two was not measured; by ("percent", "limit" or "", where nothing can be said) and
        agrees.

    References
    ----------
    .. [1] California measurement quality objectives, table A1: 25 %, not applicable if either value lies
       below the reporting limit.
    """
    check_frame(samples, dict.fromkeys(_NEEDED, ""), "samples")
    kept = samples[(samples["status"] != "rejected").to_numpy()]
    kinds = kept["sample_type"].to_numpy(dtype=object)
    duplicates = kept[np.isin(kinds, DUPLICATES)]
    parents = kept[(kinds == "routine") & (kept["sample_code"] != "").to_numpy()]
    pairs = _beside(duplicates, parents)
    pairs = pairs.rename(columns={"value": "second", "sign": "second_sign"})
    pairs = pairs[pairs["first"].notna() & pairs["second"].notna()].reset_index(drop=True)
    return _judged(pairs, limit_percent)


def _beside(duplicates: pd.DataFrame, parents: pd.DataFrame) -> pd.DataFrame:
    """Return duplicates beside the result of the code that they name, else of the same sample.

    A laboratory names the first bottle, a sheet the sample: 250139-1, 250139-3 and 250139 are one sample.
    """
    columns = {"value": "first", "sign": "first_sign", "reporting_limit": "first_limit"}
    results = parents[["quantity", "sample_code", *columns]].rename(columns=columns)
    stated = duplicates["parent_sample"].where(duplicates["parent_sample"] != "", duplicates["sample_code"])
    left, found = duplicates.assign(key=stated), []
    for key_of in (lambda code: code, _sample_of):
        keyed = results.assign(key=results["sample_code"].map(key_of)).drop(columns="sample_code")
        keyed = keyed[(keyed["key"] != "").to_numpy()].drop_duplicates(["quantity", "key"])
        left = left.assign(key=left["key"].map(key_of))
        merged = left.merge(keyed, on=["quantity", "key"], how="left", indicator=True)
        matched = (merged["_merge"] == "both").to_numpy()
        found.append(merged[matched].drop(columns="_merge"))
        left = left[~matched]
    return pd.concat(found).sort_values(["station_code", "quantity", "taken_on"], kind="stable")


def _sample_of(code: str) -> str:
    """Return a code's sample where the code is of digits with a container, "" for any other."""
    sample = code.partition("-")[0]
    return sample if sample.isdigit() else ""


def _judged(pairs: pd.DataFrame, limit_percent: float) -> pd.DataFrame:
    first, second = pairs["first"].to_numpy(np.float64), pairs["second"].to_numpy(np.float64)
    low = [np.where(pairs[sign] == "<", 0.0, pairs[value]) for value, sign in _SIDES]
    measured = (pairs["first_sign"] == "=").to_numpy() & (pairs["second_sign"] == "=").to_numpy()
    over = (pairs["first_sign"] == ">").to_numpy() | (pairs["second_sign"] == ">").to_numpy()
    limit = pairs[["first_limit", "reporting_limit"]].max(axis=1).to_numpy(np.float64)
    near = ~measured | (np.fmin(first, second) < limit)
    least = np.fmax(0.0, np.fmax(low[0] - second, low[1] - first))  # of two intervals from nought to a limit
    difference = np.where(measured, np.abs(first - second), least)
    percent = np.where(measured, relative_percent_difference(first, second), np.nan)
    by = np.where(over | (near & np.isnan(limit)), "", np.where(near, "limit", "percent"))
    agrees = np.where(by == "limit", difference <= limit, percent <= limit_percent) & (by != "")
    columns = ["station_code", "quantity", "taken_on", "sample_type", "parent_sample", "sample_code"]
    results = ["first", "first_sign", "second", "second_sign"]
    return pairs[[*columns, "method", "batch", *results]].assign(
        difference=np.where(measured, difference, np.nan),
        percent=percent,
        by=pd.Series(by, index=pairs.index, dtype="str"),
        agrees=agrees.astype(bool),
    )


_SIDES = (("first", "first_sign"), ("second", "second_sign"))


def pooled_precision(
    first: Sequence[float] | Numbers, second: Sequence[float] | Numbers
) -> tuple[float, float]:
    """Return the spread of single results that their duplicates show, pooled over all pairs.

    Parameters
    ----------
    first, second : sequence of float, shape (n,)
        Measured results of the same samples. [record unit]

    Returns
    -------
    spread : float
        Standard deviation of one result: the root of the sum of squared differences over 2 n. [record unit]
        NaN without a pair.
    percent : float
        The same of differences relative to the pairs' means. [%] Pairs with a mean of zero are left out.

    References
    ----------
    .. [1] G. Dahlberg, "Statistical methods for medical and biological students", 1940: standard deviation
       from duplicate determinations (from memory); equal to the root of the mean square within pairs.

    Examples
    --------
    >>> spread, percent = pooled_precision([10.0, 20.0], [12.0, 18.0])
    >>> round(spread, 4), round(percent, 4)
    (1.4142, 10.5045)
    """
    a, b = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    relative = relative_percent_difference(a, b)
    relative = relative[~np.isnan(relative)]
    return _root_mean_half_square(a - b), _root_mean_half_square(relative)


def _root_mean_half_square(differences: Numbers) -> float:
    return float(np.sqrt(np.mean(differences**2) / 2)) if len(differences) else float("nan")
