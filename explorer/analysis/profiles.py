"""A probe's readings from the surface down: days, values by depth, thermocline, where oxygen falls away."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.oxygen import oxygen_saturation
from explorer.model.readings import usable

__all__ = [
    "PROFILE_QUANTITIES",
    "Crossing",
    "Thermocline",
    "first_depth_below",
    "profile_days",
    "profile_values",
    "thermocline",
]

PROFILE_QUANTITIES = ("water_temperature", "dissolved_oxygen", "oxygen_saturation", "ph")
FEWEST_DEPTHS = 3  # below which nothing is said of layers (common practice)

Floats = npt.NDArray[np.float64]


def profile_days(readings: pd.DataFrame) -> pd.DataFrame:
    """Return the visits of one station on which something was read at more than one depth.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`; only those of the stratum "profile" count.

    Returns
    -------
    DataFrame, one row a visit, by date
        visit_id, taken_on, taken_time, depths (how many), deepest_m [m].
    """
    shown = readings[_is_profile(readings) & usable(readings).to_numpy()]
    by_visit = shown.groupby("visit_id", sort=False)
    days = by_visit.agg(
        taken_on=("taken_on", "first"),
        taken_time=("taken_time", "first"),
        depths=("depth_m", "nunique"),
        deepest_m=("depth_m", "max"),
    ).reset_index()
    deep: pd.DataFrame = days[days["depths"] > 1]
    return deep.sort_values(["taken_on", "taken_time", "visit_id"], ignore_index=True)


def profile_values(readings: pd.DataFrame, altitude_m: float) -> pd.DataFrame:
    """Return what a probe read in one visit, by depth; saturation is computed where it was not read.

    Parameters
    ----------
    readings : DataFrame
        Readings of one visit, columns of `READINGS`. Held ones, and those that are no profile, are left out;
        where a quantity was read twice at a depth, the mean counts.
    altitude_m : float
        Altitude of the water, for the saturation. [m] NaN where not known: then none is computed.

    Returns
    -------
    DataFrame, index depth_m [m] from the surface down
        A column for each of `PROFILE_QUANTITIES`, NaN where not read or known as a limit only; [record unit]
        `<quantity>_limit`, the limit where a reading only lies below one; [record unit] saturation_computed,
        whether the saturation was computed and not read.

    References
    ----------
    .. [1] Saturation as in `explorer.analysis.oxygen`: Benson and Krause, 1984.
    """
    shown = readings[_is_profile(readings) & usable(readings).to_numpy()]
    shown = shown[shown["quantity"].isin(PROFILE_QUANTITIES)]
    measured = shown[shown["sign"] == "="]
    depths = pd.Index(np.sort(shown["depth_m"].unique()), name="depth_m")
    values = _by_depth(measured, depths)
    below = _by_depth(shown[shown["sign"] == "<"], depths).add_suffix("_limit")
    found = pd.concat([values, below], axis=1)
    found["saturation_computed"] = False
    if not np.isnan(altitude_m):
        computed = oxygen_saturation(
            found["dissolved_oxygen"], found["water_temperature"], altitude_m=altitude_m
        )
        take = found["oxygen_saturation"].isna() & computed.notna()
        found["oxygen_saturation"] = found["oxygen_saturation"].where(~take, computed)
        found["saturation_computed"] = take
    return found


def _is_profile(readings: pd.DataFrame) -> npt.NDArray[np.bool_]:
    at_depth = readings["stratum"].to_numpy(dtype=object) == "profile"
    return np.asarray(at_depth & readings["depth_m"].notna().to_numpy())


def _by_depth(readings: pd.DataFrame, depths: pd.Index) -> pd.DataFrame:
    table = readings.pivot_table(index="depth_m", columns="quantity", values="value", aggfunc="mean")
    return table.reindex(index=depths, columns=list(PROFILE_QUANTITIES)).astype("float64")


@dataclass(frozen=True, slots=True)
class Thermocline:
    """Where the water cools fastest on the way down.

    Attributes
    ----------
    verdict : {"found", "mixed", "colder_above", "too_few"}
        "found"; nowhere as steep as it must be; instead the water gets warmer downward that fast, as under
        ice; fewer than three depths.
    depth_m, top_m, bottom_m : float
        Middle and ends of the steepest step between two neighbouring depths. [m] NaN unless found.
    gradient_degc_per_m : float
        Cooling over the steepest step. [°C/m] NaN with too few depths.
    deepest_m : float
        Depth down to which the temperature is known. [m]
    """

    verdict: Literal["found", "mixed", "colder_above", "too_few"]
    depth_m: float
    top_m: float
    bottom_m: float
    gradient_degc_per_m: float
    deepest_m: float


def thermocline(
    depth_m: npt.ArrayLike, water_temperature_degc: npt.ArrayLike, least_gradient_degc_per_m: float
) -> Thermocline:
    """Return the thermocline of a profile, or that there is none.

    Parameters
    ----------
    depth_m : array_like, shape (n,)
        Depths, rising. [m]
    water_temperature_degc : array_like, shape (n,)
        Water temperature. [°C] NaN where not read.
    least_gradient_degc_per_m : float
        Cooling that the steepest step must reach. [°C/m] 1 °C per metre is Birge's (from memory).

    Returns
    -------
    Thermocline
        Of equally steep steps the uppermost. The depth is only as fine as the depths that were read.

    References
    ----------
    .. [1] E. A. Birge, "Plankton studies on Lake Mendota II," Trans. Wisconsin Acad. Sci., vol. 11,
       pp. 274-448, 1898 (the rule of 1 °C per metre; from memory).
    .. [2] G. E. Hutchinson, A Treatise on Limnology, vol. 1, Wiley, 1957 (the plane of the steepest gradient;
       from memory).

    Examples
    --------
    >>> found = thermocline([1.0, 3.0, 5.0, 7.0], [20.0, 19.5, 13.5, 12.0], 1.0)
    >>> found.verdict, found.depth_m, found.gradient_degc_per_m
    ('found', 4.0, 3.0)
    >>> thermocline([1.0, 3.0, 5.0], [8.1, 8.0, 7.9], 1.0).verdict
    'mixed'
    """
    depth, temperature = (np.asarray(each, dtype=np.float64) for each in (depth_m, water_temperature_degc))
    known = ~np.isnan(temperature) & ~np.isnan(depth)
    depth, temperature = depth[known], temperature[known]
    nothing = float("nan")
    deepest = float(depth[-1]) if depth.size else nothing
    if depth.size < FEWEST_DEPTHS:
        return Thermocline("too_few", nothing, nothing, nothing, nothing, deepest)
    cooling = -np.diff(temperature) / np.diff(depth)
    at = int(np.argmax(cooling))
    steepest = float(cooling[at])
    if steepest < least_gradient_degc_per_m:
        inverse = -cooling.min() >= least_gradient_degc_per_m
        verdict: Literal["colder_above", "mixed"] = "colder_above" if inverse else "mixed"
        return Thermocline(verdict, nothing, nothing, nothing, steepest, deepest)
    top, bottom = float(depth[at]), float(depth[at + 1])
    return Thermocline("found", (top + bottom) / 2, top, bottom, steepest, deepest)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a quantity first falls below a limit on the way down.

    Attributes
    ----------
    verdict : {"found", "from_the_top", "not_reached", "not_read"}
        "found"; it lies below at the shallowest depth already; nowhere as far down as was read; not read.
    depth_m : float
        Depth by a straight line between the two neighbouring readings. [m] NaN unless found, and NaN where
        the lower one is known as a limit only.
    top_m, bottom_m : float
        The depths between which it falls; the shallowest depth, or the deepest one, otherwise. [m]
    """

    verdict: Literal["found", "from_the_top", "not_reached", "not_read"]
    depth_m: float
    top_m: float
    bottom_m: float


def first_depth_below(
    depth_m: npt.ArrayLike, values: npt.ArrayLike, at_most: npt.ArrayLike, limit: float
) -> Crossing:
    """Return the depth at which a quantity first falls below a limit on the way down.

    Parameters
    ----------
    depth_m : array_like, shape (n,)
        Depths, rising. [m]
    values : array_like, shape (n,)
        What was read. [any unit] NaN where not read.
    at_most : array_like, shape (n,)
        The limit below which a reading lies that has no value. [unit of values] NaN for all others. Above
        `limit` it tells nothing and is passed over.
    limit : float
        [unit of values]

    Examples
    --------
    >>> nan = float("nan")
    >>> first_depth_below([1.0, 5.0, 7.0], [8.0, 6.0, 1.0], [nan, nan, nan], 2.0)
    Crossing(verdict='found', depth_m=6.6, top_m=5.0, bottom_m=7.0)
    """
    depth, read, most = (np.asarray(each, dtype=np.float64) for each in (depth_m, values, at_most))
    surely_below = np.isnan(read) & (most <= limit)
    known = ~np.isnan(read) | surely_below
    depth, read, surely_below = depth[known], read[known], surely_below[known]
    nothing = float("nan")
    if not depth.size:
        return Crossing("not_read", nothing, nothing, nothing)
    below = surely_below | (read < limit)
    if not below.any():
        return Crossing("not_reached", nothing, float(depth[0]), float(depth[-1]))
    at = int(np.argmax(below))
    if at == 0:
        return Crossing("from_the_top", nothing, float(depth[0]), float(depth[0]))
    top, bottom = float(depth[at - 1]), float(depth[at])
    share = (read[at - 1] - limit) / (read[at - 1] - read[at])  # NaN where the lower one is a limit
    return Crossing("found", round(top + float(share) * (bottom - top), 9), top, bottom)
