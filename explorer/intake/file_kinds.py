"""What the headings of each kind of file must have, and which columns of a table are its keys."""

from collections.abc import Set

from explorer.intake.headings import READING

__all__ = ["KEY_ROLES", "NUMBER_ROLES", "SAMPLE_ROLES", "missing_roles"]

SAMPLE_ROLES = frozenset(
    ("sample", "bottle", "filter", "bottle_duplicate", "filter_duplicate", "bottle_blank", "filter_blank")
)
_DISK = ("secchi_lowered", "secchi_raised")
_RAW = ("absorbance_664_before", "absorbance_664", "fluorescence_before")
_FIELD_ONLY = frozenset((*_DISK, "on_bottom", "weather", "wind", "air_temperature", "sunglasses"))

# Columns without any of which a row is none of its table; a sample's code besides.
KEY_ROLES = frozenset((READING, "result", "date", "frozen_on", *_DISK, *_RAW))
# Columns of numbers: they tell how decimals are written.
NUMBER_ROLES = frozenset(
    (READING, "result", "detection_limit", "reporting_limit", "depth_m", "bottom_depth", "volume_filtered",
     *_DISK)
)  # fmt: skip


def missing_roles(kind: str, roles: Set[str], readings: Set[str], *, has_title: bool) -> list[str]:
    """Return the roles without which a table is none of its kind.

    Parameters
    ----------
    kind : str
        One of `explorer.intake.headings.KINDS`.
    roles : set of str
        Roles of its columns, and those that the lines above it state.
    readings : set of str
        Codes of the quantities that it has columns for.
    has_title : bool
        Whether a title stands above, which may name the water.

    Examples
    --------
    >>> missing_roles("data_sheet", {"station"}, {"secchi_depth"}, has_title=False)
    ['date']
    """
    is_sampled, from_field = bool(roles & SAMPLE_ROLES), bool(roles & _FIELD_ONLY)
    if kind == "laboratory" and {"analyte", "result"} <= roles:
        needed = {"sample": is_sampled or "station" in roles}
    elif kind == "laboratory":
        has_results = bool(readings or roles & set(_RAW))
        needed = {
            "sample": is_sampled,
            "result": has_results and not from_field and "secchi_depth" not in readings,
        }
    elif kind == "freezer_log":
        needed = {"sample": is_sampled, "frozen_on": "frozen_on" in roles and not readings}
    elif kind == "probe":
        has_profile = bool(readings - {"secchi_depth"}) and not is_sampled and not from_field
        needed = {"depth_m": "depth_m" in roles, READING: has_profile}
    else:
        is_placed = bool(roles & {"station", "water"}) or has_title
        needed = {"station": is_placed, "date": "date" in roles}
    return [role for role, is_there in needed.items() if not is_there]
