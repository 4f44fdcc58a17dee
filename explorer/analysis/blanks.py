"""Blanks against their limit, and the readings of the batches that they belong to."""

import numpy as np
import pandas as pd

from explorer.model.readings import check_frame

__all__ = ["BLANKS", "blank_limits", "judged_blanks"]

BLANKS = ("field blank", "equipment blank")
_NEEDED = ("station_code", "quantity", "taken_on", "value", "sign", "detection_limit", "reporting_limit",
           "status", "sample_code", "sample_type", "method", "batch")  # fmt: skip


def judged_blanks(samples: pd.DataFrame, limit: str = "reporting_limit") -> pd.DataFrame:
    """Return every blank, its limit, whether it lies below, and how many readings share its batch.

    Parameters
    ----------
    samples : DataFrame
        Columns of `READINGS`; blanks and the samples of their batches. Rejected rows are left out.
    limit : {"reporting_limit", "detection_limit"}
        Which limit a blank must lie below [1]_; the other one where a blank has only that.

    Returns
    -------
    DataFrame, one row a blank and quantity
        station_code, quantity, taken_on, sample_type, sample_code, method, batch, value, sign, limit [record
        unit] (NaN where the laboratory names none: then nothing is judged), above, and batch_readings:
        routine readings of the same quantity in the same batch, 0 without a batch.

    References
    ----------
    .. [1] California measurement quality objectives, table A1: laboratory, field, travel and equipment blanks
       below the reporting limit. Some programmes take the detection limit.
    """
    check_frame(samples, dict.fromkeys(_NEEDED, ""), "samples")
    kept = samples[(samples["status"] != "rejected").to_numpy()]
    kinds = kept["sample_type"].to_numpy(dtype=object)
    blanks = kept[np.isin(kinds, BLANKS) & kept["value"].notna().to_numpy()].reset_index(drop=True)
    bound = blank_limits(blanks, limit)
    above = (blanks["sign"] != "<") & (blanks["value"] >= bound)
    routine = kept[(kinds == "routine") & (kept["batch"] != "").to_numpy()]
    counts = routine.groupby(["quantity", "batch"]).size().rename("batch_readings").reset_index()
    columns = [name for name in _NEEDED if name not in ("detection_limit", "reporting_limit", "status")]
    found = blanks[columns].assign(limit=bound, above=above.astype(bool))
    found = found.merge(counts, on=["quantity", "batch"], how="left")
    return found.assign(batch_readings=found["batch_readings"].fillna(0).astype("int64"))


def blank_limits(blanks: pd.DataFrame, limit: str) -> pd.Series:
    """Return what each blank must lie below.

    Parameters
    ----------
    blanks : DataFrame
        Columns detection_limit and reporting_limit. [record unit]
    limit : {"reporting_limit", "detection_limit"}
        Which of them; the other one where a blank has only that.

    Returns
    -------
    Series, same index
        NaN where the laboratory names none. [record unit]

    Examples
    --------
    >>> blanks = pd.DataFrame({"detection_limit": [1.0, 1.0], "reporting_limit": [3.0, float("nan")]})
    >>> blank_limits(blanks, "reporting_limit").tolist()
    [3.0, 1.0]
    """
    other = "detection_limit" if limit == "reporting_limit" else "reporting_limit"
    return blanks[limit].fillna(blanks[other])
