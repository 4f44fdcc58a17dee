"""A record in one row a station: visits, seasons, the latest class by each scheme, and the trends."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import pandas as pd

from explorer.analysis.certainty import sureness_word
from explorer.analysis.classes import season_classes
from explorer.analysis.station_trends import judged_rows
from explorer.model.classes import ClassScheme
from explorer.model.programme import Programme
from explorer.model.trends import LAG1_WARNING, TrendFindings

__all__ = ["TREND_COLUMNS", "station_rows", "summary_frame"]

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
    "persistent": True,  # 1 where each year resembles the one before: no rate a year is to be relied on
    "censored_share": False,
    "years": True,
    "months": True,
}


def station_rows(
    visits: pd.DataFrame,
    seasons: pd.DataFrame,
    schemes: Iterable[ClassScheme],
    programme: Programme,
    kinds: pd.Series,
) -> pd.DataFrame:
    """Return one row a station with what can be said of it alone.

    Parameters
    ----------
    visits : DataFrame, index station_code
        Columns visits, first_visit and last_visit; a station without a reading may be missing.
    seasons : DataFrame
        Columns of `SEASONS`, of these stations.
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
        is none), <key>_year, <key>_sureness. Whatever is not known is NaN or empty.

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
    >>> frame = station_rows(visits, seasons, [rule], Programme(), kinds)
    >>> frame[["visits", "secchi_depth_seasons", rule.key]].values.tolist()
    [[10, 2, 'mesotrophic'], [0, 0, '']]
    """
    frame = pd.DataFrame({"kind": kinds}).join(visits)
    frame["visits"] = frame["visits"].fillna(0).astype("int64")
    parts = [frame, _season_counts(seasons, programme, kinds)]
    parts += [_latest(season_classes(seasons, each, programme, kinds), each.key, kinds) for each in schemes]
    return pd.concat(parts, axis=1)


def summary_frame(parts: Sequence[pd.DataFrame], trends: pd.DataFrame, programme: Programme) -> pd.DataFrame:
    """Return one row a station, with its trends judged beside those of all others.

    Parameters
    ----------
    parts : sequence of DataFrame
        From `station_rows`, of different stations each.
    trends : DataFrame
        Columns of `TRENDS`, all stations of the record.
    programme : Programme
        Quantities and rules.

    Returns
    -------
    DataFrame, index station_code
        The columns of `station_rows`, without the seasons of quantities that nobody measured; per quantity
        <quantity>_trend, one of `TREND_VERDICTS`, and the numbers behind it, slopes in record units a year.

    Examples
    --------
    >>> from explorer.model.readings import SEASONS, empty_frame
    >>> from explorer.model.station_trends import TRENDS
    >>> visits = pd.DataFrame({"visits": 1, "first_visit": "2024-05-02", "last_visit": ""}, index=["HM1"])
    >>> kinds = pd.Series({"HM1": "pond"})
    >>> rows = station_rows(visits, empty_frame(SEASONS), [], Programme(), kinds)
    >>> summary_frame([rows], empty_frame(TRENDS), Programme()).columns.tolist()
    ['kind', 'visits', 'first_visit', 'last_visit']
    """
    frame = pd.concat(parts)
    unmeasured = [name for code in programme.quantities if not frame[name := f"{code}_seasons"].any()]
    found = [
        _trend_columns(some["station_code"], findings, quantity, frame.index)
        for quantity, some, findings in judged_rows(trends, programme)
    ]
    return pd.concat([frame.drop(columns=unmeasured), *found], axis=1)


def _season_counts(seasons: pd.DataFrame, programme: Programme, kinds: pd.Series) -> pd.DataFrame:
    of_season = seasons[(seasons["window"] == "season").to_numpy()]
    station = kinds.index.get_indexer(pd.Index(of_season["station_code"]))
    quantity = pd.Index([*programme.quantities]).get_indexer(pd.Index(of_season["quantity"]))
    counted = (station >= 0) & (quantity >= 0)
    counts = np.zeros((len(kinds), len(programme.quantities)), dtype=np.int64)
    np.add.at(counts, (station[counted], quantity[counted]), 1)
    columns = [f"{code}_seasons" for code in programme.quantities]
    return pd.DataFrame(counts, index=kinds.index, columns=columns)


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


def _trend_columns(
    stations: pd.Series, findings: TrendFindings, quantity: str, index: pd.Index
) -> pd.DataFrame:
    """Return what is told of the trends in one quantity."""
    lag1 = findings.table.lag1
    own = {
        "trend": findings.verdict.astype(object),
        "smallest_found": findings.smallest_found,
        "persistent": np.where(np.isnan(lag1), np.nan, lag1 > LAG1_WARNING),
    }
    columns = pd.DataFrame(
        {name: own[name] if name in own else getattr(findings.table, name) for name in TREND_COLUMNS},
        index=pd.Index(stations),
    ).reindex(index)
    counted = {name: "Int64" for name, is_count in TREND_COLUMNS.items() if is_count}
    return columns.fillna({"trend": ""}).astype(counted).add_prefix(f"{quantity}_")
