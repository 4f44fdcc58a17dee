"""The class of every station by one scheme, for a period or season by season, read from the season table."""

import numpy as np
import pandas as pd

from explorer.analysis.certainty import sureness_word
from explorer.analysis.class_units import ClassUnits, judge
from explorer.model.calendar import Period, month_of
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.readings import usable

__all__ = ["class_result", "period_classes", "season_classes"]

MONTHS_OF_A_YEAR = 12


def period_classes(
    seasons: pd.DataFrame, period: Period, scheme: ClassScheme, programme: Programme, kinds: pd.Series
) -> pd.DataFrame:
    """Return the class of every station over a period of whole seasons.

    A season counts with `programme.minimum_visits` visits in `programme.minimum_months` different months; a
    scheme made for means over the year also needs that many different months outside the season; where the
    season leaves fewer, all but that many months of the year. The period's value is the median of the counted
    seasons' medians; for any other statistic it is the mean of the seasons' values. The first quantity of
    `scheme.priority` with a counted season gives the class.

    Where a "<" or ">" leaves the value in an interval, the class is that of the estimate, or without one that
    of the interval's worse end, and `also` names the class at the other end. An interval that reaches further
    than to the next class gives none.

    Parameters
    ----------
    seasons : DataFrame
        Columns of `SEASONS`, in any order; all years, for the spread is pooled over them.
    period : Period
        Seasons that count.
    scheme : ClassScheme
        The scheme.
    programme : Programme
        Gives the fewest visits and months, the season, and the quantities' directions.
    kinds : Series of str, index station_code
        Kind of water of every station that is wanted.

    Returns
    -------
    DataFrame, index station_code, one row per entry of `kinds`
        class_index (0 is best, -1 none), label, letter, quantity, also, missing (words code in the group
        "missing", empty with a class), visits (of all counted seasons; without a class, of the season with
        most), months (different ones, of the season with most), central [record unit] (NaN where only an
        interval is known), and share_0, share_1 … [1] (NaN where the spread is not known).

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> seasons = pd.DataFrame({
    ...     "station_code": "HM1", "quantity": "secchi_depth", "window": "season", "year": [2023, 2024],
    ...     "visits": 5, "months": 5, "median": [3.0, 3.4], "median_low": [3.0, 3.4],
    ...     "median_high": [3.0, 3.4], "log_spread": 0.1})
    >>> kinds = pd.Series({"HM1": "pond", "BR1": "stream"})
    >>> found = period_classes(
    ...     seasons, Period(2023, 2024), schemes()["carlson_simpson_1996"], Programme(), kinds)
    >>> found[["label", "central", "visits", "missing"]].values.tolist()
    [['mesotrophic', 3.2, 10, ''], ['', nan, 0, 'stream']]
    """
    found = _period_units(seasons, period, scheme, programme, kinds).columns(scheme, kinds.index)
    return pd.DataFrame(found, index=kinds.index)


def _period_units(
    seasons: pd.DataFrame, period: Period, scheme: ClassScheme, programme: Programme, kinds: pd.Series
) -> ClassUnits:
    station = kinds.index.get_indexer(pd.Index(seasons["station_code"]))
    unit = np.where(period.contains(seasons["year"]), station, -1)
    units = ClassUnits.of(kinds.to_numpy(object), scheme)
    return judge(seasons, station, unit, units, scheme, programme)


