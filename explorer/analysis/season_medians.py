"""Season medians of re-censored monthly values, and how closely one season follows the last."""

import numpy as np
import numpy.typing as npt

from explorer.analysis.order_statistics import row_medians
from explorer.analysis.recensored import Recensored, held_to

__all__ = ["counting_years", "lag1_correlation", "season_medians"]

Floats = npt.NDArray[np.float64]


def counting_years(held: Recensored, minimum_months: int) -> npt.NDArray[np.bool_]:
    """Return which seasons have values in enough months to count.

    Parameters
    ----------
    held : Recensored
        Monthly values, shape (series, years, seasons).
    minimum_months : int
        Months with a value; all of them where the season has fewer.

    Returns
    -------
    ndarray of bool, shape (series, years)

    Examples
    --------
    >>> from explorer.analysis.recensored import recensored
    >>> counting_years(recensored([[[1.0, 2.0, 9.0], [4.0, np.nan, 6.0]]]), 3).tolist()
    [[True, False]]
    """
    needed = max(min(minimum_months, held.numbers.shape[2]), 1)
    return np.asarray((~np.isnan(held.numbers)).sum(axis=2) >= needed)


def season_medians(held: Recensored, counts: npt.NDArray[np.bool_]) -> Floats:
    """Return the median of each season's monthly values, held to the limits of its series.

    Parameters
    ----------
    held : Recensored
        Monthly values, shape (series, years, seasons).
    counts : ndarray of bool, shape (series, years)
        Years with visits in enough months.

    Returns
    -------
    ndarray, shape (series, years)
        Medians; below the limit they are one tie. [record unit] NaN where the year does not count.

    Examples
    --------
    >>> from explorer.analysis.recensored import recensored
    >>> held = recensored([[[1.0, 2.0, 9.0], [4.0, 5.0, 6.0]]])
    >>> season_medians(held, np.array([[True, True]])).tolist()
    [[2.0, 5.0]]
    """
    medians = np.where(counts, row_medians(held.numbers), np.nan)
    return held_to(medians, held.below[:, None], held.above[:, None])


def lag1_correlation(residuals: Floats, times: npt.ArrayLike) -> Floats:
    """Return the correlation of each year's value with the next year's.

    Parameters
    ----------
    residuals : ndarray, shape (series, years)
        Season medians with their trend taken out. [any unit] NaN where the year does not count.
    times : array_like, shape (years,)
        Years, rising; only years that follow one another make a pair. [year]

    Returns
    -------
    ndarray, shape (series,)
        Mean product of neighbours over the mean square, about the mean. [1] NaN without a pair or spread.

    References
    ----------
    .. [1] Helsel et al. 2020, chapter 12 (persistence makes a test of trend find too much); the estimator
       is the usual one of the first autocorrelation coefficient.

    Examples
    --------
    >>> lag1_correlation(np.array([[1.0, -1.0, 1.0, -1.0]]), [2001, 2002, 2003, 2004]).tolist()
    [-1.0]
    """
    known = ~np.isnan(residuals)
    years = known.sum(axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(known, residuals, 0.0).sum(axis=1) / years
        about = np.where(known, residuals - mean[:, None], 0.0)
        follows = (np.diff(np.asarray(times)) == 1) & known[:, 1:] & known[:, :-1]
        product = (about[:, 1:] * about[:, :-1] * follows).sum(axis=1) / follows.sum(axis=1)
        square = (about * about).sum(axis=1) / years
        return np.where(square > 0, product / square, np.nan)
