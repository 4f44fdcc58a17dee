"""The invented water of the disk exercise, and what is seen of a disk in it.

Fading follows Tyler 1968 and Preisendorfer 1986 (`explorer.analysis.contrast`). How much glare, sunglasses,
mud and waves take away is invented; in which direction each works is common practice.
"""

import math
from dataclasses import dataclass
from random import Random

from explorer.analysis.contrast import (
    CONTRAST_THRESHOLD,
    INHERENT_CONTRAST,
    OVERCAST_PATH_FACTOR,
    apparent_contrast,
    attenuation_from_secchi,
    coupling_constant,
    secchi_depth_from_attenuation,
    sun_path_factor,
)
from explorer.model.practice_rules import PracticeRules

__all__ = [
    "LookingManner",
    "Sight",
    "Water",
    "depth_of_slanted_line",
    "draw_water",
    "secchi_by_rule",
    "sight_of_disk",
]

# Share of the contrast that is left over by the light on the surface, by side of the boat and viewer box.
GLARE = {("shaded", False): 0.9, ("sunny", False): 0.55, ("shaded", True): 1.0, ("sunny", True): 1.0}
SUNGLASSES_THRESHOLD = 1.6  # [1] factor of the least contrast that is seen
WAVES_SHARE = 0.015  # [1] how far one reading's water differs from the next one's
MUD_SETTLES = 0.5  # [1] share of the mud that is left after a minute


@dataclass(frozen=True, slots=True)
class Water:
    """Water, bottom, light and drift of one attempt: hidden from the learner.

    Attributes
    ----------
    beam_per_m, diffuse_per_m : float
        Attenuation of a beam, and of this day's light. [1/m]
    bottom_m : float
        Depth of the water. [m]
    plants_m : float
        Depth from which plants hide the disk, infinite without plants. [m]
    drift_deg : float
        Slant of the line while the boat drifts. [deg]
    mud : float
        What the anchor has stirred up, as a share of the water's own attenuation. [1]
    waves : tuple of float
        Factor of the attenuation at each reading. [1]
    is_sunny : bool
        Whether the sun shines.
    wears_sunglasses : bool
        Whether the learner starts with sunglasses on.
    """

    beam_per_m: float
    diffuse_per_m: float
    bottom_m: float
    plants_m: float
    drift_deg: float
    mud: float
    waves: tuple[float, ...]
    is_sunny: bool
    wears_sunglasses: bool


@dataclass(frozen=True, slots=True)
class LookingManner:
    """How the learner looks: side of the boat, viewer box, sunglasses, mud in the water, slant of line."""

    side: str
    viewer: bool
    sunglasses: bool
    mud: float
    slant_deg: float


@dataclass(frozen=True, slots=True)
class Sight:
    """What is seen of the disk.

    Attributes
    ----------
    contrast : float
        Contrast against the water, 0 where the disk is not seen. [1]
    clearness : float
        1 at the surface, falling to 0 where the disk is lost: the contrast on a logarithmic scale. [1]
    in_plants : bool
        Whether plants hide it.
    slack_m : float
        Line that lies on the bottom; NaN where the disk hangs free. [m]
    """

    contrast: float
    clearness: float
    in_plants: bool
    slack_m: float

    @property
    def is_seen(self) -> bool:
        """Whether the disk is in sight."""
        return self.contrast > 0

    @property
    def on_bottom(self) -> bool:
        """Whether it lies on the bottom."""
        return not math.isnan(self.slack_m)


