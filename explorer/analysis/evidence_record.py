"""The record around unusual readings: who was measured with whom, ready for every line of evidence."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_columns import ScoredReadings, scored_rows, visit_scores
from explorer.analysis.departure_companions import relations
from explorer.analysis.departure_others import MONTHS
from explorer.analysis.departure_scope import Places
from explorer.analysis.evidence_case import Case, Groups
from explorer.analysis.evidence_odds import surprise_odds
from explorer.model.places import Station
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["Surroundings"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
Texts = npt.NDArray[np.object_]

VISIT_COLUMNS = ("weather", "remark")  # of the sheet; empty where the record has none


class Surroundings:
    """Everything that lines of evidence ask of the record.

    Parameters
    ----------
    readings : DataFrame
        Columns of `READINGS`, and `analysed_on` (date) where the record has it. Blanks and duplicates too.
    found : DataFrame
        `departures(readings, programme)`.
    stations : mapping of str to Station
        By code; a station that is missing has no known depth.
    programme : Programme
        Season and quantities.
    visits : DataFrame, optional
        Columns visit_id, weather, remark.

    Attributes
    ----------
    rows : ndarray of int, shape (n,)
        Their positions among all readings.
    scored : ScoredReadings
        The routine readings that were scored or could have been; all arrays below follow its order.
    frame : DataFrame
        The same rows as a frame, with weather and remark.
    score : ndarray, shape (n,)
        Signed scores. [1] NaN where not scored.
    speaks : ndarray of bool, shape (n,)
        Scored and not held.
    quality : DataFrame
        Blanks and duplicates.
    """

    def __init__(
        self,
        readings: pd.DataFrame,
        found: pd.DataFrame,
        stations: Mapping[str, Station],
        programme: Programme,
        visits: pd.DataFrame | None = None,
    ) -> None:
        self.rows = scored_rows(readings)
        self.programme, self.stations = programme, stations
        self.frame = _with_sheets(readings.iloc[self.rows], visits)
        self.found = found.iloc[self.rows].reset_index(drop=True)
        self.scored = ScoredReadings.of(self.frame, programme)
        self.score: Floats = self.found["score"].to_numpy()
        self.expected: Floats = self.found["expected"].to_numpy()
        self.spread: Floats = self.found["spread"].to_numpy()
        usual = np.log(self.expected, out=self.expected.copy(), where=self.scored.log_scale)
        self.apart: Floats = self.scored.value - usual
        self.speaks: Bools = self.scored.speaks & ~np.isnan(self.score)
        self.day: Ints = self.frame["taken_on"].to_numpy().astype("datetime64[D]").astype(np.int64)
        self.lake: Ints = pd.factorize(self.frame["lake_code"])[0]
        self.value: Floats = self.frame["value"].to_numpy(dtype=np.float64)
        self.text = {name: self.frame[name].to_numpy(dtype=object) for name in _TEXTS}
        self.text["direction"] = self.found["direction"].to_numpy(dtype=object)
        self.quality = readings[(readings["sample_type"] != "routine").to_numpy()].reset_index(drop=True)
        self._quality_rows = self.quality.groupby(["batch", "quantity"], sort=False).indices
        self._group()
        self._relate()

    def _group(self) -> None:
        quantity, text = self.scored.quantity, self.text
        self.of_visit = Groups(self.scored.visit)
        self.of_batch = Groups(text["batch"], quantity)
        self.of_season = Groups(self.scored.station, quantity, text["stratum"], self.scored.month // MONTHS)
        self.of_series = Groups(self.scored.series)
        self.of_sheet = Groups(self.lake, self.day, text["observer"], quantity)
        self.of_lake_day = Groups(self.lake, self.day, quantity)
        self.of_observer = Groups(text["observer"], quantity)
        self.of_value = Groups(quantity, self.value)
        self.of_weather = Groups(text["weather"], quantity)
        self.of_weather_here = Groups(text["weather"], quantity, self.scored.station)
        self.of_reading = Groups(self.scored.visit, quantity, text["stratum"])
        self.shared_differences = self._shared_differences()

    def _shared_differences(self) -> Floats:
        """Return each observer's reading less the mean of the others' of the same visit, quantity and depth.

        NaN where nobody else read the same.
        """
        reading, own = self.of_reading.number, Groups(self.of_reading.number, self.text["observer"]).number
        counted = (self.scored.sign == 0) & (self.text["observer"] != "")
        sums, counts = (
            np.bincount(reading, weights)[reading] - np.bincount(own, weights)[own]
            for weights in (np.where(counted, self.scored.value, 0.0), counted.astype(np.float64))
        )
        others = np.divide(sums, counts, out=np.full(sums.size, np.nan), where=counts > 0)
        differences: Floats = np.where(counted, self.scored.value - others, np.nan)
        return differences

    def _relate(self) -> None:
        self.by_visit = visit_scores(self.scored, self.score)
        station = np.zeros(len(self.by_visit), dtype=np.int64)
        station[self.scored.visit] = self.scored.station
        self.correlation = relations(self.by_visit, station).correlation()
        self.surprise = surprise_odds(self.by_visit)

    def places(self) -> Places:
        """Return what, when and where each reading is, for asking how far a departure reaches."""
        scored = self.scored
        visit, quantity = scored.visit, scored.quantity
        surprise = self.surprise.sum(axis=1)[visit] - self.surprise[visit, quantity]
        speaks = self.speaks & scored.surface
        return Places(self.score, quantity, self.day, scored.station, self.lake, speaks, surprise)

    def case(self, row: int) -> Case:
        """Return an unusual reading by its row among the scored ones."""
        code = str(self.text["quantity"][row])
        return Case(
            row=row,
            quantity=self.programme.quantities[code],
            station=str(self.text["station_code"][row]),
            value=float(self.value[row]),
            expected=float(self.expected[row]),
            sign=int(self.scored.sign[row]),
            bottom_depth_m=self.bottom_depth_m(row),
            way=1.0 if self.text["direction"][row] == "higher" else -1.0,
            apart=float(self.apart[row]),
            spread=float(self.spread[row]),
        )

    def bottom_depth_m(self, row: int) -> float:
        """Return the depth of the water at a reading's station; NaN where not known. [m]"""
        station = self.stations.get(str(self.text["station_code"][row]))
        return station.bottom_depth_m if station else float("nan")

    def quality_of(self, batch: str, quantity: str) -> pd.DataFrame:
        """Return a batch's blanks and duplicates of one quantity."""
        return self.quality.iloc[self._quality_rows.get((batch, quantity), [])]

    def duplicates_of(self, row: int) -> tuple[float, ...]:
        """Return what duplicates of a reading's own sample measured. [record unit]"""
        sample, batch = str(self.text["sample_code"][row]), str(self.text["batch"][row])
        if not sample:
            return ()
        samples = self.quality_of(batch, str(self.text["quantity"][row]))
        own = (samples["parent_sample"] == sample) & (samples["sign"] == "=")
        return tuple(samples.loc[own.to_numpy(), "value"].tolist())

    def days_to_analysis(self, row: int) -> float:
        """Return the days from sampling to analysis; NaN where the record does not say. [d]"""
        if "analysed_on" not in self.frame.columns or pd.isna(self.frame["analysed_on"].iloc[row]):
            return float("nan")
        return float((self.frame["analysed_on"].iloc[row] - self.frame["taken_on"].iloc[row]).days)

    def words(self, code: str) -> tuple[str, ...]:
        """Return a list of words to be looked for on sheets, in the programme's language."""
        return tuple(say(f"evidence.{code}", language=self.programme.language).split(", "))

    def remark_says(self, row: int, code: str) -> bool:
        """Return whether the sheet's remark holds one of the words of a list."""
        remark = str(self.text["remark"][row]).casefold()
        return any(word in remark for word in self.words(code))

    def others_same_way(self, rows: Ints, case: Case, least: float) -> tuple[int, int]:
        """Return how many of some rows depart the way of the case, by such a score, and how many speak."""
        speak = rows[self.speaks[rows]]
        return int((self.score[speak] * case.way >= least).sum()), int(speak.size)


_TEXTS = (
    "station_code", "quantity", "stratum", "batch", "observer", "qualifier", "sample_code", "as_written",
    "weather", "remark", "status", "sign",
)  # fmt: skip


def _with_sheets(readings: pd.DataFrame, visits: pd.DataFrame | None) -> pd.DataFrame:
    """Return the readings with what their visits' sheets say beside the numbers."""
    frame = readings.reset_index(drop=True)
    for name in VISIT_COLUMNS:
        if name in frame.columns:
            continue
        said = {} if visits is None else dict(zip(visits["visit_id"], visits[name], strict=True))
        frame[name] = pd.Series([said.get(visit, "") for visit in frame["visit_id"]], dtype="str")
    return frame
