"""Evidence from the laboratory's side: the batch with its blank and duplicates, the volume, the handling."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.blanks import BLANKS, blank_limits
from explorer.analysis.departure_scope import SAME_WAY
from explorer.analysis.duplicates import DUPLICATES, relative_percent_difference
from explorer.analysis.evidence_case import Case
from explorer.analysis.evidence_odds import SPEAKS, clipped, fit_odds, share_odds, slip_odds, verdict
from explorer.analysis.evidence_record import Surroundings
from explorer.model.evidence import Amount, Evidence, Value
from explorer.model.quality_rules import CONTAINER_OF

__all__ = ["batch_lines", "handling_lines", "volume_line"]

MOST_BATCH, MOST_HAPPENED = 4.0, 5.0  # [log odds]
SPEAKS_AGAINST = -2.0  # [log odds]
AFTER_THE_BATCH = 0.1  # [log odds] the blank belongs to the batch and stands after it
BLANK_HIGH, BLANK_CLEAN = 4.0, -1.0  # [log odds]
DUPLICATES_APART, DUPLICATES_AGREE = 1.6, -0.3  # [log odds]
BLANK_OF_SHIFT = 0.25  # [1] share of the departure that a blank must reach where no limit is known

VOLUME_RATIOS = (2.0, 3.0, 0.5)  # a filter topped up once or twice, a last filling that was not used
OTHER_VOLUME, SAME_VOLUME, SAYS_TOP_UP = 1.5, -1.0, 2.0  # [log odds]
VOLUME_READ_TO = 0.05  # [1] share of a volume within which two are the same
MOST_FIT = 5.0  # [log odds]

HELD_TOO_LONG_QUALIFIERS = ("H", "HT")  # common practice of laboratories
FADES = ("chlorophyll_a", "chlorophyll_a_uncorrected")  # lost in a warm or old sample: only ever lower
CHANGES = ("nitrate_nitrite", "ammonia", "orthophosphate")  # live water takes them up or sets them free
SPOILT, COULD_BE_SPOILT, WELL_KEPT = 6.0, 1.0, -2.0  # [log odds]


def batch_lines(case: Case, around: Surroundings, happened: float, second: float) -> tuple[Evidence, ...]:
    """Return whether the whole batch departs, and what its blanks and duplicates say.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.
    happened : float
        What the other quantities speak, over all visits that depart: against a batch. [log odds]
    second : float
        What a duplicate of the sample speaks: that it is more than one bottle. [log odds]

    Returns
    -------
    tuple of Evidence
        Empty for a reading without a batch.
    """
    batch = around.said("batch", case.row)
    if not batch:
        return ()
    rows, visit = around.judged.of_batch.with_row(case.row), around.judged.scored.visit
    rows = rows[visit[rows] != visit[case.row]]
    same, of = around.others_same_way(rows, case, SAME_WAY)
    quality = _quality(case, around, batch)
    share = clipped(share_odds(same, of), 0.0 if quality.blank_high else -MOST_BATCH, MOST_BATCH)
    known = of > 1 or quality.blank_high
    own = share + quality.weight if known else 0.0
    weight = slip_odds(own, clipped(happened, -MOST_HAPPENED, MOST_HAPPENED)) + (second if own > 0 else 0.0)
    lines = [Evidence("batch", verdict(own, weight), {"batch": batch, "count": same, "of": of}, weight)]
    if quality.blank_high is not None:
        blank: dict[str, Value] = {"batch": batch, "blank": Amount(quality.blank, case.quantity.code)}
        said = BLANK_HIGH if quality.blank_high else SPEAKS_AGAINST
        least = min(weight, said) - AFTER_THE_BATCH
        lines.append(Evidence("blank", verdict(said, least), blank, least))
    if quality.duplicates:
        apart: dict[str, Value] = {"batch": batch, "count": quality.apart, "of": quality.duplicates}
        weight = DUPLICATES_APART if quality.apart else SPEAKS_AGAINST
        lines.append(Evidence("duplicate", verdict(weight), apart, weight))
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class _Quality:
    """A batch's blanks and duplicates of one quantity."""

    blank: float  # the highest; NaN without one
    blank_high: bool | None  # None without a blank, and for a reading that is too low: there it says nothing
    duplicates: int
    apart: int

    @property
    def weight(self) -> float:
        blank = 0.0 if self.blank_high is None else BLANK_HIGH if self.blank_high else BLANK_CLEAN
        agree = self.duplicates - self.apart
        return blank + clipped(DUPLICATES_APART * self.apart + DUPLICATES_AGREE * agree, -1.0, 2.0)


