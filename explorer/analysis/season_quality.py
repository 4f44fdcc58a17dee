"""All numbers of a season's quality report, computed once from its rows."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.blanks import judged_blanks
from explorer.analysis.completeness import compared_visits
from explorer.analysis.duplicates import DUPLICATES, duplicate_pairs, pooled_precision
from explorer.analysis.holding import judged_holding
from explorer.model.plan import StationPlan
from explorer.model.quality_rules import CONTAINER_OF, QualityRules
from explorer.model.readings import STATUSES

__all__ = ["SeasonQuality", "method_limits", "precision_of", "season_quality", "status_counts"]


@dataclass(frozen=True, slots=True)
class SeasonQuality:
    """A season's quality, as frames.

    Attributes
    ----------
    completeness : DataFrame
        See `compared_visits`.
    statuses : DataFrame
        See `status_counts`.
    pairs : DataFrame
        See `duplicate_pairs`.
    precision : DataFrame
        See `precision_of`.
    lone_duplicates : int
        Duplicates whose sample has no result beside them.
    blanks : DataFrame
        See `judged_blanks`.
    holding : DataFrame
        See `judged_holding`.
    waiting : DataFrame
        Held and rejected readings: status, reason, quantity and readings (their number).
    methods : DataFrame
        See `method_limits`.
    """

    completeness: pd.DataFrame
    statuses: pd.DataFrame
    pairs: pd.DataFrame
    precision: pd.DataFrame
    lone_duplicates: int
    blanks: pd.DataFrame
    holding: pd.DataFrame
    waiting: pd.DataFrame
    methods: pd.DataFrame


def season_quality(rows: pd.DataFrame, plan: Mapping[str, StationPlan], rules: QualityRules) -> SeasonQuality:
    """Return the numbers of a season's quality report.

    Parameters
    ----------
    rows : DataFrame
        Columns of `READINGS`, analysed_on and reason: all current rows of the season's year.
    plan : mapping of str to StationPlan
        What was planned, by station code.
    rules : QualityRules
        By which duplicates, blanks and holding times are judged.
    """
    pairs = duplicate_pairs(rows, rules.duplicate_limit_percent)
    is_duplicate = rows["sample_type"].isin(DUPLICATES) & (rows["status"] != "rejected")
    waits = rows[rows["status"].isin(["held", "rejected"])]
    waiting = waits.groupby(["status", "reason", "quantity"]).size().rename("readings").reset_index()
    return SeasonQuality(
        completeness=compared_visits(plan, rows),
        statuses=status_counts(rows),
        pairs=pairs,
        precision=precision_of(pairs, rows),
        lone_duplicates=int(is_duplicate.sum()) - len(pairs),
        blanks=judged_blanks(rows, rules.blank_limit),
        holding=judged_holding(rows, rules),
        waiting=waiting,
        methods=method_limits(rows),
    )


def status_counts(rows: pd.DataFrame) -> pd.DataFrame:
    """Return how many routine readings of each quantity have each status.

    Parameters
    ----------
    rows : DataFrame
        Columns of `READINGS`.

    Returns
    -------
    DataFrame, index the quantities
        One column a status of `STATUSES`, and below: readings below what could be measured.
    """
    routine = rows[(rows["sample_type"] == "routine").to_numpy()]
    counts = pd.crosstab(routine["quantity"], routine["status"]).reindex(columns=list(STATUSES), fill_value=0)
    below = routine[(routine["sign"] == "<").to_numpy()].groupby("quantity").size()
    return counts.assign(below=below.reindex(counts.index, fill_value=0)).astype("int64")


def precision_of(pairs: pd.DataFrame, rows: pd.DataFrame) -> pd.DataFrame:
    """Return for each quantity how its duplicates agree and what precision they show.

    Parameters
    ----------
    pairs : DataFrame
        From `duplicate_pairs`.
    rows : DataFrame
        Columns of `READINGS`: tells how many samples there were.

    Returns
    -------
    DataFrame, one row a quantity with samples
        quantity, samples (routine results of bottles and filters), pairs, share (of samples with a duplicate)
        [%], judged, agreeing, by_limit (pairs judged by their absolute difference), median_percent and
        most_percent (relative percent difference of measured pairs) [%], spread (pooled) [record unit] and
        spread_percent (pooled) [%]; NaN without a measured pair.
    """
    routine = rows[((rows["sample_type"] == "routine") & (rows["sample_code"] != "")).to_numpy()]
    samples = routine[routine["quantity"].isin(list(CONTAINER_OF))].groupby("quantity").size()
    table = []
    for quantity in sorted({*samples.index, *pairs["quantity"]}):
        own = pairs[(pairs["quantity"] == quantity).to_numpy()]
        measured = own[own["percent"].notna() | own["difference"].notna()]
        percents = measured["percent"].dropna().to_numpy(np.float64)
        spread, spread_percent = pooled_precision(
            measured["first"].to_numpy(np.float64), measured["second"].to_numpy(np.float64)
        )
        count = int(samples.get(quantity, 0))
        table.append(
            {
                "quantity": quantity,
                "samples": count,
                "pairs": len(own),
                "share": 100.0 * len(own) / count if count else np.nan,
                "judged": int((own["by"] != "").sum()),
                "agreeing": int(own["agrees"].sum()),
                "by_limit": int((own["by"] == "limit").sum()),
                "median_percent": float(np.median(percents)) if len(percents) else np.nan,
                "most_percent": float(percents.max()) if len(percents) else np.nan,
                "spread": spread,
                "spread_percent": spread_percent,
            }
        )
    names = ["quantity", "samples", "pairs", "share", "judged", "agreeing", "by_limit", "median_percent",
             "most_percent", "spread", "spread_percent"]  # fmt: skip
    return pd.DataFrame(table, columns=names)


def method_limits(rows: pd.DataFrame) -> pd.DataFrame:
    """Return which methods were used, when, and between which limits they worked.

    Parameters
    ----------
    rows : DataFrame
        Columns of `READINGS`.

    Returns
    -------
    DataFrame, one row a quantity and method
        quantity, method, readings, first_on and last_on (dates), and the lowest and highest detection and
        reporting limit: detection_low, detection_high, reporting_low, reporting_high [record unit], NaN where
        none is stated.
    """
    return (
        rows.groupby(["quantity", "method"], sort=True)
        .agg(
            readings=("reading_id", "size"),
            first_on=("taken_on", "min"),
            last_on=("taken_on", "max"),
            detection_low=("detection_limit", "min"),
            detection_high=("detection_limit", "max"),
            reporting_low=("reporting_limit", "min"),
            reporting_high=("reporting_limit", "max"),
        )
        .reset_index()
    )
