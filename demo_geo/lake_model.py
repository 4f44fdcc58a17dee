"""What is truly in the water: phosphorus makes algae, algae take away light; then weather and chance.

Relations: R. E. Carlson, "A trophic state index for lakes," Limnol. Oceanogr. 22 (1977), p. 364 (chlorophyll
a from phosphorus, Secchi depth from chlorophyll a); C. R. Kratzer and P. L. Brezonik, Water Resour. Bull. 17
(1981) for nitrogen, set equal to Carlson's chlorophyll index; oxygen saturation by Benson and Krause as
printed in Standard Methods 4500-O. Seasons, spreads and what colour and turbidity take are invented.
"""

import math
from dataclasses import dataclass
from datetime import date

from chance import Chance
from stories import (
    BOTTOM_RELEASE,
    FIRST_YEAR,
    FLOOD_DAYS,
    FLOOD_FACTORS,
    FLOOD_TURBIDITY_NTU,
    TREATED_BOTTOM_TO,
    TREATED_ON,
    TREATED_TO,
    WARMTH,
    WETNESS,
    WORSENING_PER_YEAR,
)
from visits import Visit
from waters import Place, Water

# Factors in the middle of each month, January to December.
DEEP_ALGAE = (0.6, 0.6, 0.8, 1.05, 0.9, 0.75, 0.95, 1.25, 1.15, 1.0, 0.8, 0.65)
SHALLOW_ALGAE = (0.35, 0.35, 0.5, 0.7, 0.75, 0.85, 1.15, 1.35, 1.15, 0.85, 0.6, 0.4)
DEEP_PHOSPHORUS = (1.2, 1.2, 1.2, 1.15, 1.05, 1.0, 0.95, 0.95, 1.0, 1.1, 1.2, 1.2)
SHALLOW_PHOSPHORUS = (0.8, 0.8, 0.8, 0.85, 0.9, 0.95, 1.1, 1.15, 1.05, 0.95, 0.85, 0.8)
NITROGEN = (1.15, 1.15, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9, 0.95, 1.0, 1.05, 1.1)
LIGHT_PER_PCU, LIGHT_PER_NTU = 0.0036, 0.035  # added to 1/Secchi [1/m]; colour above COLOUR_USUAL_PCU only
COLOUR_USUAL_PCU = 10.0
WIND_TURBIDITY_NTU, STIRRED_DEPTH_M = 8.0, 3.0  # what wind stirs up, in ponds less deep than this
WASHED_OUT = 0.35  # chlorophyll a of a stream over that of a lake with the same phosphorus
SHALLOW_WATER_M = 5.0


@dataclass(frozen=True)
class State:
    """The water at one station on one day, before anybody measures it."""

    total_phosphorus: float
    bottom_phosphorus: float
    total_nitrogen: float
    chlorophyll_a: float
    secchi_depth: float
    true_colour: float
    turbidity: float
    conductivity: float
    ph: float
    water_temperature: float
    dissolved_oxygen: float


def chlorophyll_from_phosphorus(total_phosphorus_ug_per_l: float) -> float:
    """Carlson 1977: ln Chl = 1.449 ln TP - 2.442. [µg/L]"""
    return math.exp(1.449 * math.log(total_phosphorus_ug_per_l) - 2.442)


def chlorophyll_from_nitrogen(total_nitrogen_ug_per_l: float) -> float:
    """Kratzer & Brezonik 1981 (54.45 + 14.43 ln TN) set equal to Carlson 1977 (9.81 ln Chl + 30.6). [µg/L]"""
    index = 54.45 + 14.43 * math.log(total_nitrogen_ug_per_l / 1000)
    return math.exp((index - 30.6) / 9.81)


def secchi_from_chlorophyll(chlorophyll_a_ug_per_l: float) -> float:
    """Carlson 1977: ln SD = 2.04 - 0.68 ln Chl. [m]"""
    return math.exp(2.04 - 0.68 * math.log(chlorophyll_a_ug_per_l))


def by_month(factors: tuple[float, ...], day: date) -> float:
    """Return the factor of a day, in line between the middles of the months."""
    place = day.month - 1 + (day.day - 15) / 30
    low = math.floor(place)
    return factors[low % 12] + (place - low) * (factors[(low + 1) % 12] - factors[low % 12])


