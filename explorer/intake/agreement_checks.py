"""Checks of readings of one visit against one another: parts and their whole, oxygen and its saturation."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from explorer.analysis.oxygen import oxygen_saturation
from explorer.intake.check import Check, Limits, once_a_delivery
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_entries
from explorer.intake.reading_texts import quantity_names, values_shown

__all__ = ["AGREEMENT_CHECKS", "oxygen_above_saturation", "oxygen_disagrees", "part_above_whole"]

# A part and the whole that it belongs to; several parts of one whole are added up.
PARTS: Mapping[str, tuple[str, ...]] = {
    "total_phosphorus": ("orthophosphate",),
    "total_nitrogen": ("nitrate_nitrite", "ammonia"),
}


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
    return at_entries(
        entries, chosen, quantity=quantity_names(delivery), value=values_shown(delivery), whole=wholes_of
    )


@once_a_delivery
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
    return at_entries(
        delivery.entries, chosen, value=values_shown(delivery), percent=found["computed"].round(0)
    )


def oxygen_disagrees(delivery: Delivery, limits: Limits) -> Findings:
    """Find oxygen whose stated saturation is not that of its concentration, temperature and altitude."""
    found = _oxygen(delivery)
    chosen = (found["computed"] - found["stated"]).abs() > limits["points"]
    return at_entries(
        delivery.entries,
        chosen,
        value=values_shown(delivery),
        computed=found["computed"].round(0),
        stated=found["stated"],
    )


_TABLE = "a part is never more than its whole (definition); the margin is common practice"

AGREEMENT_CHECKS = (
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
