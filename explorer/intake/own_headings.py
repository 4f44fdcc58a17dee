"""A programme's own names of columns, units, marks and words, with every mistake in them named.

In its `programme.toml`:

    [headings]
    station = ["paraje"]                # further names of a column, by its role …
    secchi_depth = ["disco"]            # … or by the quantity that it holds
    left_out = ["office use"]           # columns that are not to be read

    [headings.units]
    "disco" = "m"                       # the unit of a heading that does not say it

    [headings.qualifiers]
    "K" = "below"                       # what a laboratory's mark means

    [headings.words]
    on_bottom = ["al fondo"]            # further words in a cell
"""

from collections.abc import Iterable, Mapping
from typing import Any

from explorer.intake.heading_forms import folded
from explorer.intake.heading_list import documented_names, longest_first
from explorer.intake.headings import HeadingNames
from explorer.model.errors import did_you_mean
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.setting_checks import Mistakes
from explorer.model.setting_place import SettingPlace
from explorer.model.units import UNITS

__all__ = ["heading_names"]

QUALIFIER_MEANINGS = ("below", "above", "estimated", "rejected", "kept")


def heading_names(
    own: Mapping[str, Any] | None = None,
    quantities: Mapping[str, Quantity] = QUANTITIES,
    place: SettingPlace | None = None,
) -> HeadingNames:
    """Return the documented names, with a programme's own added to them.

    Parameters
    ----------
    own : mapping, optional
        The table [headings] of the programme's settings.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    place : SettingPlace, optional
        Of the settings, for messages; without it no line is named.

    Raises
    ------
    ProgrammeError
        For every name that is no role or quantity, no unit or no meaning of a mark; with the nearest.

    Examples
    --------
    >>> names = heading_names({"secchi_depth": ["disco"], "units": {"disco": "m"}})
    >>> names.meaning("Disco", "data_sheet").unit
    'm'
    >>> heading_names({"sechi_depth": ["disco"]})
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: programme.toml, "headings.sechi_depth": there is no such column. ...
    """
    known = documented_names(quantities)
    return _extended(known, own, (place or SettingPlace()).inside("headings")) if own else known


def _extended(known: HeadingNames, own: Mapping[str, Any], place: SettingPlace) -> HeadingNames:
    mistakes = Mistakes()
    roles = {kind: dict(names) for kind, names in known.roles.items()}
    quantity_names, left_out = dict(known.quantity_names), set(known.left_out)
    all_roles = {role for names in known.roles.values() for role in names.values()}
    for key, value in own.items():
        if key in ("units", "qualifiers", "words"):
            continue
        names = [folded(name) for name in mistakes.read(_texts, key, value, place) or ()]
        if key == "left_out":
            left_out.update(names)
        elif key in known.quantities:
            quantity_names |= dict.fromkeys(names, key)
            roles = {
                kind: {name: role for name, role in each.items() if name not in names}
                for kind, each in roles.items()
            }
        elif key in all_roles:
            for each in roles.values():
                each |= dict.fromkeys(names, key)
        else:
            mistakes.read(_known, key, key, {*all_roles, *known.quantities}, "there is no such column", place)
    stated = {
        folded(heading): mistakes.read(_unit, known, heading, unit, inner)
        for heading, unit, inner in mistakes.read(_pairs, own, "units", place) or ()
    }
    marks = dict(known.qualifiers)
    for mark, meaning, inner in mistakes.read(_pairs, own, "qualifiers", place) or ():
        what = f'"{meaning}" is no meaning'
        marks[mark.upper()] = mistakes.read(_known, mark, meaning, QUALIFIER_MEANINGS, what, inner)
    words = dict(known.words)
    for key, more, inner in mistakes.read(_pairs, own, "words", place) or ():
        mistakes.read(_known, key, key, words, "there are no such words", inner)
        words[key] = longest_first([*words.get(key, ()), *(mistakes.read(_texts, key, more, inner) or ())])
    mistakes.refuse()
    return HeadingNames(
        roles, quantity_names, known.units, stated, frozenset(left_out), marks, words, known.quantities
    )


def _texts(key: str, value: object, place: SettingPlace) -> list[str]:
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return value
    raise place(key, f'found {value!r}. Write a list of texts: ["one", "two"].')


def _pairs(own: Mapping[str, Any], key: str, place: SettingPlace) -> list[tuple[str, Any, SettingPlace]]:
    """Return the keys and values of a table, each with the table's place."""
    table = own.get(key, {})
    if not isinstance(table, Mapping):
        raise place(key, f"write a table [headings.{key}], its lines below.")
    return [(name, value, place.inside(key)) for name, value in table.items()]


def _unit(known: HeadingNames, heading: str, unit: object, place: SettingPlace) -> str:
    found = known.unit_of(unit) if isinstance(unit, str) else ""
    if not found:
        _known(heading, str(unit), UNITS, f"{unit!r} is no unit", place)
    return found


def _known(key: str, word: object, known: Iterable[str], what: str, place: SettingPlace) -> str:
    """Return a word that is known; refuse another with the nearest."""
    names = sorted(known)
    if isinstance(word, str) and word in names:
        return word
    question = did_you_mean(str(word), names)
    raise place(key, f"{what}.{question} There are {', '.join(names)}.")
