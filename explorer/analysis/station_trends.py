"""The trends of a record's stations: computed series by series, judged all together."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.multiple_tests import adjusted_p, level_of_next_finding
from explorer.analysis.newest_series import NewestSeries
from explorer.analysis.trend import trends
from explorer.analysis.trend_findings import LEVEL, judged_findings, smallest_changes
from explorer.model.programme import Programme
from explorer.model.readings import empty_frame
from explorer.model.station_trends import TRENDS, StationTrend
from explorer.model.trends import TrendFindings, TrendTable

__all__ = [
    "TREND_FORMULAS",
    "StationTrends",
    "judged_rows",
    "judged_trends",
    "level_moved",
    "series_trends",
]

TREND_FORMULAS = (
    2  # raised with every change of a number or column: stored trends of another version are stale
)
SAME_LEVEL = 1.25  # [1] levels so near one another move the smallest change by less than it is searched to

StationTrends = Mapping[tuple[str, str], StationTrend]  # by station and quantity


def series_trends(
    parts: Sequence[Mapping[str, NewestSeries]], programme: Programme, known: pd.DataFrame | None = None
) -> pd.DataFrame:
    """Return test, slope and smallest change of every series, as they are stored.

    The smallest change is simulated at the p that one more finding takes among these series and the known
    ones together.

    Parameters
    ----------
    parts : sequence of mapping of str to NewestSeries
        By quantity, from `newest_series` of different stations each.
    programme : Programme
        How many years and months a trend takes.
    known : DataFrame, optional
        Columns of `TRENDS`: rows of the record's other stations.

    Returns
    -------
    DataFrame
        Columns of `TRENDS`, one row a station and quantity.

    Examples
    --------
    >>> from explorer.analysis.newest_series import NewestSeries
    >>> noise = np.random.default_rng(1).normal(3.0, 0.3, (2, 15, 5))
    >>> noise[1] += 0.2 * np.arange(15)[:, None]
    >>> both = NewestSeries(np.array(["HM1", "HM2"]), np.array(["", ""]), ((), ()), np.arange(2010, 2025),
    ...                     noise, np.full(noise.shape, "="))
    >>> rows = series_trends([{"secchi_depth": both}], Programme())
    >>> rows[["station_code", "years", "test"]].values.tolist()
    [['HM1', 15, 'seasonal_kendall'], ['HM2', 15, 'seasonal_kendall']]
    """
    frames = []
    for quantity in programme.quantities:
        series = [part[quantity] for part in parts if quantity in part]
        frames += _quantity_trends(quantity, series, programme, _known_p(known, quantity))
    return pd.concat(frames, ignore_index=True) if frames else empty_frame(TRENDS)


def _known_p(known: pd.DataFrame | None, quantity: str) -> npt.NDArray[np.float64]:
    if known is None:
        return np.array([])
    return known.loc[known["quantity"] == quantity, "p"].to_numpy(np.float64)


def _quantity_trends(
    quantity: str, parts: Sequence[NewestSeries], programme: Programme, known_p: npt.NDArray[np.float64]
) -> list[pd.DataFrame]:
    rules = {"trend_years": programme.trend_years, "minimum_months": programme.minimum_months}
    tables = [trends(each.numbers, each.signs, years=each.years, **rules) for each in parts]
    level = level_of_next_finding(np.concatenate([known_p, *(table.p for table in tables)]), LEVEL)
    return [
        _trend_rows(quantity, each, table, level, programme)
        for each, table in zip(parts, tables, strict=True)
    ]


def _trend_rows(
    quantity: str, series: NewestSeries, table: TrendTable, level: float, programme: Programme
) -> pd.DataFrame:
    signs = None if np.all(series.signs == "=") else series.signs
    smallest = smallest_changes(
        series.numbers, signs, series.years, table, level=level, minimum_months=programme.minimum_months
    )
    measured = ~np.isnan(series.numbers)
    used = np.asarray(measured.any(axis=2))
    columns = {each.name: getattr(table, each.name) for each in fields(TrendTable)} | {
        "station_code": series.stations,
        "quantity": quantity,
        "method": series.methods,
        "other_methods": [json.dumps(each, ensure_ascii=False) for each in series.other_methods],
        "first_year": series.years[used.argmax(axis=1)],
        "last_year": series.years[::-1][np.flip(used, axis=1).argmax(axis=1)],
        "middle_year": [float(np.median(np.repeat(series.years, each))) for each in measured.sum(axis=2)],
        "smallest_found": smallest,
        "level": level,
    }
    return pd.DataFrame(
        {name: pd.Series(columns[name], index=range(len(table)), dtype=kind) for name, kind in TRENDS.items()}
    )


def judged_trends(rows: pd.DataFrame, programme: Programme) -> dict[tuple[str, str], StationTrend]:
    """Return the trend of every station and quantity, judged together with all others of its quantity.

    Parameters
    ----------
    rows : DataFrame
        Columns of `TRENDS`, all stations of the record.
    programme : Programme
        How many years a trend takes.

    Returns
    -------
    dict of (str, str) to StationTrend
        By station and quantity.

    Examples
    --------
    >>> from explorer.analysis.newest_series import NewestSeries
    >>> noise = np.random.default_rng(1).normal(3.0, 0.3, (2, 15, 5))
    >>> noise[1] += 0.2 * np.arange(15)[:, None]
    >>> both = NewestSeries(np.array(["HM1", "HM2"]), np.array(["", ""]), ((), ()), np.arange(2010, 2025),
    ...                     noise, np.full(noise.shape, "="))
    >>> rows = series_trends([{"secchi_depth": both}], Programme())
    >>> [each.trend.verdict for each in judged_trends(rows, Programme()).values()]
    ['no_trend_found', 'rising']
    """
    found = {}
    columns = ("station_code", "method", "other_methods", "first_year", "last_year", "middle_year")
    for quantity, some, findings in judged_rows(rows, programme):
        together = int(np.count_nonzero(some["p"].notna()))
        for place, (code, method, others, first, last, middle) in enumerate(
            zip(*(some[name].tolist() for name in columns), strict=True)
        ):
            found[code, quantity] = StationTrend(
                code, quantity, method, tuple(json.loads(others)), first, last, middle, together,
                findings.trend(place),
            )  # fmt: skip
    return found


def judged_rows(
    rows: pd.DataFrame, programme: Programme
) -> Iterator[tuple[str, pd.DataFrame, TrendFindings]]:
    """Yield each quantity with its rows and what is found in them together.

    Parameters
    ----------
    rows : DataFrame
        Columns of `TRENDS`, all stations of the record.
    programme : Programme
        How many years a trend takes.

    Yields
    ------
    quantity : str
        In the order of the rows.
    some : DataFrame
        The rows of the quantity.
    findings : TrendFindings
        One a row.

    Examples
    --------
    >>> [*judged_rows(empty_frame(TRENDS), Programme())]
    []
    """
    for quantity, some in rows.groupby("quantity", sort=False):
        own = {each.name: some[each.name].to_numpy() for each in fields(TrendTable) if each.name in TRENDS}
        adjusted = adjusted_p(some["p"].to_numpy())
        table = TrendTable(**{**own, "test": own["test"].astype("<U16"), "p_adjusted": adjusted})
        smallest = some["smallest_found"].to_numpy()
        yield str(quantity), some, judged_findings(table, smallest, trend_years=programme.trend_years)


def level_moved(rows: pd.DataFrame) -> list[str]:
    """Return the stations whose smallest change was simulated at a level that no longer holds.

    Parameters
    ----------
    rows : DataFrame
        Columns of `TRENDS`, all stations of the record.

    Returns
    -------
    list of str
        Station codes, each once. A level within a factor of 1.25 counts as the same.

    Examples
    --------
    >>> rows = pd.DataFrame({"station_code": ["HM1", "HM2"], "quantity": "secchi_depth", "p": [0.4, 0.001],
    ...                      "level": [0.025, 0.05], "smallest_found": 0.1})
    >>> level_moved(rows)
    ['HM1']
    """
    moved: set[str] = set()
    for _, some in rows.groupby("quantity", sort=False):
        level = level_of_next_finding(some["p"].to_numpy(), LEVEL)
        ratio = some["level"].to_numpy() / level
        far = ((ratio > SAME_LEVEL) | (ratio < 1 / SAME_LEVEL)) & some["smallest_found"].notna().to_numpy()
        moved.update(some["station_code"].to_numpy(object)[far].tolist())
    return sorted(moved)
