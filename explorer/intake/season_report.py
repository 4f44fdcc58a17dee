"""A season of a record → everything that its quality report says, and what it still lacks."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.completeness import usual_plan
from explorer.analysis.season_quality import SeasonQuality, season_quality
from explorer.model.errors import ProgrammeError, known
from explorer.model.plan import StationPlan
from explorer.model.programme import Programme
from explorer.records.record import Record
from explorer.records.season_rows import (
    season_changes,
    season_corrections,
    season_rows,
    waiting_without_season,
)

__all__ = ["SeasonReport", "last_season", "season_plan", "season_report"]


@dataclass(frozen=True, slots=True)
class SeasonReport:
    """What a report on a season's quality is made from.

    Attributes
    ----------
    year : int
        Year of the season.
    first, last : datetime64
        First and last day of the season's year.
    programme : Programme
        The settings by which it is judged.
    plan : mapping of str to StationPlan
        What was planned, by station code, in the order of the record's stations.
    quality : SeasonQuality
        The numbers.
    changes, corrections : DataFrame
        See `season_changes` and `season_corrections`.
    files : DataFrame
        file_name, sha256 and readings of every file behind the season.
    lone : int
        Readings of the record that wait without a date, a station or a quantity.
    """

    year: int
    first: np.datetime64
    last: np.datetime64
    programme: Programme
    plan: Mapping[str, StationPlan]
    quality: SeasonQuality
    changes: pd.DataFrame
    corrections: pd.DataFrame
    files: pd.DataFrame
    lone: int

    @property
    def is_empty(self) -> bool:
        """Whether nothing was taken in this season."""
        return self.files.empty


def season_report(record: Record, year: int) -> SeasonReport:
    """Return what a report on a season's quality is made from.

    Parameters
    ----------
    record : Record
        An open record.
    year : int
        Year of the season.

    Raises
    ------
    ProgrammeError
        If the plan names a station that the record does not hold.
    """
    first, after = record.programme.season.year_bounds(year)
    rows = season_rows(record, first, after)
    plan = season_plan(record, year)
    files = rows.groupby(["file_name", "sha256"]).size().rename("readings").reset_index()
    return SeasonReport(
        year,
        first,
        after - np.timedelta64(1, "D"),
        record.programme,
        plan,
        season_quality(rows, plan, record.programme.quality),
        season_changes(record, first, after),
        season_corrections(record, first, after),
        files,
        waiting_without_season(record),
    )


def season_plan(record: Record, year: int) -> dict[str, StationPlan]:
    """Return what is planned for a season: as the programme has written it, else as it seems to go about it.

    Parameters
    ----------
    record : Record
        An open record.
    year : int
        Year of the season.

    Returns
    -------
    dict of str to StationPlan
        By station code, by the names of waters and the codes of their stations.

    Raises
    ------
    ProgrammeError
        If the plan names a station that the record does not hold; with the nearest.
    """
    season, plan = record.programme.season, record.programme.plan
    stations = sorted(
        record.station_list(), key=lambda each: (record.lakes()[each.lake_code].name, each.code)
    )
    codes = [station.code for station in stations]
    if plan.is_written:
        try:
            for code in plan.stations:
                known(dict.fromkeys(codes), code, "station", "in the record")
        except KeyError as error:
            raise ProgrammeError(f"Settings, [plan.stations]: {error}") from error
        own = dict(plan.stations)
    else:
        near = min(year, (last_season(record) or year) + 1)  # what was done last holds until there is more
        first, after = season.year_bounds(near - 1)[0], season.year_bounds(near)[1]
        own = usual_plan(season_rows(record, first, after), near, season)
    return {code: own[code] for code in codes if code in own}


def last_season(record: Record) -> int | None:
    """Return the year of the season of the latest reading, None for a record without readings.

    Parameters
    ----------
    record : Record
        An open record.
    """
    query = "SELECT MAX(taken_on) FROM readings WHERE left_in IS NULL"
    latest = record.fetch_rows(query)[0][0]
    if not latest:
        return None
    return int(record.programme.season.year_of(pd.Series(pd.to_datetime([latest]))).iloc[0])
