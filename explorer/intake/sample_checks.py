"""Checks of samples: codes that stand alone or twice, results once more, volumes."""

import numpy as np
import pandas as pd

from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_containers, at_entries, at_visits, number_texts
from explorer.intake.lookups import iso_days, looked_up, texts_by
from explorer.intake.reconcile import NOT_ON_A_SHEET, SHEET_WAITS
from explorer.intake.sample_codes import container_of
from explorer.intake.sample_matches import TWICE_ON_SHEETS

__all__ = [
    "SAMPLE_CHECKS",
    "code_likely",
    "container_left_out",
    "result_repeated",
    "result_twice",
    "sample_code_twice",
    "sample_missing",
    "sample_not_on_sheet",
    "sheet_row_waits",
    "sheet_says_otherwise",
    "sheets_tell_volumes",
    "volumes_differ",
    "volumes_do_not_add",
]

SAME_VOLUME_SHARE = 0.01
_PRIMARY = ("bottle", "filter")  # the second ones and the blanks are not filled on every visit


def _of_laboratory(delivery: Delivery) -> pd.Series:
    entries = delivery.entries
    chosen: pd.Series = entries["kind"] == "laboratory"
    return chosen


def _waiting_for(delivery: Delivery, reason: str) -> pd.Series:
    """Return which containers in a laboratory's files have results that wait for a reason, each code once."""
    entries, containers = delivery.entries, delivery.containers
    codes = set(entries.loc[_of_laboratory(delivery) & (entries["reason"] == reason), "sample_code"])
    chosen = (containers["kind"] == "laboratory") & containers["sample_code"].isin(codes - {""})
    once: pd.Series = chosen & ~containers[["sha256", "sample_code"]].where(chosen).duplicated()
    return once


def sample_not_on_sheet(delivery: Delivery, limits: Limits) -> Findings:
    """Find samples of a laboratory that no data sheet names, in these files or before."""
    containers = delivery.containers
    near = texts_by(containers["sample_code"], delivery.partners)
    chosen = _waiting_for(delivery, NOT_ON_A_SHEET)
    return at_containers(containers, chosen, delivery.entries, code=containers["sample_code"], near=near)


def sample_code_twice(delivery: Delivery, limits: Limits) -> Findings:
    """Find samples of a laboratory whose code stands on the sheets of several visits."""
    containers, placed = delivery.containers, delivery.placed

    def visits(found: pd.DataFrame) -> list[str]:
        return ["; ".join(placed.loc[placed["sample"] == each, "visit"].unique()) for each in found["sample"]]

    chosen = _waiting_for(delivery, TWICE_ON_SHEETS)
    return at_containers(containers, chosen, delivery.entries, code=containers["sample_code"], visits=visits)


def sheet_row_waits(delivery: Delivery, limits: Limits) -> Findings:
    """Find samples of a laboratory on a row of a sheet that itself waits for its station or date."""
    containers = delivery.containers
    chosen = _waiting_for(delivery, SHEET_WAITS)
    return at_containers(containers, chosen, delivery.entries, code=containers["sample_code"])


