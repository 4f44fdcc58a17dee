"""Judges stations, over a period or season by season, by a class scheme: what counts, and its class."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.censored import Bools, Floats, Ints, censored_quantile, plain_quantile
from explorer.analysis.certainty import class_shares, log_error, pooled_spread
from explorer.analysis.class_schemes import class_index
from explorer.analysis.whole_year import covers_year, months_beside
from explorer.model.classes import ClassScheme, Limits
from explorer.model.programme import Programme

__all__ = ["REASONS", "ClassUnits", "judge"]

WITH_ENDS = ("median", "mean")  # statistics for which the season table holds an interval

# Why there is no class, the one that comes furthest on the way to a class last; words codes.
REASONS = ("no_readings", "too_few_visits", "year_needed", "only_limits", "stream", "kind")
NO_READINGS, TOO_FEW_VISITS, YEAR_NEEDED, ONLY_LIMITS, STREAM, KIND = range(len(REASONS))

_Table = dict[str, npt.NDArray[Any]]  # seasons of one quantity, column by column


@dataclass(slots=True)
class ClassUnits:
    """The results under way: one entry a station, or a station and year; -1 for none.

    Attributes
    ----------
    index, also, quantity : ndarray of int, shape (units,)
        Class, second class, and place of the quantity in the scheme's order.
    visits, months : ndarray of int, shape (units,)
        What lies behind the class, or behind its absence.
    reason : ndarray of int, shape (units,)
        Place in `REASONS` of why there is no class; without meaning once there is one.
    central : ndarray, shape (units,)
        The value that was judged. [record unit]
    shares : ndarray, shape (units, classes)
        Share of each class. [1]
    """

    index: Ints
    also: Ints
    quantity: Ints
    visits: Ints
    months: Ints
    reason: Ints
    central: Floats
    shares: Floats

    @classmethod
    def of(cls, kinds: npt.NDArray[np.object_], scheme: ClassScheme) -> "ClassUnits":
        """Return units without results, one for each kind of water."""
        size = kinds.size
        asked = np.isin(kinds, scheme.kinds)
        reason = np.where(asked, NO_READINGS, np.where(kinds == "stream", STREAM, KIND))
        return cls(
            index=np.full(size, -1),
            also=np.full(size, -1),
            quantity=np.full(size, -1),
            visits=np.zeros(size, np.int64),
            months=np.zeros(size, np.int64),
            reason=reason,
            central=np.full(size, np.nan),
            shares=np.full((size, len(scheme.classes)), np.nan),
        )

    def named(self, scheme: ClassScheme, which: Any = slice(None)) -> dict[str, Any]:
        """Return names in the place of the numbers of all or one of the units, empty for none."""
        reason = np.where(self.index < 0, self.reason, -1)
        numbered = {
            "label": (scheme.classes, self.index),
            "letter": (scheme.letters, self.index),
            "quantity": (scheme.priority, self.quantity),
            "also": (scheme.classes, self.also),
            "missing": (REASONS, reason),
        }
        return {
            column: np.array([*names, ""], object)[numbers[which]]
            for column, (names, numbers) in numbered.items()
        }

    def columns(self, scheme: ClassScheme, index: pd.Index | None = None) -> dict[str, Any]:
        """Return the results as columns of a frame, names in the place of numbers, empty for none."""
        named = self.named(scheme).items()
        return {
            "class_index": self.index,
            **{column: pd.Series(names, index=index, dtype="str") for column, names in named},
            "visits": self.visits,
            "months": self.months,
            "central": self.central,
            **{f"share_{number}": share for number, share in enumerate(self.shares.T)},
        }


def judge(
    seasons: pd.DataFrame,
    station: Ints,
    unit: Ints,
    units: ClassUnits,
    scheme: ClassScheme,
    programme: Programme,
) -> ClassUnits:
    """Fill in the class of each unit, quantity by quantity in the scheme's order, where it has none yet.

    Parameters
    ----------
    seasons : DataFrame
        Columns of `SEASONS`; all years, for the spread is pooled over them.
    station, unit : ndarray of int, shape (rows of seasons,)
        Station of each row; unit for which it counts. -1 for none.
    units : ClassUnits
        Changed in place.
    scheme, programme : ClassScheme, Programme
        Limits, and what a season needs in order to count.

    Returns
    -------
    ClassUnits
        The same units.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> scheme = schemes()["carlson_simpson_1996"]
    >>> seasons = pd.DataFrame({
    ...     "quantity": ["secchi_depth"], "window": "season", "year": 2024, "visits": 5, "months": 5,
    ...     "median": 3.0, "median_low": 3.0, "median_high": 3.0, "log_spread": 0.1})
    >>> units = ClassUnits.of(np.array(["lake"], dtype=object), scheme)
    >>> row = np.array([0])
    >>> judge(seasons, row, row, units, scheme, Programme()).index.tolist()
    [1]
    """
    quantity = pd.Index(scheme.priority).get_indexer(pd.Index(seasons["quantity"]))
    in_season = seasons["window"].to_numpy(object) == "season"
    for number, code in enumerate(scheme.priority):
        limits = scheme.limits[code]
        unnamed = (units.index < 0) & (units.reason <= ONLY_LIMITS)
        if not unnamed.any():
            break
        own = (quantity == number) & (station >= 0)
        rows = np.flatnonzero(own & (in_season == (limits.window == "season")))
        if not rows.size:
            continue
        table = {name: seasons[name].to_numpy()[rows] for name in _columns(limits)}
        table |= {"station": station[rows], "unit": unit[rows]}
        pooled = pooled_spread(table["log_spread"], table["months"], table["station"])
        table["spread"], table["freedom"] = (each[table["station"]] for each in pooled)
        table["covered"] = np.full(rows.size, True)
        if limits.window == "year":
            inside = np.flatnonzero(own & in_season)
            months_inside = months_beside(
                (table["station"], table["year"]),
                (station[inside], seasons["year"].to_numpy()[inside]),
                seasons["months"].to_numpy()[inside],
            )
            table["covered"] = covers_year(table["months"], months_inside, programme)
        wanted = (table["unit"] >= 0) & unnamed[table["unit"]]
        table = {name: column[wanted] for name, column in table.items()}
        counted = _counted(table, units, programme)
        table = {name: column[counted] for name, column in table.items()}
        if counted.any():
            direction = programme.quantities[code].higher_is_worse
            _name_classes(table, units, number, limits, direction is not False)
    return units


def _columns(limits: Limits) -> tuple[str, ...]:
    ends = (
        tuple(f"{limits.statistic}_{end}" for end in ("low", "high")) if limits.statistic in WITH_ENDS else ()
    )
    return ("year", "visits", "months", "log_spread", limits.statistic, *ends)


def _counted(table: _Table, units: ClassUnits, programme: Programme) -> Bools:
    """Return which seasons count, and note in the units why the others do not."""
    visited = (table["visits"] >= programme.minimum_visits) & (table["months"] >= programme.minimum_months)
    reason = np.where(visited, np.where(table["covered"], ONLY_LIMITS, YEAR_NEEDED), TOO_FEW_VISITS)
    for most, column in (
        (units.reason, reason),
        (units.visits, table["visits"]),
        (units.months, table["months"]),
    ):
        np.maximum.at(most, table["unit"], column)
    return np.asarray(visited & table["covered"])


def _name_classes(
    table: _Table, units: ClassUnits, number: int, limits: Limits, higher_is_worse: bool
) -> None:
    """Set class, second class and shares of every unit in the table; leave out those that get none."""
    unit, group = np.unique(table["unit"], return_inverse=True)
    central, low, high = _period_values(table, group, limits)
    index, also = _class_and_second(
        *(class_index(each, limits, higher_is_worse) for each in (central, low, high))
    )
    one = np.unique(group, return_index=True)[1]
    error = log_error(limits, table["spread"][one], np.bincount(group, table["months"]), np.bincount(group))
    known = (error, table["freedom"][one], limits, higher_is_worse)
    at_ends = (class_shares(low, *known) + class_shares(high, *known)) / 2.0
    shares = np.where(np.isnan(central)[:, None], at_ends, class_shares(central, *known))
    most = np.zeros(unit.size, np.int64)
    np.maximum.at(most, group, table["months"])
    named = index >= 0
    rows = unit[named]
    units.index[rows], units.also[rows], units.quantity[rows] = index[named], also[named], number
    units.visits[rows], units.months[rows] = np.bincount(group, table["visits"])[named], most[named]
    units.central[rows], units.shares[rows] = central[named], shares[named]


def _period_values(table: _Table, group: Ints, limits: Limits) -> tuple[Floats, Floats, Floats]:
    """Return the value of each unit's counted seasons and its lower and upper end."""
    value = table[limits.statistic]
    low, high = (table.get(f"{limits.statistic}_{end}", value) for end in ("low", "high"))
    if limits.statistic == "median":
        known = ~np.isnan(value)
        estimate = censored_quantile(np.where(known, value, low), np.where(known, value, high), group)
        return estimate.value, plain_quantile(low, group), plain_quantile(high, group)
    count = np.bincount(group)
    if limits.statistic == "geometric_mean":  # of logarithms, as its error is: an average lies too high
        central = np.exp(np.bincount(group, np.log(value)) / count)
        return central, central, central
    central, lowest, highest = (np.bincount(group, each) / count for each in (value, low, high))
    return central, lowest, highest


def _class_and_second(estimate: Ints, at_low: Ints, at_high: Ints) -> tuple[Ints, Ints]:
    """Return the class and the one at the further end of the interval, -1 for none."""
    worst, best = np.maximum(at_low, at_high), np.minimum(at_low, at_high)
    index = np.where(estimate >= 0, estimate, np.where(worst - best > 1, -1, worst))
    far = np.where(worst - index >= index - best, worst, best)
    return index, np.where((index >= 0) & (far != index), far, -1)
