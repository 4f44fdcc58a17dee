"""Results that came before their data sheet, or before its correction: read again from their files.

Station, date, depth and volume of a laboratory's result stand on the data sheet of its sample. Where a sheet
comes later, or comes corrected, the record holds results that waited for it or rest on what it said before.
Their files are kept in the record: they are read once more beside the new sheet, as if both had come
together, and what comes out otherwise than it stands takes its place.
"""

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass
from math import isnan

import numpy as np
import pandas as pd

from explorer.intake.corrected_files import DIFFERENCES
from explorer.intake.file_rows import FileRows
from explorer.intake.hand_decisions import differ, hand_decisions
from explorer.intake.lookups import iso_days
from explorer.intake.reading import FileReading
from explorer.intake.sample_codes import CONTAINERS as CONTAINER_NAMES
from explorer.intake.sample_codes import sample_of
from explorer.model.words import say
from explorer.records.change_entry import in_portions
from explorer.records.container_entry import has_containers
from explorer.records.past import file_content
from explorer.records.record import Record
from explorer.records.row_frames import frame_of_rows

__all__ = ["OTHER_VOLUME", "EarlierResults", "earlier_results"]

OTHER_VOLUME = "figure_of_other_volume"  # what a laboratory's figure waits for; only a person answers it

AS_IT_STANDS = -1  # a result of a file that is read again, which no new sheet touches

_PLACE = ["sha256", "sheet", "row", "column", "quantity"]
_OUTCOME = ("station_code", "stratum", "sign", "taken_on", "depth_m", "value")

# Of files that a check-in brought: what a record was made from is no laboratory's file.
_RESULTS = """
SELECT r.reading_id, r.sample_code, f.name, f.sha256, r.sheet, r."row", r."column", q.code, s.code,
       r.taken_on, r.depth_m, r.stratum, r.value, r.sign, r.status, r.reason, r.volume_filtered_ml,
       r.as_written
FROM readings r
JOIN files f ON f.file_id = r.file_id
JOIN changes c ON c.change_id = f.entered_in AND c.kind = 'check-in'
LEFT JOIN stations s ON s.station_id = r.station_id AND s.left_in IS NULL
LEFT JOIN quantities q ON q.quantity_id = r.quantity_id
WHERE {which} IN ({marks})
"""
_OF_SAMPLES, _BY_ID = "r.left_in IS NULL AND r.sample_code", "r.reading_id"
_COLUMNS = {
    "reading_id": "int64", "sample_code": "str", "file_name": "str", "sha256": "str", "sheet": "str",
    "row": "int64", "column": "str", "quantity": "str", "station_code": "str", "taken_on": "datetime64[ms]",
    "depth_m": "float64", "stratum": "str", "value": "float64", "sign": "str", "status": "str",
    "reason": "str", "volume_filtered_ml": "float64", "as_written": "str",
}  # fmt: skip
_SHEETS = """
SELECT DISTINCT c.sample_code FROM containers c JOIN files f ON f.file_id = c.file_id
WHERE c.left_in IS NULL AND c.kind = 'data_sheet' AND f.sha256 IN ({marks})
"""


