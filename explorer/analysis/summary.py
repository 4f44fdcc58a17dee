"""A record in one row a station: visits, seasons, the latest class by each scheme, and the trends."""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import pandas as pd

from explorer.analysis.certainty import sureness_word
from explorer.analysis.classes import season_classes
from explorer.analysis.station_trends import StationTrends
from explorer.model.classes import ClassScheme
from explorer.model.programme import Programme
from explorer.model.station_trends import StationTrend

__all__ = ["TREND_COLUMNS", "summary_frame"]

# What is told of each trend, behind the quantity's code: name of the column, and whether it counts something.
TREND_COLUMNS: Mapping[str, bool] = {
    "trend": False,  # one of `TREND_VERDICTS`
    "slope_per_year": False,
    "slope_low": False,
    "slope_high": False,
    "percent_per_year": False,
    "smallest_found": False,
    "p": False,
    "p_adjusted": False,
    "lag1": False,
    "censored_share": False,
    "years": True,
    "months": True,
}


def summary_frame(
    visits: pd.DataFrame,
    seasons: pd.DataFrame,
    trends: StationTrends,
    schemes: Iterable[ClassScheme],
    programme: Programme,
    kinds: pd.Series,
) -> pd.DataFrame:
    """Return one row a station.

    Parameters
    ----------
    visits : DataFrame, index station_code
        Columns visits, first_visit and last_visit; a station without a reading may be missing.
    seasons : DataFrame
        Columns of `SEASONS`, all stations.
    trends : mapping of (str, str) to StationTrend
        By station and quantity, judged over all stations.
    schemes : iterable of ClassScheme
        The schemes by which to name a class.
    programme : Programme
        Season and rules.
    kinds : Series of str, index station_code
        Kind of water of every station that is wanted.

    Returns
    -------
    DataFrame, index as `kinds`
        Columns kind, visits, first_visit, last_visit; <quantity>_seasons, how many have a visit that counts;
        per scheme its key with the class in the last season with a reading (or the words code of why there
        is none), <key>_year, <key>_sureness; per quantity <quantity>_trend, one of `TREND_VERDICTS`, and the
        numbers behind it, slopes in record units per year. Whatever is not known is NaN or empty.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> from explorer.model.programme import Programme
    >>> seasons = pd.DataFrame({
    ...     "station_code": "HM1", "quantity": "secchi_depth", "window": "season", "year": [2023, 2024],
    ...     "visits": 5, "months": 5, "median": [3.0, 3.4], "median_low": [3.0, 3.4],
    ...     "median_high": [3.0, 3.4], "log_spread": 0.1})
    >>> visits = pd.DataFrame({"visits": 10, "first_visit": "2023-05-02", "last_visit": "2024-09-09"},
    ...                       index=["HM1"])
    >>> kinds = pd.Series({"HM1": "pond", "BR1": "stream"})
    >>> rule = schemes()["carlson_simpson_1996"]
    >>> frame = summary_frame(visits, seasons, {}, [rule], Programme(), kinds)
    >>> frame[["visits", "secchi_depth_seasons", rule.key]].values.tolist()
    [[10, 2, 'mesotrophic'], [0, 0, '']]
    """
    frame = pd.DataFrame({"kind": kinds}).join(visits)
    frame["visits"] = frame["visits"].fillna(0).astype("int64")
    parts = [frame, _season_counts(seasons, programme, kinds)]
    parts += [_latest(season_classes(seasons, each, programme, kinds), each.key, kinds) for each in schemes]
    by_quantity: dict[str, dict[str, StationTrend]] = {code: {} for code in programme.quantities}
    for (station, quantity), each in trends.items():
        by_quantity[quantity][station] = each
    parts += [_trend_columns(found, quantity, kinds) for quantity, found in by_quantity.items() if found]
    return pd.concat(parts, axis=1)


def _season_counts(seasons: pd.DataFrame, programme: Programme, kinds: pd.Series) -> pd.DataFrame:
    of_season = seasons[seasons["window"] == "season"]
    counts = pd.crosstab(of_season["station_code"], of_season["quantity"])
    known = [code for code in programme.quantities if code in counts]
    return counts[known].reindex(kinds.index, fill_value=0).add_suffix("_seasons")


def _latest(classes: pd.DataFrame, key: str, kinds: pd.Series) -> pd.DataFrame:
    """Return the class of each station's last season."""
    last = classes.drop_duplicates("station_code", keep="last")
    shares = last.filter(like="share_").to_numpy()
    own = shares[range(len(last)), last["class_index"]]
    sureness = [
        sureness_word(share, visits) if label else ""
        for share, visits, label in zip(own.tolist(), last["visits"], last["label"], strict=True)
    ]
    columns = pd.DataFrame(
        {
            key: last["label"].where(last["label"] != "", last["missing"]).to_numpy(object),
            f"{key}_year": last["year"].to_numpy(),
            f"{key}_sureness": np.array(sureness, dtype=object),
        },
        index=last["station_code"],
    ).reindex(kinds.index)
    columns[f"{key}_year"] = columns[f"{key}_year"].astype("Int64")
    return columns.fillna({key: "", f"{key}_sureness": ""})


def _trend_columns(found: Mapping[str, StationTrend], quantity: str, kinds: pd.Series) -> pd.DataFrame:
    """Return what is told of the trends in one quantity."""
    rows: dict[str, list[Any]] = {name: [] for name in TREND_COLUMNS}
    for each in found.values():
        for name, values in rows.items():
            values.append(each.trend.verdict if name == "trend" else getattr(each.trend, name))
    columns = pd.DataFrame(rows, index=list(found)).reindex(kinds.index)
    counted = {name: "Int64" for name, is_count in TREND_COLUMNS.items() if is_count}
    return columns.fillna({"trend": ""}).astype(counted).add_prefix(f"{quantity}_")
