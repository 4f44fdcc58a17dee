"""A programme's settings as a TOML text sets them, with every mistake named."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import Any
from zoneinfo import available_timezones

from explorer.model.calendar import Season
from explorer.model.errors import UnknownNameError, did_you_mean
from explorer.model.label_stock import read_label_sheet
from explorer.model.plan import read_plan
from explorer.model.practice_rules import checked_practice
from explorer.model.programme import Programme
from explorer.model.quality_rules import read_quality_rules
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.setting_checks import (
    Mistakes,
    Wrong,
    check_keys,
    checked_count,
    checked_flag,
    checked_text,
    checked_texts,
    checked_word,
)
from explorer.model.setting_place import SettingPlace, read_tables
from explorer.model.units import find_unit
from explorer.model.words import languages

__all__ = ["read_programme"]


_TYPES: Mapping[str, tuple[type, ...]] = {
    "name": (str,), "time_zone": (str,), "season_months": (list,), "minimum_visits": (int,),
    "minimum_months": (int,), "length_unit": (str,), "scheme": (str,), "language": (str,), "contact": (str,),
    "trend_years": (int,), "comparable_methods": (list,), "deviation_step": (int, float),
    "quantities": (dict,), "thermocline_gradient_degc_per_m": (int, float),
    "oxygen_mark_mg_per_l": (int, float),
    "plan": (dict,), "quality": (dict,), "labels": (dict,), "practice": (dict,), "headings": (dict,),
    "checks": (dict,),
}  # fmt: skip

_KINDS: Mapping[type, str] = {
    str: "a text in quotes", int: "a whole number", float: "a number", list: "a list, in square brackets",
    dict: "a table, its lines below its name in square brackets",
}  # fmt: skip
_ABOVE_NOUGHT = ("thermocline_gradient_degc_per_m", "oxygen_mark_mg_per_l", "deviation_step")
MOST_DECIMALS = 6  # more digits than anybody measures
_QUANTITY_KEYS = tuple(each.name for each in fields(Quantity) if each.name != "code")


def read_programme(text: str, file_name: str = "programme.toml") -> Programme:
    """Return the settings that a TOML text sets; whatever it leaves out keeps its usual value.

    Parameters
    ----------
    text : str
        Content of the file.
    file_name : str
        Its name for messages.

    Raises
    ------
    ProgrammeError
        If the text is no TOML, a key is unknown or a value is wrong; every mistake with file, line, key and
        cure.

    Examples
    --------
    >>> read_programme('length_unit = "ft"').length_unit
    'ft'
    >>> read_programme("min_visits = 4")
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: programme.toml, line 1, "min_visits": there is no such setting. ...
    """
    found, broken = read_tables(text, file_name)
    place, mistakes = SettingPlace(text, file_name), Mistakes(broken)
    settings: dict[str, Any] = {}
    for key, value in found.items():
        if key != "class_schemes":  # read by who computes classes, from the same text
            with mistakes.gathered():
                settings[key] = _of_its_type(key, value, place)
    own = settings.get("quantities", {})
    made = {
        code: mistakes.read(_own_quantity, code, entry, place.inside("quantities"))
        for code, entry in own.items()
    }
    settings["quantities"] = {**QUANTITIES, **made}
    readers = _readers(settings, place)
    for key in [each for each in readers if each in settings]:
        settings[key] = mistakes.read(readers[key], settings[key])
    mistakes.refuse()
    return Programme(**settings)


def _of_its_type(key: str, value: Any, wrong: Wrong) -> Any:
    """Return the value of a setting that there is, of the kind that it must be."""
    if key not in _TYPES:
        question = did_you_mean(key, _TYPES)
        raise wrong(key, f"there is no such setting.{question} The settings are {', '.join(_TYPES)}.")
    kinds = _TYPES[key]
    if not isinstance(value, kinds) or isinstance(value, bool):
        raise wrong(key, f"found {value!r}. Write {_KINDS[kinds[-1]]}.")
    return value


def _readers(settings: Mapping[str, Any], wrong: SettingPlace) -> Mapping[str, Callable[[Any], Any]]:
    """Return what checks and reads the value of each setting; those before it are read."""
    quantities = settings.get("quantities", QUANTITIES)

    def season(months: Any) -> tuple[int, ...]:
        try:
            return Season(tuple(months)).months
        except (ValueError, TypeError) as error:
            raise wrong("season_months", str(error)) from error

    def time_zone(name: str) -> str:
        known = available_timezones()  # none where this computer has no list of them
        if known and name not in known:
            question = did_you_mean(name, known)
            raise wrong("time_zone", f"found {name!r}.{question} Write a name of the IANA list, like "
                        '"America/Chicago", or hours from Greenwich, like "Etc/GMT+6".')  # fmt: skip
        return name

    def above_nought(key: str) -> Callable[[float], float]:
        def read(value: float) -> float:
            if not 0 < value < float("inf"):
                raise wrong(key, f"found {value}. Write a number above 0.")
            return value

        return read

    def count(key: str) -> Callable[[int], int]:
        def read(value: int) -> int:
            if value < 1:
                raise wrong(key, f"found {value}. Write a whole number of 1 or more.")
            return value

        return read

    def word(key: str, known: Iterable[str]) -> Callable[[str], str]:
        return lambda _: checked_word(settings, key, "", known, wrong)

    return {
        "season_months": season,
        "time_zone": time_zone,
        "length_unit": word("length_unit", ("m", "ft")),
        "language": word("language", languages()),
        **{key: count(key) for key in ("minimum_visits", "minimum_months", "trend_years")},
        **{key: above_nought(key) for key in _ABOVE_NOUGHT},
        "comparable_methods": lambda groups: _method_groups(groups, wrong),
        "plan": lambda table: read_plan(table, _season_of(settings), quantities, wrong.inside("plan")),
        "quality": lambda table: read_quality_rules(table, quantities, wrong.inside("quality")),
        "labels": lambda table: read_label_sheet(table, wrong.inside("labels")),
        "practice": lambda table: checked_practice(table, wrong.inside("practice")),
    }


def _season_of(settings: Mapping[str, Any]) -> Season:
    try:
        return Season(tuple(settings.get("season_months", ())))
    except (ValueError, TypeError):  # left out, or named as a mistake
        return Programme().season


def _method_groups(groups: list[Any], wrong: Wrong) -> tuple[tuple[str, ...], ...]:
    if not all(isinstance(each, list) and all(isinstance(name, str) for name in each) for each in groups):
        raise wrong("comparable_methods", f'found {groups!r}. Write [["one method", "the other"]].')
    return tuple(tuple(each) for each in groups)


def _own_quantity(code: str, entry: Any, place: SettingPlace) -> Quantity:
    if not isinstance(entry, dict):
        raise place(code, f"a quantity is a table. Write [quantities.{code}] with its keys below.")
    here, mistakes = place.inside(code), Mistakes()
    mistakes.read(check_keys, entry, _QUANTITY_KEYS, "a quantity", here)
    for key in ("name", "unit"):
        with mistakes.gathered():
            if key not in entry:
                raise here("", f"the quantity needs {key!r}. Add the line.")
    has_worse_side = "higher_is_worse" in entry
    worse = mistakes.read(checked_flag, entry, "higher_is_worse", False, here)
    own = Quantity(
        code=code,
        name=mistakes.read(checked_text, entry, "name", here),
        unit=mistakes.read(_unit, entry, here) if "unit" in entry else "",
        decimals=mistakes.read(checked_count, entry, "decimals", 1, (0, MOST_DECIMALS), here),
        higher_is_worse=worse if has_worse_side else None,
        plausible=mistakes.read(_range, entry.get("plausible", [float("-inf"), float("inf")]), here),
        log_scale=mistakes.read(checked_flag, entry, "log_scale", False, here),
        exchange_name=mistakes.read(checked_text, entry, "exchange_name", here),
        exchange_fraction=mistakes.read(checked_text, entry, "exchange_fraction", here),
        names=mistakes.read(checked_texts, entry, "names", here),
    )
    mistakes.refuse()
    return own


def _unit(entry: Mapping[str, Any], wrong: Wrong) -> str:
    try:
        return find_unit(checked_text(entry, "unit", wrong)).name
    except UnknownNameError as error:
        raise wrong("unit", str(error)) from error


def _range(value: Any, wrong: Wrong) -> tuple[float, float]:
    is_pair = isinstance(value, list) and len(value) == 2
    if not is_pair or not all(type(each) in (int, float) for each in value) or not value[0] < value[1]:
        raise wrong("plausible", f"found {value!r}. Write the lowest and the highest number: [0.1, 300].")
    return float(value[0]), float(value[1])
