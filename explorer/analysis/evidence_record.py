"""The record around unusual readings: their waters' sheets, and all judged readings beside them."""

from collections.abc import Mapping
from typing import Self

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_columns import ScoredReadings
from explorer.analysis.departure_kept import NO_TEXT, scored_rows, text_numbers
from explorer.analysis.evidence_case import Case, Groups
from explorer.analysis.judged_readings import JudgedReadings
from explorer.model.places import Station
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["Surroundings", "with_sheets"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.signedinteger]

VISIT_COLUMNS = ("weather", "remark")  # of the sheet; empty where the record has none


class Surroundings:
    """Everything that lines of evidence ask of the record.

    Parameters
    ----------
    judged : JudgedReadings
        Of the whole record.
    frame : DataFrame
        The judged readings of the waters at hand, columns of `READINGS`, `weather` and `remark`, and
        `analysed_on` (date) where the record has it. What is written is asked of these alone.
    quality : DataFrame
        Blanks and duplicates of their batches at least, columns of `READINGS`.
    stations : mapping of str to Station
        By code; a station that is missing has no known depth.
    programme : Programme
        Season and quantities.
    """

    def __init__(
        self,
        judged: JudgedReadings,
        frame: pd.DataFrame,
        quality: pd.DataFrame,
        stations: Mapping[str, Station],
        programme: Programme,
    ) -> None:
        self.judged, self.stations, self.programme = judged, stations, programme
        self._text = {name: frame[name].to_numpy(dtype=object) for name in _TEXTS}
        self._number = {
            name: frame[name].to_numpy(dtype=np.float64) for name in ("value", "volume_filtered_ml")
        }
        self._days = _days_to_analysis(frame)
        rows = judged.rows_of(frame["reading_id"])
        marked = np.flatnonzero(np.isin(rows, [*judged.marks]))
        self._of_series = Groups(marked, *(self._text[name] for name in _SERIES))
        self._place = dict(zip(rows.tolist(), range(len(frame)), strict=True))
        self._quality = quality
        self._quality_rows = quality.groupby(["batch", "quantity"], sort=False).indices

    @classmethod
    def of(
        cls,
        readings: pd.DataFrame,
        found: pd.DataFrame,
        stations: Mapping[str, Station],
        programme: Programme,
        visits: pd.DataFrame | None = None,
    ) -> Self:
        """Return a record that is read as a whole.

        Parameters
        ----------
        readings : DataFrame, n rows
            Columns of `READINGS`, and `analysed_on` where the record has it. Blanks and duplicates too.
        found : DataFrame, n rows
            `departures(readings, programme)`.
        stations, programme
            As above.
        visits : DataFrame, optional
            Columns visit_id, weather, remark.
        """
        rows = scored_rows(readings)
        frame = with_sheets(readings.iloc[rows], visits)
        found = found.iloc[rows].set_axis(range(rows.size))
        way = found["direction"].map({"higher": 1, "lower": -1, "": 0}).to_numpy().astype(np.int8)
        marks = found[found["marked"].to_numpy()]
        scored = ScoredReadings.of(frame, programme)
        judged = JudgedReadings(scored, found["score"].to_numpy(), way, marks)
        quality = readings[(readings["sample_type"] != "routine").to_numpy()]
        return cls(judged, frame, quality, stations, programme)

    def said(self, name: str, row: int) -> str:
        """Return what is written of a reading at the waters at hand: its batch, its remark."""
        return str(self._text[name][self._place[row]])

    def value(self, row: int) -> float:
        """Return the value of a reading at the waters at hand. [record unit]"""
        return float(self._number["value"][self._place[row]])

    def volumes(self, row: int) -> tuple[float, Floats]:
        """Return the volume filtered for a reading, and those for the others of its series. [mL]

        NaN where none is written.
        """
        place = self._place[row]
        series = self._of_series.with_row(place)
        volumes = self._number["volume_filtered_ml"]
        others: Floats = volumes[series[series != place]]
        return float(volumes[place]), others[others > 0]

    def case(self, row: int) -> Case:
        """Return an unusual reading by its row among the judged ones."""
        scored = self.judged.scored
        return Case(
            row=row,
            quantity=self.programme.quantities[scored.codes[scored.quantity[row]]],
            station=scored.stations[scored.station[row]],
            value=self.value(row),
            expected=float(self.judged.usual(np.array([row]))[0]),
            sign=int(scored.sign[row]),
            bottom_depth_m=self.bottom_depth_m(row),
            way=1.0 if self.judged.way[row] > 0 else -1.0,
            apart=float(self.judged.apart[row]),
            spread=float(scored.spread[row]),
        )

    def read_by_others(self, row: int) -> float:
        """Return what other observers read of the same on the same visit, on average; NaN without one.

        [record unit]
        """
        scored, difference = self.judged.scored, self.judged.differences_of(row)[0]
        others = scored.value[row] - difference
        return float(np.exp(others) if scored.log_scale[row] else others)

    def bottom_depth_m(self, row: int) -> float:
        """Return the depth of the water at a reading's station; NaN where not known. [m]"""
        scored = self.judged.scored
        station = self.stations.get(scored.stations[scored.station[row]])
        return station.bottom_depth_m if station else float("nan")

    def quality_of(self, batch: str, quantity: str) -> pd.DataFrame:
        """Return a batch's blanks and duplicates of one quantity."""
        return self._quality.iloc[self._quality_rows.get((batch, quantity), [])]

    def duplicates_of(self, row: int) -> tuple[float, ...]:
        """Return what duplicates of a reading's own sample measured. [record unit]"""
        sample = self.said("sample_code", row)
        if not sample:
            return ()
        samples = self.quality_of(self.said("batch", row), self.said("quantity", row))
        own = (samples["parent_sample"] == sample) & (samples["sign"] == "=")
        return tuple(samples.loc[own.to_numpy(), "value"].tolist())

    def parents_in_batch(self, row: int, parents: pd.Series) -> Floats:
        """Return what was measured in samples of a reading's batch, by their codes. [record unit]

        NaN where the batch has no measured reading of a sample.
        """
        judged, rows = self.judged, self.judged.of_batch.with_row(row)
        rows = rows[judged.scored.sign[rows] == 0]
        scored = judged.scored
        values = np.exp(scored.value[rows], out=scored.value[rows], where=scored.log_scale[rows])
        known = dict(zip(scored.sample[rows].tolist(), values.tolist(), strict=True)) | {NO_TEXT: np.nan}
        return np.array([known.get(each, np.nan) for each in text_numbers(parents.to_numpy()).tolist()])

    def days_to_analysis(self, row: int) -> float:
        """Return the days from sampling to analysis; NaN where the record does not say. [d]"""
        return float(self._days[self._place[row]])

    def words(self, code: str) -> tuple[str, ...]:
        """Return a list of words to be looked for on sheets, in the programme's language."""
        return tuple(say(f"evidence.{code}", language=self.programme.office_language).split(", "))

    def remark_says(self, row: int, code: str) -> bool:
        """Return whether the sheet's remark holds one of the words of a list."""
        remark = self.said("remark", row).casefold()
        return any(word in remark for word in self.words(code))

    def others_same_way(self, rows: Ints, case: Case, least: float) -> tuple[int, int]:
        """Return how many of some rows depart the way of the case, by such a score, and how many speak."""
        speak = rows[self.judged.speaks[rows]]
        return int((self.judged.score[speak] * case.way >= least).sum()), int(speak.size)


