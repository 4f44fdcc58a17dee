"""One quantity over depth and time: each profile of a station as a column of fields, season by season."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.display.axes import Axis, round_ticks
from explorer.display.choice import Choice
from explorer.display.numbers import date_text, length_text, number_text, reading_text
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity
from explorer.model.units import FOOT_M
from explorer.model.words import say

__all__ = ["ProfileField", "ProfileSeason", "ProfileSeasons", "build_profile_seasons"]

WIDEST_DAYS = 14.0  # a profile is drawn for two weeks before and after at most (common practice)
MOST_STEPS = 10


@dataclass(frozen=True, slots=True)
class ProfileField:
    """One reading.

    Attributes
    ----------
    left, right : float
        Its ends in its season's block. [1]
    top, bottom : float
        Its ends from the upper edge. [1]
    step : int
        Position of its colour.
    said : str
        Day, depth and value in words.
    visit_id : int
        The visit.
    """

    left: float
    right: float
    top: float
    bottom: float
    step: int
    said: str
    visit_id: int


@dataclass(frozen=True, slots=True)
class ProfileSeason:
    """One year's profiles.

    Attributes
    ----------
    label : str
        The year.
    inside : bool
        Whether it lies in the picked period.
    fields : tuple of ProfileField
        Its readings.
    """

    label: str
    inside: bool
    fields: tuple[ProfileField, ...]


@dataclass(frozen=True, slots=True)
class ProfileSeasons:
    """One quantity on all days.

    Attributes
    ----------
    code : str
        Code of the quantity.
    title, how : str
        What is shown, and how to read it.
    seasons : tuple of ProfileSeason
        Years with a profile, side by side.
    months : tuple of (float, str)
        Place in a block and name of every month that a block holds.
    depth_title : str
        What the depth axis is called.
    depth_ticks : tuple of (float, str)
        Place and label from the upper edge.
    steps : tuple of str
        What each colour stands for, low to high.
    picked : int
        The picked visit.
    """

    code: str
    title: str
    how: str
    seasons: tuple[ProfileSeason, ...]
    months: tuple[tuple[float, str], ...]
    depth_title: str
    depth_ticks: tuple[tuple[float, str], ...]
    steps: tuple[str, ...]
    picked: int


def build_profile_seasons(
    days: pd.DataFrame,
    by_visit: dict[int, pd.DataFrame],
    quantity: Quantity,
    choice: Choice,
    programme: Programme,
    picked: int,
) -> ProfileSeasons:
    """Return one quantity on all days with a profile.

    Parameters
    ----------
    days : DataFrame
        From `profile_days`.
    by_visit : dict of int to DataFrame
        From `profile_values`, by visit id.
    quantity : Quantity
        What is shown.
    choice : Choice
        Period, units and language.
    programme : Programme
        Its season names the years.
    picked : int
        The visit that is shown in full elsewhere.

    Returns
    -------
    ProfileSeasons
    """
    language = choice.language
    seasons = programme.season
    years = seasons.year_of(days["taken_on"])
    unit_m = FOOT_M if choice.length_unit == "ft" else 1.0
    deepest = float(max(values.index.max() for values in by_visit.values()))
    axis = Axis(0.0, deepest * 1.03 / unit_m, log=False, downward=False)
    numbers = {visit: _numbers(values, quantity) for visit, values in by_visit.items()}
    edges = _edges(np.concatenate([each.to_numpy() for each in numbers.values()]))
    months = _months(days["taken_on"], seasons.months[0])
    blocks = []
    for year in sorted(set(years.tolist())):
        of_year = days[(years == year).to_numpy()]
        left, right = _widths(of_year["taken_on"], months)
        fields: list[ProfileField] = []
        dates, visits = of_year["taken_on"].to_numpy(), of_year["visit_id"].tolist()
        for start, end, day, visit in zip(left, right, dates, visits, strict=True):
            date = date_text(day, language)
            column = _fields(by_visit[visit], numbers[visit], quantity, edges, choice, date)
            for top_m, bottom_m, step, said in column:
                top, bottom = axis.place(np.array([top_m, bottom_m]) / unit_m).tolist()
                fields.append(ProfileField(start, end, top, bottom, step, said, visit))
        inside = bool(choice.period.contains(year)) or not choice.picked
        blocks.append(ProfileSeason(seasons.label(year), inside, tuple(fields)))
    title = {"quantity": quantity.name, "unit": quantity.unit}
    ticks = round_ticks(axis.low, axis.high, log=False)
    return ProfileSeasons(
        code=quantity.code,
        title=say("profile.all_days", title, language),
        how=say("profile.all_days_how", language=language),
        seasons=tuple(blocks),
        months=tuple(
            ((at + 0.5) / len(months), say(f"month.{month}", language=language))
            for at, month in enumerate(months)
        ),
        depth_title=say("profile.depth", {"unit": choice.length_unit}, language),
        depth_ticks=tuple(
            (place, number_text(tick, 0, language))
            for place, tick in zip(axis.place(ticks).tolist(), ticks, strict=True)
        ),
        steps=_step_words(edges, language),
        picked=picked,
    )


def _numbers(values: pd.DataFrame, quantity: Quantity) -> pd.Series:
    """Return a profile's numbers; a reading that lies below a limit stands at it."""
    return values[quantity.code].fillna(values[f"{quantity.code}_limit"])