def sample_missing(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters of these sheets for which the laboratory's files have no result."""
    containers = delivery.containers
    results = delivery.entries[_of_laboratory(delivery)]
    if results.empty:
        return at_containers(containers, np.zeros(len(containers), dtype=bool))
    reported = (set(container_of(results["sample_code"])) & set(_PRIMARY)) | {"sample"}
    known, samples = set(results["sample_code"]), set(results["sample"])
    own = (containers["kind"] == "data_sheet") & ~containers["of_record"] & (containers["sample_code"] != "")
    by_sample = containers["container"] == "sample"
    there = containers["sample_code"].isin(known) | (containers["sample"].isin(samples) & by_sample)
    late = containers["taken_on"] > results["taken_on"].max()  # those are still on their way
    chosen = own & containers["container"].isin(reported) & ~there & ~late
    return at_containers(containers, chosen, code=containers["sample_code"])


def code_likely(delivery: Delivery, limits: Limits) -> Findings:
    """Find codes that cannot be read and are one slip away from one that their kind of file lacks."""
    containers = delivery.containers
    unread = (containers["sample_code"] == "") & (containers["as_written"] != "")
    likely = texts_by(containers["as_written"], delivery.partners)
    return at_containers(containers, unread & (likely != ""), near=likely)


def container_left_out(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters in the freezer or the laboratory that their row of the sheet leaves out."""
    containers = delivery.containers
    key = ["sha256", "sheet", "row"]
    sheets = containers[(containers["kind"] == "data_sheet") & ~containers["of_record"]]
    row_of_sample = delivery.placed[["sample", *key]].drop_duplicates("sample").set_index("sample")
    sha256 = texts_by(containers["sample"], row_of_sample["sha256"].to_dict())
    of_row = sheets[[*key, "container"]].merge(row_of_sample.reset_index(), on=key)
    named = set(of_row["sample"] + " " + of_row["container"])
    columns = set(sheets["sha256"] + " " + sheets["container"])
    kind = container_of(containers["sample_code"])
    elsewhere = containers["kind"].isin(["freezer_log", "laboratory"]) & kind.isin(_PRIMARY)
    missing = elsewhere & (sha256 + " " + kind).isin(columns)
    missing &= ~(containers["sample"] + " " + kind).isin(named)
    missing &= ~containers["sample_code"].where(missing).duplicated()
    return at_containers(containers, missing, code=containers["sample_code"], container=kind)


def _same_results(delivery: Delivery) -> tuple[pd.DataFrame, list[str]]:
    key = ["sample_code", "quantity", "sample_type", "method"]
    entries = delivery.entries
    asked = _of_laboratory(delivery) & (entries["sample_code"] != "") & entries["value"].notna()
    asked &= ~entries["sample_type"].isin(["lab duplicate", "spike"])
    return entries[asked], key


def result_repeated(delivery: Delivery, limits: Limits) -> Findings:
    """Find results that stand twice with the same value for the same sample."""
    rows, key = _same_results(delivery)
    again = rows.duplicated([*key, "value", "sign"]).reindex(delivery.entries.index, fill_value=False)
    return at_entries(delivery.entries, again, code=delivery.entries["sample_code"])


def result_twice(delivery: Delivery, limits: Limits) -> Findings:
    """Find a sample with two different results of one quantity: two bottles, or a correction."""
    rows, key = _same_results(delivery)
    once = rows.drop_duplicates([*key, "value", "sign"])
    differ = once[once.duplicated(key, keep=False)]
    chosen = pd.Series(False, index=delivery.entries.index)
    chosen[differ.index] = True
    return at_entries(delivery.entries, chosen, code=delivery.entries["sample_code"])


def volumes_do_not_add(delivery: Delivery, limits: Limits) -> Findings:
    """Find sheets on which poured and topped-up volumes do not add up to the total."""
    visits = delivery.visits
    parts = visits["volume_poured_ml"] + visits["volume_topped_up_ml"].fillna(0)
    total = visits["volume_filtered_ml"]
    chosen = (parts - total).abs() > limits["share"] * total
    placed = delivery.placed
    key = ["sha256", "sheet", "row"]
    rows = placed.merge(visits.loc[chosen, key], on=key)
    filters = rows["container"].str.contains("filter") | (rows["container"] == "sample")
    samples = set(rows.loc[filters, "sample"])
    entries = delivery.entries
    depends = entries["sample"].isin(samples) & entries["volume_filtered_ml"].notna()
    found = at_visits(visits, chosen, parts=parts, total=total)
    return Findings(found.places, found.values, np.flatnonzero(depends).astype(np.int64))


def _volumes_on_sheets(delivery: Delivery, share: float) -> pd.Series:
    """Return, by sample, the volumes that data sheets tell, where they do not tell one: "400 mL, 500 mL"."""
    placed = delivery.placed
    said = placed[placed["volume_filtered_ml"].notna()].drop_duplicates(["sample", "volume_filtered_ml"])
    by_sample = said.groupby("sample")["volume_filtered_ml"]
    differ = by_sample.max() - by_sample.min() > share * by_sample.max()
    chosen = said[said["sample"].isin(differ.index[differ])].sort_values("volume_filtered_ml")
    texts: pd.Series = chosen.groupby("sample")["volume_filtered_ml"].agg(
        lambda volumes: ", ".join(f"{each} mL" for each in number_texts(volumes))
    )
    return texts


def sheets_tell_volumes(delivery: Delivery, limits: Limits) -> Findings:
    """Find filters for which several data sheets tell different total volumes."""
    volumes = _volumes_on_sheets(delivery, limits["share"])
    containers, entries = delivery.containers, delivery.entries
    own = (containers["kind"] == "data_sheet") & ~containers["of_record"]
    filters = containers["container"].str.contains("filter") | (containers["container"] == "sample")
    chosen = own & filters & containers["sample"].isin(volumes.index)
    depends = entries["sample"].isin(volumes.index) & entries["volume_filtered_ml"].notna()
    shown = texts_by(containers["sample"], volumes.to_dict())
    found = at_containers(containers, chosen, volumes=shown)
    return Findings(found.places, found.values, np.flatnonzero(depends).astype(np.int64))


def volumes_differ(delivery: Delivery, limits: Limits) -> Findings:
    """Find concentrations that the laboratory computed with another volume than the sheet's total."""
    entries, placed = delivery.entries, delivery.placed
    said = placed[placed["volume_filtered_ml"].notna()]
    volumes = said.drop_duplicates("sample").set_index("sample")["volume_filtered_ml"]
    sheet = looked_up(entries["sample"], volumes)
    told = entries["told_volume_ml"]
    chosen = (
        _of_laboratory(delivery)
        & ((sheet - told).abs() > SAME_VOLUME_SHARE * sheet)
        & (entries["reason"] == "")
        & ~entries["sample"].isin(_volumes_on_sheets(delivery, SAME_VOLUME_SHARE).index)
    )
    return at_entries(
        entries,
        chosen,
        sheet=lambda found: [f"{each} mL" for each in number_texts(sheet[found.index])],
        told=lambda found: [f"{each} mL" for each in number_texts(told[found.index])],
    )


def sheet_says_otherwise(delivery: Delivery, limits: Limits) -> Findings:
    """Find results for which the laboratory states another station or date than the sheet of the sample."""
    entries = delivery.entries
    placed = delivery.placed.drop_duplicates("sample").set_index("sample")
    sample = entries["sample"]
    station, day = texts_by(sample, placed["station_code"].to_dict()), looked_up(sample, placed["taken_on"])
    other = (station != "") & (entries["station_code"] != "") & (station != entries["station_code"])
    other |= day.notna() & entries["taken_on"].notna() & (day != entries["taken_on"])
    shown = station + " " + iso_days(day)
    return at_entries(entries, _of_laboratory(delivery) & (entries["matched"] != "") & other, sheet=shown)


SAMPLE_CHECKS = (
    Check("sample_not_on_sheet", "hold", COMMON_PRACTICE, sample_not_on_sheet, needs="laboratory"),
    Check("sample_code_twice", "hold", COMMON_PRACTICE, sample_code_twice, needs="laboratory"),
    Check("sheet_row_waits", "hold", COMMON_PRACTICE, sheet_row_waits, needs="laboratory"),
    Check("sample_missing", "note", COMMON_PRACTICE, sample_missing, needs="laboratory"),
    Check("code_likely", "note", "ISO/IEC 7064, MOD 11,10: one slip never fits", code_likely),
    Check("container_left_out", "note", COMMON_PRACTICE, container_left_out),
    Check("result_repeated", "refuse", COMMON_PRACTICE, result_repeated, needs="laboratory"),
    Check("result_twice", "hold", COMMON_PRACTICE, result_twice, needs="laboratory"),
    Check(
        "volumes_do_not_add",
        "hold",
        "the total is the sum of its parts (definition)",
        volumes_do_not_add,
        {"share": 0.01},
        needs="data_sheet",
    ),
    Check(
        "sheets_tell_volumes",
        "hold",
        "the result changes in proportion (definition)",
        sheets_tell_volumes,
        {"share": SAME_VOLUME_SHARE},
        needs="data_sheet",
    ),
    Check(
        "volumes_differ",
        "hold",
        "the result changes in proportion (definition)",
        volumes_differ,
        needs="laboratory",
    ),
    Check("sheet_says_otherwise", "hold", COMMON_PRACTICE, sheet_says_otherwise, needs="laboratory"),
)
