"""What a finding speaks for or against an explanation, as natural logarithms of odds that can be added."""

import numpy as np
import numpy.typing as npt

from explorer.model.evidence import Verdict

__all__ = ["clipped", "fit_odds", "share_odds", "slip_odds", "surprise_odds", "verdict", "water_odds"]

Floats = npt.NDArray[np.float64]

# How often a reading departs the same way, by at least one spread, if the explanation holds and if not: the
# first is common practice, the second what lies beyond one spread of a normal value.
DEPARTS_IF_SO, DEPARTS_BY_CHANCE = 0.80, 0.16  # [1]
SPEAKS = 1.5  # log odds from which a line says for, or against: four and a half to one
SELDOM = 1.0  # many waters at once are rarer than one [log odds]
SILENCE_COUNTS = 0.5  # [1] of an agreement that speaks against
UNUSUAL_SHARE = 0.4  # [1] of quantities that are unusual on a visit on which something has happened ...
UNUSUAL_SPREAD = 3.0  # ... and how widely their scores then lie
SIZES = 0.9  # spread of the logarithm of departures of unknown cause: a factor of 2.5 either way
LINEAR_SIZES = 5.0  # the same in spreads, where the scale is linear


def clipped(weight: float, least: float, most: float) -> float:
    """Return a weight held between two: no single finding decides alone.

    Parameters
    ----------
    weight, least, most : float
        Logarithm of the odds. [1]

    Examples
    --------
    >>> clipped(9.0, -4.0, 4.0)
    4.0
    """
    return float(min(max(weight, least), most))


def share_odds(count: float, of: float, by_chance: float = DEPARTS_BY_CHANCE) -> float:
    """Return what it speaks that so many of so many others depart the same way.

    Parameters
    ----------
    count, of : float
        Those that do, and all. [1]
    by_chance : float
        Share that does if the explanation does not hold. [1]

    Returns
    -------
    float
        Logarithm of the odds, not clipped. [1]

    Examples
    --------
    >>> round(share_odds(3, 3), 1), round(share_odds(0, 3), 1)
    (4.8, -4.3)
    """
    yes = np.log(DEPARTS_IF_SO / by_chance)
    no = np.log((1.0 - DEPARTS_IF_SO) / (1.0 - by_chance))
    return float(yes * count + no * (of - count))


def fit_odds(left: float, apart: float, spread: float, log_scale: bool) -> float:
    """Return what it speaks that a correction brings a reading back to the usual.

    Parameters
    ----------
    left : float
        Distance from the usual after the correction. [record unit, or 1 for logarithms]
    apart : float
        Distance before it. [as `left`]
    spread : float
        Standard deviation about the usual. [as `left`]
    log_scale : bool
        Whether these are logarithms.

    Returns
    -------
    float
        Logarithm of the odds against a departure of any other size, not clipped. [1]

    Examples
    --------
    >>> round(fit_odds(0.0, float(np.log(10)), 0.3, True), 1), fit_odds(2.0, 1.0, 0.3, True) < -10
    (4.1, True)
    """
    sizes = np.hypot(spread, SIZES) if log_scale else LINEAR_SIZES * spread
    explained = -0.5 * (left / spread) ** 2 - np.log(spread)
    other = -0.5 * (apart / sizes) ** 2 - np.log(sizes)
    return float(explained - other)


def surprise_odds(score: Floats) -> Floats:
    """Return what each score speaks for something having happened on the visit.

    Parameters
    ----------
    score : ndarray, shape (n,)
        Signed scores. [1] NaN speaks neither way.

    Returns
    -------
    ndarray, shape (n,)
        Logarithm of the odds. [1]

    Examples
    --------
    >>> surprise_odds(np.array([0.0, 3.0, float("nan")])).round(1).tolist()
    [-0.3, 2.1, 0.0]
    """
    squares = np.nan_to_num(score) ** 2
    ratio = np.exp(0.5 * np.minimum(squares, 400.0) * (1.0 - 1.0 / UNUSUAL_SPREAD**2)) / UNUSUAL_SPREAD
    odds: Floats = np.log(1.0 - UNUSUAL_SHARE + UNUSUAL_SHARE * ratio)
    return np.where(np.isnan(score), 0.0, odds)


def water_odds(own: float, agreement: float) -> float:
    """Return the weight of something that befell the water: what speaks for it, and the rest of the visit.

    Parameters
    ----------
    own : float
        What speaks for the explanation itself. [log odds] Unless it does, the rest of the visit adds nothing.
    agreement : float
        What the rest of the visit speaks for the water itself. [log odds] Its silence counts half.

    Examples
    --------
    >>> water_odds(4.0, 3.0), water_odds(4.0, -2.0), water_odds(1.0, 3.0)
    (7.0, 3.0, 1.0)
    """
    if own < SPEAKS:
        return own
    return own + (agreement if agreement > 0 else SILENCE_COUNTS * agreement)


def slip_odds(own: float, agreement: float) -> float:
    """Return the weight of a slip: what speaks for it, and that the rest of the visit does not go along.

    Parameters
    ----------
    own : float
        What speaks for the slip itself. [log odds] Where nothing does, a disagreement does not either.
    agreement : float
        What the rest of the visit speaks for the water itself. [log odds]

    Examples
    --------
    >>> slip_odds(2.0, -3.0), slip_odds(-1.0, -3.0), slip_odds(2.0, 3.0)
    (5.0, -1.0, -1.0)
    """
    return own - agreement if own > 0 or agreement > 0 else own


def verdict(own: float, weight: float | None = None) -> Verdict:
    """Return what a line says.

    Parameters
    ----------
    own : float
        What the line's own numbers speak. [log odds] Only they speak against: a sentence must bear it out.
    weight : float, optional
        The same with all else; `own` when left out. [log odds]

    Examples
    --------
    >>> verdict(2.5), verdict(0.0), verdict(-3.0), verdict(2.5, -3.0)
    ('for', 'cannot_tell', 'against', 'cannot_tell')
    """
    if (own if weight is None else weight) >= SPEAKS:
        return "for"
    return "against" if own <= -SPEAKS else "cannot_tell"
