"""Tail probabilities of the normal and the chi-square distribution, for arrays."""

from math import erfc, gamma, sqrt
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

__all__ = ["chi_square_tail", "normal_quantile", "two_sided_p"]

Floats = npt.NDArray[np.float64]

_erfc = np.frompyfunc(erfc, 1, 1)


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
    return np.asarray(_erfc(score / sqrt(2.0)), dtype=np.float64)


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
    .. [1] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.4.4, 26.4.5 and
       the step from d to d + 2 degrees, 26.4.8.

    Examples
    --------
    >>> chi_square_tail([3.841459, 19.675138], [1, 11]).round(4).tolist()
    [0.05, 0.05]
    """
    half = np.asarray(value, dtype=np.float64) / 2.0
    freedom = np.asarray(degrees)
    tails = {1: np.asarray(_erfc(np.sqrt(half)), dtype=np.float64), 2: np.exp(-half)}
    for degree in range(3, int(freedom.max(initial=0)) + 1):
        step = half ** (degree / 2.0 - 1.0) * np.exp(-half) / gamma(degree / 2.0)
        tails[degree] = tails[degree - 2] + step
    tail = np.full(half.shape, np.nan)
    for degree in np.unique(freedom[freedom > 0]).tolist():
        tail = np.where(freedom == degree, tails[degree], tail)
    return tail
