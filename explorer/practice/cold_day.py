"""The invented day of the cold exercise: its legs, where a sample can lie, and how warm it becomes there.

Newton's law of cooling and the heat that melts ice are those of `explorer.analysis.cooling`. Time
constants, the heat of a parked car and the leak of the cooler are invented, in the order of what is common.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, nan
from random import Random

import numpy as np
import numpy.typing as npt

from explorer.analysis.cooling import ice_melted_kg, temperature_after
from explorer.practice.turn import PracticeState

__all__ = ["ICE_KG", "PLACES", "QUICK_MINUTES", "ColdState", "Day", "Leg", "Place", "draw_day", "warm_up"]

QUICK_MINUTES = 15  # in the freezer by then, a sample may go without ice (common practice)
ICE_KG: Mapping[str, float] = {"none": 0.0, "one": 1.0, "three": 3.0}
COOLER_DEGC = 2.0  # [°C] air in a cooler with ice
COOLER_LEAK_W_PER_K = 1.5


@dataclass(frozen=True, slots=True)
class Place:
    """Where a sample can lie.

    Attributes
    ----------
    warmer_degc : float
        How much warmer than the air it is there. [°C]
    bottle_minutes, filter_minutes : float
        Time constants of a bottle and of a filter. [min]
    """

    warmer_degc: float
    bottle_minutes: float
    filter_minutes: float


PLACES: Mapping[str, Place] = {
    "cooler": Place(0.0, 60.0, 10.0),
    "shade": Place(0.0, 90.0, 5.0),
    "sun": Place(12.0, 60.0, 5.0),
    "table": Place(0.0, 90.0, 5.0),
    "seat": Place(15.0, 90.0, 5.0),
    "dashboard": Place(25.0, 60.0, 5.0),
}
COOLER_WITHOUT_ICE = Place(0.0, 240.0, 20.0)


@dataclass(frozen=True, slots=True)
class Day:
    """A day's plan, all of which the learner sees.

    Attributes
    ----------
    air_degc, water_degc : float
        [°C]
    boat_minutes, bench_minutes, drive_minutes : int
        From the bottle's filling to the shore, until the filter is folded, and home. [min]
    first_delivery_days, second_delivery_days : int
        After how many days the laboratory can be reached. [d]
    """

    air_degc: float
    water_degc: float
    boat_minutes: int
    bench_minutes: int
    drive_minutes: int
    first_delivery_days: int
    second_delivery_days: int

    @property
    def minutes(self) -> int:
        """From the filling of the bottle to the freezer. [min]"""
        return self.boat_minutes + self.bench_minutes + self.drive_minutes

    @property
    def is_quick(self) -> bool:
        """Whether the samples are in the freezer so soon that they may go without ice."""
        return self.minutes <= QUICK_MINUTES


def draw_day(seed: int) -> Day:
    """Return the day of a seed; sometimes the freezer stands beside the landing.

    Parameters
    ----------
    seed : int
        Any whole number.

    Examples
    --------
    >>> draw_day(1) == draw_day(1)
    True
    """
    draw = Random(f"cold {seed}")
    air = float(round(draw.uniform(20.0, 33.0)))
    quick = draw.random() < 0.25
    minutes = (3, 8, 2) if quick else (draw.randint(30, 90), draw.randint(20, 45), draw.randint(10, 90))
    return Day(air, air - round(draw.uniform(3.0, 6.0)), *minutes, draw.randint(4, 20), draw.randint(30, 60))


@dataclass(frozen=True, kw_only=True)
class ColdState(PracticeState):
    """The exercise at one moment.

    Attributes
    ----------
    day : Day
        The day's plan, which the learner sees.
    leg : int
        Index of the part of the day that is decided now.
    ice_kg : float
        Ice in the cooler. [kg]
    bottle_degc, filter_degc : tuple of float
        Temperature after each minute; NaN for a filter that is yet to be made. [°C]
    """

    day: Day
    leg: int = 0
    ice_kg: float = 0.0
    bottle_degc: tuple[float, ...]
    filter_degc: tuple[float, ...] = (nan,)


@dataclass(frozen=True, slots=True)
class Leg:
    """What one part of the day does to a sample.

    Attributes
    ----------
    bottle_degc, filter_degc : ndarray, shape (minutes,)
        Temperature after each minute. [°C]
    ice_kg : float
        Ice that is left. [kg]
    """

    bottle_degc: npt.NDArray[np.float64]
    filter_degc: npt.NDArray[np.float64]
    ice_kg: float


def warm_up(
    air_degc: float, place: str, minutes: int, bottle_degc: float, filter_degc: float, ice_kg: float
) -> Leg:
    """Return a sample's temperatures over one part of the day.

    Parameters
    ----------
    air_degc : float
        Air around cooler or sample. [°C]
    place : str
        Key of `PLACES`.
    minutes : int
        How long. [min]
    bottle_degc, filter_degc : float
        Temperatures at first; NaN for a filter that is yet to be made. [°C]
    ice_kg : float
        Ice in the cooler. [kg] It melts wherever the sample lies.

    Examples
    --------
    >>> leg = warm_up(25.0, "cooler", 60, 20.0, float("nan"), 1.0)
    >>> round(float(leg.bottle_degc[-1]), 1), round(leg.ice_kg, 2)
    (8.6, 0.6)
    """
    leak_kg = float(ice_melted_kg(COOLER_LEAK_W_PER_K * air_degc, 1.0))
    lasts = ice_kg / leak_kg if leak_kg > 0 else inf
    time = np.arange(1.0, minutes + 1.0)
    left = max(0.0, ice_kg - leak_kg * minutes)
    if place != "cooler":
        there = PLACES[place]
        around = air_degc + there.warmer_degc
        return Leg(
            temperature_after(bottle_degc, around, time, there.bottle_minutes),
            temperature_after(filter_degc, around, time, there.filter_minutes),
            left,
        )
    cold = min(lasts, float(minutes))
    iced, bare = PLACES["cooler"], COOLER_WITHOUT_ICE

    def course(start_degc: float, with_ice: float, without: float) -> npt.NDArray[np.float64]:
        chilled = temperature_after(start_degc, COOLER_DEGC, np.minimum(time, cold), with_ice)
        return temperature_after(chilled, air_degc, np.maximum(time - cold, 0.0), without)

    return Leg(
        course(bottle_degc, iced.bottle_minutes, bare.bottle_minutes),
        course(filter_degc, iced.filter_minutes, bare.filter_minutes),
        left,
    )
