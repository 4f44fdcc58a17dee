"""Units that files are written in, their spellings, and the one conversion into the record's units."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from explorer.model.errors import unknown_name

__all__ = ["FOOT_M", "UNITS", "Unit", "convert", "find_unit"]

FOOT_M = 0.3048  # [m] international foot, exact (1959 agreement; NIST SP 811, appendix B)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of measurement and how it turns into the base unit of its dimension.

    Attributes
    ----------
    name : str
        As the explorer writes it.
    dimension : str
        Units of one dimension convert into each other.
    factor : float
        Base units in one of this unit.
    offset : float
        Added before the factor is applied (temperature only).
    spellings : tuple of str
        Other ways of writing it.
    """

    name: str
    dimension: str
    factor: float = 1.0
    offset: float = 0.0
    spellings: tuple[str, ...] = ()


# Abridged standard atomic weights (IUPAC 2021, Pure Appl. Chem. 94, table 2). [g/mol]
HYDROGEN, NITROGEN, OXYGEN, PHOSPHORUS = 1.008, 14.007, 15.999, 30.974

_ALL = (
    Unit("m", "length", 1.0, 0.0, ("meter", "meters", "metre", "metres")),
    Unit("cm", "length", 0.01, 0.0, ("centimeter", "centimetre", "centimeters", "centimetres")),
    Unit("mm", "length", 0.001, 0.0, ("millimeter", "millimetre", "millimeters", "millimetres")),
    Unit("ft", "length", FOOT_M, 0.0, ("foot", "feet")),
    Unit("in", "length", FOOT_M / 12, 0.0, ("inch", "inches")),
    Unit("µg/L", "concentration", 1.0, 0.0, (
        "ug/l", "ug l-1", "µg l-1", "mg/m3", "mg/m³", "ppb", "µg/l as p", "µg/l as n", "ug/l as p",
        "ug/l as n")),
    Unit("mg/L", "concentration", 1000.0, 0.0, (
        "mg l-1", "g/m3", "g/m³", "ppm", "mg/l as p", "mg/l as n", "mg/l asp", "mg/l asn")),
    # As ions: nitrogen and phosphorus count by the share of their mass (IUPAC abridged atomic weights 2021).
    Unit("mg/L as NO3", "concentration", 1000.0 * NITROGEN / (NITROGEN + 3 * OXYGEN), 0.0, ("mg/l asno3",)),
    Unit("mg/L as NO2", "concentration", 1000.0 * NITROGEN / (NITROGEN + 2 * OXYGEN), 0.0, ("mg/l asno2",)),
    Unit("mg/L as NH4", "concentration", 1000.0 * NITROGEN / (NITROGEN + 4 * HYDROGEN), 0.0, ("mg/l asnh4",)),
    Unit("mg/L as NH3", "concentration", 1000.0 * NITROGEN / (NITROGEN + 3 * HYDROGEN), 0.0, ("mg/l asnh3",)),
    Unit("mg/L as PO4", "concentration", 1000.0 * PHOSPHORUS / (PHOSPHORUS + 4 * OXYGEN), 0.0,
         ("mg/l aspo4",)),
    Unit("ng/L", "concentration", 0.001),
    Unit("°C", "temperature", 1.0, 0.0, ("deg c", "degc", "c", "celsius")),
    Unit("°F", "temperature", 5 / 9, -32.0, ("deg f", "degf", "f", "fahrenheit")),
    Unit("µS/cm", "conductivity", 1.0, 0.0, ("us/cm", "us/cm @25c", "umho/cm", "umhos/cm", "µmho/cm")),
    Unit("mS/cm", "conductivity", 1000.0),
    Unit("mS/m", "conductivity", 10.0),
    Unit("NTU", "turbidity", 1.0, 0.0, ("ntu/fnu",)),
    Unit("FNU", "turbidity fnu"),
    Unit("PCU", "colour", 1.0, 0.0, ("pt-co", "mg pt/l", "hazen")),
    Unit("mg/L CaCO3", "alkalinity", 1.0, 0.0, ("mg/l as caco3", "mg/l caco3")),
    Unit("%", "share", 1.0, 0.0, ("percent", "% saturatn", "% saturation")),
    Unit("pH", "acidity", 1.0, 0.0, ("std units", "standard units", "none")),
    Unit("mL", "volume", 1.0, 0.0, ("ml", "millilitre", "milliliter")),
    Unit("L", "volume", 1000.0, 0.0, ("litre", "liter")),
)  # fmt: skip

UNITS = {unit.name: unit for unit in _ALL}


def _folded(text: str) -> str:
    return " ".join(text.replace("μ", "µ").casefold().split())


_BY_SPELLING = {_folded(spelling): unit for unit in _ALL for spelling in (unit.name, *unit.spellings)}


def find_unit(text: str) -> Unit:
    """Return the unit that a text names, whatever its spelling.

    Parameters
    ----------
    text : str
        As written: "ug/l", "Feet", "mg/L".

    Raises
    ------
    UnknownNameError
        If no unit is written so; the message names the nearest.

    Examples
    --------
    >>> find_unit("ug/l").name
    'µg/L'
    >>> find_unit("furlong")
    Traceback (most recent call last):
    explorer.model.errors.UnknownNameError: No unit "furlong" among the units. There are 26: ...
    """
    unit = _BY_SPELLING.get(_folded(text))
    if unit is None:
        raise unknown_name("unit", text, UNITS, "among the units")
    return unit


def convert(values: npt.ArrayLike, written: str, wanted: str) -> npt.NDArray[np.float64]:
    """Return numbers in another unit of the same dimension.

    Parameters
    ----------
    values : array_like, shape (...)
        Numbers in the written unit; NaN stays NaN.
    written, wanted : str
        Units, in any spelling.

    Returns
    -------
    ndarray, shape (...)
        The same numbers in the wanted unit.

    Raises
    ------
    UnknownNameError
        If a unit is not known.
    ValueError
        If the units measure different things.

    References
    ----------
    .. [1] NIST Special Publication 811, appendix B (1 ft = 0.3048 m exactly).

    Examples
    --------
    >>> convert([10.0], "ft", "m").tolist()
    [3.048]
    >>> convert([0.05], "mg/L", "ug/L").tolist()
    [50.0]
    """
    source, target = find_unit(written), find_unit(wanted)
    numbers = np.asarray(values, dtype=np.float64)
    if source is target:
        return numbers.copy()
    if source.dimension != target.dimension:
        raise ValueError(
            f"{source.name} measures {source.dimension} and {target.name} {target.dimension}: "
            f"one cannot be turned into the other. Correct the unit."
        )
    return (numbers + source.offset) * (source.factor / target.factor) - target.offset
