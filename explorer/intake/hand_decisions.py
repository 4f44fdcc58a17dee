"""Readings that somebody decided on by hand: who did, when and why, and how they stood before."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from explorer.model.problems import Problem, Source
from explorer.model.words import say
from explorer.records.change_entry import in_portions
from explorer.records.record import Record

__all__ = ["ASKED_AGAIN", "STAYS_AS_TYPED", "differ", "hand_decisions", "problems_of_decisions"]

ASKED_AGAIN, STAYS_AS_TYPED = "decided_before", "corrected_before"
BY_HAND = ("mark", "correction")

_SAME_VALUE = 1e-9  # relative

# Every state of a reading, from the one that stands now back to the first.
_STATES = """
WITH RECURSIVE chain(now, id, before, change, status) AS (
  SELECT reading_id, reading_id, replaces, entered_in, status FROM readings
    WHERE reading_id IN ({marks}) AND replaces IS NOT NULL
  UNION ALL SELECT chain.now, r.reading_id, r.replaces, r.entered_in, r.status
    FROM chain JOIN readings r ON r.reading_id = chain.before)
SELECT chain.now, chain.id, c.kind, c.who, substr(c.at, 1, 10), c.why, chain.status
FROM chain JOIN changes c ON c.change_id = chain.change ORDER BY chain.now, chain.change
"""
_COLUMNS = ("now", "id", "kind", "who", "day", "why", "status")


def hand_decisions(record: Record, reading_ids: Sequence[int]) -> pd.DataFrame:
    """Return who decided last on readings, for those that were ever decided on by hand.

    Parameters
    ----------
    record : Record
        An open record.
    reading_ids : sequence of int
        Readings as they stand now.

    Returns
    -------
    DataFrame, index the readings' ids
        who, day, why and status of the last decision; `typed`, whether any was a correction; `ground`, the
        id of the latest state that a file brought.
    """
    rows: list[tuple[object, ...]] = []
    for some in in_portions([int(each) for each in reading_ids]):
        rows.extend(record.fetch_rows(_STATES.format(marks=", ".join("?" for _ in some)), tuple(some)))
    states = pd.DataFrame(rows, columns=list(_COLUMNS))
    by_hand = states["kind"].isin(BY_HAND)
    last = states[by_hand].groupby("now").last()
    frame = last[["who", "day", "why", "status"]]
    typed = states[states["kind"] == "correction"]["now"]
    ground = states[~by_hand].groupby("now")["id"].last().reindex(frame.index)
    return frame.assign(typed=frame.index.isin(typed), ground=ground.astype("int64"))


def differ(
    now: pd.DataFrame, before: pd.DataFrame, columns: Sequence[str]
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which rows of two frames differ in one of some columns; of numbers, by more than rounding.

    Parameters
    ----------
    now, before : DataFrame, n rows each
        Row by row.
    columns : sequence of str
        Texts, numbers and days.

    Examples
    --------
    >>> differ(pd.DataFrame({"value": [1.0, float("nan")]}), pd.DataFrame({"value": [1.0, 2.0]}), ["value"])
    array([False,  True])
    """
    found: np.ndarray[tuple[int], np.dtype[np.bool_]] = np.zeros(len(now), dtype=np.bool_)
    for name in columns:
        new, old = now[name].reset_index(drop=True), before[name].reset_index(drop=True)
        apart = (new - old).abs() > _SAME_VALUE * old.abs() if new.dtype.kind == "f" else new != old
        found |= ((apart & new.notna() & old.notna()) | (new.isna() != old.isna())).to_numpy()
    return found


def problems_of_decisions(
    entries: pd.DataFrame, decisions: pd.DataFrame, differences: pd.DataFrame, *, stays: bool
) -> tuple[Problem, ...]:
    """Return what is to be said of readings whose decision rests on what a file no longer says.

    Parameters
    ----------
    entries : DataFrame
        Columns of `DELIVERED`, index as `decisions`: what their files bring now.
    decisions : DataFrame
        From `hand_decisions`, row by row as `entries`.
    differences : DataFrame
        Columns of `explorer.intake.corrected_files.DIFFERENCES`: how they stood and how they stand now.
    stays : bool
        Whether they stay as they were typed by hand; else what comes now waits.
    """
    told = differences.drop_duplicates("reading_id").set_index("reading_id")[["before", "after"]]
    said = told.reindex(decisions.index).fillna("–")
    code = STAYS_AS_TYPED if stays else ASKED_AGAIN
    columns = ("file_name", "sha256", "sheet", "row", "column")
    return tuple(
        Problem(
            code,
            "note" if stays else "hold",
            Source(*place),
            text,
            {
                "who": decision.who,
                "day": decision.day,
                "why": decision.why,
                "status": say(f"keep.status_{str(decision.status).replace(' ', '_')}"),
                "before": before,
                "after": after,
            },
        )
        for place, text, decision, before, after in zip(
            entries[list(columns)].itertuples(index=False, name=None),
            entries["as_written"],
            decisions.itertuples(index=False),
            said["before"],
            said["after"],
            strict=True,
        )
    )
