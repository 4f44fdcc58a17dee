"""Trophic state indices: the three of Carlson and the one for nitrogen beside them.

They stand side by side; their mean over variables says nothing, for it hides what makes them differ.
"""

import numpy as np
import pandas as pd

__all__ = [
    "require_above_zero",
    "tsi_from_chlorophyll_a",
    "tsi_from_secchi",
    "tsi_from_total_nitrogen",
    "tsi_from_total_phosphorus",
]

# Carlson 1977, table 1, with natural logarithms; as printed in Carlson & Simpson 1996.
CARLSON_SECCHI_INTERCEPT = 60.0  # [1] index at a Secchi depth of 1 m
CARLSON_SECCHI_SLOPE = 14.41  # [1] per ln(m)
CARLSON_CHLOROPHYLL_INTERCEPT = 30.6  # [1] index at 1 µg/L
CARLSON_CHLOROPHYLL_SLOPE = 9.81  # [1] per ln(µg/L)
CARLSON_PHOSPHORUS_INTERCEPT = 4.15  # [1] index at 1 µg/L
CARLSON_PHOSPHORUS_SLOPE = 14.42  # [1] per ln(µg/L)

# Kratzer & Brezonik 1981, natural logarithm, nitrogen in mg/L.
KRATZER_BREZONIK_INTERCEPT = 54.45  # [1] index at 1 mg/L
KRATZER_BREZONIK_SLOPE = 14.43  # [1] per ln(mg/L)


def require_above_zero(values: pd.Series, name: str, unit: str) -> None:
    """Refuse values whose logarithm does not exist.

    Parameters
    ----------
    values : Series, shape (n,)
        [unit] NaN is let through.
    name, unit : str
        For the message.

    Raises
    ------
    ValueError
        If a value is zero or negative.

    Examples
    --------
    >>> require_above_zero(pd.Series([2.0, 0.0], index=["A1", "A2"]), "Secchi depth", "m")
    Traceback (most recent call last):
    ValueError: Secchi depth must be above 0 m; found 0 m at A2 (1 in all). Leave a missing reading empty.
    """
    too_low = values[values <= 0]
    if not too_low.empty:
        raise ValueError(
            f"{name} must be above 0 {unit}; found {too_low.iloc[0]:g} {unit} at {too_low.index[0]} "
            f"({len(too_low)} in all). Leave a missing reading empty."
        )


def tsi_from_secchi(secchi_depth_m: pd.Series) -> pd.Series:
    """Return Carlson's trophic state index for each Secchi depth.

    Parameters
    ----------
    secchi_depth_m : Series, shape (n,)
        Secchi depth. [m] NaN where no reading was taken.

    Returns
    -------
    Series, shape (n,), same index
        Trophic state index. [1] NaN where the depth is NaN. For a disk that was still in sight on the bottom,
        the index of that depth is the highest it can be.

    Raises
    ------
    ValueError
        If a depth is zero or negative.

    References
    ----------
    .. [1] R. E. Carlson, "A trophic state index for lakes," Limnol. Oceanogr., vol. 22, no. 2, pp. 361-369,
       1977, table 1.

    Examples
    --------
    >>> tsi_from_secchi(pd.Series([1.0, 2.0, float("nan")])).round().tolist()
    [60.0, 50.0, nan]
    """
    require_above_zero(secchi_depth_m, "Secchi depth", "m")
    index: pd.Series = CARLSON_SECCHI_INTERCEPT - CARLSON_SECCHI_SLOPE * np.log(secchi_depth_m)
    return index


def tsi_from_chlorophyll_a(chlorophyll_a_ug_per_l: pd.Series) -> pd.Series:
    """Return Carlson's trophic state index for each chlorophyll a concentration.

    Parameters
    ----------
    chlorophyll_a_ug_per_l : Series, shape (n,)
        Chlorophyll a. [µg/L] NaN where no reading was taken.

    Returns
    -------
    Series, shape (n,), same index
        Trophic state index. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    Notes
    -----
    The 6.4 µg/L that the paper prints beside index 50 does not fit its equation; about 7.2 µg/L does.

    References
    ----------
    .. [1] R. E. Carlson, "A trophic state index for lakes," Limnol. Oceanogr., vol. 22, no. 2, pp. 361-369,
       1977, table 1.

    Examples
    --------
    >>> tsi_from_chlorophyll_a(pd.Series([2.6, 20.0])).round().tolist()
    [40.0, 60.0]
    """
    require_above_zero(chlorophyll_a_ug_per_l, "Chlorophyll a", "µg/L")
    index: pd.Series = CARLSON_CHLOROPHYLL_INTERCEPT + CARLSON_CHLOROPHYLL_SLOPE * np.log(
        chlorophyll_a_ug_per_l
    )
    return index


def tsi_from_total_phosphorus(total_phosphorus_ug_per_l: pd.Series) -> pd.Series:
    """Return Carlson's trophic state index for each total phosphorus concentration.

    Parameters
    ----------
    total_phosphorus_ug_per_l : Series, shape (n,)
        Total phosphorus. [µg/L] NaN where no reading was taken.

    Returns
    -------
    Series, shape (n,), same index
        Trophic state index. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] R. E. Carlson, "A trophic state index for lakes," Limnol. Oceanogr., vol. 22, no. 2, pp. 361-369,
       1977, table 1.

    Examples
    --------
    >>> tsi_from_total_phosphorus(pd.Series([12.0, 24.0, 96.0])).round().tolist()
    [40.0, 50.0, 70.0]
    """
    require_above_zero(total_phosphorus_ug_per_l, "Total phosphorus", "µg/L")
    index: pd.Series = CARLSON_PHOSPHORUS_INTERCEPT + CARLSON_PHOSPHORUS_SLOPE * np.log(
        total_phosphorus_ug_per_l
    )
    return index


def tsi_from_total_nitrogen(total_nitrogen_mg_per_l: pd.Series) -> pd.Series:
    """Return the index for each total nitrogen concentration, made for nitrogen-limited lakes.

    Parameters
    ----------
    total_nitrogen_mg_per_l : Series, shape (n,)
        Total nitrogen. [mg/L] The record keeps it in µg/L: divide by 1000. NaN where no reading was taken.

    Returns
    -------
    Series, shape (n,), same index
        Trophic state index. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] C. R. Kratzer and P. L. Brezonik, "A Carlson-type trophic state index for nitrogen in Florida
       lakes," Water Resour. Bull., vol. 17, pp. 713-715, 1981.

    Examples
    --------
    >>> tsi_from_total_nitrogen(pd.Series([650.0]) / 1000).round(1).tolist()
    [48.2]
    """
    require_above_zero(total_nitrogen_mg_per_l, "Total nitrogen", "mg/L")
    index: pd.Series = KRATZER_BREZONIK_INTERCEPT + KRATZER_BREZONIK_SLOPE * np.log(total_nitrogen_mg_per_l)
    return index