_SERIES = ("station_code", "quantity", "method", "stratum")
_TEXTS = (
    *_SERIES, "batch", "observer", "qualifier", "sample_code", "as_written", "weather", "remark", "status",
    "sign",
)  # fmt: skip


def _days_to_analysis(frame: pd.DataFrame) -> Floats:
    if "analysed_on" not in frame.columns:
        return np.full(len(frame), np.nan)
    return (frame["analysed_on"] - frame["taken_on"]).dt.days.to_numpy().astype(np.float64)


def with_sheets(readings: pd.DataFrame, visits: pd.DataFrame | None) -> pd.DataFrame:
    """Return readings with what their visits' sheets say beside the numbers.

    Parameters
    ----------
    readings : DataFrame
        With visit_id; columns that it has already stay.
    visits : DataFrame, optional
        Columns visit_id, weather, remark.

    Examples
    --------
    >>> visits = pd.DataFrame({"visit_id": [7], "weather": ["calm"], "remark": [""]})
    >>> with_sheets(pd.DataFrame({"visit_id": [7, 8]}), visits)["weather"].tolist()
    ['calm', '']
    """
    frame = readings.reset_index(drop=True)
    for name in VISIT_COLUMNS:
        if name in frame.columns:
            continue
        said = {} if visits is None else dict(zip(visits["visit_id"], visits[name], strict=True))
        frame[name] = pd.Series([said.get(visit, "") for visit in frame["visit_id"]], dtype="str")
    return frame
