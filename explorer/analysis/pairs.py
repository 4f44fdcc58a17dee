"""Two quantities of the same visit, side by side."""

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.indices import (
    CARLSON_CHLOROPHYLL_INTERCEPT,
    CARLSON_CHLOROPHYLL_SLOPE,
    CARLSON_PHOSPHORUS_INTERCEPT,
    CARLSON_PHOSPHORUS_SLOPE,
    CARLSON_SECCHI_INTERCEPT,
    CARLSON_SECCHI_SLOPE,
)
from explorer.model.readings import usable

__all__ = ["chlorophyll_of_equal_index", "clarity_of_equal_index", "visit_pairs"]


def visit_pairs(readings: pd.DataFrame, first: str, second: str) -> pd.DataFrame:
    """Return the readings of two quantities that belong together: same day, same visit, near the surface.

    A laboratory's result and a data sheet may stand under two visits of one day; where that day has one
    reading of each quantity, they are a pair all the same.

    Parameters
    ----------
    readings : DataFrame
        Readings of one station, columns of `READINGS`. [record unit]
    first, second : str
        Codes of the two quantities.

    Returns
    -------
    DataFrame, one row a pair, by date
        taken_on; first, second: value or limit; [record unit] first_sign, second_sign; first_id, second_id:
        reading ids. Of several readings of one visit the first counts. A value of zero or below is left out:
        it has no place on a scale of equal ratios.
    """
    shown = readings[(readings["stratum"] == "surface").to_numpy() & usable(readings).to_numpy()]
    shown = shown[shown["value"] > 0].sort_values("reading_id")
    one, other = (
        shown.loc[shown["quantity"] == code, ["taken_on", "visit_id", "value", "sign", "reading_id"]]
        .drop_duplicates(["taken_on", "visit_id"])
        .rename(columns={"value": name, "sign": f"{name}_sign", "reading_id": f"{name}_id"})
        for code, name in ((first, "first"), (second, "second"))
    )
    same_visit = one.merge(other, on=["taken_on", "visit_id"])
    paired = pd.concat([same_visit, _same_day(one, other, same_visit)], ignore_index=True)
    columns = ["taken_on", "first", "second", "first_sign", "second_sign", "first_id", "second_id"]
    found: pd.DataFrame = paired.sort_values(["taken_on", "first_id"], ignore_index=True)[columns]
    return found


def _same_day(one: pd.DataFrame, other: pd.DataFrame, same_visit: pd.DataFrame) -> pd.DataFrame:
    """Return pairs of two visits of one day that has one reading of each quantity."""
    alone = [
        frame[
            ~frame["taken_on"].isin(same_visit["taken_on"])
            & ~frame["taken_on"].duplicated(keep=False).to_numpy()
        ].drop(columns="visit_id")
        for frame in (one, other)
    ]
    return alone[0].merge(alone[1], on="taken_on")


def chlorophyll_of_equal_index(total_phosphorus_ug_per_l: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Return the chlorophyll a at which Carlson's index is the one of total phosphorus.

    Parameters
    ----------
    total_phosphorus_ug_per_l : array_like, shape (n,)
        [µg/L]

    Returns
    -------
    ndarray, shape (n,)
        Chlorophyll a. [µg/L]

    References
    ----------
    .. [1] R. E. Carlson, "A trophic state index for lakes," Limnol. Oceanogr., vol. 22, no. 2, pp. 361-369,
       1977.

    Examples
    --------
    >>> chlorophyll_of_equal_index([24.0]).round(1).tolist()
    [7.2]
    """
    index = CARLSON_PHOSPHORUS_INTERCEPT + CARLSON_PHOSPHORUS_SLOPE * np.log(total_phosphorus_ug_per_l)
    return np.asarray(np.exp((index - CARLSON_CHLOROPHYLL_INTERCEPT) / CARLSON_CHLOROPHYLL_SLOPE))


def clarity_of_equal_index(chlorophyll_a_ug_per_l: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Return the Secchi depth at which Carlson's index is the one of chlorophyll a.

    Parameters
    ----------
    chlorophyll_a_ug_per_l : array_like, shape (n,)
        [µg/L]

    Returns
    -------
    ndarray, shape (n,)
        Secchi depth. [m]

    References
    ----------
    .. [1] As in `chlorophyll_of_equal_index`.

    Examples
    --------
    >>> clarity_of_equal_index([7.2]).round(1).tolist()
    [2.0]
    """
    index = CARLSON_CHLOROPHYLL_INTERCEPT + CARLSON_CHLOROPHYLL_SLOPE * np.log(chlorophyll_a_ug_per_l)
    return np.asarray(np.exp((CARLSON_SECCHI_INTERCEPT - index) / CARLSON_SECCHI_SLOPE))
