"""The invented water, vessels and filter of the filtering exercise, and the laboratory that gets the filter.

What the laboratory reports is arithmetic: chlorophyll on the filter over the total volume that was written.
Sizes of meniscus, parallax, clogging and of what a strong vacuum loses are invented for practice; in which
direction each works is common practice.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from random import Random

__all__ = [
    "BLOCKING_UG",
    "ENOUGH_UG",
    "FUNNEL_ML",
    "LABORATORY_LIMIT_UG",
    "LEVEL_TOLERANCE_ML",
    "VESSELS",
    "JugWater",
    "Level",
    "Vessel",
    "chlorophyll_by_laboratory",
    "draw_jug_water",
    "level_in_vessel",
    "passed_by_stroke",
    "poured_ml",
]

ENOUGH_UG = 2.0  # chlorophyll on the filter that colours it plainly
BLOCKING_UG = 12.0  # on the filter, when nothing passes any more
LABORATORY_LIMIT_UG = 0.5  # on the filter, below which the laboratory finds nothing
FUNNEL_ML = 300.0
STROKE_ML = 50.0  # through a clean filter
LEVEL_TOLERANCE_ML = 1.5  # how near a level lies to a mark when it "is at the mark"
MARK_STEP_ML = 10.0


@dataclass(frozen=True, slots=True)
class Vessel:
    """A vessel with marks.

    Attributes
    ----------
    holds_ml : float
        What it holds. [mL]
    rim_ml : float
        How much higher the rim of the curved surface stands than its bottom. [mL]
    parallax_ml : float
        How much too high it reads for an eye above it. [mL]
    tolerance : float
        How far its marks may be off. [1]
    """

    holds_ml: float
    rim_ml: float
    parallax_ml: float
    tolerance: float


# Tolerance: cylinder of class B, 250 mL, 2 mL (ISO 4788, from memory); jars 5 % (common practice).
VESSELS: Mapping[str, Vessel] = {
    "cylinder": Vessel(250.0, 3.0, 5.0, 2.0 / 250.0),
    "jar": Vessel(300.0, 5.0, 12.0, 0.05),
}


@dataclass(frozen=True, slots=True)
class JugWater:
    """The water in the jug: hidden from the learner.

    Attributes
    ----------
    chlorophyll_a_ug_per_l : float
        [µg/L]
    settled_share : float
        Share of it that is found in water poured from a jug left standing. [1]
    jar_error : float
        How far the jar's marks are off. [1]
    """

    chlorophyll_a_ug_per_l: float
    settled_share: float
    jar_error: float


@dataclass(frozen=True, slots=True)
class Level:
    """A level as it looks against the marks: bottom and rim of the curved surface. [mL]"""

    bottom_ml: float
    rim_ml: float

    @property
    def nearest_mark_ml(self) -> float:
        """The mark nearest to the bottom of the curve. [mL]"""
        return MARK_STEP_ML * round(self.bottom_ml / MARK_STEP_ML)

    @property
    def mark_ml(self) -> float | None:
        """The mark at which the bottom of the curve stands, None between marks. [mL]"""
        return _mark_at(self.bottom_ml)

    @property
    def rim_mark_ml(self) -> float | None:
        """The mark at which the rim stands, None between marks. [mL]"""
        return _mark_at(self.rim_ml)


def _mark_at(level_ml: float) -> float | None:
    mark = MARK_STEP_ML * round(level_ml / MARK_STEP_ML)
    return mark if mark > 0 and abs(level_ml - mark) <= LEVEL_TOLERANCE_ML else None


def draw_jug_water(seed: int) -> JugWater:
    """Return the water of a seed: pale, green or very green.

    Parameters
    ----------
    seed : int
        Any whole number.

    Examples
    --------
    >>> draw_jug_water(1) == draw_jug_water(1)
    True
    """
    draw = Random(f"filtering {seed}")
    chlorophyll = draw.choice((draw.uniform(3.0, 8.0), draw.uniform(8.0, 30.0), draw.uniform(30.0, 90.0)))
    return JugWater(chlorophyll, draw.uniform(0.5, 0.8), draw.choice((-1, 1)) * draw.uniform(0.03, 0.05))


def poured_ml(seed: int, pours: int, manner: str) -> float:
    """Return how much runs out in one pour: nobody pours exactly.

    Parameters
    ----------
    seed : int
        Seed of the attempt.
    pours : int
        Pours before this one.
    manner : {"splash", "little", "drops"}
        How it is poured.

    Returns
    -------
    float
        [mL]

    Examples
    --------
    >>> 42 <= poured_ml(1, 0, "splash") <= 50, poured_ml(1, 0, "drops")
    (True, 1.0)
    """
    draw = Random(f"pour {seed} {pours}")
    return {"splash": draw.uniform(42.0, 50.0), "little": draw.uniform(8.0, 10.0), "drops": 1.0}[manner]


def level_in_vessel(water: JugWater, vessel: str, volume_ml: float, eye: str) -> Level:
    """Return how a level looks against the marks.

    Parameters
    ----------
    water : JugWater
        Says how far the jar's marks are off.
    vessel : {"cylinder", "jar"}
        What it stands in.
    volume_ml : float
        Water in the vessel. [mL]
    eye : {"level", "above"}
        Where the eye is. From above the near wall's marks read too high.

    Examples
    --------
    >>> level_in_vessel(draw_jug_water(1), "cylinder", 100.0, "level")
    Level(bottom_ml=100.0, rim_ml=103.0)
    """
    made = VESSELS[vessel]
    bottom = volume_ml * (1.0 + (water.jar_error if vessel == "jar" else 0.0))
    bottom += made.parallax_ml if eye == "above" and volume_ml > 0 else 0.0
    return Level(bottom, bottom + (made.rim_ml if volume_ml > 0 else 0.0))


def passed_by_stroke(in_funnel_ml: float, on_filter_ug: float) -> float:
    """Return how much passes the filter in one gentle stroke: less, the more lies on it.

    Parameters
    ----------
    in_funnel_ml : float
        Water over the filter. [mL]
    on_filter_ug : float
        Chlorophyll on the filter. [µg]

    Returns
    -------
    float
        [mL] 0 once the filter is blocked.

    Examples
    --------
    >>> passed_by_stroke(100.0, 0.0), passed_by_stroke(20.0, 0.0), passed_by_stroke(100.0, 11.5)
    (50.0, 20.0, 0.0)
    """
    free = 1.0 - on_filter_ug / BLOCKING_UG
    return min(in_funnel_ml, STROKE_ML * free) if free > 0.1 else 0.0


def chlorophyll_by_laboratory(on_filter_ug: float, written_ml: float) -> float:
    """Return the concentration that the laboratory reports for a filter.

    Parameters
    ----------
    on_filter_ug : float
        Chlorophyll that it finds on the filter. [µg]
    written_ml : float
        Total volume on the label. [mL]

    Returns
    -------
    float
        [µg/L]

    Examples
    --------
    >>> chlorophyll_by_laboratory(5.0, 500.0), chlorophyll_by_laboratory(5.0, 250.0)
    (10.0, 20.0)
    """
    return on_filter_ug / (written_ml / 1000.0)
