"""Checks of visits: dates, the same visit or reading twice, the place."""

import pandas as pd

from explorer.intake.check import COMMON_PRACTICE, Check, Limits, once_a_delivery
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings, at_entries, at_visits
from explorer.intake.lookups import iso_days, texts_by
from explorer.intake.sample_codes import sample_of

__all__ = [
    "VISIT_CHECKS",
    "analysed_before_taken",
    "date_in_future",
    "reading_differs",
    "reading_known",
    "station_outside_water",
    "visit_repeated",
    "visit_twice",
]

ROUNDED_SHARE = 0.025  # values that differ by less are the same, rounded in metres and in feet
SAME_VALUE_SHARE = 0.005  # values that differ by less are the same, written with other digits

_SAME_READING = ["station_code", "quantity", "taken_on", "stratum", "depth_m", "sample_type", "observer"]
_AGAIN = [*_SAME_READING, "minute", "cast"]


def _days(dates: pd.Series) -> list[str]:
    return [str(each) for each in iso_days(dates)]


def date_in_future(delivery: Delivery, limits: Limits) -> Findings:
    """Find visits and analyses on days that have not come yet."""
    entries, today = delivery.entries, pd.Timestamp(delivery.today)
    ahead = entries["taken_on"] > today
    date = entries["taken_on"].where(ahead, entries["analysed_on"])
    chosen = ahead | (entries["analysed_on"] > today)
    return at_entries(entries, chosen, date=lambda found: _days(date[found.index]))


def analysed_before_taken(delivery: Delivery, limits: Limits) -> Findings:
    """Find results that were analysed, or received, before the day of the visit."""
    entries = delivery.entries
    early = entries["analysed_on"].where(entries["analysed_on"].notna(), entries["received_on"])
    chosen = early < entries["taken_on"]
    return at_entries(entries, chosen, analysed=_days(early), taken=_days(entries["taken_on"]))


def _told_apart(readings: pd.DataFrame) -> pd.DataFrame:
    """Return readings as they can be told apart: by depth in profiles only, by sample without container.

    A sheet seldom says that the surface is at 0.5 m, and a laboratory may leave the container out.
    """
    sample = readings["sample"] if "sample" in readings else sample_of(readings["sample_code"])
    depth = readings["depth_m"].where(readings["stratum"] == "profile")
    return readings.assign(depth_m=depth, sample_code=sample)


@once_a_delivery
def _again(delivery: Delivery) -> tuple[pd.DataFrame, pd.Series, pd.Series]:
    """Return readings that could be the same as others, their number among them, and whether values agree.

    A probe may read several times at one depth: the same reading is that of the same minute in another file.
    """
    entries = delivery.entries
    asked = (entries["station_code"] != "") & entries["taken_on"].notna() & entries["value"].notna()
    asked &= entries["kind"].isin(["data_sheet", "probe"]) & (entries["sample_code"] == "")
    rows = _told_apart(entries[asked])
    of_probe = rows["kind"] == "probe"
    rows["minute"] = rows["taken_time"].where(of_probe, "")
    again = rows.groupby(["sha256", *_SAME_READING, "minute"], dropna=False, sort=False).cumcount()
    rows["cast"] = again.where(of_probe, 0)
    groups = rows.groupby(_AGAIN, dropna=False, sort=False)["value"]
    first = groups.transform("first")
    same = (rows["value"] - first).abs() <= SAME_VALUE_SHARE * first.abs()
    return rows, groups.cumcount(), same


def _row_before(rows: pd.DataFrame) -> pd.Series:
    place = rows["file_name"] + ", row " + rows["row"].astype(str)
    return place.groupby([rows[name] for name in _AGAIN], dropna=False, sort=False).transform("first")


def visit_repeated(delivery: Delivery, limits: Limits) -> Findings:
    """Find readings that another row, or another file, gives once more with the same value."""
    rows, number, same = _again(delivery)
    chosen = ((number > 0) & same).reindex(delivery.entries.index, fill_value=False)
    other = _row_before(rows).reindex(delivery.entries.index, fill_value="")
    return at_entries(delivery.entries, chosen, other=other)


