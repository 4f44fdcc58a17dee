"""The trophic level of Burns: a level for each variable, and their mean, the index by definition."""

import numpy as np
import pandas as pd

from explorer.analysis.indices import require_above_zero

__all__ = [
    "BURNS_CLEAREST_M",
    "trophic_level_from_chlorophyll_a",
    "trophic_level_from_secchi",
    "trophic_level_from_total_nitrogen",
    "trophic_level_from_total_phosphorus",
    "trophic_level_index",
]

# Burns and others 1999, decimal logarithms, concentrations in mg/m³ (the same number as µg/L).
BURNS_CHLOROPHYLL = (2.22, 2.54)  # [1] level at 1 µg/L, [1] per log10(µg/L)
BURNS_PHOSPHORUS = (0.218, 2.92)
BURNS_NITROGEN = (-3.61, 3.01)
BURNS_SECCHI = {"1999": (5.10, 2.27), "2000": (5.56, 2.60)}  # two pairs in print; a mixture fits neither
BURNS_CLEAREST_M = 40.0  # [m] Secchi depth of water without particles, in both


def trophic_level_from_chlorophyll_a(chlorophyll_a_ug_per_l: pd.Series) -> pd.Series:
    """Return the trophic level of Burns for each chlorophyll a concentration.

    Parameters
    ----------
    chlorophyll_a_ug_per_l : Series, shape (n,)
        Mean over a year. [µg/L] NaN where not known.

    Returns
    -------
    Series, shape (n,), same index
        Trophic level. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] N. M. Burns, J. C. Rutherford and J. S. Clayton, "A monitoring and classification system for New
       Zealand lakes and reservoirs," Lake Reserv. Manage., vol. 15, no. 4, pp. 255-271, 1999.

    Examples
    --------
    >>> trophic_level_from_chlorophyll_a(pd.Series([2.0, 5.0])).round(2).tolist()
    [2.98, 4.0]
    """
    require_above_zero(chlorophyll_a_ug_per_l, "Chlorophyll a", "µg/L")
    return _burns(chlorophyll_a_ug_per_l, BURNS_CHLOROPHYLL)


def trophic_level_from_total_phosphorus(total_phosphorus_ug_per_l: pd.Series) -> pd.Series:
    """Return the trophic level of Burns for each total phosphorus concentration.

    Parameters
    ----------
    total_phosphorus_ug_per_l : Series, shape (n,)
        Mean over a year. [µg/L] NaN where not known.

    Returns
    -------
    Series, shape (n,), same index
        Trophic level. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] N. M. Burns, J. C. Rutherford and J. S. Clayton, "A monitoring and classification system for New
       Zealand lakes and reservoirs," Lake Reserv. Manage., vol. 15, no. 4, pp. 255-271, 1999.

    Examples
    --------
    >>> trophic_level_from_total_phosphorus(pd.Series([9.0, 43.0])).round(2).tolist()
    [3.0, 4.99]
    """
    require_above_zero(total_phosphorus_ug_per_l, "Total phosphorus", "µg/L")
    return _burns(total_phosphorus_ug_per_l, BURNS_PHOSPHORUS)


def trophic_level_from_total_nitrogen(total_nitrogen_ug_per_l: pd.Series) -> pd.Series:
    """Return the trophic level of Burns for each total nitrogen concentration.

    Parameters
    ----------
    total_nitrogen_ug_per_l : Series, shape (n,)
        Mean over a year. [µg/L] NaN where not known.

    Returns
    -------
    Series, shape (n,), same index
        Trophic level. [1] NaN where the concentration is NaN.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] N. M. Burns, J. C. Rutherford and J. S. Clayton, "A monitoring and classification system for New
       Zealand lakes and reservoirs," Lake Reserv. Manage., vol. 15, no. 4, pp. 255-271, 1999.

    Examples
    --------
    >>> trophic_level_from_total_nitrogen(pd.Series([157.0, 725.0])).round(2).tolist()
    [3.0, 5.0]
    """
    require_above_zero(total_nitrogen_ug_per_l, "Total nitrogen", "µg/L")
    return _burns(total_nitrogen_ug_per_l, BURNS_NITROGEN)


def trophic_level_from_secchi(secchi_depth_m: pd.Series, version: str = "1999") -> pd.Series:
    """Return the trophic level of Burns for each Secchi depth.

    Parameters
    ----------
    secchi_depth_m : Series, shape (n,)
        Mean over a year. [m] NaN where not known.
    version : {"1999", "2000"}
        Which pair of coefficients: that of the paper or that of the later protocol. Their class limits differ
        as well; a pair mixed from both fits neither.

    Returns
    -------
    Series, shape (n,), same index
        Trophic level. [1] NaN where the depth is NaN.

    Raises
    ------
    ValueError
        If a depth is zero, negative, or 40 m and more, or the version is another.

    References
    ----------
    .. [1] N. M. Burns, J. C. Rutherford and J. S. Clayton, "A monitoring and classification system for New
       Zealand lakes and reservoirs," Lake Reserv. Manage., vol. 15, no. 4, pp. 255-271, 1999.
    .. [2] N. Burns, G. Bryers and E. Bowman, Protocol for Monitoring Trophic Levels of New Zealand Lakes and
       Reservoirs, Ministry for the Environment, Wellington, 2000.

    Examples
    --------
    >>> trophic_level_from_secchi(pd.Series([7.0])).round(2).tolist()
    [2.99]
    >>> trophic_level_from_secchi(pd.Series([7.8]), version="2000").round(2).tolist()
    [3.0]
    """
    require_above_zero(secchi_depth_m, "Secchi depth", "m")
    too_clear = secchi_depth_m[secchi_depth_m >= BURNS_CLEAREST_M]
    if not too_clear.empty:
        raise ValueError(
            f"This level is defined below a Secchi depth of {BURNS_CLEAREST_M:g} m; found "
            f"{too_clear.iloc[0]:g} m at {too_clear.index[0]} ({len(too_clear)} in all). Check the unit."
        )
    if version not in BURNS_SECCHI:
        raise ValueError(f'The versions are {", ".join(BURNS_SECCHI)}; found "{version}". Write one of them.')
    return _burns(1.0 / secchi_depth_m - 1.0 / BURNS_CLEAREST_M, BURNS_SECCHI[version])


def _burns(values: pd.Series, coefficients: tuple[float, float]) -> pd.Series:
    intercept, slope = coefficients
    level: pd.Series = intercept + slope * np.log10(values)
    return level


def trophic_level_index(*levels: pd.Series) -> pd.Series:
    """Return the trophic level index of Burns: the mean of the levels of all variables, by definition.

    Parameters
    ----------
    *levels : Series, shape (n,)
        Levels of chlorophyll a, total phosphorus, total nitrogen and, where four count, Secchi depth. [1]

    Returns
    -------
    Series, shape (n,), same index
        [1] NaN where one of the levels is NaN: a mean over fewer variables is another index.

    Raises
    ------
    ValueError
        If no level is given.

    References
    ----------
    .. [1] N. M. Burns, J. C. Rutherford and J. S. Clayton, "A monitoring and classification system for New
       Zealand lakes and reservoirs," Lake Reserv. Manage., vol. 15, no. 4, pp. 255-271, 1999.

    Examples
    --------
    >>> levels = [pd.Series([4.76]), pd.Series([2.41]), pd.Series([8.978])]
    >>> trophic_level_index(*levels).round(3).tolist()
    [5.383]
    """
    if not levels:
        raise ValueError("The index is a mean of levels; found none. Give the level of each variable.")
    return pd.concat(levels, axis=1).mean(axis=1, skipna=False)
