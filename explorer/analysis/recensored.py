"""Series held to one limit over their whole period, so that a falling detection limit makes no trend."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["MOST_CENSORED_SLOPE", "MOST_CENSORED_TREND", "Recensored", "held_to", "recensored"]

Floats = npt.NDArray[np.float64]

MOST_CENSORED_SLOPE = 0.50  # [1] share above which no slope and no difference is given
MOST_CENSORED_TREND = 0.80  # [1] share above which nothing is tested
HALF_LIMIT = 0.5  # [1] where a value under the limit stands for a slope; ranks do not depend on it


@dataclass(frozen=True, slots=True)
class Recensored:
    """Numbers whose order is known: all below the highest limit are one tie, all above the lowest another.

    Attributes
    ----------
    numbers : ndarray, shape (series, years, seasons)
        Values; a censored one at its stand-in. [record unit] NaN where nothing was measured.
    censored_share : ndarray, shape (series,)
        Share of the values that are part of a tie. [1] NaN in a series without values.
    below, above : ndarray, shape (series,)
        The highest "<" and the lowest ">" limit. [record unit] Infinite (-, +) where there is none.
    """

    numbers: Floats
    censored_share: Floats
    below: Floats
    above: Floats


def recensored(values: npt.ArrayLike, signs: npt.ArrayLike | None = None) -> Recensored:
    """Return series re-censored at the highest limit of their period.

    A value under the highest "<" limit and a "<" at any limit are told apart by nothing but the laboratory's
    equipment of the year: they become one tie, below every value at or above the limit. In the same way a
    value over the lowest ">" (the disk on the bottom) and every ">" become one tie above the rest. Where a
    "<" limit lies over a ">" limit no order is left: the whole series is one tie.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Values, or the limit where the sign is "<" or ">". [record unit] NaN where nothing was measured.
    signs : array_like of str, shape (series, years, seasons), optional
        "=", "<" or ">"; all "=" when left out.

    Returns
    -------
    Recensored
        The stand-in is half the limit below and just over the limit above.

    References
    ----------
    .. [1] D. R. Helsel et al., Statistical Methods in Water Resources, USGS Techniques and Methods 4-A3,
       2020, chapter 12 (one limit for all the record before a test of trend); half the limit in Sen's
       slope: R. O. Gilbert, Statistical Methods for Environmental Pollution Monitoring, 1987, chapter 16
       (both from memory).

    Examples
    --------
    >>> held = recensored([[[5.0], [3.0], [2.0], [7.0]]], [[["<"], ["="], ["<"], ["="]]])
    >>> held.numbers.ravel().tolist(), held.censored_share.tolist()
    ([2.5, 2.5, 2.5, 7.0], [0.75])
    """
    number = np.array(values, dtype=np.float64)
    measured = ~np.isnan(number)
    count = measured.sum(axis=(1, 2))
    nothing = np.full(len(number), np.inf)
    if signs is None:
        share = np.where(count > 0, 0.0, np.nan)
        return Recensored(number, share, -nothing, nothing)
    sign = np.asarray(signs)
    under, over = (sign == "<") & measured, (sign == ">") & measured
    below = np.max(number, axis=(1, 2), where=under, initial=-np.inf)
    above = np.min(number, axis=(1, 2), where=over, initial=np.inf)
    censored = under | over | (number < below[:, None, None]) | (number > above[:, None, None])
    number = np.where(under, -np.inf, np.where(over, np.inf, number))
    number = held_to(number, below[:, None, None], above[:, None, None])
    crossed = below > above
    number[crossed] = np.where(measured[crossed], below[crossed, None, None], np.nan)
    censored[crossed] = measured[crossed]
    with np.errstate(invalid="ignore"):
        share = censored.sum(axis=(1, 2)) / count
    return Recensored(number, share, below, above)


def held_to(numbers: Floats, below: Floats, above: Floats) -> Floats:
    """Return numbers with all those under one limit, and all those over another, at their stand-in.

    Parameters
    ----------
    numbers : ndarray, shape (...)
        Values. [record unit] NaN stays NaN.
    below, above : ndarray, broadcastable to `numbers`
        Limits. [record unit] Infinite (-, +) where there is none.

    Returns
    -------
    ndarray, shape (...)

    Examples
    --------
    >>> held_to(np.array([1.5, 0.3, 4.0]), np.array(2.0), np.array(np.inf)).tolist()
    [1.0, 1.0, 4.0]
    """
    limit = np.where(np.isfinite(below), below, 0.0)
    under = limit - HALF_LIMIT * np.abs(limit)
    held = np.where(numbers < below, under, numbers)
    return np.where(numbers > above, np.nextafter(above, np.inf), held)