def saturation_mg_per_l(temperature_degc: float, altitude_m: float) -> float:
    """Return dissolved oxygen in fresh water under air, less by the pressure's share at that altitude."""
    kelvin = temperature_degc + 273.15
    log_oxygen = -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2
    log_oxygen += 1.2438e10 / kelvin**3 - 8.621949e11 / kelvin**4
    return math.exp(log_oxygen) * (1 - 2.25577e-5 * altitude_m) ** 5.25588


def _story_factor(water: Water, day: date) -> float:
    if water.code == "FER":
        return WORSENING_PER_YEAR ** (day.year - FIRST_YEAR + day.timetuple().tm_yday / 365 - 0.5)
    if water.code == "TES" and day >= TREATED_ON:
        return TREATED_TO
    return 1.0


def _flooded(quantity: str, day: date) -> float:
    return FLOOD_FACTORS[quantity] if FLOOD_DAYS[0] <= day <= FLOOD_DAYS[1] else 1.0


def surface_temperature(water: Water, day: date, noise: float) -> float:
    """Return the water's temperature at the surface. [°C]"""
    turn = 2 * math.pi * (day.timetuple().tm_yday - 212) / 365
    shallow = 0.8 if water.maximum_depth_m < SHALLOW_WATER_M else 0.0
    brook = 0.72 if water.kind == "stream" else 1.0
    usual = 12.4 + 9.6 * math.cos(turn) + shallow
    return max(1.5, brook * usual + 0.8 * WARMTH[day.year] + noise)


def state_at(visit: Visit) -> State:
    """Return the true state at a visit; stations of one water share the day's chance."""
    water, place, day = visit.water, visit.place, visit.day
    shared, own = Chance(water.code, day, "water"), Chance(place.code, day, "station")
    shallow = water.maximum_depth_m < SHALLOW_WATER_M
    phosphorus, nitrogen = _nutrients(visit, shared, own)
    algae = _algae(visit, phosphorus, nitrogen) * shared.factor(0.24) * own.factor(0.12)
    colour, turbidity = _colour_and_turbidity(visit, shared)
    temperature = surface_temperature(water, day, shared.normal(0.9) + own.normal(0.2))
    saturation = 0.96 + 0.018 * math.log(1 + algae)
    return State(
        total_phosphorus=phosphorus * _flooded("total_phosphorus", day)
        * by_month(SHALLOW_PHOSPHORUS if shallow else DEEP_PHOSPHORUS, day),
        bottom_phosphorus=phosphorus * _bottom_ratio(water, day) * own.factor(0.12),
        total_nitrogen=nitrogen * _flooded("total_nitrogen", day) * by_month(NITROGEN, day),
        chlorophyll_a=algae,
        secchi_depth=own.factor(0.05) * secchi_through(algae, colour, turbidity),
        true_colour=colour,
        turbidity=turbidity,
        conductivity=water.conductivity_us_per_cm * own.factor(0.04) * _flooded("conductivity", day),
        ph=7.1 + 0.28 * math.log(1 + algae) - 0.004 * max(colour - 20, 0) + own.normal(0.12),
        water_temperature=temperature,
        dissolved_oxygen=saturation * saturation_mg_per_l(temperature, water.altitude_m) + own.normal(0.15),
    )  # fmt: skip


def _nutrients(visit: Visit, shared: Chance, own: Chance) -> tuple[float, float]:
    """Return total phosphorus and total nitrogen without the course of the season. [µg/L]"""
    water, day, richer = visit.water, visit.day, visit.place.enrichment
    story, wet = _story_factor(water, day), WETNESS[day.year]
    phosphorus = water.total_phosphorus_ug_per_l * richer * story * math.exp(0.09 * wet)
    phosphorus *= shared.factor(0.09) * own.factor(0.06)
    nitrogen = water.total_nitrogen_ug_per_l * richer**0.4 * story**0.25 * math.exp(0.06 * wet)
    return phosphorus, nitrogen * shared.factor(0.07) * own.factor(0.05)


