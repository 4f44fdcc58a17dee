"""Two samples: the rank-sum test and the Hodges-Lehmann difference with its limits."""

from functools import cache

import numpy as np
import numpy.typing as npt

from explorer.analysis.sen_slope import LIMITS_CONFIDENCE
from explorer.analysis.tail_probability import normal_quantile, two_sided_p

__all__ = ["rank_sum_p", "shift_limits"]

Floats = npt.NDArray[np.float64]

ROUNDING = 1e-12  # [1] so that a tail of exactly the level counts


@cache
def _rank_sum_tail(first: int, second: int) -> tuple[float, ...]:
    """Return P(U <= u) for u = 0, 1, ... first * second without ties, by counting all orders."""
    orders = [np.ones(1) for _ in range(second + 1)]
    for _ in range(first):
        row = [np.ones(1)]
        for n in range(1, second + 1):  # the largest value is one of the first sample, or of the second
            from_first, from_second = orders[n], row[n - 1]
            total = np.zeros(max(len(from_first) + n, len(from_second)))
            total[n : n + len(from_first)] += from_first
            total[: len(from_second)] += from_second
            row.append(total)
        orders = row
    counted = np.cumsum(orders[second])
    return tuple((counted / counted[-1]).tolist())


def rank_sum_p(first: Floats, second: Floats) -> float:
    """Return the two-sided p of the rank-sum test.

    Exact where no two values are equal; with ties by the normal distribution, corrected for ties and for
    continuity.

    Parameters
    ----------
    first, second : ndarray, shape (n,), (m,)
        Values, at least one each. [record unit]

    Returns
    -------
    float
        p. [1] One where all values are equal.

    References
    ----------
    .. [1] F. Wilcoxon, "Individual comparisons by ranking methods," Biometrics Bull., vol. 1, pp. 80-83,
       1945; H. B. Mann and D. R. Whitney, Ann. Math. Statist., vol. 18, pp. 50-60, 1947.

    Examples
    --------
    >>> round(rank_sum_p(np.array([1.0, 2.0, 3.0]), np.array([4.0, 5.0, 6.0])), 4)
    0.1
    """
    n, m = len(first), len(second)
    difference = second[:, None] - first[None, :]
    u = float((difference > 0).sum() + 0.5 * (difference == 0).sum())
    ties = np.unique(np.concatenate([first, second]), return_counts=True)[1].astype(np.float64)
    if ties.max() == 1:
        return min(1.0, 2.0 * _rank_sum_tail(n, m)[int(min(u, n * m - u))])
    total = n + m
    variance = n * m / 12.0 * (total + 1.0 - (ties**3 - ties).sum() / (total * (total - 1.0)))
    if variance <= 0.0:
        return 1.0
    distance = max(abs(u - n * m / 2.0) - 0.5, 0.0)
    return float(two_sided_p(distance / np.sqrt(variance)))


def shift_limits(
    first: Floats, second: Floats, *, confidence: float = LIMITS_CONFIDENCE
) -> tuple[float, float, float]:
    """Return the Hodges-Lehmann difference and its limits.

    Parameters
    ----------
    first, second : ndarray, shape (n,), (m,)
        Values, at least one each. [record unit]
    confidence : float
        Two-sided confidence of the limits; it is reached or passed. [1]

    Returns
    -------
    difference, low, high : float
        Median of all differences, second less first, and its limits. [record unit] The limits are NaN where
        so few values allow none.

    Raises
    ------
    ValueError
        If the confidence is not between 0 and 1.

    References
    ----------
    .. [1] J. L. Hodges and E. L. Lehmann, "Estimates of location based on rank tests," Ann. Math. Statist.,
       vol. 34, pp. 598-611, 1963; limits: M. Hollander and D. A. Wolfe, Nonparametric Statistical Methods,
       chapter 4 (from memory).

    Examples
    --------
    >>> shift_limits(np.array([1.0, 2.0, 3.0]), np.array([4.0, 5.0, 6.0]))
    (3.0, 1.0, 5.0)
    """
    normal_quantile(1.0 - confidence)
    ordered = np.sort((second[:, None] - first[None, :]).ravel())
    tail = np.array(_rank_sum_tail(len(first), len(second)))
    outside = int(np.count_nonzero(tail <= (1.0 - confidence) / 2.0 + ROUNDING))
    middle = float(np.median(ordered))
    if outside == 0:
        return middle, float("nan"), float("nan")
    return middle, float(ordered[outside - 1]), float(ordered[-outside])
