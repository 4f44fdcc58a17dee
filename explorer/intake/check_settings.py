"""Checks as a programme has switched and limited them, with every mistake in its settings named.

In its `programme.toml`:

    [checks]
    switched_off = ["observer_new"]     # checks that are not to look

    [checks.holding_time_exceeded]
    severity = "note"                   # hold: readings wait for an answer; note: only pointed out

    [checks.same_value_again]
    times = 5                           # a limit of the check
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from explorer.intake.check import Check
from explorer.model.errors import ProgrammeError, did_you_mean

__all__ = ["settled_checks"]

SEVERITIES = ("hold", "note")


def settled_checks(
    own: Mapping[str, Any], checks: Mapping[str, Check], file_name: str = "programme.toml"
) -> Iterator[Check]:
    """Yield the checks that are to look, each with the programme's limits and severity.

    Parameters
    ----------
    own : mapping
        The table [checks] of the programme's settings.
    checks : mapping of str to Check
        All checks by code.
    file_name : str
        Name of the settings for messages.

    Raises
    ------
    ProgrammeError
        If the table names a check, a limit or a severity that there is not; with the nearest.

    Examples
    --------
    >>> from explorer.intake.checks import CHECKS
    >>> "observer_new" in {check.code for check in settled_checks({"switched_off": ["observer_new"]}, CHECKS)}
    False
    >>> list(settled_checks({"same_value_agan": {"times": 5}}, CHECKS))
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: programme.toml, "checks.same_value_agan": there is no such ...
    """
    off = own.get("switched_off", [])
    if not isinstance(off, list):
        raise ProgrammeError(f'{file_name}, "checks.switched_off": found {off!r}. Write a list of checks.')
    for code in (*off, *(key for key in own if key != "switched_off")):
        if code not in checks:
            raise _unknown(file_name, f"checks.{code}", "check", str(code), checks)
    for code, check in checks.items():
        if code not in off:
            yield _settled(check, own.get(code, {}), file_name)


def _settled(check: Check, own: Any, file_name: str) -> Check:
    where = f"checks.{check.code}"
    if not isinstance(own, Mapping):
        raise ProgrammeError(f'{file_name}, "{where}": write a table [{where}], its lines below.')
    limits = dict(check.limits)
    severity = own.get("severity", check.severity)
    if severity not in SEVERITIES and severity != check.severity:
        raise _unknown(file_name, f"{where}.severity", "severity", str(severity), SEVERITIES)
    for key, value in own.items():
        if key == "severity":
            continue
        if key not in limits:
            raise _unknown(
                file_name, f"{where}.{key}", "limit of this check", str(key), ["severity", *limits]
            )
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ProgrammeError(f'{file_name}, "{where}.{key}": found {value!r}. Write a number.')
        limits[key] = float(value)
    return replace(check, severity=severity, limits=limits)


def _unknown(file_name: str, where: str, what: str, word: str, known: Iterable[str]) -> ProgrammeError:
    question = did_you_mean(word, known)
    return ProgrammeError(
        f'{file_name}, "{where}": there is no such {what}.{question} There are {", ".join(known)}.'
    )