def _algae(visit: Visit, phosphorus: float, nitrogen: float) -> float:
    """Return chlorophyll a that these nutrients make on that day. [µg/L]"""
    water, day = visit.water, visit.day
    if "nitrogen-limited" in water.attributes:
        usual = chlorophyll_from_nitrogen(nitrogen)
    else:
        usual = chlorophyll_from_phosphorus(phosphorus)
    if water.kind == "stream":
        usual *= WASHED_OUT
    season = by_month(SHALLOW_ALGAE if water.maximum_depth_m < SHALLOW_WATER_M else DEEP_ALGAE, day)
    return usual * season * math.exp(0.07 * WARMTH[day.year]) * _flooded("chlorophyll_a", day)


def _colour_and_turbidity(visit: Visit, shared: Chance) -> tuple[float, float]:
    """Return true colour [PCU] and turbidity [NTU]; wind stirs up the bottom of shallow ponds."""
    water, day, wet = visit.water, visit.day, WETNESS[visit.day.year]
    colour = water.true_colour_pcu * math.exp(0.10 * wet) * shared.factor(0.07) * _flooded("true_colour", day)
    turbidity = water.turbidity_ntu * visit.place.enrichment * math.exp(0.12 * wet)
    turbidity *= shared.factor(0.45 if water.kind == "stream" else 0.18)
    if visit.weather == "flood":
        turbidity = turbidity * FLOOD_FACTORS["turbidity"] + FLOOD_TURBIDITY_NTU
    if visit.weather == "wind" and water.maximum_depth_m < STIRRED_DEPTH_M and water.kind == "pond":
        turbidity += WIND_TURBIDITY_NTU
    return colour, turbidity


def tube_from_turbidity(turbidity_ntu: float) -> float:
    """Return the depth at which the disk in a transparency tube is lost; an invented relation. [cm]"""
    return 240 * turbidity_ntu**-0.6


def secchi_through(chlorophyll_a_ug_per_l: float, true_colour_pcu: float, turbidity_ntu: float) -> float:
    """Return the Secchi depth: what algae leave, less what colour and turbidity take away. [m]"""
    colour = max(0.0, true_colour_pcu - COLOUR_USUAL_PCU)
    taken = 1 / secchi_from_chlorophyll(chlorophyll_a_ug_per_l)
    return 1 / (taken + LIGHT_PER_PCU * colour + LIGHT_PER_NTU * turbidity_ntu)


def _bottom_ratio(water: Water, day: date) -> float:
    """Return phosphorus near the bottom over that at the surface: it grows while the bottom lacks air."""
    release = {"TES": BOTTOM_RELEASE, "FER": 1.8, "DUN": 1.6, "VEL": 1.4, "HOL": 1.15}.get(water.code, 1.0)
    if water.code == "TES" and day >= TREATED_ON:
        release = max(1.0, BOTTOM_RELEASE * TREATED_BOTTOM_TO / TREATED_TO)
    return 1 + (release - 1) * min(1.0, max(0.0, (day.month - 4) / 4))


def profile_at(visit: Visit, state: State, depths_m: list[float]) -> list[tuple[float, float]]:
    """Return temperature and oxygen at each depth; the upper layer is mixed, the lower uses up its oxygen."""
    water, day = visit.water, visit.day
    months = max(0.0, min(6.0, day.month - 4 + day.day / 30)) if 4 <= day.month <= 9 else 0.0
    step_m = 3.2 + 0.75 * months + Chance(visit.place.code, day, "thermocline").normal(0.4)
    cold = min(state.water_temperature, 6.2 + 0.25 * months)
    demand = 0.25 + 0.055 * state.total_phosphorus * (12.0 / visit.place.bottom_depth_m) ** 0.5
    pairs = []
    for depth in depths_m:
        below = 1 / (1 + math.exp(-(depth - step_m) / 0.9))
        temperature = state.water_temperature - (state.water_temperature - cold) * below
        full = saturation_mg_per_l(temperature, water.altitude_m)
        used = demand * months * (0.75 + 0.5 * depth / visit.place.bottom_depth_m) * below
        upper = state.dissolved_oxygen / saturation_mg_per_l(state.water_temperature, water.altitude_m)
        pairs.append((temperature, max(0.1, full * (upper + (0.97 - upper) * below) - used)))
    return pairs


def is_profiled_year(place: Place, year: int) -> bool:
    """Return whether the probe goes down at that station in that year."""
    return place.profiled and year in (2007, 2012, 2017, 2022)
