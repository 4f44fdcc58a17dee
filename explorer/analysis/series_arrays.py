"""Arrays of many series as the tests of trend take them: checked once, worked in blocks."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

__all__ = ["checked_series", "series_blocks"]

Floats = npt.NDArray[np.float64]

BLOCK = 256  # series worked at once, so that memory stays flat


def checked_series(
    values: npt.ArrayLike, signs: npt.ArrayLike | None = None, years: npt.ArrayLike | None = None
) -> tuple[Floats, npt.NDArray[np.str_] | None, npt.NDArray[np.int64]]:
    """Return values, signs and years as arrays, or say what does not fit.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        Monthly values, or the limit where the sign is "<" or ">". [record unit] NaN where nothing was
        measured.
    signs : array_like of str, shape (series, years, seasons), optional
        "=", "<" or ">"; what stands beside a NaN does not matter.
    years : array_like of int, shape (years,), optional
        Season years, rising; 0, 1, 2 ... when left out.

    Returns
    -------
    values, signs, years : ndarray
        `signs` is None when left out or when all are "=".

    Raises
    ------
    ValueError
        If the shapes do not fit, a value is infinite, a sign is unknown or the years do not rise.

    Examples
    --------
    >>> checked_series([[[1.0], [2.0]]], [[["="], ["~"]]])
    Traceback (most recent call last):
    ValueError: A sign is "=", "<" or ">"; found '~' (1 in all).
    """
    number = np.asarray(values, dtype=np.float64)
    if number.ndim != 3 or (len(number) and 0 in number.shape):
        raise ValueError(f"Values have the shape (series, years, seasons); found {number.shape}.")
    infinite = int(np.count_nonzero(np.isinf(number)))
    if infinite:
        raise ValueError(f"Values are finite or NaN; found {infinite} infinite. Use NaN where none is known.")
    times = np.arange(number.shape[1]) if years is None else np.asarray(years)
    if times.shape != (number.shape[1],) or (np.diff(times) <= 0).any():
        raise ValueError(f"Years rise, one for each of {number.shape[1]}; found {times.tolist()}.")
    if signs is None:
        return number, None, times
    sign = np.asarray(signs, dtype=np.str_)
    if sign.shape != number.shape:
        raise ValueError(f"Signs have the shape of the values, {number.shape}; found {sign.shape}.")
    other = (sign != "=") & ~np.isnan(number)
    odd = sign[other & (sign != "<") & (sign != ">")]
    if odd.size:
        raise ValueError(f'A sign is "=", "<" or ">"; found {odd[0].item()!r} ({odd.size} in all).')
    return number, sign if other.any() else None, times


def series_blocks(series: int) -> Iterator[slice]:
    """Yield slices that cover so many series, at least one.

    Parameters
    ----------
    series : int
        How many series there are.

    Examples
    --------
    >>> list(series_blocks(300))
    [slice(0, 256, None), slice(256, 512, None)]
    """
    return (slice(start, start + BLOCK) for start in range(0, max(series, 1), BLOCK))
