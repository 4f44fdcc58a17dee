"""The reader's choice as the part of a page's address after "#", so that a link shows the same view."""

import re
from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

from explorer.model.calendar import Period

__all__ = ["View", "address_of", "view_of"]

LONGEST_ADDRESS = 2000
_NAMES = {
    "station": "station",
    "seasons": "period",
    "classes": "scheme",
    "depths": "length_unit",
    "scale": "scale",
    "map": "map_shows",
    "beside": "beside",
    "text": "text_size",
    "theme": "theme",
}


@dataclass(frozen=True, slots=True)
class View:
    """What an address says; empty or None where it says nothing.

    Attributes
    ----------
    station, scheme, length_unit, scale, map_shows, beside, text_size, theme : str
        As chosen; whether there is such a station or scheme is for the screen to say.
    period : Period or None
        Picked seasons.
    """

    station: str = ""
    period: Period | None = None
    scheme: str = ""
    length_unit: str = ""
    scale: str = ""
    map_shows: str = ""
    beside: str = ""
    text_size: str = ""
    theme: str = ""


def address_of(view: View) -> str:
    """Return the address of a view, without the leading "#".

    Examples
    --------
    >>> address_of(View(station="HM 1", period=Period(2020, 2024), length_unit="ft"))
    'station=HM+1&seasons=2020-2024&depths=ft'
    """
    values = {key: getattr(view, name) for key, name in _NAMES.items()}
    if view.period is not None:
        values["seasons"] = f"{view.period.first_year}-{view.period.last_year}"
    return urlencode({key: value for key, value in values.items() if value})


def view_of(address: str) -> View:
    """Return what an address says; what cannot be read is passed over.

    Parameters
    ----------
    address : str
        What stands after "#", with or without it.

    Examples
    --------
    >>> view_of("#station=HM+1&seasons=2020-2024&x=1")
    View(station='HM 1', period=Period(first_year=2020, last_year=2024), ...)
    >>> view_of("seasons=2024-2020").period is None
    True
    """
    pairs = parse_qsl(address.removeprefix("#")[:LONGEST_ADDRESS], max_num_fields=None)
    said = {_NAMES[key]: value for key, value in pairs if key in _NAMES}
    period = re.fullmatch(r"(\d{4})-(\d{4})", said.pop("period", ""), re.ASCII)
    ends = tuple(int(end) for end in period.groups()) if period else (1, 0)
    return View(**said, period=Period(*ends) if ends[0] <= ends[1] else None)