def _quality(case: Case, around: Surroundings, batch: str) -> _Quality:
    samples, rules = around.quality_of(batch, case.quantity.code), around.programme.quality
    kind = samples["sample_type"]
    blanks = samples[kind.isin(BLANKS).to_numpy()]
    apart = _apart(samples[kind.isin(DUPLICATES).to_numpy()], around, case)
    if blanks.empty or case.way < 0:
        return _Quality(float("nan"), None, apart.size, int(apart.sum()))
    limit = blank_limits(blanks, rules.blank_limit).fillna(BLANK_OF_SHIFT * abs(case.value - case.expected))
    high = (blanks["sign"] == "=") & (blanks["value"] >= limit)
    return _Quality(float(blanks["value"].max()), bool(high.any()), apart.size, int(apart.sum()))


def _apart(duplicates: pd.DataFrame, around: Surroundings, case: Case) -> npt.NDArray[np.bool_]:
    """Return which duplicates lie apart from their parents, of those where both were measured.

    As in the quality report: by percent of their mean, below the reporting limit by that limit.
    """
    measured = duplicates[(duplicates["sign"] == "=").to_numpy()]
    parent = around.parents_in_batch(case.row, measured["parent_sample"])
    columns = (parent, *(measured[name].to_numpy(np.float64) for name in ("value", "reporting_limit")))
    first, second, limit = (each[~np.isnan(parent)] for each in columns)
    percent = relative_percent_difference(first, second)
    near = np.fmin(first, second) < limit
    most = around.programme.quality.duplicate_limit_percent
    return np.where(near, np.abs(first - second) > limit, percent > most)


def volume_line(case: Case, around: Surroundings) -> Evidence | None:
    """Return whether another filtered volume would bring the reading back to the usual.

    Tried is the volume that is usual at this station where another was written; else twice and three times
    the written one, as after top-ups that were left out, and half of it.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.

    Returns
    -------
    Evidence or None
        None where no volume was written.
    """
    written, others = around.volumes(case.row)
    if not written > 0 or case.sign != 0:
        return None
    usual = float(np.median(others)) if others.size else written
    is_other = abs(usual - written) > VOLUME_READ_TO * usual
    ratios = (usual / written,) if is_other else VOLUME_RATIOS
    fits = [
        fit_odds(case.on_scale(case.value / ratio), case.apart, case.spread, case.quantity.log_scale)
        for ratio in ratios
    ]
    best = int(np.argmax(fits))
    weight = clipped(fits[best], -MOST_FIT, MOST_FIT) + (OTHER_VOLUME if is_other else SAME_VOLUME)
    weight += SAYS_TOP_UP if around.remark_says(case.row, "top_up_words") else 0.0
    own, weight = weight, slip_odds(weight, case.agreement)
    values = {
        "volume": round(written),
        "usual_volume": round(usual),
        "ratio": float(np.exp(case.apart)) if case.quantity.log_scale else case.value / case.expected,
        "volume_ratio": float(ratios[best]),
    }
    return Evidence("volume", verdict(own, weight), values, weight)


def handling_lines(case: Case, around: Surroundings) -> tuple[Evidence, ...]:
    """Return whether the sample was kept too warm or too long.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record: the sheet's remark, the days to the analysis, the laboratory's qualifier. The programme
        says how long a sample keeps, else a published table.

    Returns
    -------
    tuple of Evidence
        One line for each of the three that the record tells of; none for what is measured at the water.
    """
    code, days = case.quantity.code, around.days_to_analysis(case.row)
    if not around.said("batch", case.row) and code not in CONTAINER_OF:
        return ()
    limit = around.programme.quality.holding_time(code)
    own = _spoilt_odds(case)
    spoilt = slip_odds(own, case.agreement) if own >= SPEAKS else own
    said = verdict(own, spoilt)
    lines = []
    if around.remark_says(case.row, "handling_words"):
        remark = {"remark": around.said("remark", case.row)}
        lines.append(Evidence("handling", said, remark, spoilt))
    if limit is not None and days >= 0:
        values = {"days": int(days), "limit": int(limit.days)}
        if days > limit.days:
            lines.append(Evidence("holding_time", said, values, spoilt))
        else:
            lines.append(Evidence("holding_time", "against", values, WELL_KEPT))
    qualifier = around.said("qualifier", case.row)
    if qualifier in HELD_TOO_LONG_QUALIFIERS:
        lines.append(Evidence("qualifier", said, {"qualifier": qualifier}, spoilt))
    return tuple(lines)


def _spoilt_odds(case: Case) -> float:
    """Return what a sample that was kept badly speaks for a departure this way."""
    if case.quantity.code in FADES:
        return SPOILT if case.way < 0 else WELL_KEPT
    return SPOILT if case.quantity.code in CHANGES else COULD_BE_SPOILT
