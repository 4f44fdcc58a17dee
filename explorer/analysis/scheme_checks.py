"""Every mistake in a class scheme's table, with its place and its cure."""

import re
from collections.abc import Callable, Mapping
from typing import Any, get_args

import numpy as np

from explorer.model.classes import Statistic, Window
from explorer.model.errors import ProgrammeError, did_you_mean
from explorer.model.places import WATER_KINDS
from explorer.model.quantities import Quantity

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

_Wrong = Callable[[str, str, str], ProgrammeError]  # table, key, what is wrong and the cure


def check_scheme(found: Mapping[str, Any], quantities: Mapping[str, Quantity], wrong: _Wrong) -> None:
    """Refuse a table that is no class scheme.

    Parameters
    ----------
    found : mapping
        The table.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    wrong : callable
        Makes the error for the table of a limit ("" for the scheme's own), a key, and what is wrong with it.

    Raises
    ------
    ProgrammeError
        If a key is unknown or missing, or a value cannot be right: the first such.

    Examples
    --------
    >>> check_scheme({"name": 3}, {}, lambda table, key, what: ProgrammeError(f"{key}: {what}"))
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: name: 3 is not text in quotes. Correct the value.
    """
    _check_keys(found, _KEYS, "", wrong)
    if found["format"] != FORMAT:
        raise wrong("", "format", f"this version reads format {FORMAT}; found {found['format']}.")
    _check_names(found, wrong)
    for code, entry in found["limits"].items():
        _check_limits(code, entry, len(found["classes"]), quantities, wrong)
        for each in entry.get("also_for", ()):
            if each in found["limits"]:
                raise wrong(code, "also_for", f'"{each}" has limits of its own. Take it out of one place.')
    limited = [each for code, entry in found["limits"].items() for each in (code, *entry.get("also_for", ()))]
    for code in found["priority"]:
        if code not in limited:
            have = ", ".join(limited)
            raise wrong("", "priority", f'"{code}" has no limits here. Add [limits.{code}] or use {have}.')


def _check_keys(entry: Mapping[str, Any], keys: Mapping[str, type], table: str, wrong: _Wrong) -> None:
    for key, value in entry.items():
        if key not in keys:
            question = did_you_mean(key, keys)
            raise wrong(table, key, f"there is no such key.{question} The keys are {', '.join(keys)}.")
        if not isinstance(value, keys[key]) or isinstance(value, bool):
            raise wrong(table, key, f"{value!r} is not {_KIND_NAMES[keys[key]]}. Correct the value.")
    for key in keys:
        if key not in entry and key not in _OPTIONAL:
            raise wrong(table, "" if table else key, f'the key "{key}" is missing. Add the line.')


def _check_names(found: Mapping[str, Any], wrong: _Wrong) -> None:
    classes, letters = found["classes"], found["letters"]
    for key in ("kinds", "classes", "letters", "priority"):
        names = found[key]
        if not names or not all(isinstance(name, str) and name for name in names):
            raise wrong("", key, f"found {names}. Write one or more names in quotes.")
        if len(set(names)) < len(names):
            raise wrong("", key, f"found {names}. Each may stand once only.")
    if len(classes) < 2:
        raise wrong("", "classes", f"found {len(classes)}. Name two classes or more, best to worst.")
    if len(letters) != len(classes) or not all(_LETTER.fullmatch(letter) for letter in letters):
        need = f"{len(classes)} classes need {len(classes)} marks of one or two letters"
        raise wrong("", "letters", f"{need}; found {letters}. Correct the list.")
    for kind in found["kinds"]:
        if kind not in WATER_KINDS:
            raise wrong("", "kinds", f'"{kind}" is no kind of water. They are {", ".join(WATER_KINDS)}.')
    if not found["limits"]:
        raise wrong("", "limits", "a scheme needs limits. Add a table such as [limits.secchi_depth].")


def _check_limits(
    code: str, entry: Any, classes: int, quantities: Mapping[str, Quantity], wrong: _Wrong
) -> None:
    if not isinstance(entry, dict):
        raise wrong("", code, f"limits are a table. Write [limits.{code}] with its keys below.")
    _check_keys(entry, _LIMIT_KEYS, code, wrong)
    for key, choices in (
        ("statistic", get_args(Statistic)),
        ("window", get_args(Window)),
        ("boundary", ("better", "worse")),
    ):
        if entry[key] not in choices:
            raise wrong(code, key, f'found "{entry[key]}". Write one of {", ".join(choices)}.')
    upper = entry["upper"]
    numbers = (isinstance(limit, (int, float)) and not isinstance(limit, bool) for limit in upper)
    if not all(numbers) or not all(0 < limit <= LARGEST_LIMIT for limit in upper):
        raise wrong(code, "upper", f"found {upper}. Write plain numbers above zero, without quotes.")
    if len(upper) != classes - 1:
        need = f"{classes} classes need {classes - 1} limits"
        raise wrong(code, "upper", f"{need}; found {len(upper)}. Correct the list.")
    for each in (code, *entry.get("also_for", ())):
        quantity = quantities.get(each) if isinstance(each, str) else None
        if quantity is None:
            question = did_you_mean(str(each), quantities)
            raise wrong("", code, f'there is no quantity "{each}".{question} Use a code of the programme.')
        if quantity.higher_is_worse is None:
            raise wrong("", code, f'"{each}" has no better or worse side. Take its limits out.')
        steps = np.diff(upper) if quantity.higher_is_worse else -np.diff(upper)
        if not (steps > 0).all():
            way = "rise" if quantity.higher_is_worse else "fall"
            raise wrong(code, "upper", f"found {upper}. Limits of this quantity {way} from class to class.")
