"""How a sample warms and cools, how long ice lasts, and how fast life in a bottle goes on."""

import numpy as np
import numpy.typing as npt

__all__ = ["COOL_DEGC", "ice_melted_kg", "life_pace", "temperature_after"]

Floats = npt.NDArray[np.float64]

MELTING_HEAT_J_PER_KG = 333_550.0  # [J/kg] ice at 0 °C (CRC Handbook of Chemistry and Physics, from memory)
COOL_DEGC = 6.0  # [°C] a cooled sample is not warmer (40 CFR 136.3, table II, from memory)
PACE_PER_TEN_DEGREES = 2.0  # [1] van 't Hoff's rule of thumb, common practice: twice to three times


def temperature_after(
    start_degc: npt.ArrayLike,
    surroundings_degc: npt.ArrayLike,
    minutes: npt.ArrayLike,
    time_constant_minutes: npt.ArrayLike,
) -> Floats:
    """Return the temperature of a body some time after it was brought elsewhere (Newton's law of cooling).

    Parameters
    ----------
    start_degc, surroundings_degc : array_like, shape (...)
        Temperature at first, and around it from then on. [°C]
    minutes : array_like, shape (...)
        Time since then. [min]
    time_constant_minutes : array_like, shape (...)
        Time after which the difference has fallen to 1/e. [min]

    Returns
    -------
    ndarray, shape (...)
        Temperature. [°C] What freezing and melting take up is left out.

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, section 5.1, the lumped
       capacitance method (from memory).

    Examples
    --------
    >>> temperature_after(20.0, 2.0, [0.0, 60.0], 60.0).round(2).tolist()
    [20.0, 8.62]
    """
    around = np.asarray(surroundings_degc, dtype=np.float64)
    left = np.exp(-np.asarray(minutes, dtype=np.float64) / np.asarray(time_constant_minutes))
    reached: Floats = around + (np.asarray(start_degc) - around) * left
    return reached


def ice_melted_kg(heat_w: npt.ArrayLike, minutes: npt.ArrayLike) -> Floats:
    """Return how much ice at its melting point a flow of heat melts.

    Parameters
    ----------
    heat_w : array_like, shape (...)
        Flow of heat into the ice. [W]
    minutes : array_like, shape (...)
        How long it flows. [min]

    Returns
    -------
    ndarray, shape (...)
        [kg]

    Examples
    --------
    >>> ice_melted_kg(30.0, [60.0, 180.0]).round(2).tolist()
    [0.32, 0.97]
    """
    seconds = 60.0 * np.asarray(minutes, dtype=np.float64)
    melted: Floats = np.asarray(heat_w) * seconds / MELTING_HEAT_J_PER_KG
    return melted


def life_pace(temperature_degc: npt.ArrayLike, reference_degc: npt.ArrayLike = COOL_DEGC) -> Floats:
    """Return how many times as fast living things in a sample go on as at a reference temperature.

    A rule of thumb for showing why cold matters, never for correcting a reading.

    Parameters
    ----------
    temperature_degc, reference_degc : array_like, shape (...)
        Temperature of the sample and the one it is compared with. [°C]

    Returns
    -------
    ndarray, shape (...)
        [1]

    Examples
    --------
    >>> life_pace([6.0, 26.0]).tolist()
    [1.0, 4.0]
    """
    warmer = np.asarray(temperature_degc, dtype=np.float64) - np.asarray(reference_degc)
    return np.asarray(PACE_PER_TEN_DEGREES ** (warmer / 10.0), dtype=np.float64)
