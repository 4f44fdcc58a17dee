"""Unusual readings in words: grouped by what to do next, each with what may be behind it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.display.choice import Choice
from explorer.display.numbers import count_text
from explorer.display.unusual_entry import Row, UnusualEntry, unusual_entry, unusual_line
from explorer.model.calendar import Period
from explorer.model.departure_rows import departures_of
from explorer.model.evidence import NEXT_STEPS
from explorer.model.programme import Programme
from explorer.model.words import say
from explorer.records.corrections import WITH_A_REMARK

__all__ = [
    "GROUPS",
    "UnusualGroup",
    "UnusualPage",
    "build_decisions_page",
    "build_unusual_page",
    "group_codes",
    "group_title",
    "in_period",
    "what_waits",
]

HELD, DECIDED = "held", "decided"
GROUPS = (*NEXT_STEPS, HELD, DECIDED)  # in the order of the work
MOST_LISTED = 200  # of one group, the latest; the count tells of the rest


@dataclass(frozen=True, slots=True)
class UnusualGroup:
    """Unusual readings with which the same is to be done.

    Attributes
    ----------
    title : str
        What to do, and with how many.
    why : str
        Why that.
    entries : tuple of (str, int)
        What each reading is called in a list, and its id, the latest first.
    """

    title: str
    why: str
    entries: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class UnusualPage:
    """Unusual readings to pick from, and what is said of the picked one.

    Attributes
    ----------
    words : str
        What is listed, or that there is nothing.
    groups : tuple of UnusualGroup
        Only those that have a reading.
    reading_id : int
        The picked reading, 0 where none of the listed ones is picked.
    entry : UnusualEntry or None
        What is said of it.
    """

    words: str
    groups: tuple[UnusualGroup, ...]
    reading_id: int
    entry: UnusualEntry | None


def build_unusual_page(
    rows: pd.DataFrame, choice: Choice, programme: Programme, reading_id: int = 0
) -> UnusualPage:
    """Return the unusual readings of one station.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`, of the station.
    choice : Choice
        Units, language and the period, which bounds the list if the reader picked it.
    programme : Programme
        Season and quantities.
    reading_id : int
        The picked reading, 0 for none. It is spoken of whether it lies in the period or not.
    """
    language = choice.language
    inside = (
        in_period(rows, choice.period, programme) if choice.picked else np.full(len(rows), fill_value=True)
    )
    picked = rows[rows["reading_id"].to_numpy() == reading_id]
    listed = rows[inside]
    code = "unusual.listed_in_period" if choice.picked else "unusual.listed"
    words = count_text(code, len(listed), {"of": len(rows)}, language)
    if rows.empty:
        words = say("departure.none", language=language)
    if reading_id and picked.empty and len(rows):
        words = f"{words} {say('unusual.not_unusual', language=language)}"

    def line(row: Row) -> str:
        return unusual_line(row, choice, programme)

    return UnusualPage(
        words=words,
        groups=_groups(listed, line, language),
        reading_id=reading_id if reading_id in listed["reading_id"].to_numpy() else 0,
        entry=unusual_entry(departures_of(picked)[0], choice, programme) if len(picked) else None,
    )


def what_waits(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the unusual readings that nobody has decided on yet.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`.

    Examples
    --------
    >>> rows = pd.DataFrame({"status": ["accepted", "held", "accepted with a remark"]})
    >>> what_waits(rows)["status"].tolist()
    ['accepted', 'held']
    """
    waiting: pd.DataFrame = rows[rows["status"].to_numpy(dtype=object) != WITH_A_REMARK]
    return waiting


def build_decisions_page(
    rows: pd.DataFrame, names: Mapping[str, str], choice: Choice, programme: Programme
) -> UnusualPage:
    """Return what waits for a decision in the whole record.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`, of all stations.
    names : mapping of str to str
        Name of each station, with its water.
    choice : Choice
        Units and language.
    programme : Programme
        Quantities.
    """
    language = choice.language
    waiting = what_waits(rows)
    stations = waiting["station_code"].nunique()

    def line(row: Row) -> str:
        values = {"station": names[row["station_code"]], "line": unusual_line(row, choice, programme)}
        return say("unusual.at_station", values, language)

    values = {"stations": count_text("count.station", stations, language=language)}
    words = count_text("unusual.waiting", len(waiting), values, language)
    return UnusualPage(
        words=words,
        groups=_groups(waiting, line, language),
        reading_id=0,
        entry=None,
    )


def in_period(rows: pd.DataFrame, period: Period, programme: Programme) -> npt.NDArray[np.bool_]:
    """Return which unusual readings lie in the seasons of a period.

    Parameters
    ----------
    rows : DataFrame, n rows
        With column taken_on.
    period : Period
        Seasons.
    programme : Programme
        Says where a season's year begins.

    Examples
    --------
    >>> in_period(pd.DataFrame({"taken_on": ["2023-07-01", "2024-07-01"]}), Period(2024, 2024), Programme())
    array([False,  True])
    """
    return np.asarray(period.contains(programme.season.year_of(pd.to_datetime(rows["taken_on"]))))


def group_codes(rows: pd.DataFrame) -> npt.NDArray[np.object_]:
    """Return the group of `GROUPS` that each unusual reading belongs to.

    Parameters
    ----------
    rows : DataFrame, n rows
        With columns status and next_step.

    Examples
    --------
    >>> rows = pd.DataFrame({"status": ["accepted", "held"], "next_step": ["accept", "accept"]})
    >>> group_codes(rows).tolist()
    ['accept', 'held']
    """
    status = rows["status"].to_numpy(dtype=object)
    group = np.where(status == "held", HELD, rows["next_step"].to_numpy(dtype=object))
    return np.where(status == WITH_A_REMARK, DECIDED, group)


def group_title(code: str, language: str = "en") -> str:
    """Return what is to be done with the readings of a group of `GROUPS`.

    Examples
    --------
    >>> group_title("held")
    'Waiting for an answer'
    """
    return say(f"{'unusual' if code in (HELD, DECIDED) else 'next_step'}.{code}", language=language)


def _groups(rows: pd.DataFrame, line: Callable[[Row], str], language: str) -> tuple[UnusualGroup, ...]:
    group = group_codes(rows)
    groups = []
    for code in GROUPS:
        members = rows[group == code].sort_values(["taken_on", "reading_id"], ascending=False)
        if members.empty:
            continue
        latest = members.head(MOST_LISTED)
        titled = "unusual.group" if len(latest) == len(members) else "unusual.group_latest"
        values = {"step": group_title(code, language), "count": len(members), "listed": len(latest)}
        entries = tuple((line(row), row["reading_id"]) for row in latest.to_dict("records"))
        groups.append(UnusualGroup(say(titled, values, language), _why(code, language), entries))
    return tuple(groups)


def _why(code: str, language: str) -> str:
    return say(
        f"unusual.{code}_why" if code in (HELD, DECIDED) else f"next_step.{code}_why", language=language
    )
