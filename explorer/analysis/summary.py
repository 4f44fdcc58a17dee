"""A station's summary: visits, seasons and latest class by each scheme, in flat memory for a whole record."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

import pandas as pd

from explorer.analysis.certainty import sureness_word
from explorer.analysis.classes import season_classes
from explorer.analysis.season_table import season_table
from explorer.model.classes import ClassScheme
from explorer.model.history import ReadingSource

__all__ = ["SeasonClass", "StationSummary", "summarise", "summary_frame"]


@dataclass(frozen=True, slots=True)
class SeasonClass:
    """The class of one station in one season, or why there is none.

    Attributes
    ----------
    year : int
        The season's year.
    label : str
        Class name, empty without a class.
    quantity : str
        The quantity that gave it, empty without a class.
    sureness : str
        Words code of how sure it is, empty without a class.
    missing : str
        Words code of why there is no class, empty with one.
    visits : int
        Visits behind it.
    """

    year: int
    label: str
    quantity: str
    sureness: str
    missing: str
    visits: int


@dataclass(frozen=True, slots=True)
class StationSummary:
    """What a record holds of one station, in a few values.

    Attributes
    ----------
    station_code : str
        The station.
    kind : str
        Kind of its water.
    visits : int
        Days on which anything was measured.
    first_visit, last_visit : date or None
        None without a reading.
    seasons : mapping of str to int
        By quantity, the number of seasons with a visit that counts.
    classes : mapping of str to SeasonClass
        By scheme, the class in the last season with a reading; empty without one.
    """

    station_code: str
    kind: str
    visits: int
    first_visit: date | None
    last_visit: date | None
    seasons: Mapping[str, int]
    classes: Mapping[str, SeasonClass]


def summarise(
    source: ReadingSource,
    schemes: Iterable[ClassScheme],
    kinds: pd.Series,
    progress: Callable[[int, int], None] | None = None,
) -> Iterator[StationSummary]:
    """Yield the summary of every station, a few stations' readings in memory at a time.

    Parameters
    ----------
    source : ReadingSource
        A record, or whatever gives readings in chunks.
    schemes : iterable of ClassScheme
        The schemes by which to name a class.
    kinds : Series of str, index station_code
        Kind of water of every station that is wanted.
    progress : callable, optional
        Called after every chunk with how many stations are done, and of how many.

    Yields
    ------
    StationSummary
        First the stations with readings, in the order of the source, then those without.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> from explorer.model.programme import Programme
    >>> class OneStation:
    ...     programme = Programme()
    ...     def chunks(self, stations=64):
    ...         yield pd.DataFrame({"station_code": "HM1", "quantity": "secchi_depth", "sign": "=",
    ...             "stratum": "surface", "method": "", "value": 3.0, "status": "accepted",
    ...             "sample_type": "routine",
    ...             "taken_on": pd.to_datetime(["2024-05-10", "2024-06-11", "2024-07-12"])})
    >>> found = list(summarise(OneStation(), schemes().values(), pd.Series({"HM1": "pond", "BR1": "stream"})))
    >>> [(each.station_code, each.visits, str(each.last_visit)) for each in found]
    [('HM1', 3, '2024-07-12'), ('BR1', 0, 'None')]
    >>> found[0].classes["carlson_simpson_1996"].label
    'mesotrophic'
    """
    by_scheme = list(schemes)
    done: set[str] = set()
    for readings in source.chunks():
        known = readings[readings["station_code"].isin(kinds.index)]
        seasons = season_table(known, source.programme)
        here = kinds[kinds.index.isin(known["station_code"])]
        classes = {
            scheme.key: _latest(season_classes(seasons, scheme, source.programme, here))
            for scheme in by_scheme
        }
        of_season = seasons[seasons["window"] == "season"]
        counts: dict[str, Counter[str]] = defaultdict(Counter)
        for code, quantity in zip(of_season["station_code"], of_season["quantity"], strict=True):
            counts[code][quantity] += 1
        days = known.groupby("station_code", sort=False)["taken_on"].agg(["min", "max", "nunique"])
        for code, first, last, visits in days.itertuples():
            yield StationSummary(
                station_code=code,
                kind=here[code],
                visits=int(visits),
                first_visit=first.date(),
                last_visit=last.date(),
                seasons=dict(counts[code]),
                classes={key: latest[code] for key, latest in classes.items() if code in latest},
            )
        done.update(days.index)
        if progress is not None:
            progress(len(done), len(kinds))
    for code, kind in kinds[~kinds.index.isin(list(done))].items():
        yield StationSummary(str(code), kind, 0, None, None, {}, {})
    if progress is not None:
        progress(len(kinds), len(kinds))


def _latest(classes: pd.DataFrame) -> dict[str, SeasonClass]:
    """Return the class of each station's last season."""
    last = classes.drop_duplicates("station_code", keep="last")
    shares = last.filter(like="share_").to_numpy()
    own = shares[range(len(last)), last["class_index"]]
    return {
        code: SeasonClass(
            year=int(year),
            label=label,
            quantity=quantity,
            sureness=sureness_word(share, visits) if label else "",
            missing=missing,
            visits=int(visits),
        )
        for code, year, label, quantity, missing, visits, share in zip(
            last["station_code"], last["year"], last["label"], last["quantity"], last["missing"],
            last["visits"], own, strict=True,
        )
    }  # fmt: skip


def summary_frame(summaries: Iterable[StationSummary]) -> pd.DataFrame:
    """Return summaries as a table for a script or a spreadsheet.

    Parameters
    ----------
    summaries : iterable of StationSummary
        From `summarise`.

    Returns
    -------
    DataFrame, index station_code
        Columns kind, visits, first_visit, last_visit, seasons_<quantity>, and per scheme its key with the
        class (or the words code of why there is none), <key>_year and <key>_sureness.

    Examples
    --------
    >>> one = SeasonClass(2024, "mesotrophic", "secchi_depth", "likely", "", 5)
    >>> days = date(2024, 5, 2), date(2024, 9, 9)
    >>> frame = summary_frame([StationSummary("HM1", "pond", 5, *days, {"secchi_depth": 1}, {"rule": one})])
    >>> frame[["visits", "seasons_secchi_depth", "rule", "rule_year", "rule_sureness"]].values.tolist()
    [[5, 1, 'mesotrophic', 2024, 'likely']]
    """
    rows = []
    for each in summaries:
        row: dict[str, object] = {
            "station_code": each.station_code,
            "kind": each.kind,
            "visits": each.visits,
            "first_visit": each.first_visit,
            "last_visit": each.last_visit,
        }
        row |= {f"seasons_{quantity}": count for quantity, count in each.seasons.items()}
        for key, found in each.classes.items():
            row |= {key: found.label or found.missing, f"{key}_year": found.year}
            row |= {f"{key}_sureness": found.sureness}
        rows.append(row)
    return pd.DataFrame(rows, columns=None if rows else ["station_code"]).set_index("station_code")
