"""Many tests at once: p adjusted so that few of the findings are false."""

import numpy as np
import numpy.typing as npt

__all__ = ["adjusted_p", "level_of_next_finding"]

Floats = npt.NDArray[np.float64]


def adjusted_p(p: npt.ArrayLike) -> Floats:
    """Return p adjusted by the step-up procedure of Benjamini and Hochberg.

    Calling every series with an adjusted p up to a level a finding keeps the expected share of false
    findings at or under that level.

    Parameters
    ----------
    p : array_like, shape (n,)
        p of all tests made for one question. [1] NaN where no test was made: it does not count.

    Returns
    -------
    ndarray, shape (n,)
        Adjusted p. [1] NaN where p is NaN.

    References
    ----------
    .. [1] Y. Benjamini and Y. Hochberg, "Controlling the false discovery rate," J. R. Statist. Soc. B,
       vol. 57, no. 1, pp. 289-300, 1995.

    Examples
    --------
    >>> adjusted_p([0.01, 0.04, float("nan"), 0.03]).round(6).tolist()
    [0.03, 0.04, nan, 0.04]
    """
    raw = np.asarray(p, dtype=np.float64)
    tests = int(np.count_nonzero(~np.isnan(raw)))
    order = np.argsort(raw)[:tests]  # NaN sorts last; the order within a tie does not matter
    scaled = raw[order] * tests / np.arange(1, tests + 1)
    adjusted = np.full(raw.shape, np.nan)
    adjusted[order] = np.minimum(np.minimum.accumulate(scaled[::-1])[::-1], 1.0)
    return adjusted


def level_of_next_finding(p: npt.ArrayLike, level: float) -> float:
    """Return how small a p one more test would need to be called a finding.

    Parameters
    ----------
    p : array_like, shape (n,)
        p of all tests made for one question. [1] NaN where no test was made.
    level : float
        Share of false findings that is borne. [1]

    Returns
    -------
    float
        `level` times the number of findings and one more, over the number of tests. [1]

    References
    ----------
    .. [1] Benjamini and Hochberg 1995, equation 1.

    Examples
    --------
    >>> level_of_next_finding([0.001, 0.6, 0.7, 0.8, float("nan")], 0.05)
    0.025
    """
    raw = np.asarray(p, dtype=np.float64)
    tests = int(np.count_nonzero(~np.isnan(raw)))
    findings = int(np.count_nonzero(adjusted_p(raw) <= level))
    return level * min(findings + 1, tests) / tests if tests else level
