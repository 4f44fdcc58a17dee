"""Invented districts without a story, in which stories are planted to judge how well they are found.

Nothing here shares numbers or code with the demo record: places, sizes, season, noise and seeds are others.
Noise is lognormal (normal for temperature), with a part that a whole year, a whole water on one day and one
station share, months that spread more than others, quantities that go together, and limits.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.model.places import Station
from explorer.model.programme import Programme
from explorer.model.readings import READINGS

__all__ = ["FOOT_M", "LABORATORY", "District", "make_district", "rounded"]

SPREADS = {
    "secchi_depth": 0.22, "chlorophyll_a": 0.40, "total_phosphorus": 0.22, "total_nitrogen": 0.15,
    "turbidity": 0.40, "water_temperature": 1.5,
}  # fmt: skip
USUAL = {
    "secchi_depth": 2.6, "chlorophyll_a": 7.0, "total_phosphorus": 22.0, "total_nitrogen": 600.0,
    "turbidity": 2.5, "water_temperature": 17.0,
}  # fmt: skip
ALGAE = {"secchi_depth": -0.7, "chlorophyll_a": 0.8, "total_phosphorus": 0.4, "turbidity": 0.3}
LABORATORY = ("chlorophyll_a", "total_phosphorus", "total_nitrogen")
LIMITS = {"chlorophyll_a": 0.4, "total_phosphorus": 4.0, "total_nitrogen": 50.0}
MONTHS = (4, 5, 6, 7, 8, 9, 10)
SEASON = (-0.8, -0.4, 0.0, 0.5, 0.9, 0.6, 0.1)  # of algae, in spreads of chlorophyll a twice
WARMTH = (-8.0, -3.5, 1.0, 4.0, 4.5, 1.0, -4.0)  # [°C]
RESTLESS = (1.15, 1.1, 0.9, 0.95, 1.1, 1.0, 0.8)  # how much a month spreads
WEATHERS = ("calm", "bright", "grey", "drizzle")
FOOT_M = 0.3048
SECOND_SHEET = 1_000_000  # added to a visit's number for that of a second observer


@dataclass(frozen=True)
class District:
    """A record: readings with blanks and duplicates, sheets, stations, and each reading's true spread."""

    readings: pd.DataFrame
    visits: pd.DataFrame
    stations: dict[str, Station]
    spread: pd.Series  # of natural logarithms, of temperature in degrees; by reading_id
    programme: Programme


def make_district(seed: int, *, waters: int = 7, years: int = 16, heavy_tails: bool = False) -> District:
    """Return a record without a story."""
    rng = np.random.default_rng([seed, waters, years])
    places = _places(rng, waters)
    visits = _visits(rng, places, years)
    values = _values(rng, places, visits, years, heavy_tails)
    readings = pd.concat([_readings(rng, places, visits, code, values[code]) for code in USUAL])
    readings = readings.sort_values(["taken_on", "station_code"], kind="stable").reset_index(drop=True)
    readings["reading_id"] = np.arange(1, len(readings) + 1)
    spread = pd.Series(readings.pop("true_spread").to_numpy(), index=readings["reading_id"])
    readings = pd.concat([readings, _quality(rng, readings)], ignore_index=True)
    sheets = visits[["visit_id", "weather"]].assign(remark="")
    sheets = pd.concat([sheets, sheets.assign(visit_id=sheets["visit_id"] + SECOND_SHEET)], ignore_index=True)
    stations = {
        row.code: Station(
            row.code, row.code, row.lake, np.nan, np.nan, float(row.bottom_m), row.code.endswith("1")
        )
        for row in places.itertuples()
    }
    return District(_typed(readings), sheets, stations, spread, Programme(season_months=MONTHS))


def _places(rng: np.random.Generator, waters: int) -> pd.DataFrame:
    rows = []
    for water in range(waters):
        richer = rng.normal(0.0, 0.5)
        for number in range(1, 1 + (1 if water % 4 == 3 else rng.integers(2, 5))):
            rows.append((f"W{water:02d}", f"W{water:02d}-{number}", richer + rng.normal(0, 0.1), number == 1,
                         rng.uniform(4.5, 14.0)))  # fmt: skip
    return pd.DataFrame(rows, columns=["lake", "code", "richer", "sampled", "bottom_m"])


def _visits(rng: np.random.Generator, places: pd.DataFrame, years: int) -> pd.DataFrame:
    lakes = sorted(places["lake"].unique())
    trips = pd.MultiIndex.from_product([lakes, range(years), range(len(MONTHS))], names=["lake", "year", "m"])
    trip = trips.to_frame(index=False)
    trip["day"] = trip["lake"].map({lake: 4 + 3 * (i % 7) for i, lake in enumerate(lakes)}) + rng.integers(
        0, 5, len(trip)
    )
    trip["trip"] = np.arange(len(trip))
    trip["weather"] = rng.choice(WEATHERS, len(trip))
    trip["second"] = rng.random(len(trip)) < 0.12
    trip["observer"] = trip["lake"] + np.where(rng.random(len(trip)) < 0.75, "a", "b")
    trip = trip[rng.random(len(trip)) > 0.08]
    visits = trip.merge(places, on="lake")
    visits = visits[rng.random(len(visits)) > 0.05].reset_index(drop=True)
    visits["taken_on"] = pd.to_datetime(
        {
            "year": 1999 + visits["year"],
            "month": visits["m"].map(dict(enumerate(MONTHS))),
            "day": visits["day"],
        }
    )
    visits["visit_id"] = np.arange(1, len(visits) + 1)
    return visits


