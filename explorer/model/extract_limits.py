"""Down to which concentration an instrument measures, for the extract that its limit is stated for.

In a programme's `programme.toml`, for chlorophyll that is computed from absorbances or fluorescences:

    [[quality.extract_limits]]
    quantity = "chlorophyll_a"          # or "chlorophyll_a_uncorrected"
    limit_ug_per_l = 3.0                # in the lake, for the volumes and the path below
    volume_filtered_ml = 200
    extract_volume_ml = 20
    path_length_cm = 1                  # of a spectrophotometer's cell
    source = "Quality plan of 2024, table 5"
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from explorer.model.setting_checks import Mistakes, check_keys, checked_number, checked_word
from explorer.model.setting_place import SettingPlace

__all__ = ["ExtractLimit", "read_extract_limit"]

EXTRACTED = ("chlorophyll_a", "chlorophyll_a_uncorrected")

_BOUNDS: Mapping[str, tuple[float, float]] = {
    "limit_ug_per_l": (1e-4, 1e3),
    "volume_filtered_ml": (1.0, 1e5),
    "extract_volume_ml": (0.1, 1e3),
    "path_length_cm": (0.1, 20.0),
}


@dataclass(frozen=True, slots=True)
class ExtractLimit:
    """A detection limit, and the extract that it is stated for.

    Attributes
    ----------
    quantity : str
        Code of what is computed.
    limit_ug_per_l : float
        Detection limit in the lake. [µg/L]
    volume_filtered_ml, extract_volume_ml : float
        Volumes that it holds for. [mL]
    path_length_cm : float
        Path of the light that it holds for. [cm] Nothing to fluorescences.
    source : str
        Where it is written.
    """

    quantity: str
    limit_ug_per_l: float
    volume_filtered_ml: float
    extract_volume_ml: float
    path_length_cm: float
    source: str


def read_extract_limit(entry: Mapping[str, Any], place: SettingPlace) -> ExtractLimit:
    """Return the limit that a table [[quality.extract_limits]] writes down.

    Parameters
    ----------
    entry : mapping
        The table.
    place : SettingPlace
        Where the table stands.

    Raises
    ------
    ProgrammeError
        If keys are unknown or missing, or values wrong: all of them.

    Examples
    --------
    >>> table = {"quantity": "chlorophyll_a", "limit_ug_per_l": 3.0, "volume_filtered_ml": 200,
    ...          "extract_volume_ml": 20, "source": "Quality plan"}
    >>> read_extract_limit(table, SettingPlace()).path_length_cm
    1.0
    """
    keys = ("quantity", *_BOUNDS, "source")
    mistakes = Mistakes()
    mistakes.read(check_keys, entry, keys, "a limit of an extract", place)
    lacking = [key for key in keys if key not in entry and key != "path_length_cm"]
    with mistakes.gathered():
        if lacking:
            raise place("", f"{', '.join(lacking)} is missing. Write all of {', '.join(keys)}.")
    quantity = mistakes.read(checked_word, entry, "quantity", EXTRACTED[0], EXTRACTED, place)
    numbers = {
        key: mistakes.read(checked_number, entry, key, 1.0, bounds, place) for key, bounds in _BOUNDS.items()
    }
    mistakes.refuse()
    return ExtractLimit(quantity=quantity, source=str(entry["source"]), **numbers)
