"""Checks of single readings: what cannot be, what is not likely, what a slip with a unit makes of a value."""

from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd

from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_entries, number_texts
from explorer.intake.lookups import texts_by
from explorer.intake.reading_texts import quantity_names, values_shown
from explorer.model.units import FOOT_M

__all__ = [
    "VALUE_CHECKS",
    "at_bottom_unmarked",
    "deeper_than_bottom",
    "degrees_mixed",
    "factor_of_feet",
    "factor_of_ten",
    "factor_of_thousand",
    "same_value_again",
    "value_implausible",
    "value_impossible",
]

# Beyond these nothing is measured in a lake: pH and temperature common practice, the disk from memory (the
# deepest reading in a lake is about 44 m).
POSSIBLE: Mapping[str, tuple[float, float]] = {
    "ph": (0.0, 14.0),
    "water_temperature": (-0.5, 40.0),
    "secchi_depth": (0.0, 45.0),
    "transparency_tube": (0.0, 150.0),
    "oxygen_saturation": (0.0, 400.0),
    "dissolved_oxygen": (0.0, 60.0),
}


def _span(low: pd.Series, high: pd.Series) -> Callable[[pd.DataFrame], list[str]]:
    """Return what makes "1 to 4" of two numbers of readings that were found."""

    def texts(found: pd.DataFrame) -> list[str]:
        pairs = zip(number_texts(low[found.index]), number_texts(high[found.index]), strict=True)
        return [f"{first} to {last}" for first, last in pairs]

    return texts


def _outside(delivery: Delivery, ranges: Mapping[str, tuple[float, float]]) -> pd.Series:
    entries = delivery.entries
    low = entries["quantity"].map({code: each[0] for code, each in ranges.items()}).fillna(-np.inf)
    high = entries["quantity"].map({code: each[1] for code, each in ranges.items()}).fillna(np.inf)
    below = (entries["value"] < low) & (entries["sign"] == "=")
    outside: pd.Series = below | (entries["value"] > high)
    return outside


def value_impossible(delivery: Delivery, limits: Limits) -> Findings:
    """Find values that cannot be, whatever the water."""
    chosen = _outside(delivery, POSSIBLE)
    return at_entries(
        delivery.entries, chosen, quantity=quantity_names(delivery), value=values_shown(delivery)
    )


def value_implausible(delivery: Delivery, limits: Limits) -> Findings:
    """Find values outside the range in which the quantity is found in lakes."""
    plausible = {code: each.plausible for code, each in delivery.programme.quantities.items()}
    chosen = _outside(delivery, plausible) & ~_outside(delivery, POSSIBLE)
    spans = {code: "{} to {}".format(*number_texts(span)) for code, span in plausible.items()}
    span = texts_by(delivery.entries["quantity"], spans)
    return at_entries(
        delivery.entries, chosen, quantity=quantity_names(delivery), value=values_shown(delivery), span=span
    )


def degrees_mixed(delivery: Delivery, limits: Limits) -> Findings:
    """Find temperatures that make no sense in the unit of their column and do in the other one."""
    entries = delivery.entries
    low, high = delivery.programme.quantities["water_temperature"].plausible
    fahrenheit = entries["unit_as_written"] == "°F"
    written = entries["value"].where(~fahrenheit, entries["value"] * 9 / 5 + 32)
    other = written.where(fahrenheit, (written - 32) * 5 / 9)
    chosen = (entries["quantity"] == "water_temperature") & ~entries["value"].between(low, high)
    chosen &= entries["value"].notna() & other.between(low, high)
    meant = np.where(fahrenheit, "Celsius", "Fahrenheit")
    return at_entries(entries, chosen, value=values_shown(delivery), other=other, meant=meant)


def deeper_than_bottom(delivery: Delivery, limits: Limits) -> Findings:
    """Find disk readings deeper than the water: as the sheet says it, else as the list of stations does."""
    entries = delivery.entries
    listed = entries["station_code"].map({code: s.bottom_depth_m for code, s in delivery.stations.items()})
    on_sheet = entries["bottom_depth_m"].notna()
    bottom = entries["bottom_depth_m"].where(on_sheet, listed.astype("float64"))
    most = bottom * np.where(on_sheet, limits["share_of_sheet"], limits["share_of_list"])
    chosen = (entries["quantity"] == "secchi_depth") & (entries["value"] > most)
    return at_entries(entries, chosen, value=values_shown(delivery), bottom=bottom)


