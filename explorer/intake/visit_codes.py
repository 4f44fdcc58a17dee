"""Planned visits and the sample codes that they are given."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import chain

import pandas as pd

from explorer.intake.label_register import BLANK, ROUTINE, LabelRegister
from explorer.intake.sample_codes import CONTAINERS
from explorer.records.container_entry import container_list
from explorer.records.record import Record
from explorer.records.season_rows import used_sample_codes

__all__ = ["coded_visits", "days_of_containers"]


def coded_visits(
    visits: pd.DataFrame, register: LabelRegister, record: Record, *, today: date, after: int = 0
) -> pd.DataFrame:
    """Return planned visits with the codes of their samples and blanks.

    Parameters
    ----------
    visits : DataFrame
        Columns of `PLANNED_VISITS`.
    register : LabelRegister
        Codes given so far; takes the new ones.
    record : Record
        Tells which codes came in already.
    today : date
        Written beside new codes.
    after : int
        Serial number behind which to go on in any case.

    Returns
    -------
    DataFrame
        Columns of `PLANNED_VISITS`, sample_code and blank_code; empty where a visit takes neither bottle nor
        filter, or no blank.

    Raises
    ------
    ExplorerError
        If a year's numbers are used up.
    """
    years = {int(month[:4]) for month in visits["month"]}
    held = container_list(record)["sample_code"].tolist()
    used = [*chain.from_iterable(used_sample_codes(record, year) for year in sorted(years)), *held]
    is_sampled = visits["has_bottle"] | visits["has_filter"]
    coded = visits
    for column, use, wants in (
        ("sample_code", ROUTINE, is_sampled),
        ("blank_code", BLANK, is_sampled & visits["has_blank"]),
    ):
        chosen = visits[wants.to_numpy()]
        codes = register.codes_for(list(_keys(chosen, use)), used, today, after)
        by_row = dict(zip(chosen.index, codes, strict=True))
        given = [by_row.get(row, "") for row in visits.index]
        coded = coded.assign(**{column: pd.Series(given, index=visits.index, dtype="str")})
    return coded


def _keys(visits: pd.DataFrame, use: str) -> Iterator[tuple[str, str, str, str]]:
    days = visits["taken_on"].dt.strftime("%Y-%m-%d").fillna("")
    for station, month, day in zip(visits["station_code"], visits["month"], days, strict=True):
        yield str(station), str(month), str(day), use


def days_of_containers(visits: pd.DataFrame) -> Mapping[str, str]:
    """Return the day of sampling by code with container, where a day is set.

    Parameters
    ----------
    visits : DataFrame
        From `coded_visits`.
    """
    days = visits["taken_on"].dt.strftime("%Y-%m-%d").fillna("")
    found: dict[str, str] = {}
    for column in ("sample_code", "blank_code"):
        for code, day in zip(visits[column], days, strict=True):
            if code and day:
                found |= {f"{code}-{digit}": str(day) for digit in CONTAINERS}
    return found
