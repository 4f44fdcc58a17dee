"""Checks of what a laboratory did together: duplicates, blanks, and then the whole batch."""

import numpy as np
import pandas as pd

from explorer.analysis.blanks import BLANKS
from explorer.analysis.duplicates import DUPLICATES, relative_percent_difference
from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_entries
from explorer.intake.lookups import iso_days
from explorer.intake.sample_codes import sample_of

__all__ = [
    "BATCH_CHECKS",
    "batch_shifted",
    "batch_with_blank",
    "blank_too_high",
    "duplicates_differ",
]

_TABLE_A1 = "California measurement quality objectives, table A1"


def _reporting_limits(entries: pd.DataFrame) -> pd.Series:
    """Return each reading's reporting limit, else its detection limit, else the largest "<" of its file."""
    limit = entries["reporting_limit"].where(entries["reporting_limit"].notna(), entries["detection_limit"])
    below = entries["value"].where(entries["sign"] == "<")
    of_file = below.groupby([entries["sha256"], entries["quantity"]]).transform("max")
    return limit.where(limit.notna(), of_file)


def _pairs(entries: pd.DataFrame) -> pd.DataFrame:
    """Return, by the index of each duplicate, its parent's value and sign."""
    asked = (entries["kind"] == "laboratory") & entries["value"].notna()
    duplicates = entries[asked & entries["sample_type"].isin(DUPLICATES)]
    parents = entries[asked & (entries["sample_type"] == "routine")]
    by_code = parents.assign(code=sample_of(parents["sample_code"]))
    by_code = by_code[by_code["code"] != ""].drop_duplicates(["code", "quantity"])
    parent = duplicates["parent_sample"].where(duplicates["parent_sample"] != "", duplicates["sample_code"])
    left = pd.DataFrame({"code": sample_of(parent.astype("str")), "quantity": duplicates["quantity"]})
    merged = left.merge(by_code[["code", "quantity", "value", "sign"]], how="left", on=["code", "quantity"])
    merged = merged.set_axis(duplicates.index)
    visit = ["station_code", "taken_on", "stratum", "quantity"]
    lacking = merged["value"].isna()
    if lacking.any():
        of_visit = parents[parents["station_code"] != ""].drop_duplicates(visit)[[*visit, "value", "sign"]]
        others = duplicates.loc[lacking, visit].merge(of_visit, how="left", on=visit)
        merged.loc[lacking, ["value", "sign"]] = others[["value", "sign"]].to_numpy()
    return merged[["value", "sign"]].reindex(entries.index)


def duplicates_differ(delivery: Delivery, limits: Limits) -> Findings:
    """Find duplicates that lie apart: by percent of their mean, near the limit by the limit itself."""
    entries = delivery.entries
    parent = _pairs(entries)
    value, other = entries["value"], parent["value"].astype("float64")
    limit = _reporting_limits(entries).fillna(0)
    near = (value < limit) | (other < limit) | (entries["sign"] == "<") | (parent["sign"] == "<")
    percent = pd.Series(relative_percent_difference(value, other), index=entries.index)
    apart = (percent > delivery.programme.quality.duplicate_limit_percent) & ~near
    apart |= near & ((value - other).abs() > limit)
    return at_entries(
        entries,
        apart & other.notna(),
        value=value,
        other=other,
        percent=percent.round(0),
        most=f"{delivery.programme.quality.duplicate_limit_percent:g}",
    )


def _batches(entries: pd.DataFrame) -> pd.Series:
    """Return what a laboratory did together: its batch, else file and day of analysis or receipt."""
    day = entries["analysed_on"].where(entries["analysed_on"].notna(), entries["received_on"])
    own = entries["sha256"] + " " + iso_days(day)
    return entries["batch"].where(entries["batch"] != "", own)


def _high_blanks(delivery: Delivery) -> pd.Series:
    """Return the value of every blank in which something was found, NaN elsewhere."""
    entries = delivery.entries
    limit = _reporting_limits(entries)
    if delivery.programme.quality.blank_limit == "detection_limit":
        limit = entries["detection_limit"].where(entries["detection_limit"].notna(), limit)
    is_blank = entries["sample_type"].isin(BLANKS) & (entries["kind"] == "laboratory")
    found = is_blank & (entries["sign"] == "=") & (entries["value"] >= limit)
    return entries["value"].where(found)


def blank_too_high(delivery: Delivery, limits: Limits) -> Findings:
    """Find blanks in which the laboratory found as much as it can report, or more."""
    entries, high = delivery.entries, _high_blanks(delivery)
    limit = _reporting_limits(entries)
    return at_entries(entries, high.notna(), value=high, limit=limit)


def batch_with_blank(delivery: Delivery, limits: Limits) -> Findings:
    """Find results of a batch whose blank was too high and makes up more than a tenth of them."""
    entries = delivery.entries
    highest = _high_blanks(delivery).groupby([_batches(entries), entries["quantity"]]).transform("max")
    routine = ~entries["sample_type"].isin([*BLANKS, "spike"]) & (entries["kind"] == "laboratory")
    chosen = routine & (entries["sign"] == "=") & (entries["value"] < limits["times"] * highest)
    return at_entries(entries, chosen, blank=highest, times=f"{limits['times']:g}")


def batch_shifted(delivery: Delivery, limits: Limits) -> Findings:
    """Find batches in which nearly every station lies on the same side of all that it has shown before."""
    entries = delivery.entries
    pairs = pd.MultiIndex.from_arrays([entries["station_code"], entries["quantity"]])
    usual = delivery.past.usual.reindex(pairs).set_axis(entries.index)
    asked = (
        (entries["kind"] == "laboratory") & (entries["sample_type"] == "routine") & entries["value"].notna()
    )
    asked &= usual["seasons"] >= limits["seasons"]
    side = np.sign(entries["value"] - usual["high"]).clip(0) - np.sign(usual["low"] - entries["value"]).clip(
        0
    )
    batch = [_batches(entries).where(asked), entries["quantity"]]
    share, stations = (
        side.groupby(batch).transform("mean"),
        entries["station_code"].groupby(batch).transform("nunique"),
    )
    chosen = asked & (stations >= limits["stations"]) & (share.abs() >= limits["share"])
    chosen &= ~pd.DataFrame({"batch": batch[0], "quantity": batch[1]})[chosen].duplicated().reindex(
        entries.index, fill_value=True
    )  # fmt: skip
    return at_entries(
        entries, chosen, stations=stations.fillna(0), side=np.where(share > 0, "above", "below")
    )


BATCH_CHECKS = (
    Check(
        "duplicates_differ",
        "note",
        f"{_TABLE_A1}; near the limit common practice",
        duplicates_differ,
        needs="laboratory",
    ),
    Check("blank_too_high", "note", _TABLE_A1, blank_too_high, needs="laboratory"),
    Check(
        "batch_with_blank",
        "hold",
        "ten times the blank: common practice",
        batch_with_blank,
        {"times": 10.0},
        needs="laboratory",
    ),
    Check(
        "batch_shifted",
        "note",
        COMMON_PRACTICE,
        batch_shifted,
        {"stations": 5.0, "share": 0.8, "seasons": 3.0},
        needs="laboratory",
    ),
)