def draw_water(seed: int) -> Water:
    """Return the water of a seed: often deep, sometimes clear down to the bottom, sometimes with plants.

    Parameters
    ----------
    seed : int
        Any whole number.

    Examples
    --------
    >>> draw_water(1) == draw_water(1), draw_water(1) == draw_water(2)
    (True, False)
    """
    draw = Random(f"disk {seed}")
    story = draw.choice(("deep", "deep", "deep", "bottom", "plants"))
    secchi_m = draw.uniform(2.5, 5.0) if story == "bottom" else draw.uniform(1.2, 4.2)
    is_sunny = draw.random() < 0.6
    path = float(sun_path_factor(draw.uniform(35.0, 65.0))) if is_sunny else OVERCAST_PATH_FACTOR
    beam, diffuse = (float(each) for each in attenuation_from_secchi(secchi_m))
    return Water(
        beam_per_m=beam,
        diffuse_per_m=diffuse * path,
        bottom_m=draw.uniform(1.2, 0.65 * secchi_m)
        if story == "bottom"
        else draw.uniform(1.6, 4.0) * secchi_m,
        plants_m=draw.uniform(0.4, 0.7) * secchi_m if story == "plants" else math.inf,
        drift_deg=draw.choice((0.0, draw.uniform(10.0, 30.0), draw.uniform(10.0, 30.0))),
        mud=draw.choice((0.0, draw.uniform(0.3, 1.0))),
        waves=tuple(draw.uniform(1 - WAVES_SHARE, 1 + WAVES_SHARE) for _ in range(20)),
        is_sunny=is_sunny,
        wears_sunglasses=draw.random() < 0.5,
    )


def depth_of_slanted_line(line_m: float, slant_deg: float) -> float:
    """Return how deep the end of a slanted line hangs: its length times the cosine of the slant.

    Parameters
    ----------
    line_m : float
        Line in the water. [m]
    slant_deg : float
        Angle from straight down. [deg]

    Examples
    --------
    >>> round(depth_of_slanted_line(4.0, 20.0), 3)
    3.759
    """
    return line_m * math.cos(math.radians(slant_deg))


def secchi_by_rule(water: Water, rules: PracticeRules) -> float:
    """Return the depth at which this water hides the disk from whoever keeps to the programme's rule. [m]

    Parameters
    ----------
    water : Water
        The water and the day's light.
    rules : PracticeRules
        Side of the boat and viewer box.

    Examples
    --------
    >>> water = draw_water(0)
    >>> secchi_by_rule(water, PracticeRules(boat_side="sunny")) < secchi_by_rule(water, PracticeRules())
    True
    """
    share = _glare(water, rules.boat_side, rules.viewer)
    coupling = coupling_constant(surface_share=share)
    return float(secchi_depth_from_attenuation(water.beam_per_m, water.diffuse_per_m, coupling))


def sight_of_disk(water: Water, manner: LookingManner, line_m: float, reading: int) -> Sight:
    """Return what is seen of a disk at the end of a line.

    Parameters
    ----------
    water : Water
        The water.
    manner : LookingManner
        How the learner looks.
    line_m : float
        Line in the water. [m]
    reading : int
        Number of the reading, for the waves.

    Examples
    --------
    >>> manner = LookingManner("shaded", False, False, 0.0, 0.0)
    >>> [sight_of_disk(draw_water(1), manner, depth, 0).is_seen for depth in (0.5, 9.0)]
    [True, False]
    """
    hanging_m = depth_of_slanted_line(line_m, manner.slant_deg)
    depth_m = min(hanging_m, water.bottom_m)
    murk = (1.0 + manner.mud) * water.waves[reading % len(water.waves)]
    contrast = float(apparent_contrast(depth_m, water.beam_per_m * murk, water.diffuse_per_m * murk))
    contrast *= _glare(water, manner.side, manner.viewer)
    threshold = CONTRAST_THRESHOLD * (SUNGLASSES_THRESHOLD if manner.sunglasses else 1.0)
    in_plants = depth_m >= water.plants_m
    is_seen = contrast >= threshold and not in_plants
    return Sight(
        contrast=contrast if is_seen else 0.0,
        clearness=max(math.log(contrast / threshold), 1e-3) / math.log(INHERENT_CONTRAST / threshold)
        if is_seen
        else 0.0,
        in_plants=in_plants,
        slack_m=hanging_m - water.bottom_m if hanging_m >= water.bottom_m else math.nan,
    )


def _glare(water: Water, side: str, viewer: bool) -> float:
    """Return the share of contrast that is left; under an even sky both sides are as the shaded one."""
    return GLARE[("sunny" if side == "sunny" and water.is_sunny else "shaded", viewer)]
