"""Tail probabilities of the normal and the chi-square distribution, for arrays."""

from math import sqrt
from statistics import NormalDist

import numpy as np
import numpy.typing as npt
from scipy.special import chdtrc, erfc  # type: ignore[import-untyped]

__all__ = ["chi_square_tail", "normal_quantile", "two_sided_p"]

Floats = npt.NDArray[np.float64]


def two_sided_p(z: npt.ArrayLike) -> Floats:
    """Return the two-sided p of standard scores.

    Parameters
    ----------
    z : array_like, shape (...)
        Standard scores. [1]

    Returns
    -------
    ndarray, shape (...)
        p. [1] NaN where the score is NaN.

    References
    ----------
    .. [1] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.2.29.

    Examples
    --------
    >>> two_sided_p([0.0, 1.959964, float("nan")]).round(4).tolist()
    [1.0, 0.05, nan]
    """
    score = np.abs(np.asarray(z, dtype=np.float64))
    return np.asarray(erfc(score / sqrt(2.0)))


def normal_quantile(level: float) -> float:
    """Return the standard score that a two-sided test at a level has to pass.

    Parameters
    ----------
    level : float
        Level of the test, or one less the confidence of limits. [1]

    Returns
    -------
    float
        Standard score. [1]

    Raises
    ------
    ValueError
        If the level is not between 0 and 1.

    Examples
    --------
    >>> round(normal_quantile(0.10), 4)
    1.6449
    """
    if not 0.0 < level < 1.0:
        raise ValueError(f"A level lies between 0 and 1; found {level:g}. Write for example 0.05.")
    return NormalDist().inv_cdf(1.0 - level / 2.0)


def chi_square_tail(value: npt.ArrayLike, degrees: npt.ArrayLike) -> Floats:
    """Return the probability that a chi-square variable exceeds each value.

    Parameters
    ----------
    value : array_like, shape (n,)
        Chi-square values, zero or more. [1]
    degrees : array_like of int, shape (n,)
        Degrees of freedom.

    Returns
    -------
    ndarray, shape (n,)
        Upper tail. [1] NaN where the value is NaN or there is no degree of freedom.

    References
    ----------
    .. [1] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.4.2.

    Examples
    --------
    >>> chi_square_tail([3.841459, 19.675138], [1, 11]).round(4).tolist()
    [0.05, 0.05]
    """
    freedom = np.asarray(degrees)
    return np.where(freedom > 0, chdtrc(np.maximum(freedom, 1), np.asarray(value, np.float64)), np.nan)
