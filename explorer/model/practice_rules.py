"""What a programme has decided about its visits, as far as an exercise needs it; the table `[practice]`."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from explorer.model.errors import ProgrammeError, nearest_name

__all__ = [
    "USUAL_RULES",
    "BoatSide",
    "LineMarks",
    "PracticeRules",
    "Settling",
    "checked_practice",
]

LineMarks = Literal["decimetres", "tenths", "inches"]
BoatSide = Literal["shaded", "sunny"]
Settling = Literal["middle", "back"]

FEWEST_READINGS, MOST_READINGS = 2, 10  # of one exercise: one alone agrees with nothing
STRONGEST_VACUUM_KPA = 50.0  # a table that asks for more is taken for a slip (common practice: 20 and less)


@dataclass(frozen=True, slots=True)
class PracticeRules:
    """What a programme has decided about its visits, as far as an exercise needs it.

    Attributes
    ----------
    line : {"decimetres", "tenths", "inches"}
        Short marks of the line: every 10 cm, every tenth of a foot, or every inch.
    boat_side : {"shaded", "sunny"}
        Side of the boat on which the disk is read.
    viewer : bool
        Whether the disk is read through a viewer box.
    settle : {"middle", "back"}
        The depth that is written: the middle of gone and back in sight, or back in sight alone.
    readings : int
        Disk readings in one exercise.
    most_vacuum_kpa : float
        Vacuum under which water may be filtered. [kPa]
    language : str
        Language of the words.

    Examples
    --------
    >>> PracticeRules(line="tenths").boat_side
    'shaded'
    """

    line: LineMarks = "decimetres"
    boat_side: BoatSide = "shaded"
    viewer: bool = False
    settle: Settling = "middle"
    readings: int = 5
    most_vacuum_kpa: float = 20.0  # hand pump: EPA methods 445.0 and 446.0, from memory
    language: str = "en"


USUAL_RULES = PracticeRules()

_CHOICES: Mapping[str, tuple[str, ...]] = {
    "line": get_args(LineMarks),
    "boat_side": get_args(BoatSide),
    "settle": get_args(Settling),
}
_KEYS = (*_CHOICES, "viewer", "readings", "most_vacuum_kpa")


def checked_practice(
    entries: Mapping[str, Any], wrong: Callable[[str, str], ProgrammeError]
) -> dict[str, Any]:
    """Return the entries of a table `[practice]`, each of which is a rule that can be kept.

    Parameters
    ----------
    entries : mapping of str to object
        The table as TOML gives it.
    wrong : callable
        Called with a key and what is wrong with it; gives the error, which names file and line.

    Raises
    ------
    ProgrammeError
        If a key is unknown or a value is none that it can have.

    Examples
    --------
    >>> checked_practice({"line": "tenths", "readings": 3}, lambda key, what: ProgrammeError(what))
    {'line': 'tenths', 'readings': 3}
    """
    for key, value in entries.items():
        if key not in _KEYS:
            near = nearest_name(key, _KEYS)
            question = f' Did you mean "{near}"?' if near else ""
            raise wrong(key, f"practice has no such setting.{question} It has {', '.join(_KEYS)}.")
        cure = _cure(key, value)
        if cure:
            raise wrong(key, f"found {value!r}. {cure}")
    return dict(entries)


def _cure(key: str, value: Any) -> str:
    """Return what to write instead, empty where the value can stand."""
    if key in _CHOICES:
        listed = ", ".join(f'"{choice}"' for choice in _CHOICES[key])
        return "" if value in _CHOICES[key] else f"Write one of {listed}."
    if key == "viewer":
        return "" if isinstance(value, bool) else "Write true or false."
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if key == "readings":
        is_count = is_number and isinstance(value, int) and FEWEST_READINGS <= value <= MOST_READINGS
        return "" if is_count else f"Write a whole number from {FEWEST_READINGS} to {MOST_READINGS}."
    is_vacuum = is_number and 0 < value <= STRONGEST_VACUUM_KPA
    return "" if is_vacuum else f"Write a vacuum above 0 and up to {STRONGEST_VACUUM_KPA:g}, in kPa."
