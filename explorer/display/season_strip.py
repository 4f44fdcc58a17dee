"""The strip of seasons above the panels: one cell a season with its class's letter and colour."""

from dataclasses import dataclass

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.numbers import count_text, period_text
from explorer.model.calendar import Period, Season
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["SeasonCell", "build_season_strip", "moved_period", "period_words"]

# Why the scheme judges nothing of a season, whatever was visited, and how it is said.
NOT_JUDGED = {"stream": "other_water", "kind": "other_water", "no_readings": "other_readings"}


@dataclass(frozen=True, slots=True)
class SeasonCell:
    """One season of one station.

    Attributes
    ----------
    year : int
        The season's year.
    label : str
        How the season is written.
    letter : str
        Letter of its class; "–" where it has readings and no class, empty where it has none.
    class_index : int
        Position in the scheme's classes, -1 without one.
    said : str
        The same in words.
    """

    year: int
    label: str
    letter: str
    class_index: int
    said: str


def build_season_strip(
    classes: pd.DataFrame, years: tuple[int, int], programme: Programme, language: str
) -> tuple[SeasonCell, ...]:
    """Return a cell for every season between two years.

    Parameters
    ----------
    classes : DataFrame
        Rows of one station: year, label, letter, class_index, visits, missing; only years with readings.
    years : tuple of int
        First and last year.
    programme : Programme
        For the seasons' labels.
    language : str
        Language of the words.

    Returns
    -------
    tuple of SeasonCell
    """
    columns = ("label", "letter", "class_index", "visits", "missing")
    cells = zip(*(classes[column].tolist() for column in columns), strict=True)
    rows = dict(zip(classes["year"].tolist(), cells, strict=True))
    nothing, season = ("", "", -1, 0, ""), programme.season
    return tuple(
        _cell(year, rows.get(year, nothing), season, language) for year in range(years[0], years[1] + 1)
    )


def _cell(year: int, row: tuple[str, str, int, int, str], season: Season, language: str) -> SeasonCell:
    name, letter, class_index, visits, missing = row
    label = season.label(year)
    values = {
        "season": label,
        "class_name": name,
        "visits": count_text("count.visit", visits, language=language),
    }
    code = "classed" if name else NOT_JUDGED.get(missing, "unclassed")
    said = say(f"strip.{code}", values, language)
    return SeasonCell(year, label, letter or ("–" if missing else ""), class_index, said)


def period_words(choice: Choice, season: Season) -> str:
    """Return the picked period in words, or that all seasons are shown.

    Parameters
    ----------
    choice : Choice
        Period and language.
    season : Season
        For the names of its years.

    Examples
    --------
    >>> period_words(Choice("", Period(2020, 2025)), Season((5, 6, 7, 8, 9)))
    'all seasons'
    """
    if not choice.picked:
        return say("strip.everything", language=choice.language)
    return period_text(choice.period, season, choice.language)


def moved_period(period: Period, first_step: int, last_step: int, years: tuple[int, int]) -> Period:
    """Return a period with its ends moved by so many seasons, kept within the strip.

    Parameters
    ----------
    period : Period
        Where it is.
    first_step, last_step : int
        Seasons by which each end moves; an end never passes the other.
    years : tuple of int
        First and last season of the strip.

    Examples
    --------
    >>> moved_period(Period(2020, 2025), -1, -1, (2006, 2025))
    Period(first_year=2019, last_year=2024)
    >>> moved_period(Period(2020, 2025), 1, 1, (2006, 2025))
    Period(first_year=2020, last_year=2025)
    """
    first, last = period.first_year + first_step, period.last_year + last_step
    if first < years[0] or last > years[1] or last < first:
        return period
    return Period(first, last)