def visit_twice(delivery: Delivery, limits: Limits) -> Findings:
    """Find readings of the same station, day and observer with different values: both wait."""
    rows, _, same = _again(delivery)
    keys = [rows[name] for name in _AGAIN]
    differs = (~same).groupby(keys, dropna=False, sort=False).transform("any")
    chosen = differs.reindex(delivery.entries.index, fill_value=False)
    other = _other_row(rows).reindex(delivery.entries.index, fill_value="")
    return at_entries(delivery.entries, chosen, other=other)


def _other_row(rows: pd.DataFrame) -> pd.Series:
    """Return for every reading the row of another one of its kind."""
    place = rows["file_name"] + ", row " + rows["row"].astype(str)
    groups = place.groupby([rows[name] for name in _AGAIN], dropna=False, sort=False)
    first, last = groups.transform("first"), groups.transform("last")
    return first.where(first != place, last)


@once_a_delivery
def _standing(delivery: Delivery) -> pd.DataFrame:
    """Return, by the index of the delivery's readings, the reading that stands in the record already."""
    entries, standing = _told_apart(delivery.entries), _told_apart(delivery.past.standing)
    key = [*_SAME_READING, "sample_code"]
    asked = entries[(entries["station_code"] != "") & entries["taken_on"].notna()]
    known = standing.drop_duplicates(key)[[*key, "value", "sign", "reading_id", "as_written"]]
    merged = asked[key].merge(known, how="left", on=key).set_axis(asked.index)
    lacking = merged["reading_id"].isna() & (asked["sample_code"] == "")
    if lacking.any():  # the record may know by which sample or by whom, where the sheet does not
        loose = [name for name in key if name not in ("sample_code", "observer")]
        others = known.drop_duplicates(loose)[
            [*loose, "value", "sign", "reading_id", "as_written", "observer"]
        ]
        again = asked.loc[lacking, [*loose, "observer"]].merge(others, how="left", on=loose).set_axis(
            asked.index[lacking]
        )  # fmt: skip
        fits = (
            (again["observer_x"] == "")
            | (again["observer_y"] == "")
            | (again["observer_x"] == again["observer_y"])
        )
        columns = ["value", "sign", "reading_id", "as_written"]
        merged.loc[again.index[fits], columns] = again.loc[fits, columns]
    return merged[["value", "sign", "reading_id", "as_written"]].reindex(entries.index)


def _agrees(delivery: Delivery, standing: pd.DataFrame) -> pd.Series:
    entries = delivery.entries
    same = (entries["value"] - standing["value"]).abs() <= ROUNDED_SHARE * standing["value"].abs()
    both_unread = entries["value"].isna() & standing["value"].isna()
    agrees: pd.Series = (same & (entries["sign"] == standing["sign"])) | both_unread
    return agrees


def reading_known(delivery: Delivery, limits: Limits) -> Findings:
    """Find readings that stand in the record already with the same value."""
    standing = _standing(delivery)
    chosen = standing["reading_id"].notna() & _agrees(delivery, standing)
    return at_entries(delivery.entries, chosen)


def reading_differs(delivery: Delivery, limits: Limits) -> Findings:
    """Find readings that stand in the record already with another value."""
    standing = _standing(delivery)
    chosen = standing["reading_id"].notna() & ~_agrees(delivery, standing)
    chosen &= delivery.entries["value"].notna()
    return at_entries(delivery.entries, chosen, other=standing["as_written"].astype(object).fillna(""))


def station_outside_water(delivery: Delivery, limits: Limits) -> Findings:
    """Find stations whose place on the map does not lie in their water."""
    visits, outside = delivery.visits, delivery.past.outside
    chosen = visits["station_code"].isin(list(outside)) & ~visits["station_code"].duplicated()
    water = texts_by(visits["station_code"], outside)
    return at_visits(visits, chosen, station=visits["station_code"], water=water)


VISIT_CHECKS = (
    Check("date_in_future", "hold", "nothing is measured before its day (definition)", date_in_future),
    Check(
        "analysed_before_taken",
        "hold",
        "nothing is analysed before it is taken (definition)",
        analysed_before_taken,
        needs="laboratory",
    ),
    Check("visit_repeated", "refuse", COMMON_PRACTICE, visit_repeated),
    Check("visit_twice", "hold", COMMON_PRACTICE, visit_twice),
    Check("reading_known", "refuse", COMMON_PRACTICE, reading_known),
    Check("reading_differs", "hold", COMMON_PRACTICE, reading_differs),
    Check("station_outside_water", "note", "common practice", station_outside_water),
)
