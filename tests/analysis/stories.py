"""Stories planted in invented districts: what made a reading unusual, and which line of evidence says so.

Every effect is of four true spreads or more, save where a fixed factor is smaller: then the reading is not
counted.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from .districts import FOOT_M, LABORATORY, District, rounded

__all__ = ["STORIES", "Planted", "Story"]

LEAST_SPREADS = 4.0


@dataclass(frozen=True)
class Planted:
    """A district with one story, and the readings that it made unusual by at least four spreads."""

    district: District
    reading_ids: tuple[int, ...]


@dataclass(frozen=True)
class Story:
    """A kind of story: how it is planted, and which first lines name it rightly."""

    plant: Callable[[District, np.random.Generator, float], Planted]
    right: frozenset[str]
    is_single: bool = False  # one reading at a time, or a few of one water


def _rows(district: District, quantity: str, **where: object) -> pd.DataFrame:
    """Return the routine readings of a quantity from the sixth year on, as the conditions say."""
    readings = district.readings
    chosen = (
        (readings["quantity"] == quantity)
        & (readings["sample_type"] == "routine")
        & (readings["sign"] == "=")
    )
    for column, value in where.items():
        chosen &= readings[column] == value
    return readings[chosen]


def _changed(district: District, rows: pd.DataFrame, values: pd.Series, **columns: object) -> District:
    """Return the district with other values (and other columns) in some readings."""
    readings = district.readings.copy()
    at = rows.index
    new = rounded(rows.assign(value=values))
    readings.loc[at, "value"] = new["value"]
    readings.loc[at, "as_written"] = new["as_written"]
    for name, value in columns.items():
        readings.loc[at, name] = value
    return replace(district, readings=readings)


def _spread(district: District, rows: pd.DataFrame) -> np.ndarray:
    """Return each reading's true spread."""
    return district.spread[rows["reading_id"]].to_numpy()


def _one(rng: np.random.Generator, rows: pd.DataFrame, count: int = 1) -> pd.DataFrame:
    return rows.sample(count, random_state=int(rng.integers(1 << 30)))


def _shifted(district: District, rows: pd.DataFrame, spreads: float) -> pd.Series:
    """Return values moved by so many of their true spreads."""
    by = spreads * _spread(district, rows)
    warmth = rows["quantity"] == "water_temperature"
    return rows["value"].where(warmth, rows["value"] * np.exp(by)).where(~warmth, rows["value"] + by)


def _moved(district: District, rows: pd.DataFrame, spreads: float) -> District:
    """Return the district with single readings moved."""
    return _changed(district, rows, _shifted(district, rows, spreads))


def _befell(district: District, rows: pd.DataFrame, values: pd.Series) -> District:
    """Return the district after something befell the water or the batch: duplicates show it, too."""
    changed = _changed(district, rows, values)
    ratio = dict(zip(rows["sample_code"], values / rows["value"], strict=True))
    readings = changed.readings
    twice = (readings["sample_type"] == "field duplicate") & (
        readings["quantity"] == rows["quantity"].iloc[0]
    )
    own = readings[twice & readings["parent_sample"].isin(set(ratio) - {""})]
    return _changed(changed, own, own["value"] * own["parent_sample"].map(ratio)) if len(own) else changed


def _water(district: District, rows: pd.DataFrame, spreads: float) -> District:
    """Return the district with the water itself moved by so many spreads."""
    return _befell(district, rows, _shifted(district, rows, spreads)) if len(rows) else district


def _said(district: District, visit_ids: pd.Series, **texts: str) -> District:
    """Return the district with something written on some sheets."""
    visits = district.visits.copy()
    at = visits["visit_id"].isin(visit_ids)
    for name, text in texts.items():
        visits.loc[at, name] = text
    return replace(district, visits=visits)


def _ids(*rows: pd.DataFrame) -> tuple[int, ...]:
    return tuple(int(each) for part in rows for each in part["reading_id"])


