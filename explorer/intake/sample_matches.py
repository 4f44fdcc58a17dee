"""Where every sample code of a delivery stands, and what one that stands alone is likely to be."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from explorer.intake.delivery import Delivery, joined
from explorer.intake.lookups import looked_up, texts_by
from explorer.intake.near_codes import likely_codes
from explorer.intake.sample_codes import container_of, sample_of

__all__ = ["MATCHES", "TWICE_ON_SHEETS", "likely_partners", "match_table"]

TWICE_ON_SHEETS = "sample_code_twice"

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


def likely_partners(containers: pd.DataFrame) -> dict[str, str]:
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
