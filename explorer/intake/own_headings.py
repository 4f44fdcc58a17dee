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
from explorer.model.errors import ProgrammeError, did_you_mean
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.units import UNITS

__all__ = ["heading_names"]

QUALIFIER_MEANINGS = ("below", "above", "estimated", "rejected", "kept")


def heading_names(
    own: Mapping[str, Any] | None = None,
    quantities: Mapping[str, Quantity] = QUANTITIES,
    file_name: str = "programme.toml",
) -> HeadingNames:
    """Return the documented names, with a programme's own added to them.

    Parameters
    ----------
    own : mapping, optional
        The table [headings] of the programme's settings.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    file_name : str
        Name of the settings for messages.

    Raises
    ------
    ProgrammeError
        If the table names no role or quantity, no unit or no meaning of a mark; with the nearest.

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
    return _extended(known, own, file_name) if own else known


def _extended(known: HeadingNames, own: Mapping[str, Any], file_name: str) -> HeadingNames:
    roles = {kind: dict(names) for kind, names in known.roles.items()}
    quantity_names, left_out = dict(known.quantity_names), set(known.left_out)
    all_roles = {role for names in known.roles.values() for role in names.values()}
    for key, value in own.items():
        if key in ("units", "qualifiers", "words"):
            continue
        names = [folded(name) for name in _texts(key, value, file_name)]
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
            raise _wrong(file_name, key, "there is no such column", [*all_roles, *known.quantities])
    stated = {
        folded(heading): _unit(known, heading, unit, file_name)
        for heading, unit in _pairs(own, "units", file_name)
    }
    marks = dict(known.qualifiers)
    for mark, meaning in _pairs(own, "qualifiers", file_name):
        if meaning not in QUALIFIER_MEANINGS:
            raise _wrong(
                file_name,
                f"qualifiers.{mark}",
                f'"{meaning}" is no meaning',
                QUALIFIER_MEANINGS,
                str(meaning),
            )
        marks[mark.upper()] = str(meaning)
    words = dict(known.words)
    for key, more in _pairs(own, "words", file_name):
        if key not in words:
            raise _wrong(file_name, f"words.{key}", "there are no such words", words)
        words[key] = longest_first([*words[key], *_texts(key, more, file_name)])
    return HeadingNames(
        roles, quantity_names, known.units, stated, frozenset(left_out), marks, words, known.quantities
    )


def _texts(key: str, value: object, file_name: str) -> list[str]:
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return value
    raise ProgrammeError(
        f'{file_name}, "headings.{key}": found {value!r}. Write a list of texts: ["one", "two"].'
    )


def _pairs(own: Mapping[str, Any], key: str, file_name: str) -> Iterable[tuple[str, Any]]:
    table = own.get(key, {})
    if not isinstance(table, Mapping):
        raise ProgrammeError(
            f'{file_name}, "headings.{key}": write a table [headings.{key}], its lines below.'
        )
    return table.items()


def _unit(known: HeadingNames, heading: str, unit: object, file_name: str) -> str:
    found = known.unit_of(unit) if isinstance(unit, str) else ""
    if not found:
        raise _wrong(file_name, f"units.{heading}", f"{unit!r} is no unit", UNITS, str(unit))
    return found


def _wrong(file_name: str, key: str, what: str, known: Iterable[str], word: str = "") -> ProgrammeError:
    """Return the error for a key or, where one is given, for the word that it is set to."""
    names = sorted(known)
    question = did_you_mean(word or key.rpartition(".")[2], names)
    return ProgrammeError(f'{file_name}, "headings.{key}": {what}.{question} There are {", ".join(names)}.')
