"""Every mistake in a class scheme's table, with its place and its cure."""

import re
from collections.abc import Mapping
from typing import Any, get_args

import numpy as np

from explorer.model.classes import Statistic, Window
from explorer.model.errors import did_you_mean
from explorer.model.places import WATER_KINDS
from explorer.model.quantities import Quantity
from explorer.model.setting_checks import Mistakes
from explorer.model.setting_place import SettingPlace

__all__ = ["check_scheme"]

FORMAT = 1
LARGEST_LIMIT = 1e12  # beyond it a number is a slip of the keys, whatever the unit

_LETTER = re.compile(r"[^\W\d_]{1,2}")

_KEYS: Mapping[str, type] = {
    "format": int, "name": str, "source": str, "note": str, "kinds": list, "classes": list, "letters": list,
    "priority": list, "limits": dict,
}  # fmt: skip
_LIMIT_KEYS: Mapping[str, type] = {
    "also_for": list, "statistic": str, "window": str, "upper": list, "boundary": str,
}  # fmt: skip
_OPTIONAL = ("note", "also_for")
_KIND_NAMES = {int: "a whole number", str: "text in quotes", list: "a list in [ ]", dict: "a table"}


def check_scheme(found: Mapping[str, Any], quantities: Mapping[str, Quantity], place: SettingPlace) -> None:
    """Refuse a table that is no class scheme.

    Parameters
    ----------
    found : mapping
        The table.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    place : SettingPlace
        Where the table stands.

    Raises
    ------
    ProgrammeError
        If keys are unknown or missing, or of another kind: all of them; else if values cannot be right: all
        of them.

    Examples
    --------
    >>> check_scheme({"name": 3}, {}, SettingPlace(file_name="county.toml"))
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: county.toml, "name": 3 is not text in quotes. Correct the value. ...
    """
    mistakes = Mistakes()
    mistakes.read(_check_keys, found, _KEYS, place)
    limits = found.get("limits")
    for code, entry in limits.items() if isinstance(limits, dict) else ():
        with mistakes.gathered():
            if not isinstance(entry, dict):
                what = f"limits are a table. Write [limits.{code}] with its keys below."
                raise place.inside("limits")(code, what)
            _check_keys(entry, _LIMIT_KEYS, place.inside("limits", code))
    mistakes.refuse()
    with mistakes.gathered():
        if found["format"] != FORMAT:
            raise place("format", f"this version reads format {FORMAT}; found {found['format']}.")
    mistakes.read(_check_names, found, place)
    limited = [each for code, entry in found["limits"].items() for each in (code, *entry.get("also_for", ()))]
    for code, entry in found["limits"].items():
        inner = place.inside("limits", code)
        mistakes.read(_check_limits, code, entry, len(found["classes"]), quantities, inner)
        with mistakes.gathered():
            for each in entry.get("also_for", ()):
                if isinstance(each, str) and each in found["limits"]:
                    raise inner("also_for", f'"{each}" has limits of its own. Take it out of one place.')
    for code in found["priority"]:
        with mistakes.gathered():
            if code not in limited:
                have = ", ".join(map(str, limited))
                raise place("priority", f'"{code}" has no limits here. Add [limits.{code}] or use {have}.')
    mistakes.refuse()


def _check_keys(entry: Mapping[str, Any], keys: Mapping[str, type], place: SettingPlace) -> None:
    mistakes = Mistakes()
    for key, value in entry.items():
        with mistakes.gathered():
            if key not in keys:
                question = did_you_mean(key, keys)
                raise place(key, f"there is no such key.{question} The keys are {', '.join(keys)}.")
            if not isinstance(value, keys[key]) or isinstance(value, bool):
                raise place(key, f"{value!r} is not {_KIND_NAMES[keys[key]]}. Correct the value.")
    for key in keys:
        with mistakes.gathered():
            if key not in entry and key not in _OPTIONAL:
                raise place("" if keys is _LIMIT_KEYS else key, f'the key "{key}" is missing. Add the line.')
    mistakes.refuse()


def _check_names(found: Mapping[str, Any], place: SettingPlace) -> None:
    classes, letters, mistakes = found["classes"], found["letters"], Mistakes()
    for key in ("kinds", "classes", "letters", "priority"):
        names = found[key]
        with mistakes.gathered():
            if not names or not all(isinstance(name, str) and name for name in names):
                raise place(key, f"found {names}. Write one or more names in quotes.")
            if len(set(names)) < len(names):
                raise place(key, f"found {names}. Each may stand once only.")
    mistakes.refuse()
    with mistakes.gathered():
        if len(classes) < 2:
            raise place("classes", f"found {len(classes)}. Name two classes or more, best to worst.")
    with mistakes.gathered():
        if len(letters) != len(classes) or not all(_LETTER.fullmatch(letter) for letter in letters):
            need = f"{len(classes)} classes need {len(classes)} marks of one or two letters"
            raise place("letters", f"{need}; found {letters}. Correct the list.")
    for kind in found["kinds"]:
        with mistakes.gathered():
            if kind not in WATER_KINDS:
                raise place("kinds", f'"{kind}" is no kind of water. They are {", ".join(WATER_KINDS)}.')
    with mistakes.gathered():
        if not found["limits"]:
            raise place("limits", "a scheme needs limits. Add a table such as [limits.secchi_depth].")
    mistakes.refuse()


def _check_limits(
    code: str, entry: Mapping[str, Any], classes: int, quantities: Mapping[str, Quantity], place: SettingPlace
) -> None:
    mistakes = Mistakes()
    for key, choices in (
        ("statistic", get_args(Statistic)),
        ("window", get_args(Window)),
        ("boundary", ("better", "worse")),
    ):
        with mistakes.gathered():
            if entry[key] not in choices:
                raise place(key, f'found "{entry[key]}". Write one of {", ".join(choices)}.')
    for each in (code, *entry.get("also_for", ())):
        with mistakes.gathered():
            quantity = quantities.get(each) if isinstance(each, str) else None
            if quantity is None:
                question = did_you_mean(str(each), quantities)
                raise place("", f'there is no quantity "{each}".{question} Use a code of the programme.')
            if quantity.higher_is_worse is None:
                raise place("", f'"{each}" has no better or worse side. Take its limits out.')
            _check_upper(entry["upper"], classes, quantity.higher_is_worse, place)
    mistakes.refuse()


def _check_upper(upper: list[Any], classes: int, higher_is_worse: bool, place: SettingPlace) -> None:
    numbers = (isinstance(limit, (int, float)) and not isinstance(limit, bool) for limit in upper)
    if not all(numbers) or not all(0 < limit <= LARGEST_LIMIT for limit in upper):
        raise place("upper", f"found {upper}. Write plain numbers above zero, without quotes.")
    if len(upper) != classes - 1:
        need = f"{classes} classes need {classes - 1} limits"
        raise place("upper", f"{need}; found {len(upper)}. Correct the list.")
    steps = np.diff(upper) if higher_is_worse else -np.diff(upper)
    if not (steps > 0).all():
        way = "rise" if higher_is_worse else "fall"
        raise place("upper", f"found {upper}. Limits of this quantity {way} from class to class.")