def _edges(numbers: npt.NDArray[np.float64]) -> list[float]:
    """Return the values at which the colour changes."""
    low, high = float(np.nanmin(numbers)), float(np.nanmax(numbers))
    if high <= low:
        return [low]
    return [edge for edge in round_ticks(low, high, log=False, most=MOST_STEPS) if low < edge <= high] or [
        high
    ]


def _step_words(edges: list[float], language: str) -> tuple[str, ...]:
    fine = 1 if any(edge % 1 for edge in edges) else 0
    texts = [number_text(edge, fine, language) for edge in edges]
    middle = [
        say("profile.step_between", {"low": low, "high": high}, language) for low, high in pairwise(texts)
    ]
    first = say("profile.step_below", {"high": texts[0]}, language)
    return (first, *middle, say("profile.step_from", {"low": texts[-1]}, language))


def _months(dates: pd.Series, first_month: int) -> list[int]:
    """Return the months from the first to the last with a profile, counted from where the season begins."""
    found = sorted({(month - first_month) % 12 for month in dates.dt.month.tolist()})
    start, end = (found[0], found[-1]) if found[-1] <= 11 else (0, 11)
    return [(first_month - 1 + step) % 12 + 1 for step in range(start, end + 1)]


def _widths(dates: pd.Series, months: list[int]) -> tuple[list[float], list[float]]:
    """Return where in its block each profile begins and ends. [1]"""
    days = dates.to_numpy().astype("datetime64[D]")
    first = days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    in_month = (days - days.astype("datetime64[M]")).astype(np.float64)
    at = np.array([months.index(int(month)) for month in first]) * 30.5 + in_month
    half = np.diff(at) / 2
    before = np.minimum(np.append(WIDEST_DAYS, half), WIDEST_DAYS)
    after = np.minimum(np.append(half, WIDEST_DAYS), WIDEST_DAYS)
    whole = len(months) * 30.5
    left, right = np.clip((at - before) / whole, 0, 1), np.clip((at + after) / whole, 0, 1)
    return left.tolist(), right.tolist()


def _fields(
    values: pd.DataFrame,
    numbers: pd.Series,
    quantity: Quantity,
    edges: list[float],
    choice: Choice,
    date: str,
) -> list[tuple[float, float, int, str]]:
    """Return upper and lower end [m], colour and words of each reading of one profile."""
    known = numbers.dropna()
    if known.empty:
        return []
    depth = known.index.to_numpy(dtype=np.float64)
    half = np.diff(depth) / 2 if depth.size > 1 else np.array([0.5])
    tops = np.maximum(depth - np.append(half[:1], half[: depth.size - 1]), 0.0)
    bottoms = depth + np.append(half[: depth.size - 1], half[-1:])
    steps = np.searchsorted(edges, known.to_numpy(), side="right")
    signs = np.where(values.loc[known.index, quantity.code].isna(), "<", "=")
    found = []
    for top, bottom, at, step, number, sign in zip(tops, bottoms, depth, steps, known, signs, strict=True):
        words = {
            "date": date,
            "depth": length_text(float(at), choice.length_unit, choice.language),
            "value": reading_text(number, str(sign), quantity, choice.length_unit, choice.language),
        }
        found.append((float(top), float(bottom), int(step), say("profile.cell", words, choice.language)))
    return found
