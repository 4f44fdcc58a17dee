"""The documented list of what columns, units, marks and words are called: `headings.toml`."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from explorer.intake.heading_forms import folded, folded_unit
from explorer.intake.headings import KINDS, HeadingNames
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.units import UNITS

__all__ = ["documented_names", "listed_names", "longest_first"]

_FILE = Path(__file__).with_name("headings.toml")


@cache
def listed_names() -> Mapping[str, Any]:
    """Return the documented list, `headings.toml`.

    Examples
    --------
    >>> "site" in listed_names()["everywhere"]["station"]
    True
    """
    return tomllib.loads(_FILE.read_text(encoding="utf-8"))


def documented_names(quantities: Mapping[str, Quantity] = QUANTITIES) -> HeadingNames:
    """Return the documented names of columns, quantities, units, marks and words.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        The programme's quantities by code.

    Examples
    --------
    >>> documented_names().unit_of("tenths of feet")
    'ft'
    """
    listed = listed_names()
    roles = {kind: {**_by_name(listed["everywhere"]), **_by_name(listed[kind])} for kind in KINDS}
    quantity_names = {
        folded(name): each.code
        for each in reversed(tuple(quantities.values()))  # the first of two with one name keeps it
        for name in reversed((each.code, each.name, *each.names))
    }
    for code, more in listed["quantities"].items():
        for name in more if code in quantities else ():
            quantity_names.setdefault(folded(name), code)
    units = {
        folded_unit(spelling): unit.name
        for unit in UNITS.values()
        for spelling in (unit.name, *unit.spellings)
    }
    units |= {folded_unit(spelling): name for spelling, name in listed["units"].items()}
    words = {key: longest_first(texts) for key, texts in listed["words"].items()}
    return HeadingNames(
        roles, quantity_names, units, {}, frozenset(), listed["qualifiers"], words, quantities
    )


def _by_name(roles: Mapping[str, list[str]]) -> dict[str, str]:
    return {folded(name): role for role, names in roles.items() for name in names}


def longest_first(words: Iterable[str]) -> tuple[str, ...]:
    """Return words in the order in which they are looked for: a longer one may hold a shorter.

    Examples
    --------
    >>> longest_first(["bottom", "on bottom"])
    ('on bottom', 'bottom')
    """
    return tuple(sorted({word.casefold() for word in words}, key=lambda word: (-len(word), word)))