@dataclass(frozen=True, slots=True)
class EarlierResults:
    """Results in the record that data sheets on their way in touch.

    Attributes
    ----------
    files : tuple of FileReading
        The laboratories' files that hold them, read again.
    standing : DataFrame
        How they stand: reading_id and where they come from, then what a sheet or its volume may change.
    decisions : DataFrame
        Columns of `hand_decisions`, index the ids of those that were decided on by hand.
    ground : DataFrame
        As `standing`, index as `decisions`: the state that a file brought and that was decided on.
    """

    files: tuple[FileReading, ...]
    standing: pd.DataFrame
    decisions: pd.DataFrame
    ground: pd.DataFrame

    @property
    def checksums(self) -> frozenset[str]:
        """Checksums of the files."""
        return frozenset(each.sha256 for each in self.files)

    @property
    def as_typed(self) -> pd.Index:
        """Ids of the readings that were corrected by hand, and stay so."""
        return self.decisions.index[self.decisions["typed"]]

    def placed(self, entries: pd.DataFrame) -> pd.DataFrame:
        """Return readings of a delivery with `stands_as`: the reading that each one may take the place of.

        Parameters
        ----------
        entries : DataFrame
            Columns of `DELIVERED`, those of the files among them.

        Returns
        -------
        DataFrame
            `stands_as` is 0 for a reading of the delivery's own files, -1 for one of these files that no
            sheet touches.
        """
        again = entries["sha256"].isin(self.checksums)
        ids = entries.loc[again, _PLACE].merge(self.standing[[*_PLACE, "reading_id"]], how="left", on=_PLACE)
        stands_as = pd.Series(0, index=entries.index, dtype="int64")
        stands_as[again] = ids["reading_id"].fillna(AS_IT_STANDS).astype("int64").to_numpy()
        return entries.assign(stands_as=stands_as)

    def moved(self, entries: pd.DataFrame) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Return which readings come out otherwise than they stand; of the delivery's own files, all.

        A reading that was decided on by hand does where it comes out otherwise than what was decided on; one
        that was corrected, where that is not what was typed either.

        Parameters
        ----------
        entries : DataFrame
            Columns of `DELIVERED`, judged.
        """
        stands_as = entries["stands_as"]
        found: np.ndarray[tuple[int], np.dtype[np.bool_]] = (stands_as == 0).to_numpy(copy=True)
        now = entries[stands_as > 0]
        stood = self.standing.set_index("reading_id").loc[now["stands_as"]]
        moved = differ(now, stood, (*_OUTCOME, "volume_filtered_ml"))
        moved |= differ(now, stood, ("status", "reason")) & (stood["reason"] != OTHER_VOLUME).to_numpy()
        by_hand = stood.index.isin(self.decisions.index)
        ids = stood.index[by_hand]
        decided, ground, own = self.decisions.loc[ids], self.ground.loc[ids], now[by_hand]
        moved[by_hand] = differ(own, ground, (*_OUTCOME, "volume_filtered_ml")) & (
            ~decided["typed"].to_numpy() | differ(own, stood[by_hand], _OUTCOME)
        )
        found[(stands_as > 0).to_numpy()] = moved
        return found

    def of_other_volumes(self, entries: pd.DataFrame) -> pd.DataFrame:
        """Return the laboratory's own figures beside which a sheet now says another volume.

        Parameters
        ----------
        entries : DataFrame
            Columns of `DELIVERED`: those that take the place of others.

        Returns
        -------
        DataFrame
            `stood` and `now`, the volumes filtered, by the index of the entry. [mL]
        """
        stood = self.standing.set_index("reading_id").loc[entries["stands_as"]].set_axis(entries.index)
        volumes = pd.DataFrame({"stood": stood["volume_filtered_ml"], "now": entries["volume_filtered_ml"]})
        same = entries["value"].notna() & ~differ(entries, stood, ("value",))
        asked = same & entries["told_volume_ml"].isna() & volumes.notna().all(axis=1)
        return volumes[asked & (volumes["stood"] != volumes["now"])]

    def differences(self, entries: pd.DataFrame) -> pd.DataFrame:
        """Return what becomes of results that had their station before: columns of `DIFFERENCES`.

        Parameters
        ----------
        entries : DataFrame
            Columns of `DELIVERED`: those that take the place of others.
        """
        stood = self.standing.set_index("reading_id").loc[entries["stands_as"]].set_axis(entries.index)
        moved = (stood["station_code"] != entries["station_code"]) | (
            stood["taken_on"] != entries["taken_on"]
        )
        frame = pd.DataFrame(
            {
                **{name: entries[name] for name in DIFFERENCES if name in entries},
                "reading_id": entries["stands_as"],
                "before": _in_words(stood, moved),
                "after": _in_words(entries, moved),
                "change": "changed",
            }
        )
        return frame.loc[(stood["station_code"] != "").to_numpy(), list(DIFFERENCES)]


def _in_words(readings: pd.DataFrame, with_place: pd.Series) -> list[str]:
    """Return value, or text, and volume of each result, whether it waits; its place where that moved."""
    columns = ("station_code", "sign", "value", "as_written", "volume_filtered_ml", "status")
    cells = zip(
        *(readings[name] for name in columns), iso_days(readings["taken_on"]), with_place, strict=True
    )
    return [
        " ".join(
            part
            for part in (
                *((station, day) if placed else ()),
                written if isnan(value) else f"{sign.replace('=', '')}{value:.4g}",
                "" if isnan(volume) else f"({volume:g} mL)",
                f"[{say('intake.severity_hold')}]" if status == "held" else "",
            )
            if part
        )
        for station, sign, value, written, volume, status, day, placed in cells
    ]


def earlier_results(
    record: Record,
    files: Sequence[FileReading],
    superseded: Set[str],
    read: Callable[[str, bytes], FileReading],
) -> EarlierResults:
    """Return the results in a record that data sheets on their way in touch, from their files.

    Parameters
    ----------
    record : Record
        An open record.
    files : sequence of FileReading
        What comes in.
    superseded : set of str
        Checksums of the files in whose place some of them stand.
    read : callable
        Reads a file, by its name and bytes.
    """
    sheets = [
        rows.containers["sample_code"] for each in files for rows in each.tables if rows.kind == "data_sheet"
    ]
    named = set(sample_of(pd.concat(sheets).astype("str"))) - {""} if sheets else set()
    before = _samples_of_sheets(record, superseded)
    found = _results_of(record, sorted(named | before))
    touched = found[~found["sha256"].isin([*superseded, *(each.sha256 for each in files)])]
    by_checksum = dict(zip(touched["sha256"], touched["file_name"], strict=True))
    again = [read(name, file_content(record, sha256)) for sha256, name in by_checksum.items()]
    kept = [FileReading(each.name, each.sha256, _of_laboratory(each), (), each.account) for each in again]
    decisions = hand_decisions(record, touched["reading_id"].tolist())
    ground = _rows(record, _BY_ID, decisions["ground"].tolist()).set_index("reading_id")
    return EarlierResults(
        tuple(kept),
        touched.drop_duplicates(_PLACE),
        decisions,
        ground.loc[decisions["ground"]].set_axis(decisions.index),
    )


def _of_laboratory(file: FileReading) -> tuple[FileRows, ...]:
    return tuple(rows for rows in file.tables if rows.kind == "laboratory")


def _samples_of_sheets(record: Record, checksums: Set[str]) -> set[str]:
    if not checksums or not has_containers(record):
        return set()
    marks = ", ".join("?" for _ in checksums)
    rows = record.fetch_rows(_SHEETS.format(marks=marks), tuple(sorted(checksums)))
    return set(sample_of(pd.Series([code for (code,) in rows], dtype="str"))) - {""}


def _results_of(record: Record, samples: Sequence[str]) -> pd.DataFrame:
    codes = [f"{each}{behind}" for each in samples for behind in ("", *(f"-{n}" for n in CONTAINER_NAMES))]
    return _rows(record, _OF_SAMPLES, codes)


def _rows(record: Record, which: str, wanted: Sequence[object]) -> pd.DataFrame:
    rows: list[tuple[object, ...]] = []
    for some in in_portions(wanted):
        query = _RESULTS.format(which=which, marks=", ".join("?" for _ in some))
        rows.extend(record.fetch_rows(query, tuple(some)))
    return frame_of_rows(rows, _COLUMNS)
