"""Checks of how samples were kept: on ice, in the freezer, and for how long before the analysis."""

import re

import pandas as pd

from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_containers, at_entries, at_visits
from explorer.intake.lookups import looked_up, texts_by
from explorer.intake.visits import NOT_ON_ICE
from explorer.records.cells import read_each

__all__ = [
    "KEEPING_CHECKS",
    "freezer_unknown",
    "freezer_warm",
    "frozen_before_taken",
    "frozen_late",
    "holding_time_exceeded",
    "iced_late",
    "not_iced",
    "not_in_freezer_log",
]


_TIME = re.compile(r"(\d{1,2}):(\d{2})")


def _minutes(times: pd.Series) -> pd.Series:
    minutes = read_each(times.fillna("").tolist(), _minute)
    return pd.Series(minutes, index=times.index, dtype="float64")


def _minute(time: str) -> float:
    match = _TIME.fullmatch(time)
    return 60.0 * int(match[1]) + int(match[2]) if match else float("nan")


def _not_soon_frozen(delivery: Delivery, chosen: pd.Series, minutes: float) -> pd.Series:
    """Return which of the chosen visits' samples were not soon in the freezer, by the sheet or by its log."""
    visits = delivery.visits[chosen]
    key = ["sha256", "sheet", "row"]
    samples = delivery.placed[[*key, "sample"]].drop_duplicates()
    log = delivery.containers[delivery.containers["kind"] == "freezer_log"]
    logged = samples.merge(log[["sample", "frozen_on", "frozen_time"]], on="sample")[
        [*key, "frozen_on", "frozen_time"]
    ]
    said = pd.concat([visits[[*key, "frozen_on", "frozen_time"]], logged])
    times = visits[[*key, "taken_on", "taken_time"]].reset_index().merge(said, how="left", on=key)
    same_day = times["frozen_on"].isna() | (times["frozen_on"] == times["taken_on"])
    passed = _minutes(times["frozen_time"]) - _minutes(times["taken_time"])
    soon = set(times.loc[same_day & passed.between(0, minutes), "index"])
    return chosen & ~delivery.visits.index.isin(list(soon))


def iced_late(delivery: Delivery, limits: Limits) -> Findings:
    """Find samples that went on ice late, unless they were in the freezer before."""
    visits, most = delivery.visits, limits["minutes"]
    passed = _minutes(visits["on_ice_time"]) - _minutes(visits["taken_time"])
    chosen = _not_soon_frozen(delivery, passed > most, most)
    return at_visits(visits, chosen, minutes=passed.fillna(0), most=f"{most:g}")


def not_iced(delivery: Delivery, limits: Limits) -> Findings:
    """Find samples that did not go on ice, unless they were in the freezer soon."""
    visits, most = delivery.visits, limits["minutes"]
    chosen = _not_soon_frozen(delivery, visits["on_ice_time"] == NOT_ON_ICE, most)
    return at_visits(visits, chosen, most=f"{most:g}")


def not_in_freezer_log(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters that the freezer log lacks although the other one of their sample is in it."""
    containers = delivery.containers
    log = containers[containers["kind"] == "freezer_log"]
    logged, samples = set(log["sample_code"]), set(log["sample"]) - {""}
    known = containers[(containers["kind"] != "freezer_log") & containers["sample_code"].str.contains("-")]
    chosen = pd.Series(False, index=containers.index)
    lacking = known[~known["sample_code"].isin(logged) & known["sample"].isin(samples)]
    chosen[lacking.drop_duplicates("sample_code").index] = True
    return at_containers(containers, chosen, code=containers["sample_code"])


def freezer_unknown(delivery: Delivery, limits: Limits) -> Findings:
    """Find containers in the freezer log that no data sheet names."""
    containers = delivery.containers
    on_sheets = set(delivery.placed["sample"])
    chosen = (containers["kind"] == "freezer_log") & ~containers["of_record"]
    chosen &= ~containers["sample"].isin(on_sheets | {""})
    return at_containers(
        containers, chosen & ("data_sheet" in delivery.kinds), code=containers["sample_code"]
    )


def _freezer_rows(delivery: Delivery) -> pd.DataFrame:
    """Return the containers with a date of freezing and the day on which their sample was taken."""
    containers = delivery.containers
    placed = delivery.placed.drop_duplicates("sample").set_index("sample")["taken_on"]
    taken = looked_up(containers["sample"], placed)
    return containers.assign(days=(containers["frozen_on"] - taken).dt.days)


def frozen_late(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters that went into the freezer days after the visit."""
    rows = _freezer_rows(delivery)
    chosen = (rows["days"] > limits["days"]) & ~rows["of_record"]
    return at_containers(
        rows, chosen, delivery.entries, code=rows["sample_code"], days=rows["days"].fillna(0)
    )


def frozen_before_taken(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters that went into the freezer before the day of the visit."""
    rows = _freezer_rows(delivery)
    return at_containers(rows, (rows["days"] < 0) & ~rows["of_record"], code=rows["sample_code"])


def freezer_warm(delivery: Delivery, limits: Limits) -> Findings:
    """Find bottles and filters in a freezer that was not cold enough."""
    containers = delivery.containers
    warm = containers["freezer_temperature_degc"] > limits["degc"]
    shown = containers["freezer_temperature_degc"]
    return at_containers(
        containers, warm & ~containers["of_record"], code=containers["sample_code"], degrees=shown
    )


def holding_time_exceeded(delivery: Delivery, limits: Limits) -> Findings:
    """Find results of samples that were kept longer than the published or planned limit."""
    entries, rules = delivery.entries, delivery.programme.quality
    known = {code: rules.holding_time(code) for code in entries["quantity"].unique()}
    days = (
        entries["quantity"].map({code: each.days for code, each in known.items() if each}).astype("float64")
    )
    source = texts_by(entries["quantity"], {code: each.source for code, each in known.items() if each})
    kept = (entries["analysed_on"] - entries["taken_on"]).dt.days
    return at_entries(
        entries,
        (kept > days) & (entries["kind"] == "laboratory"),
        kept=kept.fillna(0),
        most=days.fillna(0),
        source=source,
    )


KEEPING_CHECKS = (
    Check(
        "not_iced",
        "note",
        "a quarter of an hour without ice (common practice)",
        not_iced,
        {"minutes": 15.0},
        needs="data_sheet",
    ),
    Check(
        "iced_late",
        "note",
        "a quarter of an hour without ice (common practice)",
        iced_late,
        {"minutes": 15.0},
    ),
    Check("not_in_freezer_log", "note", COMMON_PRACTICE, not_in_freezer_log, needs="freezer_log"),
    Check("freezer_unknown", "note", COMMON_PRACTICE, freezer_unknown, needs="freezer_log"),
    Check(
        "frozen_late",
        "hold",
        "frozen on the day of the visit or the next (common practice)",
        frozen_late,
        {"days": 1.0},
        needs="freezer_log",
    ),
    Check(
        "frozen_before_taken",
        "note",
        "nothing is frozen before it is taken (definition)",
        frozen_before_taken,
        needs="freezer_log",
    ),
    Check(
        "freezer_warm",
        "note",
        "-20 °C and colder: US EPA method 447.0; the margin is common practice",
        freezer_warm,
        {"degc": -15.0},
        needs="freezer_log",
    ),
    Check(
        "holding_time_exceeded",
        "hold",
        "40 CFR 136.3, table II; US EPA methods 445.0 to 447.0; else the programme's plan",
        holding_time_exceeded,
        needs="laboratory",
    ),
)