def season_classes(
    seasons: pd.DataFrame, scheme: ClassScheme, programme: Programme, kinds: pd.Series
) -> pd.DataFrame:
    """Return the class of every season of every station.

    Parameters
    ----------
    seasons, scheme, programme : as for `period_classes`
        Season table, scheme and rules.
    kinds : Series of str, index station_code
        Kind of water of every station that is wanted.

    Returns
    -------
    DataFrame, one row per station and year that the season table holds, sorted by both
        Columns station_code, year, and those of `period_classes`.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> seasons = pd.DataFrame({
    ...     "station_code": "HM1", "quantity": "secchi_depth", "window": "season", "year": [2023, 2024],
    ...     "visits": [5, 2], "months": [5, 2], "median": [3.0, 3.4], "median_low": [3.0, 3.4],
    ...     "median_high": [3.0, 3.4], "log_spread": 0.1})
    >>> kinds = pd.Series({"HM1": "pond"})
    >>> found = season_classes(seasons, schemes()["carlson_simpson_1996"], Programme(), kinds)
    >>> found[["year", "letter", "visits", "missing"]].values.tolist()
    [[2023, 'M', 5, ''], [2024, '', 2, 'too_few_visits']]
    """
    kinds = kinds.sort_index()
    station = kinds.index.get_indexer(pd.Index(seasons["station_code"]))
    year = seasons["year"].to_numpy()
    rows = np.flatnonzero(station >= 0)
    first = int(year.min()) if year.size else 0
    span = int(np.ptp(year)) + 1 if year.size else 1
    keys, numbers = np.unique(station[rows] * span + year[rows] - first, return_inverse=True)
    unit = np.full(year.size, -1)
    unit[rows] = numbers
    units = ClassUnits.of(kinds.to_numpy(object)[keys // span], scheme)
    codes = pd.Series(kinds.index.to_numpy(object)[keys // span], dtype="str")
    found = judge(seasons, station, unit, units, scheme, programme).columns(scheme)
    return pd.DataFrame({"station_code": codes, "year": keys % span + first, **found})


def class_result(
    history: StationHistory, seasons: pd.DataFrame, period: Period, scheme: ClassScheme, programme: Programme
) -> ClassResult:
    """Return the class of one station over a period, with the months that were missed.

    Parameters
    ----------
    history : StationHistory
        The station, its water and its readings.
    seasons : DataFrame
        Columns of `SEASONS`; rows of other stations are left out.
    period, scheme, programme : as for `period_classes`
        Seasons that count, scheme and rules.

    Returns
    -------
    ClassResult
        `missing_months` are those of the quantity that gave the class, or, without a class, of the scheme's
        quantity that was visited in most months.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> from explorer.analysis.season_table import season_table
    >>> from explorer.model.places import Lake, Station
    >>> nan = float("nan")
    >>> readings = pd.DataFrame({"station_code": "HM1", "quantity": "secchi_depth", "sign": "=",
    ...     "stratum": "surface", "method": "", "value": 3.0, "status": "accepted", "sample_type": "routine",
    ...     "taken_on": pd.to_datetime(["2024-05-10", "2024-06-11"])})
    >>> history = StationHistory(
    ...     Station("HM1", "Hollow Mere, middle", "HM", nan, nan, nan, True),
    ...     Lake("HM", "Hollow Mere", "pond", frozenset(), nan, nan, nan), readings, 1)
    >>> scheme = schemes()["carlson_simpson_1996"]
    >>> found = class_result(
    ...     history, season_table(readings, Programme()), Period(2024, 2024), scheme, Programme())
    >>> found.missing, found.visits, found.missing_months
    ('too_few_visits', 2, (7, 8, 9))
    """
    code = history.station.code
    units = _period_units(seasons, period, scheme, programme, pd.Series({code: history.lake.kind}))
    found = units.named(scheme, 0)
    shares = dict(zip(scheme.classes, units.shares[0].tolist(), strict=True))
    visits, label = int(units.visits[0]), found["label"]
    return ClassResult(
        scheme=scheme.key,
        quantity=found["quantity"],
        label=label or None,
        also=found["also"],
        shares={} if np.isnan(units.shares[0]).any() else shares,
        sureness=sureness_word(shares[label], visits) if label else "",
        visits=visits,
        months=int(units.months[0]),
        missing=found["missing"],
        missing_months=_missing_months(history.readings, found["quantity"], period, scheme, programme),
    )


def _missing_months(
    readings: pd.DataFrame, quantity: str, period: Period, scheme: ClassScheme, programme: Programme
) -> tuple[int, ...]:
    inside = readings.iloc[np.flatnonzero(period.contains(programme.season.year_of(readings["taken_on"])))]
    judged = usable(inside).to_numpy() & (inside["stratum"].to_numpy(object) == "surface")
    month, measured = (
        column[judged] for column in (month_of(inside["taken_on"]), inside["quantity"].to_numpy(object))
    )
    lists = []
    for code in [quantity] if quantity else scheme.priority:
        of_year = scheme.limits[code].window == "year"
        months = range(1, MONTHS_OF_A_YEAR + 1) if of_year else programme.season.months
        visited = set(month[measured == code].tolist())
        lists.append(tuple(month for month in months if month not in visited))
    return min(lists, key=len)
