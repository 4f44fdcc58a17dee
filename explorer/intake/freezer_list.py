"""What lies in the freezer, and how many days each bottle and filter has left."""

from collections.abc import Hashable, Iterable, Mapping
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.file_rows import filled_frame
from explorer.intake.label_register import GivenCode
from explorer.intake.sample_codes import CONTAINERS
from explorer.model.plan import StationPlan
from explorer.model.quality_rules import CONTAINER_OF, HoldingTime, QualityRules

__all__ = ["FROZEN_SAMPLES", "frozen_samples"]

FROZEN_SAMPLES: Mapping[str, str] = {
    "sample_code": "str",  # with its container; as written where it cannot be read
    "container": "str",
    "station_code": "str",
    "taken_on": "datetime64[ms]",
    "frozen_on": "datetime64[ms]",
    "days": "float64",  # from sampling, else from freezing, to today
    "quantity": "str",  # the one that can wait least
    "limit_days": "float64",  # NaN where no limit is published or planned
    "days_left": "float64",
    "source": "str",
    "reason": "str",  # why the code waits for an answer
}


def frozen_samples(
    containers: pd.DataFrame,
    given: Iterable[GivenCode],
    plan: Mapping[str, StationPlan],
    rules: QualityRules,
    today: date,
) -> pd.DataFrame:
    """Return what is in the freezer, least days left first.

    Parameters
    ----------
    containers : DataFrame
        Columns sample_code, container, as_written, reason, frozen_on and taken_out_on: rows of a freezer log.
    given : iterable of GivenCode
        Codes that were given to visits: they tell station and day.
    plan : mapping of str to StationPlan
        Tells what is measured from the samples of a station.
    rules : QualityRules
        How bottles and filters are kept, and how long they keep so.
    today : date
        What was taken out by then, or put in later, is left out.

    Returns
    -------
    DataFrame
        Columns of `FROZEN_SAMPLES`. A code that cannot be read has its text as written and no days left.
    """
    by_code = {each.sample_code: each for each in given}
    now = np.datetime64(today, "D")
    out, put_in = (
        containers[name].to_numpy().astype("datetime64[D]") for name in ("taken_out_on", "frozen_on")
    )
    elsewhere = ((out <= now) | (put_in > now)).tolist()  # a date that is not known is neither
    rows = [
        _frozen(row, by_code, plan, rules, today)
        for row, is_elsewhere in zip(containers.to_dict("records"), elsewhere, strict=True)
        if not is_elsewhere
    ]
    table = pd.DataFrame(rows, columns=list(FROZEN_SAMPLES))
    cells = {name: table[name].to_numpy() for name in FROZEN_SAMPLES}
    found = filled_frame(FROZEN_SAMPLES, cells, len(table))
    order = ["days_left", "sample_code"]
    return found.sort_values(order, kind="stable", na_position="last", ignore_index=True)


def _frozen(
    row: Mapping[Hashable, Any],
    given: Mapping[str, GivenCode],
    plan: Mapping[str, StationPlan],
    rules: QualityRules,
    today: date,
) -> dict[str, object]:
    code = str(row["sample_code"])
    sample, _, digit = code.partition("-")
    own = given.get(sample)
    container = CONTAINERS.get(digit, str(row["container"]))
    station = own.station_code if own else str(row.get("station_code", ""))
    limit = _least(container, plan.get(station), plan, rules) if code else None
    taken = pd.Timestamp(own.day if own and own.day else row.get("taken_on", pd.NaT))
    frozen = pd.Timestamp(row["frozen_on"])
    start = frozen if pd.isna(taken) else taken
    days = np.nan if pd.isna(start) else float((pd.Timestamp(today) - start).days)
    return {
        "sample_code": code or str(row["as_written"]),
        "container": container,
        "station_code": station,
        "taken_on": taken,
        "frozen_on": frozen,
        "days": days,
        "quantity": limit.quantity if limit else "",
        "limit_days": limit.days if limit else np.nan,
        "days_left": limit.days - days if limit else np.nan,
        "source": limit.source if limit else "",
        "reason": str(row["reason"]),
    }


def _least(
    container: str, own: StationPlan | None, plan: Mapping[str, StationPlan], rules: QualityRules
) -> HoldingTime | None:
    """Return the shortest limit of what is measured from a container, None where there is none."""
    kind = "filter" if "filter" in container else "bottle"
    plans = [own] if own else list(plan.values())
    measured = {code for each in plans for code in each.quantities if CONTAINER_OF.get(code) == kind}
    limits = [limit for code in sorted(measured) if (limit := rules.holding_time(code)) is not None]
    return min(limits, key=lambda limit: limit.days, default=None)
