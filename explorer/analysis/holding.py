"""How long samples waited for their analysis, against how long they may."""

import numpy as np
import pandas as pd

from explorer.model.quality_rules import CONTAINER_OF, QualityRules
from explorer.model.readings import check_frame

__all__ = ["judged_holding"]


def judged_holding(samples: pd.DataFrame, rules: QualityRules) -> pd.DataFrame:
    """Return every result of a bottle or filter, the days to its analysis, and the limit where there is one.

    Parameters
    ----------
    samples : DataFrame
        Columns of `READINGS` and analysed_on (date, NaT where not known). Rejected rows and blanks count too.
    rules : QualityRules
        Says how samples are kept, and which limits the programme's plan adds to the published ones.

    Returns
    -------
    DataFrame, one row a result
        station_code, quantity, taken_on, analysed_on, sample_code, batch; days (NaN where a date is missing)
        and limit_days [d] (NaN where neither a published table nor the plan has one: then nothing is judged),
        source, and too_long.
    """
    needed = ("station_code", "quantity", "taken_on", "analysed_on", "sample_code", "batch")
    check_frame(samples, dict.fromkeys(needed, ""), "samples")
    chosen = samples[samples["quantity"].isin(list(CONTAINER_OF)) & (samples["sample_code"] != "")]
    found = chosen[list(needed)].reset_index(drop=True)
    limits = {code: rules.holding_time(code) for code in found["quantity"].unique()}
    days = (found["analysed_on"] - found["taken_on"]).dt.days
    limit = found["quantity"].map({code: each.days if each else np.nan for code, each in limits.items()})
    source = found["quantity"].map({code: each.source if each else "" for code, each in limits.items()})
    return found.assign(
        days=days.astype("float64"),
        limit_days=limit.astype("float64"),
        source=source.astype("str"),
        too_long=(days > limit).astype(bool),
    )
