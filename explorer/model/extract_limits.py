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

from explorer.model.setting_checks import Wrong, check_keys, checked_number, checked_word

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


def read_extract_limit(entry: Mapping[str, Any], wrong: Wrong) -> ExtractLimit:
    """Return the limit that a table [[quality.extract_limits]] writes down.

    Parameters
    ----------
    entry : mapping
        The table.
    wrong : callable
        Makes the error for a key and what is wrong with it.

    Raises
    ------
    ProgrammeError
        If a key is unknown or missing, or a value is wrong.

    Examples
    --------
    >>> from explorer.model.errors import ProgrammeError
    >>> table = {"quantity": "chlorophyll_a", "limit_ug_per_l": 3.0, "volume_filtered_ml": 200,
    ...          "extract_volume_ml": 20, "source": "Quality plan"}
    >>> read_extract_limit(table, lambda key, what: ProgrammeError(what)).path_length_cm
    1.0
    """
    keys = ("quantity", *_BOUNDS, "source")
    check_keys(entry, keys, "a limit of an extract", wrong)
    lacking = [key for key in keys if key not in entry and key != "path_length_cm"]
    if lacking:
        raise wrong("extract_limits", f"{', '.join(lacking)} is missing. Write all of {', '.join(keys)}.")
    quantity = checked_word(entry, "quantity", "", EXTRACTED, wrong)
    numbers = {key: checked_number(entry, key, 1.0, bounds, wrong) for key, bounds in _BOUNDS.items()}
    return ExtractLimit(quantity=quantity, source=str(entry["source"]), **numbers)
