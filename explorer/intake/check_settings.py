"""Checks as a programme has switched and limited them, with every mistake in its settings named.

In its `programme.toml`:

    [checks]
    switched_off = ["observer_new"]     # checks that are not to look

    [checks.holding_time_exceeded]
    severity = "note"                   # hold: readings wait for an answer; note: only pointed out

    [checks.same_value_again]
    times = 5                           # a limit of the check
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from explorer.intake.check import Check
from explorer.model.errors import did_you_mean
from explorer.model.setting_checks import Mistakes
from explorer.model.setting_place import SettingPlace

__all__ = ["settled_checks"]

SEVERITIES = ("hold", "note")


def settled_checks(
    own: Mapping[str, Any], checks: Mapping[str, Check], place: SettingPlace | None = None
) -> tuple[Check, ...]:
    """Return the checks that are to look, each with the programme's limits and severity.

    Parameters
    ----------
    own : mapping
        The table [checks] of the programme's settings.
    checks : mapping of str to Check
        All checks by code.
    place : SettingPlace, optional
        Of the settings, for messages; without it no line is named.

    Raises
    ------
    ProgrammeError
        For every check, limit or severity that there is not; with the nearest.

    Examples
    --------
    >>> from explorer.intake.checks import CHECKS
    >>> "observer_new" in {check.code for check in settled_checks({"switched_off": ["observer_new"]}, CHECKS)}
    False
    >>> settled_checks({"same_value_agan": {"times": 5}}, CHECKS)
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: programme.toml, "checks.same_value_agan": there is no such ...
    """
    table, mistakes = (place or SettingPlace()).inside("checks"), Mistakes()
    off = own.get("switched_off", [])
    with mistakes.gathered():
        if not isinstance(off, list):
            raise table("switched_off", f"found {off!r}. Write a list of checks.")
        for code in off:
            mistakes.read(_known, "switched_off", "check", code, checks, table)
    for key in own:
        if key != "switched_off":
            mistakes.read(_known, key, "check", key, checks, table)
    settled = [mistakes.read(_settled, check, own.get(code, {}), table) for code, check in checks.items()]
    mistakes.refuse()
    return tuple(check for check in settled if check.code not in off)


def _settled(check: Check, own: Any, table: SettingPlace) -> Check:
    if not isinstance(own, Mapping):
        raise table(check.code, f"write a table [checks.{check.code}], its lines below.")
    limits, mistakes, place = dict(check.limits), Mistakes(), table.inside(check.code)
    severity = own.get("severity", check.severity)
    if severity != check.severity:
        mistakes.read(_known, "severity", "severity", severity, SEVERITIES, place)
    for key, value in own.items():
        if key == "severity":
            continue
        with mistakes.gathered():
            _known(key, "limit of this check", key, ["severity", *limits], place)
            if isinstance(value, bool) or not isinstance(value, int | float):
                raise place(key, f"found {value!r}. Write a number.")
            limits[key] = float(value)
    mistakes.refuse()
    return replace(check, severity=severity, limits=limits)


def _known(key: str, what: str, word: object, known: Iterable[str], place: SettingPlace) -> None:
    """Refuse a word that is not known, with the nearest."""
    names = list(known)
    if not isinstance(word, str) or word not in names:
        question = did_you_mean(str(word), names)
        found = "" if word == key else f"found {word!r}; "
        raise place(key, f"{found}there is no such {what}.{question} There are {', '.join(names)}.")
