"""How well repeated readings agree, and how far they lie from what was there."""

from collections.abc import Sequence
from math import sqrt
from statistics import fmean, median, stdev

from scipy.special import stdtrit  # type: ignore[import-untyped]

from explorer.model.practice import Estimate

__all__ = [
    "AGREEING_SHARE",
    "agreeing_range",
    "agreement_figures",
    "bias_of_readings",
    "readings_agree",
    "spread_share",
]

AGREEING_SHARE = 10.0  # [%] highest less lowest over the mean (common practice, as for checks of the line)
LIMITS_SHARE = 0.95  # [1] how often the limits of a bias shall hold it


def spread_share(readings: Sequence[float]) -> float | None:
    """Return highest less lowest reading as a share of their mean.

    Parameters
    ----------
    readings : sequence of float, length n
        Repeated readings of the same thing. [any unit above 0]

    Returns
    -------
    float or None
        [%] None under two readings, or where their mean is 0.

    Examples
    --------
    >>> round(spread_share([4.0, 4.1, 4.2]), 2)
    4.88
    """
    if len(readings) < 2 or fmean(readings) <= 0:
        return None
    return 100.0 * (max(readings) - min(readings)) / fmean(readings)


def readings_agree(readings: Sequence[float], resolution: float) -> bool:
    """Return whether readings agree within a tenth of their mean, or within two steps of the line.

    Parameters
    ----------
    readings : sequence of float, length n
        Repeated readings. [any unit]
    resolution : float
        Step in which they can be read. [same unit]

    Examples
    --------
    >>> readings_agree([4.0, 4.1, 4.2], 0.1), readings_agree([4.0, 5.0], 0.1)
    (True, False)
    """
    if len(readings) < 2:
        return True
    return max(readings) - min(readings) <= max(AGREEING_SHARE / 100.0 * fmean(readings), 2.001 * resolution)


def agreeing_range(reading: float, resolution: float) -> tuple[float, float]:
    """Return between which readings another one agrees with this one, by the rule of `readings_agree`.

    Parameters
    ----------
    reading : float
        [any unit above 0]
    resolution : float
        Step in which it can be read. [same unit]

    Examples
    --------
    >>> low, high = agreeing_range(4.0, 0.1)
    >>> round(low, 3), round(high, 3)
    (3.619, 4.421)
    """
    half, steps = AGREEING_SHARE / 200.0, 2.001 * resolution  # a share of the mean of both
    low = min(reading * (1 - half) / (1 + half), reading - steps)
    return low, max(reading * (1 + half) / (1 - half), reading + steps)


def bias_of_readings(readings: Sequence[float], truth: float, resolution: float) -> Estimate | None:
    """Return how far readings lie from the truth on average, with limits.

    The limits are those of Student's t for the mean, and a step of reading more on both sides.

    Parameters
    ----------
    readings : sequence of float, length n
        Repeated readings. [any unit]
    truth : float
        What was there. [same unit]
    resolution : float
        Step in which they can be read. [same unit]

    Returns
    -------
    Estimate or None
        [%] of the truth; None under two readings.

    References
    ----------
    .. [1] Student, "The probable error of a mean," Biometrika, vol. 6, no. 1, pp. 1-25, 1908.

    Examples
    --------
    >>> bias = bias_of_readings([4.4, 4.5, 4.4, 4.3, 4.4], 4.0, 0.05)
    >>> round(bias.value, 1), round(bias.low, 1), round(bias.high, 1)
    (10.0, 6.6, 13.4)
    """
    if len(readings) < 2 or truth <= 0:
        return None
    shares = [100.0 * (reading / truth - 1.0) for reading in readings]
    quantile = float(stdtrit(len(shares) - 1, 0.5 + LIMITS_SHARE / 2))
    half = quantile * stdev(shares) / sqrt(len(shares)) + 100.0 * resolution / truth
    return Estimate(fmean(shares), fmean(shares) - half, fmean(shares) + half)


def agreement_figures(
    readings_m: Sequence[float], resolution_m: float
) -> dict[str, float | tuple[float, ...]]:
    """Return a view's figures of how readings agree.

    Parameters
    ----------
    readings_m : sequence of float, length n
        Readings in the order in which they are named. [m]
    resolution_m : float
        Step in which they can be read. [m]

    Returns
    -------
    dict of str to float or tuple of float
        `readings_m`, their middle `middle_m`, and `agree_low_m` and `agree_high_m` between which readings lie
        that agree with the middle one. [m]

    Examples
    --------
    >>> agreement_figures([4.0, 4.2, 4.1], 0.1)["middle_m"]
    4.1
    """
    middle = median(readings_m)
    low, high = agreeing_range(middle, resolution_m)
    return {
        "readings_m": tuple(readings_m), "middle_m": middle, "agree_low_m": low, "agree_high_m": high,
    }  # fmt: skip
