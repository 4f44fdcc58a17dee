"""Data sheet ↔ bottle ↔ filter ↔ laboratory: every sample code is followed to where else it stands."""

from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.concentrations import chlorophyll_entries
from explorer.intake.delivery import DELIVERED, Delivery, joined
from explorer.intake.lookups import iso_days, texts_by
from explorer.intake.sample_codes import sample_of
from explorer.intake.sample_matches import TWICE_ON_SHEETS, likely_partners
from explorer.model.problems import Problem

__all__ = ["NOT_ON_A_SHEET", "SHEET_WAITS", "reconcile"]

NOT_ON_A_SHEET = "sample_not_on_sheet"  # readings held for this wait until a data sheet names their sample
SHEET_WAITS = "sheet_row_waits"

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
        partners=likely_partners(containers),
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
        for each in (code, sample):  # the first sheet that tells it, as for the visit
            volumes.setdefault(each, float(volume))
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
        is_said = own != "" if DELIVERED[name] == "str" else ~pd.isna(own)
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
