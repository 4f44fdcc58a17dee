"""Changes as text: to two digits that count, with the unit of what changes."""

import numpy as np

from explorer.display.numbers import display_factor, display_unit, number_text
from explorer.model.quantities import Quantity

__all__ = ["change_text", "two_digits"]


def two_digits(value: float, like: float | None = None, language: str = "en") -> str:
    """Return a number to two digits that count, or to the decimals of another.

    Parameters
    ----------
    value : float
        Number to show.
    like : float, optional
        Number whose decimals are taken.
    language : str
        Language whose decimal mark is taken.

    Examples
    --------
    >>> two_digits(0.0527), two_digits(12.3), two_digits(0.31, like=1.27)
    ('0.053', '12', '0.3')
    """
    size = abs(value if like is None else like)
    decimals = 0 if size == 0 else max(0, 1 - int(np.floor(np.log10(size))))
    return number_text(value, decimals, language)


def change_text(
    value: float,
    quantity: Quantity,
    length_unit: str,
    *,
    like: float | None = None,
    with_unit: bool = True,
    language: str = "en",
) -> str:
    """Return a change to two digits that count.

    Parameters
    ----------
    value : float
        The change. [record unit, or record unit per year]
    quantity : Quantity
        Of what.
    length_unit : {"m", "ft"}
        The reader's choice for depths.
    like : float, optional
        Another change whose decimals are taken. [as value]
    with_unit : bool
        Whether the unit stands behind it.
    language : str
        Language whose decimal mark is taken.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> change_text(0.0527, QUANTITIES["secchi_depth"], "m").replace(chr(160), " ")
    '0.053 m'
    """
    factor, unit = display_factor(quantity, length_unit), display_unit(quantity, length_unit)
    number = two_digits(value * factor, None if like is None else like * factor, language)
    return number if unit == "pH" or not with_unit else f"{number}\N{NO-BREAK SPACE}{unit}"
