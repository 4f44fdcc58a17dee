"""Seasons of other stations beside one station's: same quantity, same season, same method, else none."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = [
    "NO_SEASONS",
    "ComparedSeasons",
    "QuantitySeasons",
    "SeasonMiddles",
    "compared_seasons",
    "season_middles",
]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class QuantitySeasons:
    """The middle values of all seasons of one quantity, sorted so that a median needs no sorting.

    Attributes
    ----------
    station : ndarray of int, shape (n,)
        Number of the station.
    group : ndarray of int, shape (n,)
        Number of the year and method, rising; within a group the values rise.
    visits : ndarray of int, shape (n,)
        Visits of the season.
    value : ndarray, shape (n,)
        The season's median where it is known; else the end of its interval that is known, the limit of "<" or
        of ">". [record unit]
    low, high : ndarray, shape (n,)
        Lowest and highest number that the median may be. [record unit]
    by_low, by_high : ndarray of int, shape (n,)
        Positions of the seasons by group and `low`, by group and `high`.
    years : ndarray of int, shape (groups,)
        Year of each group.
    """

    station: Ints
    group: Ints
    visits: Ints
    value: Floats
    low: Floats
    high: Floats
    by_low: Ints
    by_high: Ints
    years: Ints


@dataclass(frozen=True, slots=True)
class SeasonMiddles:
    """The middle values of all seasons of a record, put in order once so that a click need not search.

    Attributes
    ----------
    stations : mapping of str to int
        The number of each station that has a season.
    quantities : mapping of str to QuantitySeasons
        Seasons by quantity code.
    """

    stations: Mapping[str, int]
    quantities: Mapping[str, QuantitySeasons]


@dataclass(frozen=True, slots=True)
class ComparedSeasons:
    """Seasons of one quantity in which a station and others were measured by the same method.

    Attributes
    ----------
    years : ndarray of int, shape (s,)
        The seasons, rising.
    middles : ndarray, shape (s,)
        Median over the other stations' season medians. [record unit] A median that is not known counts as the
        end of its interval that is.
    low, high : ndarray, shape (s,)
        Lowest and highest number that this median may be; equal where it is known. [record unit]
    own_low, own_high : ndarray, shape (s,)
        The same of the station's own season medians. [record unit]
    visits, own_visits : ndarray of int, shape (s,)
        Visits behind both.
    stations : int
        Other stations that have one of these seasons.
    left_out : int
        Seasons of an other station in which the station itself was measured by another method.
    missing : str
        Why there is no season: "here" (the station has none), "there" (the others have none), "season" (never
        the same one), "method" (never the same method); empty where there are some.
    """

    years: Ints
    middles: Floats
    low: Floats
    high: Floats
    own_low: Floats
    own_high: Floats
    visits: Ints
    own_visits: Ints
    stations: int
    left_out: int
    missing: str


_NO_INTS, _NO_FLOATS = np.array([], dtype=np.int64), np.array([], dtype=np.float64)
NO_SEASONS = ComparedSeasons(
    _NO_INTS, _NO_FLOATS, _NO_FLOATS, _NO_FLOATS, _NO_FLOATS, _NO_FLOATS, _NO_INTS, _NO_INTS, 0, 0, ""
)


def season_middles(seasons: pd.DataFrame) -> SeasonMiddles:
    """Return the season medians of a record in the order in which `compared_seasons` looks them up.

    Parameters
    ----------
    seasons : DataFrame
        Columns of `SEASONS`, in any order. [record unit] Rows of the whole year are left out.

    Returns
    -------
    SeasonMiddles

    Examples
    --------
    >>> seasons = pd.DataFrame({"station_code": ["HM2", "HM1"], "quantity": "secchi_depth", "year": 2024,
    ...     "window": "season", "method": "", "visits": 4, "median": [3.0, float("nan")],
    ...     "median_low": [3.0, 2.4], "median_high": [3.0, float("inf")]})
    >>> middles = season_middles(seasons)
    >>> middles.stations, middles.quantities["secchi_depth"].value.tolist()
    ({'HM1': 0, 'HM2': 1}, [2.4, 3.0])
    """
    chosen = seasons[seasons["window"] == "season"]
    station, codes = pd.factorize(chosen["station_code"], sort=True)
    quantities = {
        str(quantity): _sorted(station[rows], chosen.iloc[rows])
        for quantity, rows in chosen.groupby("quantity").indices.items()
    }
    return SeasonMiddles({str(code): number for number, code in enumerate(codes)}, quantities)


def _sorted(station: Ints, seasons: pd.DataFrame) -> QuantitySeasons:
    method, methods = pd.factorize(seasons["method"])
    groups, group = np.unique(seasons["year"].to_numpy() * len(methods) + method, return_inverse=True)
    low, high, median = (seasons[name].to_numpy() for name in ("median_low", "median_high", "median"))
    value = np.where(np.isnan(median), np.where(np.isinf(high), low, high), median)
    order = np.lexsort((value, group))
    group, low, high = group[order], low[order], high[order]
    return QuantitySeasons(
        station=station[order],
        group=group,
        visits=seasons["visits"].to_numpy()[order],
        value=value[order],
        low=low,
        high=high,
        by_low=np.lexsort((low, group)),
        by_high=np.lexsort((high, group)),
        years=groups // len(methods),
    )


def compared_seasons(
    middles: SeasonMiddles, quantity: str, station: str, others: Collection[str]
) -> ComparedSeasons:
    """Return the seasons of other stations that may stand beside those of one station.

    Parameters
    ----------
    middles : SeasonMiddles
        From `season_middles`. [record unit]
    quantity : str
        Code of the quantity.
    station : str
        Code of the station; it is never compared with itself.
    others : collection of str
        Codes of the stations that may be compared with it.

    Returns
    -------
    ComparedSeasons

    Examples
    --------
    >>> seasons = pd.DataFrame({"station_code": ["HM1", "HM2", "HM3", "HM1", "HM2"],
    ...     "quantity": "secchi_depth", "year": [2023, 2023, 2023, 2024, 2024], "window": "season",
    ...     "method": ["", "", "", "", "tube"], "visits": 4, "median": [2.0, 3.0, 5.0, 2.0, 9.0]})
    >>> seasons = seasons.assign(median_low=seasons["median"], median_high=seasons["median"])
    >>> found = compared_seasons(season_middles(seasons), "secchi_depth", "HM1", ["HM2", "HM3"])
    >>> found.years.tolist(), found.middles.tolist(), found.stations, found.left_out
    ([2023], [4.0], 2, 1)
    """
    rows = middles.quantities.get(quantity)
    number = middles.stations.get(station, -1)
    own = np.flatnonzero(rows.station == number) if rows is not None else _NO_INTS
    if rows is None or own.size == 0:
        return replace(NO_SEASONS, missing="here")
    chosen = np.zeros(len(middles.stations), dtype=bool)
    chosen[[middles.stations[code] for code in others if code in middles.stations]] = True
    chosen[number] = False
    beside = chosen[rows.station]
    shared = beside & np.isin(rows.years, rows.years[rows.group[own]])[rows.group]
    same = np.zeros(rows.years.size, dtype=bool)
    same[rows.group[own]] = True
    taken = shared & same[rows.group]
    left_out = int(shared.sum() - taken.sum())
    if not taken.any():
        missing = "method" if left_out else "season" if beside.any() else "there"
        return replace(NO_SEASONS, missing=missing, left_out=left_out)
    group = rows.group[taken]
    start = np.flatnonzero(np.diff(group, prepend=-1))
    own = own[np.isin(rows.group[own], group[start])]
    return ComparedSeasons(
        years=rows.years[rows.group[own]],
        middles=_medians(rows.value[taken], start),
        low=_medians(rows.low[rows.by_low[taken[rows.by_low]]], start),
        high=_medians(rows.high[rows.by_high[taken[rows.by_high]]], start),
        own_low=rows.low[own],
        own_high=rows.high[own],
        visits=np.add.reduceat(rows.visits[taken], start),
        own_visits=rows.visits[own],
        stations=int(np.count_nonzero(np.bincount(rows.station[taken]))),
        left_out=left_out,
        missing="",
    )


def _medians(ordered: Floats, start: Ints) -> Floats:
    """Return the median of each group, whose values rise from its start; between two it lies half way."""
    count = np.diff(start, append=ordered.size)
    return np.asarray((ordered[start + (count - 1) // 2] + ordered[start + count // 2]) / 2)
