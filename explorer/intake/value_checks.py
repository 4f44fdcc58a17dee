"""Checks of single readings: what cannot be, what is not likely, what a slip with a unit makes of a value."""

from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd

from explorer.analysis.oxygen import oxygen_saturation
from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery, texts_by
from explorer.intake.findings import Findings, at_entries, number_texts
from explorer.model.quantities import Quantity
from explorer.model.units import FOOT_M

__all__ = [
    "VALUE_CHECKS",
    "at_bottom_unmarked",
    "deeper_than_bottom",
    "degrees_mixed",
    "factor_of_feet",
    "factor_of_ten",
    "factor_of_thousand",
    "oxygen_above_saturation",
    "oxygen_disagrees",
    "part_above_whole",
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

# A part and the whole that it belongs to; several parts of one whole are added up.
PARTS: Mapping[str, tuple[str, ...]] = {
    "total_phosphorus": ("orthophosphate",),
    "total_nitrogen": ("nitrate_nitrite", "ammonia"),
}


def _quantities(delivery: Delivery) -> Mapping[str, Quantity]:
    return delivery.programme.quantities


def _names(delivery: Delivery) -> pd.Series:
    known = _quantities(delivery)
    return texts_by(delivery.entries["quantity"], {code: each.name for code, each in known.items()})


def _shown(delivery: Delivery) -> Callable[[pd.DataFrame], list[str]]:
    """Return what makes values with the unit of the record of readings that were found."""
    units = {code: each.unit for code, each in _quantities(delivery).items()}

    def texts(found: pd.DataFrame) -> list[str]:
        pairs = zip(number_texts(found["value"]), found["quantity"], strict=True)
        return [f"{value} {units.get(code, '')}" for value, code in pairs]

    return texts


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
    return at_entries(delivery.entries, chosen, quantity=_names(delivery), value=_shown(delivery))


def value_implausible(delivery: Delivery, limits: Limits) -> Findings:
    """Find values outside the range in which the quantity is found in lakes."""
    plausible = {code: each.plausible for code, each in _quantities(delivery).items()}
    chosen = _outside(delivery, plausible) & ~_outside(delivery, POSSIBLE)
    spans = {code: "{} to {}".format(*number_texts(span)) for code, span in plausible.items()}
    span = texts_by(delivery.entries["quantity"], spans)
    return at_entries(delivery.entries, chosen, quantity=_names(delivery), value=_shown(delivery), span=span)


def degrees_mixed(delivery: Delivery, limits: Limits) -> Findings:
    """Find temperatures that make no sense in the unit of their column and do in the other one."""
    entries = delivery.entries
    low, high = _quantities(delivery)["water_temperature"].plausible
    fahrenheit = entries["unit_as_written"] == "°F"
    written = entries["value"].where(~fahrenheit, entries["value"] * 9 / 5 + 32)
    other = written.where(fahrenheit, (written - 32) * 5 / 9)
    chosen = (entries["quantity"] == "water_temperature") & ~entries["value"].between(low, high)
    chosen &= entries["value"].notna() & other.between(low, high)
    meant = np.where(fahrenheit, "Celsius", "Fahrenheit")
    return at_entries(entries, chosen, value=_shown(delivery), other=other, meant=meant)


def deeper_than_bottom(delivery: Delivery, limits: Limits) -> Findings:
    """Find disk readings deeper than the water: as the sheet says it, else as the list of stations does."""
    entries = delivery.entries
    listed = entries["station_code"].map({code: s.bottom_depth_m for code, s in delivery.stations.items()})
    on_sheet = entries["bottom_depth_m"].notna()
    bottom = entries["bottom_depth_m"].where(on_sheet, listed.astype("float64"))
    most = bottom * np.where(on_sheet, limits["share_of_sheet"], limits["share_of_list"])
    chosen = (entries["quantity"] == "secchi_depth") & (entries["value"] > most)
    return at_entries(entries, chosen, value=_shown(delivery), bottom=bottom)


def at_bottom_unmarked(delivery: Delivery, limits: Limits) -> Findings:
    """Find disk readings at the depth of the water that nobody marked as seen on the bottom."""
    entries = delivery.entries
    near = (entries["value"] - entries["bottom_depth_m"]).abs() <= limits["within_m"]
    chosen = (entries["quantity"] == "secchi_depth") & (entries["sign"] == "=") & near
    return at_entries(entries, chosen, value=_shown(delivery))


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
    return at_entries(entries, chosen, quantity=_names(delivery), times=times)


def _factor(delivery: Delivery, limits: Limits, factor: float, chosen: pd.Series) -> Findings:
    """Find values outside all that a station has shown, which the factor would bring back into it."""
    entries = delivery.entries
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
        quantity=_names(delivery),
        value=_shown(delivery),
        meant=meant,
        span=_span(lowest, highest),
    )


