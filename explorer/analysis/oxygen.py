"""Oxygen that water holds in balance with air, and a reading's share of it.

The pressure that counts is the one at the lake. It is measured there, or follows from the altitude; a weather
report gives pressure at sea level, and with that and the altitude the lake's height would count twice.
"""

import numpy as np
import pandas as pd

__all__ = ["oxygen_saturation", "oxygen_solubility", "standard_pressure"]

ZERO_CELSIUS_K = 273.15
STANDARD_PRESSURE_HPA = 1013.25

# Benson & Krause 1984 as in USGS Technical Memorandum 2011.03 and Standard Methods 4500-O: ln of mg/L over
# powers of 1/K, at one atmosphere; and the decrease for each unit of salinity.
BENSON_KRAUSE = (-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)
BENSON_KRAUSE_SALINITY = (1.7674e-2, -10.754, 2140.7)
# The same sources: vapour pressure of water in atmospheres (ln over powers of 1/K), and θ (powers of °C).
VAPOUR_PRESSURE = (11.8571, -3840.70, -216961.0)
PRESSURE_TERM = (0.000975, -1.426e-5, 6.436e-8)

# Standard atmosphere (ISO 2533:1975), below 11 km: share of pressure left at an altitude.
STANDARD_LAPSE_PER_M, STANDARD_EXPONENT = 2.25577e-5, 5.25588
LOWEST_HPA, HIGHEST_HPA = 400.0, 1100.0  # at lakes on Earth; others are in another unit (common practice)

Number = pd.Series | float


def standard_pressure(altitude_m: Number) -> Number:
    """Return the air pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude_m : Series, shape (n,), or float
        Height above sea level. [m]

    Returns
    -------
    Series, shape (n,), or float
        Pressure. [hPa]

    References
    ----------
    .. [1] ISO 2533:1975, standard atmosphere.

    Examples
    --------
    >>> round(standard_pressure(500.0), 1)
    954.6
    """
    pressure: Number = STANDARD_PRESSURE_HPA * (1 - STANDARD_LAPSE_PER_M * altitude_m) ** STANDARD_EXPONENT
    return pressure


def oxygen_solubility(
    water_temperature_degc: pd.Series,
    *,
    pressure_hpa: Number | None = None,
    altitude_m: Number | None = None,
    salinity: Number = 0.0,
) -> pd.Series:
    """Return the oxygen that water holds in balance with air.

    Parameters
    ----------
    water_temperature_degc : Series, shape (n,)
        Water temperature. [°C] NaN where none was taken.
    pressure_hpa : Series, shape (n,), or float
        Air pressure measured at the lake. [hPa] Never together with the altitude.
    altitude_m : Series, shape (n,), or float
        Altitude of the lake, from which the pressure follows. [m]
    salinity : Series, shape (n,), or float
        On the practical scale. [1]

    Returns
    -------
    Series, shape (n,), same index
        Dissolved oxygen at saturation. [mg/L] NaN where the temperature is.

    Raises
    ------
    ValueError
        If both pressure and altitude are given, or neither, or a pressure that no lake has.

    References
    ----------
    .. [1] B. B. Benson and D. Krause, "The concentration and isotopic fractionation of oxygen dissolved in
       freshwater and seawater in equilibrium with the atmosphere," Limnol. Oceanogr., vol. 29, no. 3,
       pp. 620-632, 1984; as in USGS Office of Water Quality Technical Memorandum 2011.03.

    Examples
    --------
    >>> oxygen_solubility(pd.Series([0.0, 20.0]), altitude_m=0.0).round(3).tolist()
    [14.621, 9.092]
    >>> oxygen_solubility(pd.Series([20.0]), altitude_m=500.0, pressure_hpa=1013.0)
    Traceback (most recent call last):
    ValueError: Give the pressure at the lake or its altitude, one of the two. ...
    """
    pressure_atm = _pressure_at_the_lake(pressure_hpa, altitude_m) / STANDARD_PRESSURE_HPA
    inverse_k = 1.0 / (water_temperature_degc + ZERO_CELSIUS_K)
    logarithm = _powers(BENSON_KRAUSE, inverse_k) - salinity * _powers(BENSON_KRAUSE_SALINITY, inverse_k)
    vapour_atm = np.exp(_powers(VAPOUR_PRESSURE, inverse_k))
    theta = _powers(PRESSURE_TERM, water_temperature_degc)
    at_pressure = (1 - vapour_atm / pressure_atm) * (1 - theta * pressure_atm)
    solubility: pd.Series = np.exp(logarithm) * pressure_atm * at_pressure / ((1 - vapour_atm) * (1 - theta))
    return solubility


def oxygen_saturation(
    dissolved_oxygen_mg_per_l: pd.Series,
    water_temperature_degc: pd.Series,
    *,
    pressure_hpa: Number | None = None,
    altitude_m: Number | None = None,
    salinity: Number = 0.0,
) -> pd.Series:
    """Return dissolved oxygen as a share of what the water holds in balance with air.

    Parameters
    ----------
    dissolved_oxygen_mg_per_l : Series, shape (n,)
        [mg/L] NaN where none was taken.
    water_temperature_degc : Series, shape (n,)
        [°C]
    pressure_hpa, altitude_m, salinity : as in `oxygen_solubility`
        Of the lake: pressure or altitude, never both. [hPa], [m], [1]

    Returns
    -------
    Series, shape (n,), same index
        Saturation. [%] NaN where a reading is.

    Raises
    ------
    ValueError
        If both pressure and altitude are given, or neither, or a pressure that no lake has.

    References
    ----------
    .. [1] As in `oxygen_solubility`.

    Examples
    --------
    >>> oxygen_saturation(pd.Series([8.0]), pd.Series([20.0]), altitude_m=0.0).round(1).tolist()
    [88.0]
    """
    solubility = oxygen_solubility(
        water_temperature_degc, pressure_hpa=pressure_hpa, altitude_m=altitude_m, salinity=salinity
    )
    saturation: pd.Series = 100.0 * dissolved_oxygen_mg_per_l / solubility
    return saturation


def _pressure_at_the_lake(pressure_hpa: Number | None, altitude_m: Number | None) -> Number:
    if (pressure_hpa is None) == (altitude_m is None):
        raise ValueError(
            "Give the pressure at the lake or its altitude, one of the two. A weather report's pressure is "
            "that at sea level: leave it out and give the altitude."
        )
    pressure = standard_pressure(altitude_m) if altitude_m is not None else pressure_hpa
    assert pressure is not None
    series = pressure if isinstance(pressure, pd.Series) else pd.Series([pressure])
    outside = series[(series < LOWEST_HPA) | (series > HIGHEST_HPA)]
    if not outside.empty:
        raise ValueError(
            f"Air pressure at a lake lies between {LOWEST_HPA:g} and {HIGHEST_HPA:g} hPa; found "
            f"{outside.iloc[0]:g} at {outside.index[0]} ({len(outside)} in all). Give it in hPa."
        )
    return pressure


def _powers(coefficients: tuple[float, ...], base: pd.Series) -> pd.Series:
    total: pd.Series = sum((factor * base**power for power, factor in enumerate(coefficients)), base * 0.0)
    return total
