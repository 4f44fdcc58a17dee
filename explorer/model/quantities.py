"""The quantities that a programme measures: unit in the record, decimals, direction, plausible range."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.model.errors import unknown_name

__all__ = ["QUANTITIES", "Quantity", "find_quantity", "name_in_sentence"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured quantity.

    Attributes
    ----------
    code : str
        Its name in the record.
    name : str
        Its name on a screen.
    unit : str
        Unit in the record; every reading is converted once, at intake.
    decimals : int
        Digits after the point when it is shown.
    higher_is_worse : bool or None
        Direction of nutrient enrichment; None where the quantity has none.
    plausible : tuple of float
        Lowest and highest value to be taken without a question. [unit]
    log_scale : bool
        Whether spread and usual range are computed on a logarithmic scale.
    exchange_name : str
        Characteristic name of the Water Quality Exchange (WQX) standard.
    exchange_fraction : str
        Sample fraction of that standard, empty where it has none.
    names : tuple of str
        Other names found in headings.
    """

    code: str
    name: str
    unit: str
    decimals: int
    higher_is_worse: bool | None
    plausible: tuple[float, float]
    log_scale: bool
    exchange_name: str = ""
    exchange_fraction: str = ""
    names: tuple[str, ...] = ()


# Plausible ranges are common practice: wide enough for every water between a clear mountain lake and a
# bloom in a duck pond; a value outside is asked about, never refused.
_ALL = (
    Quantity("secchi_depth", "Clarity", "m", 1, False, (0.05, 40.0), True,
             "Depth, Secchi disk depth", "", ("secchi", "secchi depth", "secchi disk depth", "transparency")),
    Quantity("transparency_tube", "Clarity in the tube", "cm", 0, False, (1.0, 130.0), True,
             "Transparency, tube with disk", "", ("tube", "transparency tube", "tube depth")),
    Quantity("chlorophyll_a", "Chlorophyll a", "µg/L", 1, True, (0.05, 1000.0), True,
             "Chlorophyll a, corrected for pheophytin", "", ("chl a corrected", "chlorophyll a corrected")),
    Quantity("chlorophyll_a_uncorrected", "Chlorophyll a, uncorrected", "µg/L", 1, True, (0.05, 1000.0), True,
             "Chlorophyll a", "", ("chl a", "chla", "chlorophyll", "chlorophyll-a")),
    Quantity("pheophytin_a", "Pheophytin a", "µg/L", 1, None, (-20.0, 500.0), False,
             "Pheophytin a", "", ("pheo a", "phaeophytin a", "pheophytin")),
    Quantity("total_phosphorus", "Total phosphorus", "µg/L", 0, True, (0.5, 5000.0), True,
             "Phosphorus", "Total", ("tp", "total p", "phosphorus, total")),
    Quantity("total_nitrogen", "Total nitrogen", "µg/L", 0, True, (20.0, 30000.0), True,
             "Nitrogen", "Total", ("tn", "total n", "nitrogen, total")),
    Quantity("nitrate_nitrite", "Nitrate and nitrite", "µg/L", 0, True, (0.5, 30000.0), True,
             "Inorganic nitrogen (nitrate and nitrite)", "", ("no3+no2", "nitrate+nitrite", "nox", "nno")),
    Quantity("ammonia", "Ammonia", "µg/L", 0, True, (0.5, 20000.0), True,
             "Ammonia", "", ("nh3", "nh4", "ammonium", "ammonia nitrogen")),
    Quantity("orthophosphate", "Orthophosphate", "µg/L", 0, True, (0.5, 3000.0), True,
             "Orthophosphate", "", ("ortho-p", "srp", "po4", "soluble reactive phosphorus")),
    Quantity("true_colour", "True colour", "PCU", 0, None, (0.0, 500.0), True,
             "True color", "", ("colour", "color", "true color")),
    Quantity("turbidity", "Turbidity", "NTU", 1, None, (0.0, 1000.0), True,
             "Turbidity", "", ("turb",)),
    Quantity("alkalinity", "Alkalinity", "mg/L CaCO3", 0, None, (-5.0, 500.0), False,
             "Alkalinity, total", "", ("total alkalinity", "alk")),
    Quantity("water_temperature", "Water temperature", "°C", 1, None, (-0.5, 35.0), False,
             "Temperature, water", "", ("temperature", "water temp", "temp")),
    Quantity("dissolved_oxygen", "Dissolved oxygen", "mg/L", 1, None, (0.0, 25.0), False,
             "Dissolved oxygen (DO)", "", ("do", "o2", "oxygen", "dissolved oxygen")),
    Quantity("oxygen_saturation", "Oxygen saturation", "%", 0, None, (0.0, 200.0), False,
             "Dissolved oxygen saturation", "", ("do sat", "oxygen saturation", "do %")),
    Quantity("ph", "pH", "pH", 1, None, (3.0, 11.0), False, "pH", "", ("acidity",)),
    Quantity("conductivity", "Specific conductance", "µS/cm", 0, None, (1.0, 60000.0), False,
             "Specific conductance", "", ("conductivity", "specific conductivity", "cond", "spc")),
)  # fmt: skip

QUANTITIES: Mapping[str, Quantity] = {quantity.code: quantity for quantity in _ALL}


def _folded(text: str) -> str:
    return " ".join(text.replace("_", " ").casefold().split())


def find_quantity(text: str, quantities: Mapping[str, Quantity] = QUANTITIES) -> Quantity:
    """Return the quantity that a code, a name or a heading without its unit stands for.

    Parameters
    ----------
    text : str
        As written: "TP", "Secchi depth", "total_phosphorus".
    quantities : mapping
        The programme's quantities by code.

    Raises
    ------
    UnknownNameError
        If no quantity goes by that name; the message names the nearest.

    Examples
    --------
    >>> find_quantity("TP").code
    'total_phosphorus'
    >>> find_quantity("secchi dept")
    Traceback (most recent call last):
    explorer.model.errors.UnknownNameError: No quantity "secchi dept" among the quantities. Did you ...
    """
    wanted = _folded(text)
    for quantity in quantities.values():
        if wanted in {_folded(name) for name in (quantity.code, quantity.name, *quantity.names)}:
            return quantity
    known = [name for quantity in quantities.values() for name in (quantity.name, *quantity.names)]
    raise unknown_name("quantity", text, known, "among the quantities")


def name_in_sentence(quantity: Quantity) -> str:
    """Return a quantity's name as it stands inside a sentence; names such as pH and DOC stay as they are.

    Parameters
    ----------
    quantity : Quantity
        Whose name.

    Examples
    --------
    >>> name_in_sentence(QUANTITIES["chlorophyll_a"]), name_in_sentence(QUANTITIES["ph"])
    ('chlorophyll a', 'pH')
    """
    first = quantity.name.partition(" ")[0]
    plain = len(first) > 1 and first[1:].islower() and first[1:].isalpha()
    return quantity.name[:1].lower() + quantity.name[1:] if plain else quantity.name
