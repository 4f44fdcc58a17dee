"""How far a season's visits have come: the months that still lack one."""

import pandas as pd

from explorer.model.programme import Programme

__all__ = ["months_without_visit"]


def months_without_visit(
    seasons: pd.DataFrame, year: int, programme: Programme, codes: pd.Index
) -> pd.Series:
    """Return how many months of one season each station has not been visited in.

    Parameters
    ----------
    seasons : DataFrame
        Columns of `SEASONS`.
    year : int
        The season.
    programme : Programme
        Gives the season's months.
    codes : Index of str
        Stations that are wanted.

    Returns
    -------
    Series of int, index codes
        Months of the season less those with a reading of the quantity that was read most often. [1]

    Examples
    --------
    >>> seasons = pd.DataFrame({"station_code": "HM1", "quantity": ["secchi_depth", "ph"], "window": "season",
    ...     "year": 2024, "months": [3, 1]})
    >>> months_without_visit(seasons, 2024, Programme(), pd.Index(["HM1", "HM2"])).tolist()
    [2, 5]
    """
    chosen = seasons[(seasons["window"] == "season") & (seasons["year"] == year)]
    visited = chosen.groupby("station_code")["months"].max().reindex(codes, fill_value=0)
    missing: pd.Series = (len(programme.season_months) - visited).astype("int64")
    return missing