def _a_day(rng: np.random.Generator, rows: pd.DataFrame) -> pd.Timestamp:
    days = np.sort(rows["taken_on"].unique())
    return pd.Timestamp(days[rng.integers(len(days) // 8, len(days))])


def _a_water(rng: np.random.Generator, district: District, fewest: int = 1, most: int = 9) -> str:
    number = district.readings.groupby("lake_code")["station_code"].nunique()
    return str(rng.choice(sorted(number[number.between(fewest, most)].index)))


def _flood(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """High water: every water is visited within a week, phosphorus up, clarity down, nitrogen up by less."""
    day = _a_day(rng, district.readings)
    readings = district.readings.copy()
    month = readings["taken_on"].dt.to_period("M") == day.to_period("M")
    late = readings["taken_on"].dt.day % 7 + 8
    readings.loc[month, "taken_on"] = day.replace(day=1) + pd.to_timedelta(late[month] - 1, "D")
    district = replace(district, readings=readings)
    phosphorus, clarity, nitrogen = (
        _rows(district, code).loc[lambda rows: month[rows.index]]
        for code in ("total_phosphorus", "secchi_depth", "total_nitrogen")
    )
    district = _water(_water(district, phosphorus, spreads), clarity, -spreads)
    return Planted(_water(district, nitrogen, 2.0), _ids(phosphorus, clarity))


def _bloom(
    district: District, rng: np.random.Generator, spreads: float, most: int = 9, fewest: int = 2
) -> Planted:
    """Algae all over one water on one day: chlorophyll up, clarity down."""
    lake = _a_water(rng, district, fewest, most)
    algae = _rows(district, "chlorophyll_a", lake_code=lake)
    day = _a_day(rng, algae)
    algae = algae[algae["taken_on"] == day]
    clarity = _rows(district, "secchi_depth", lake_code=lake, taken_on=day)
    return Planted(_water(_water(district, algae, spreads), clarity, -spreads), _ids(algae, clarity))


def _bloom_alone(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """The same at a water with a single station."""
    return _bloom(district, rng, spreads, most=1, fewest=1)


def _bad_batch(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """Something in every bottle of a delivery, the blank among them."""
    code = str(rng.choice(["total_phosphorus", "total_nitrogen"]))
    rows = _rows(district, code)
    rows = rows[rows["batch"] == rng.choice(sorted(rows["batch"].unique())[10:])]
    by = spreads * _spread(district, rows)
    added = float(np.median(rows["value"] * np.expm1(by)))
    unusual = rows[np.log1p(added / rows["value"]) >= LEAST_SPREADS * _spread(district, rows)]
    changed = _befell(district, rows, rows["value"] + added)
    readings = changed.readings
    quality = (readings["batch"] == rows["batch"].iloc[0]) & (readings["quantity"] == code)
    blank = quality & (readings["sample_type"] == "field blank")
    readings.loc[blank, ["value", "sign"]] = [added, "="]
    return Planted(changed, _ids(unusual))


def _wrong_standard(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A laboratory's calibration off by a factor for one delivery; its blank is clean."""
    rows = _rows(district, str(rng.choice(LABORATORY)))
    rows = rows[rows["batch"] == rng.choice(sorted(rows["batch"].unique())[10:])]
    return Planted(_water(district, rows, float(rng.choice([-1.0, 1.0])) * spreads), _ids(rows))


def _odd_observer(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """One person reads the disk differently for some visits a year, now and then beside another."""
    lake = _a_water(rng, district)
    rows = _rows(district, "secchi_depth", lake_code=lake)
    shared = rows.groupby(["station_code", "taken_on"])["observer"].transform("nunique") > 1
    mine = rows[(rows["observer"] == lake + "b") & shared]
    days = mine["taken_on"].drop_duplicates().sample(frac=0.7, random_state=int(rng.integers(1 << 30)))
    mine = mine[mine["taken_on"].isin(days)]
    changed = _changed(district, mine, _shifted(district, mine, -spreads), observer="newcomer")
    return Planted(changed, _ids(mine))


def _feet(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A day's sheet in feet, entered as metres."""
    lake = _a_water(rng, district)
    rows = _rows(district, "secchi_depth", lake_code=lake)
    rows = rows[rows["taken_on"] == _a_day(rng, rows)]
    enough = np.log(1 / FOOT_M) >= LEAST_SPREADS * _spread(district, rows)
    return Planted(_changed(district, rows, rows["value"] / FOOT_M), _ids(rows[enough]))


def _digits(district: District, rng: np.random.Generator, factor: float, codes: tuple[str, ...]) -> Planted:
    rows = _one(rng, _rows(district, str(rng.choice(codes))))
    wrong = rows["value"] * (factor if rng.random() < 0.5 else 1 / factor)
    enough = np.log(factor) >= LEAST_SPREADS * _spread(district, rows)
    return Planted(_changed(district, rows, wrong), _ids(rows[enough]))


def _point(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """One decimal point in the wrong place."""
    return _digits(district, rng, 10.0, (*LABORATORY, "secchi_depth"))


def _thousand(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """One result in another unit."""
    return _digits(district, rng, 1000.0, LABORATORY)


def _volume(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A filter topped up several times, and only the first filling written down."""
    rows = _one(rng, _rows(district, "chlorophyll_a"))
    fillings = int(np.ceil(np.exp(spreads * _spread(district, rows)[0])))
    changed = _changed(district, rows, rows["value"] * fillings, volume_filtered_ml=round(500.0 / fillings))
    return Planted(changed, _ids(rows))


def _clear_to_the_bottom(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """Water so clear for once that the disk lies on the bottom of a shallow place."""
    rows = _one(rng, _rows(district, "secchi_depth"))
    depth = float(_shifted(district, rows, spreads).iloc[0])
    code = str(rows["station_code"].iloc[0])
    stations = {**district.stations, code: replace(district.stations[code], bottom_depth_m=round(depth, 1))}
    changed = _changed(district, rows, rows["value"] * 0 + round(depth, 1), sign=">")
    return Planted(replace(changed, stations=stations), _ids(rows))


def _mark_for_missing(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A round number where the disk was not read, at several places."""
    rows = _one(rng, _rows(district, "secchi_depth"), int(rng.integers(4, 9)))
    mark = float(rng.choice([99.0, 100.0, 50.0]))
    return Planted(_changed(district, rows, rows["value"] * 0 + mark), _ids(rows))


def _warm_filter(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A filter that thawed on its way: chlorophyll is lost."""
    rows = _one(rng, _rows(district, "chlorophyll_a"))
    spoilt = _moved(district, rows, -spreads)
    remark = str(rng.choice(["filter thawed in the cooler", "came in warm", "ice gone on arrival"]))
    return Planted(_said(spoilt, rows["visit_id"], remark=remark), _ids(rows))


def _gales(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """Wind stirs up the bottom of one water, each time that it blows."""
    lake = _a_water(rng, district)
    rows = _rows(district, "secchi_depth", lake_code=lake)
    days = pd.Series(np.sort(rows["taken_on"].unique())).sample(5, random_state=int(rng.integers(1 << 30)))
    rows = rows[rows["taken_on"].isin(days)]
    stirred = _rows(district, "turbidity", lake_code=lake)
    stirred = stirred[stirred["taken_on"].isin(days)]
    district = _water(_water(district, rows, -spreads), stirred, 3.0)
    return Planted(_said(district, rows["visit_id"], weather="gale"), _ids(rows))


def _new_level(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A water that is another one in the last season."""
    lake = _a_water(rng, district)
    last = district.readings["taken_on"].dt.year.max()
    moved = []
    for code, sign in (("total_phosphorus", 1.0), ("secchi_depth", -1.0)):
        rows = _rows(district, code, lake_code=lake)
        rows = rows[rows["taken_on"].dt.year == last]
        district = _water(district, rows, sign * spreads)
        moved.append(rows)
    return Planted(district, _ids(*moved))


def _fahrenheit(district: District, rng: np.random.Generator, spreads: float) -> Planted:
    """A thermometer read on its other scale."""
    rows = _one(rng, _rows(district, "water_temperature"))
    return Planted(_changed(district, rows, rows["value"] * 1.8 + 32), _ids(rows))


STORIES = {
    "flood in every water": Story(_flood, frozenset({"district"})),
    "bloom all over a water": Story(_bloom, frozenset({"lake", "together"})),
    "bloom at a lone station": Story(_bloom_alone, frozenset({"together"}), is_single=True),
    "batch with a dirty blank": Story(_bad_batch, frozenset({"batch"})),
    "batch with a wrong standard": Story(_wrong_standard, frozenset({"batch"})),
    "observer who reads differently": Story(_odd_observer, frozenset({"observer"})),
    "sheet in feet": Story(_feet, frozenset({"feet"}), is_single=True),
    "slipped decimal point": Story(_point, frozenset({"ten"}), is_single=True),
    "another unit": Story(_thousand, frozenset({"thousand"}), is_single=True),
    "top-ups left out": Story(_volume, frozenset({"volume"}), is_single=True),
    "clear to the bottom": Story(_clear_to_the_bottom, frozenset({"on_bottom"}), is_single=True),
    "a mark for missing": Story(_mark_for_missing, frozenset({"repeated"})),
    "thawed filter": Story(_warm_filter, frozenset({"handling"}), is_single=True),
    "gales on one water": Story(_gales, frozenset({"weather"})),
    "another level in the last season": Story(_new_level, frozenset({"season"})),
    "degrees Fahrenheit": Story(_fahrenheit, frozenset({"fahrenheit"}), is_single=True),
}  # fmt: skip
