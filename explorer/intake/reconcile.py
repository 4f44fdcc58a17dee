"""Data sheet ↔ bottle ↔ filter ↔ laboratory: every sample code is followed to where else it stands."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.concentrations import chlorophyll_entries
from explorer.intake.delivery import (
    DELIVERED,
    Delivery,
    container_of,
    iso_days,
    joined,
    looked_up,
    sample_of,
    texts_by,
)
from explorer.intake.near_codes import likely_codes
from explorer.model.problems import Problem

__all__ = [
    "MATCHES",
    "NOT_ON_A_SHEET",
    "SHEET_WAITS",
    "TWICE_ON_SHEETS",
    "match_table",
    "reconcile",
]

NOT_ON_A_SHEET = "sample_not_on_sheet"  # readings held for this wait until a data sheet names their sample
TWICE_ON_SHEETS = "sample_code_twice"
SHEET_WAITS = "sheet_row_waits"

MATCHES: Mapping[str, str] = {
    "code": "str",  # as read, else as written
    "sample": "str",
    "container": "str",
    "station_code": "str",
    "taken_on": "datetime64[ms]",
    "on_sheet": "str",  # file and row
    "in_freezer": "str",
    "at_laboratory": "str",
    "outcome": "str",  # matched, missing, extra, twice, unread
    "near": "str",  # the likely partner
}

_BLANKS = dict.fromkeys(("blank bottle", "blank filter", "blank sample"), "field blank")
_FROM_VISIT = ("station_code", "taken_on", "taken_time", "observer", "weather", "remark", "bottom_depth_m")


def _placed(containers: pd.DataFrame) -> pd.DataFrame:
    """Return the bottles and filters that a data sheet names and whose code can be read."""
    placed = containers[(containers["kind"] == "data_sheet") & (containers["sample_code"] != "")].copy()
    day = iso_days(placed["taken_on"])
    is_known = (placed["station_code"] != "") & (day != "")
    own_row = placed["sha256"] + placed["sheet"] + placed["row"].astype(str)
    placed["visit"] = (placed["station_code"] + " " + day).where(is_known, own_row)
    settled = placed["sample"].isin(set(placed.loc[is_known, "sample"]))
    return placed[is_known | ~settled]  # a row that waits says nothing where another sheet tells the visit


def reconcile(delivery: Delivery) -> tuple[Delivery, tuple[Problem, ...]]:
    """Give every result of a laboratory the station, date and volume of its sample's data sheet.

    Parameters
    ----------
    delivery : Delivery
        With what the record knows among its containers.

    Returns
    -------
    delivery : Delivery
        Entries with their visits; concentrations computed from extracts added; `reason` says why one waits.
    problems : tuple of Problem
        What the extracts' readings give reason to ask.
    """
    containers = delivery.containers.assign(sample=sample_of(delivery.containers["sample_code"]))
    placed = _placed(containers)
    computed, problems = _computed(delivery, placed)
    entries = joined([delivery.entries, *computed], DELIVERED)
    entries = entries.assign(sample=sample_of(entries["sample_code"]))
    found = replace(
        delivery,
        containers=containers,
        placed=placed,
        partners=_likely_partners(containers),
        entries=_joined_by_code(entries, placed, delivery),
        kinds=delivery.kinds | set(entries["kind"].unique()) | set(containers["kind"].unique()),
    )
    return found, problems


def _computed(delivery: Delivery, placed: pd.DataFrame) -> tuple[list[pd.DataFrame], tuple[Problem, ...]]:
    """Return the concentrations of all extracts, computed with the volumes on the sheets."""
    volumes: dict[str, float] = {}
    said = placed[placed["volume_filtered_ml"].notna()]
    for code, sample, volume in zip(
        said["sample_code"], said["sample"], said["volume_filtered_ml"], strict=True
    ):
        volumes[code] = volumes[sample] = float(volume)
    frames: list[pd.DataFrame] = []
    problems: list[Problem] = []
    for rows in delivery.tables:
        if len(rows.extracts):
            entries, found = chlorophyll_entries(rows, volumes, delivery.programme.quality.extract_limits)
            frames.append(entries.assign(kind="laboratory"))
            problems.extend(found)
    return frames, tuple(problems)


def _joined_by_code(entries: pd.DataFrame, placed: pd.DataFrame, delivery: Delivery) -> pd.DataFrame:
    entries = entries.assign(told_volume_ml=entries["volume_filtered_ml"])
    sample = entries["sample"]
    asked = ((entries["kind"] == "laboratory") & (entries["sample_code"] != "")).to_numpy()
    codes = _single(placed, "sample_code")
    samples = _single(placed[~placed["container"].isin(list(_BLANKS))], "sample")
    by_code = entries["sample_code"].map(codes["place"])
    by_sample = sample.map(samples["place"])
    place = by_code.fillna(by_sample).where(asked)
    twice = entries["sample_code"].map(codes["visits"]).fillna(sample.map(samples["visits"])).fillna(0) > 1
    found = (place.notna() & ~twice).to_numpy()
    entries["matched"] = np.where(found, np.where(by_code.notna(), "code", "sample"), "")
    of_sheet = placed.loc[place[found].astype("int64")]
    visits = _visit_values(of_sheet, delivery)
    for name in _FROM_VISIT:
        column = entries[name].to_numpy(copy=True)
        own = column[found]
        is_said = own != "" if entries[name].dtype == "str" else ~pd.isna(own)
        column[found] = np.where(is_said, own, visits[name].to_numpy())
        entries[name] = pd.Series(column, index=entries.index).astype(DELIVERED[name])  # type: ignore[call-overload]
    _take_over(entries, found, of_sheet)
    extra = asked & ~found & ~twice.to_numpy() & (entries["station_code"] == "").to_numpy()
    waits = found & ((entries["station_code"] == "") | entries["taken_on"].isna()).to_numpy()
    entries.loc[waits, "station_code"] = ""  # half a place is none: it waits as a whole
    entries.loc[waits, "taken_on"] = pd.NaT
    for chosen, code in (
        (extra, NOT_ON_A_SHEET),
        (asked & twice.to_numpy(), TWICE_ON_SHEETS),
        (waits, SHEET_WAITS),
    ):
        _hold(entries, chosen, code)
    return entries


def _single(placed: pd.DataFrame, name: str) -> pd.DataFrame:
    """Return, by code or by sample, a row of the containers and of how many visits they are."""
    first = placed.drop_duplicates(name)
    visits = placed.drop_duplicates([name, "visit"])[name].value_counts()
    table = pd.DataFrame(
        {"place": first.index.to_numpy(dtype=np.float64)}, index=pd.Index(first[name], dtype=object)
    )
    table["visits"] = visits.reindex(table.index).to_numpy(dtype=np.float64)
    return table


def _visit_values(of_sheet: pd.DataFrame, delivery: Delivery) -> pd.DataFrame:
    """Return what a sheet says of the visit of each row; of an earlier one only station, date, observer."""
    key = ["sha256", "sheet", "row"]
    visits = delivery.visits[[*key, "taken_time", "weather", "remark", "bottom_depth_m"]].drop_duplicates(key)
    left = of_sheet[[*key, "station_code", "taken_on", "observer"]]
    return left.merge(visits, how="left", on=key).fillna({"taken_time": "", "weather": "", "remark": ""})


def _take_over(entries: pd.DataFrame, found: Any, of_sheet: pd.DataFrame) -> None:
    """Take depth, stratum, volume and kind of sample over from the sheet."""
    for name in ("depth_m", "stratum", "volume_filtered_ml"):
        own, said = entries.loc[found, name].to_numpy(), of_sheet[name].to_numpy()
        is_said = (said != "") if name == "stratum" else ~np.isnan(said.astype(float))
        entries.loc[found, name] = np.where(is_said, said, own)
    kind = texts_by(of_sheet["container"], _BLANKS).to_numpy()
    own = entries.loc[found, "sample_type"].to_numpy()
    entries.loc[found, "sample_type"] = np.where((kind != "") & (own == "routine"), kind, own)
    entries["stratum"] = entries["stratum"].where(entries["stratum"] != "", "surface")


def _hold(entries: pd.DataFrame, chosen: Any, code: str) -> None:
    fresh = chosen & (entries["reason"] == "").to_numpy()
    entries.loc[chosen, "status"] = "held"
    entries.loc[fresh, "reason"] = code


def match_table(delivery: Delivery) -> pd.DataFrame:
    """Return where every sample code of a delivery stands, and the likely partner of one that stands alone.

    Parameters
    ----------
    delivery : Delivery
        Reconciled.

    Returns
    -------
    DataFrame
        Columns of `MATCHES`, one row a code; sorted.
    """
    containers = delivery.containers
    results = delivery.entries[delivery.entries["kind"] == "laboratory"]
    parts = [
        _named(containers[containers["kind"] == "data_sheet"], "on_sheet"),
        _named(containers[containers["kind"] == "freezer_log"], "in_freezer"),
        _named(containers[containers["kind"] == "laboratory"], "at_laboratory"),
    ]
    table = parts[0].merge(parts[1], how="outer", on="code").merge(parts[2], how="outer", on="code")
    table = table.fillna(dict.fromkeys(("on_sheet", "in_freezer", "at_laboratory"), ""))
    table["sample"] = sample_of(table["code"].astype("str"))
    table["container"] = container_of(table["code"].astype("str")).replace("", "sample")
    placed = delivery.placed.drop_duplicates("sample").set_index("sample")
    table["station_code"] = texts_by(table["sample"], placed["station_code"].to_dict())
    table["taken_on"] = looked_up(table["sample"], placed["taken_on"])
    unread = set(containers.loc[containers["sample_code"] == "", "as_written"])
    on_sheets = set(placed.index)
    elsewhere = set(containers.loc[containers["kind"] != "data_sheet", "sample"])
    twice = set(results.loc[results["reason"] == TWICE_ON_SHEETS, "sample_code"])
    is_unread = table["code"].isin(unread) & ~table["sample"].isin(on_sheets)
    extra = ~table["sample"].isin(on_sheets)
    alone = (table["in_freezer"] == "") & (table["at_laboratory"] == "")
    alone &= ~((table["container"] == "sample") & table["sample"].isin(elsewhere))
    table["outcome"] = np.select(
        [is_unread, table["code"].isin(twice), extra, alone],
        ["unread", "twice", "extra", "missing"],
        "matched",
    )
    table["near"] = texts_by(table["code"], delivery.partners)
    return joined([table.sort_values("code", kind="stable")], dict(MATCHES))


def _likely_partners(containers: pd.DataFrame) -> dict[str, str]:
    """Return what a code that fits nothing is likely to be: one that its own kind of file lacks.

    Parameters
    ----------
    containers : DataFrame
        Columns of `DELIVERED_CONTAINERS`.

    Returns
    -------
    dict of str to str
        Likely code by the code as written; for one that can be read but is on no sheet, the text on a sheet
        that cannot be read and is near it.
    """
    unread = (containers["sample_code"] == "") & (containers["as_written"] != "")
    code = containers["sample_code"]
    near: dict[str, str] = {}
    sample = containers["sample"]
    on_sheets = set(sample[(containers["kind"] == "data_sheet") & ~unread])
    for kind in ("data_sheet", "freezer_log", "laboratory"):
        own = containers["kind"] == kind
        if (own & unread).any():
            bare = (code == sample) & sample.isin(set(sample[own]))
            lacking = code[~own & ~unread & ~bare & ~code.isin(set(code[own]))]
            near.update(likely_codes(containers.loc[own & unread, "as_written"], lacking))
    extra = ~unread & (containers["kind"] != "data_sheet") & ~sample.isin(on_sheets)
    of_sheets = containers.loc[unread & (containers["kind"] == "data_sheet"), "as_written"]
    if len(of_sheets):
        near.update(likely_codes(code[extra], of_sheets))
    return near


def _named(containers: pd.DataFrame, name: str) -> pd.DataFrame:
    """Return file and row by code, of one that cannot be read by its text."""
    code = containers["sample_code"].where(containers["sample_code"] != "", containers["as_written"])
    where = containers["file_name"] + ", " + containers["row"].astype(str)
    frame = pd.DataFrame({"code": code.astype(object), name: where.astype(object)})
    several = frame["code"].duplicated(keep=False)
    joint = frame[several].groupby("code", sort=False)[name].agg("; ".join).reset_index()
    return pd.concat([frame[~several], joint], ignore_index=True)