def factor_of_feet(delivery: Delivery, limits: Limits) -> Findings:
    """Find depths 3.28 times what the station has shown, or a part of it: feet written for metres."""
    lengths = {code for code, each in _quantities(delivery).items() if each.unit == "m"}
    return _factor(delivery, limits, 1 / FOOT_M, delivery.entries["quantity"].isin(lengths))


def factor_of_ten(delivery: Delivery, limits: Limits) -> Findings:
    """Find values ten times what the station has shown, or a tenth: a mark before decimals left out."""
    return _factor(delivery, limits, 10.0, delivery.entries["value"].notna())


def factor_of_thousand(delivery: Delivery, limits: Limits) -> Findings:
    """Find values a thousand times what the station has shown, or a thousandth: another unit."""
    return _factor(delivery, limits, 1000.0, delivery.entries["value"].notna())


def part_above_whole(delivery: Delivery, limits: Limits) -> Findings:
    """Find parts that add up to more than their whole in the same sample, beyond both uncertainties."""
    entries = delivery.entries
    key = ["station_code", "taken_on", "stratum", "depth_m", "sample_type", "sample_code"]
    chosen = pd.Series(False, index=entries.index)
    wholes_of = pd.Series(np.nan, index=entries.index)
    usable = entries[(entries["sign"] == "=") & entries["value"].notna() & (entries["station_code"] != "")]
    for whole, parts in PARTS.items():
        wholes = usable[usable["quantity"] == whole].groupby(key, dropna=False)["value"].mean()
        of_parts = usable[usable["quantity"].isin(parts)]
        if of_parts.empty or wholes.empty:
            continue
        total = of_parts.groupby(key, dropna=False)["value"].transform("sum")
        compared = of_parts[key].merge(wholes.rename("whole").reset_index(), how="left", on=key)["whole"]
        compared = compared.set_axis(of_parts.index)
        found = total > compared * (1 + limits["share"])
        chosen[found.index[found]] = True
        wholes_of.loc[found.index] = compared
    return at_entries(entries, chosen, quantity=_names(delivery), value=_shown(delivery), whole=wholes_of)


def _oxygen(delivery: Delivery) -> pd.DataFrame:
    """Return oxygen, temperature and saturation of the same visit and depth, and the saturation computed."""
    entries = delivery.entries
    key = ["station_code", "taken_on", "taken_time", "depth_m"]
    values = entries[entries["value"].notna() & (entries["station_code"] != "")]
    frame = values[values["quantity"] == "dissolved_oxygen"][[*key, "value"]].rename(
        columns={"value": "oxygen"}
    )
    for code, name in (("water_temperature", "temperature"), ("oxygen_saturation", "stated")):
        other = values.loc[values["quantity"] == code, [*key, "value"]].drop_duplicates(key)
        merged = frame.merge(other.rename(columns={"value": name}), how="left", on=key)
        frame = merged.set_axis(frame.index)
    altitude = {code: delivery.lakes[s.lake_code].altitude_m for code, s in delivery.stations.items()}
    frame["altitude"] = frame["station_code"].map(altitude).astype("float64")
    sound = frame["temperature"].between(-0.5, 40) & frame["altitude"].between(-400, 5000)
    frame["computed"] = np.nan
    if sound.any():
        rows = frame[sound]
        computed = oxygen_saturation(rows["oxygen"], rows["temperature"], altitude_m=rows["altitude"])
        frame.loc[sound, "computed"] = computed
    return frame.reindex(entries.index)


def oxygen_above_saturation(delivery: Delivery, limits: Limits) -> Findings:
    """Find oxygen far above what the water holds in balance with air at its temperature and altitude."""
    found = _oxygen(delivery)
    chosen = found["computed"] > limits["percent"]
    return at_entries(delivery.entries, chosen, value=_shown(delivery), percent=found["computed"].round(0))


def oxygen_disagrees(delivery: Delivery, limits: Limits) -> Findings:
    """Find oxygen whose stated saturation is not that of its concentration, temperature and altitude."""
    found = _oxygen(delivery)
    chosen = (found["computed"] - found["stated"]).abs() > limits["points"]
    return at_entries(
        delivery.entries,
        chosen,
        value=_shown(delivery),
        computed=found["computed"].round(0),
        stated=found["stated"],
    )


_TABLE = "a part is never more than its whole (definition); the margin is common practice"

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
    Check("part_above_whole", "hold", _TABLE, part_above_whole, {"share": 0.2}),
    Check(
        "oxygen_above_saturation",
        "hold",
        "Benson & Krause 1984; the limit is common practice",
        oxygen_above_saturation,
        {"percent": 200.0},
    ),
    Check(
        "oxygen_disagrees",
        "note",
        "Benson & Krause 1984; the limit is common practice",
        oxygen_disagrees,
        {"points": 10.0},
    ),
)