def at_bottom_unmarked(delivery: Delivery, limits: Limits) -> Findings:
    """Find disk readings at the depth of the water that nobody marked as seen on the bottom."""
    entries = delivery.entries
    near = (entries["value"] - entries["bottom_depth_m"]).abs() <= limits["within_m"]
    chosen = (entries["quantity"] == "secchi_depth") & (entries["sign"] == "=") & near
    return at_entries(entries, chosen, value=values_shown(delivery))


def same_value_again(delivery: Delivery, limits: Limits) -> Findings:
    """Find the same text for a quantity on many visits running at one station."""
    entries = delivery.entries
    asked = (entries["kind"] == "data_sheet") & (entries["sign"] == "=") & entries["value"].notna()
    asked &= entries["station_code"] != ""
    rows = entries[asked].sort_values(["station_code", "quantity", "taken_on"], kind="stable")
    key = rows[["station_code", "quantity", "as_written"]]
    run = (key != key.shift()).any(axis=1).cumsum()
    days = rows["taken_on"].groupby(run).transform("nunique")
    times = days.reindex(entries.index).fillna(0)
    chosen = times >= limits["times"]
    return at_entries(entries, chosen, quantity=quantity_names(delivery), times=times)


def _factor(delivery: Delivery, limits: Limits, factor: float, chosen: pd.Series) -> Findings:
    """Find surface values outside all that a station has shown, which the factor would bring back into it.

    What is usual is known of the surface alone: deep water may well hold a tenth of the oxygen.
    """
    entries = delivery.entries
    chosen = chosen & (entries["stratum"] == "surface")
    pairs = pd.MultiIndex.from_arrays([entries["station_code"], entries["quantity"]])
    usual = delivery.past.usual.reindex(pairs).set_axis(entries.index)
    lowest, highest = usual["lowest"], usual["highest"]
    known = (usual["seasons"] >= limits["seasons"]) & (entries["sign"] == "=") & chosen
    high = (entries["value"] > highest * limits["beyond"]) & (entries["value"] / factor).between(
        lowest, highest
    )
    low = (entries["value"] < lowest / limits["beyond"]) & (entries["value"] * factor).between(
        lowest, highest
    )
    meant = (entries["value"] / factor).where(high, entries["value"] * factor)
    return at_entries(
        entries,
        known & (high | low),
        quantity=quantity_names(delivery),
        value=values_shown(delivery),
        meant=meant,
        span=_span(lowest, highest),
    )


def factor_of_feet(delivery: Delivery, limits: Limits) -> Findings:
    """Find depths 3.28 times what the station has shown, or a part of it: feet written for metres."""
    lengths = {code for code, each in delivery.programme.quantities.items() if each.unit == "m"}
    return _factor(delivery, limits, 1 / FOOT_M, delivery.entries["quantity"].isin(lengths))


def factor_of_ten(delivery: Delivery, limits: Limits) -> Findings:
    """Find values ten times what the station has shown, or a tenth: a mark before decimals left out."""
    return _factor(delivery, limits, 10.0, delivery.entries["value"].notna())


def factor_of_thousand(delivery: Delivery, limits: Limits) -> Findings:
    """Find values a thousand times what the station has shown, or a thousandth: another unit."""
    return _factor(delivery, limits, 1000.0, delivery.entries["value"].notna())


VALUE_CHECKS = (
    Check("value_impossible", "hold", "pH by its definition; others common practice", value_impossible),
    Check("value_implausible", "hold", COMMON_PRACTICE, value_implausible),
    Check("degrees_mixed", "hold", COMMON_PRACTICE, degrees_mixed),
    Check(
        "deeper_than_bottom",
        "hold",
        "a disk is not seen below the bottom (definition)",
        deeper_than_bottom,
        {"share_of_sheet": 1.02, "share_of_list": 1.15},
    ),
    Check(
        "at_bottom_unmarked",
        "note",
        COMMON_PRACTICE,
        at_bottom_unmarked,
        {"within_m": 0.05},
        needs="data_sheet",
    ),
    Check("same_value_again", "note", COMMON_PRACTICE, same_value_again, {"times": 4.0}, needs="data_sheet"),
    Check(
        "factor_of_feet",
        "hold",
        "the international foot is 0.3048 m",
        factor_of_feet,
        {"seasons": 3.0, "beyond": 1.5},
    ),
    Check("factor_of_ten", "hold", COMMON_PRACTICE, factor_of_ten, {"seasons": 3.0, "beyond": 2.5}),
    Check(
        "factor_of_thousand", "hold", COMMON_PRACTICE, factor_of_thousand, {"seasons": 3.0, "beyond": 30.0}
    ),
)