def _values(
    rng: np.random.Generator, places: pd.DataFrame, visits: pd.DataFrame, years: int, heavy_tails: bool
) -> dict[str, np.ndarray]:
    """Return each visit's value of each quantity, with its spread."""

    def draw(size: int) -> np.ndarray:
        return rng.standard_t(5, size) / np.sqrt(5 / 3) if heavy_tails else rng.normal(size=size)

    lake, _ = pd.factorize(visits["lake"])
    year, trip, month = (visits[name].to_numpy() for name in ("year", "trip", "m"))
    by_year, by_trip, by_visit = 0.45, 0.70, 0.55  # squares sum to about one

    def factor() -> np.ndarray:
        annual = draw((lake.max() + 1) * years).reshape(-1, years)[lake, year]
        return by_year * annual + by_trip * draw(trip.max() + 1)[trip] + by_visit * draw(len(visits))

    algae = factor()
    restless = np.asarray(RESTLESS)[month]
    made = {}
    for code, usual in USUAL.items():
        share = ALGAE.get(code, 0.0)
        noise = (share * algae + np.sqrt(1 - share**2) * factor()) * SPREADS[code] * restless
        if code == "water_temperature":
            made[code] = usual + np.asarray(WARMTH)[month] + noise
        else:
            season = 2 * share * SPREADS[code] * np.asarray(SEASON)[month]
            richer = np.sign(share or 1.0) * visits["richer"].to_numpy() * (0.8 if share else 0.3)
            made[code] = usual * np.exp(richer + season + noise)
    return made


def _readings(
    rng: np.random.Generator, places: pd.DataFrame, visits: pd.DataFrame, code: str, value: np.ndarray
) -> pd.DataFrame:
    in_lab = code in LABORATORY
    chosen = visits["sampled"].to_numpy() if in_lab or code == "turbidity" else np.ones(len(visits), bool)
    rows = visits[chosen]
    frame = pd.DataFrame({
        "station_code": rows["code"], "lake_code": rows["lake"], "quantity": code,
        "taken_on": rows["taken_on"], "value": value[chosen], "visit_id": rows["visit_id"],
        "observer": rows["observer"],
        "true_spread": SPREADS[code] * np.asarray(RESTLESS)[rows["m"]],
    })  # fmt: skip
    if code == "secchi_depth":
        second = frame[rows["second"].to_numpy()].copy()
        second["observer"] = second["lake_code"] + np.where(second["observer"].str.endswith("a"), "b", "a")
        second["value"] *= np.exp(rng.normal(0, 0.04, len(second)))
        second["visit_id"] += SECOND_SHEET
        frame = pd.concat([frame, second])
        bottom = frame["station_code"].map(places.set_index("code")["bottom_m"])
        frame["sign"] = np.where(frame["value"] >= bottom, ">", "=")
        frame["value"] = np.minimum(frame["value"], bottom)
    if in_lab:
        frame["batch"] = "B" + frame["taken_on"].dt.strftime("%y%m")
        frame["sample_code"] = frame["station_code"] + frame["taken_on"].dt.strftime("/%y%m%d/") + code[:2]
        frame["method"] = "laboratory"
        frame["detection_limit"] = LIMITS[code]
        frame["reporting_limit"] = 2 * LIMITS[code]
        below = frame["value"] < LIMITS[code]
        frame["sign"] = np.where(below, "<", "=")
        frame["value"] = frame["value"].where(~below, LIMITS[code])
    if code == "chlorophyll_a":
        frame["volume_filtered_ml"] = 500.0
    return rounded(frame)


def rounded(frame: pd.DataFrame) -> pd.DataFrame:
    digits = 3 - np.ceil(np.log10(np.maximum(np.abs(frame["value"]), 0.01))).astype(int)
    frame["value"] = np.round(frame["value"] * 10.0**digits) / 10.0**digits
    return frame.assign(as_written=frame["value"].map("{:g}".format))


def _quality(rng: np.random.Generator, readings: pd.DataFrame) -> pd.DataFrame:
    """Return a clean blank and a duplicate for each batch and quantity."""
    one = readings[readings["batch"].notna()].groupby(["batch", "quantity"]).sample(1, random_state=1)
    blank = one.assign(sample_type="field blank", sign="<", value=one["detection_limit"], sample_code="blank")
    twice = one.assign(
        sample_type="field duplicate", parent_sample=one["sample_code"], sample_code=one["sample_code"] + "+",
        value=one["value"] * np.exp(rng.normal(0, 0.05, len(one))),
    )  # fmt: skip
    made = pd.concat([blank, twice])
    return made.assign(reading_id=np.arange(len(made)) + 10_000_000)


def _typed(readings: pd.DataFrame) -> pd.DataFrame:
    usual = {"stratum": "surface", "status": "accepted", "sample_type": "routine", "sign": "="}
    columns = {}
    for name, kind in READINGS.items():
        nothing = usual.get(name, {"str": "", "int64": 0}.get(kind, np.nan))
        column = readings[name] if name in readings else pd.Series(nothing, index=readings.index)
        columns[name] = column.where(column.notna(), nothing).astype(kind)
    return pd.DataFrame(columns)
