"""Checks of who read, and with what: training, line, probe, sunglasses, one observer against others."""

import numpy as np
import pandas as pd

from explorer.intake.check import COMMON_PRACTICE, Check, Limits
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_entries, at_visits
from explorer.records.cells import read_flags

__all__ = [
    "OBSERVER_CHECKS",
    "calibration_old",
    "line_check_old",
    "observer_differs",
    "observer_new",
    "probe_off_in_air",
    "sunglasses_worn",
    "training_old",
]

FULL_PERCENT = 100.0  # of saturation, in air full of moisture


def sunglasses_worn(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits whose sheet says that the disk was read with sunglasses on."""
    worn = read_flags(delivery.visits["sunglasses"].tolist())[0]
    return at_visits(delivery.visits, worn)


def observer_new(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits by somebody who has not read at this station before, where others have."""
    visits, before = delivery.visits, delivery.past.observers
    stations = {station for station, _ in before}
    pairs = list(zip(visits["station_code"].tolist(), visits["observer"].tolist(), strict=True))
    new = [
        station in stations and observer != "" and (station, observer) not in before
        for station, observer in pairs
    ]
    first = ~pd.DataFrame(pairs, columns=["station", "observer"]).duplicated().to_numpy()
    return at_visits(
        visits, np.array(new, dtype=bool) & first, observer=visits["observer"], station=visits["station_code"]
    )


def observer_differs(delivery: Delivery, limits: Limits) -> Findings:
    """Find an observer who reads otherwise than others on shared days at the same stations."""
    entries = delivery.entries
    columns = ["station_code", "quantity", "taken_on", "stratum", "observer", "value", "sign"]
    own = entries.loc[entries["kind"] == "data_sheet", columns]
    rows = pd.concat([own, delivery.past.standing[columns]]).drop_duplicates(columns[:5])
    rows = rows[(rows["observer"] != "") & (rows["sign"] == "=") & (rows["value"] > 0)]
    rows = rows[(rows["quantity"] == "secchi_depth") & (rows["station_code"] != "")]
    day = ["station_code", "taken_on", "stratum"]
    logs = np.log(rows["value"])
    total, count = (logs.groupby([rows[each] for each in day]).transform(how) for how in ("sum", "count"))
    shared = count > 1
    apart = (logs - (total - logs) / (count - 1).where(shared))[shared]
    by_observer = apart.groupby(rows.loc[shared, "observer"])
    ratio, days = np.exp(by_observer.median()), by_observer.count()
    most = 1 + limits["percent"] / 100
    odd = ratio[(days >= limits["days"]) & ((ratio > most) | (ratio < 1 / most))]
    chosen = entries["observer"].isin(odd.index) & (entries["quantity"] == "secchi_depth")
    chosen &= ~entries["observer"].where(chosen).duplicated()
    return at_entries(
        entries,
        chosen,
        observer=entries["observer"],
        days=entries["observer"].map(days).fillna(0),
        ratio=lambda found: [f"{ratio[each]:.2f}" for each in found["observer"]],
    )


def _older(delivery: Delivery, name: str, days: float, **values: pd.Series) -> Findings:
    """Find visits that lie longer after a date on their sheet than they may."""
    visits = delivery.visits
    when = pd.to_datetime(
        visits[name].where(visits[name].str.fullmatch(r"\d{4}-\d{2}-\d{2}")), errors="coerce"
    )
    passed = (visits["taken_on"] - when).dt.days
    return at_visits(visits, passed > days, None, days=passed.fillna(0), most=f"{days:g}", **values)


def training_old(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits whose observer was trained longer ago than the programme wants."""
    return _older(delivery, "trained_on", limits["days"], observer=delivery.visits["observer"])


def line_check_old(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits whose disk line was checked against a tape longer ago than the programme wants."""
    return _older(delivery, "line_checked_on", limits["days"])


def calibration_old(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits whose probe was calibrated longer ago than the programme wants."""
    return _older(delivery, "calibrated_on", limits["days"])


def probe_off_in_air(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits whose probe, in air that is full of moisture, read otherwise than 100 % of saturation."""
    read = delivery.visits[["air_check_before_percent", "air_check_after_percent"]]
    off = ((read - FULL_PERCENT).abs() > limits["percent"]).any(axis=1)
    before, after = (read[name].map("{:.4g}".format).replace("nan", "–") for name in read)
    return at_visits(delivery.visits, off, None, before=before, after=after, most=f"{limits['percent']:g}")


OBSERVER_CHECKS = (
    Check(
        "sunglasses_worn",
        "note",
        "the disk is read without them (common practice)",
        sunglasses_worn,
        needs="data_sheet",
    ),
    Check("observer_new", "note", COMMON_PRACTICE, observer_new, needs="data_sheet"),
    Check(
        "observer_differs",
        "note",
        COMMON_PRACTICE,
        observer_differs,
        {"percent": 20.0, "days": 4.0},
        needs="data_sheet",
    ),
    Check("training_old", "note", "training once a year (common practice)", training_old, {"days": 366.0}),
    Check(
        "line_check_old",
        "note",
        "a line is checked once a year (common practice)",
        line_check_old,
        {"days": 366.0},
    ),
    Check(
        "calibration_old",
        "note",
        "a probe is calibrated on the day (common practice)",
        calibration_old,
        {"days": 1.0},
    ),
    Check(
        "probe_off_in_air",
        "note",
        "air full of moisture holds 100 % of saturation; 5 % are borne (common practice)",
        probe_off_in_air,
        {"percent": 5.0},
    ),
)
