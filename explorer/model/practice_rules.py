"""What a programme has decided about its visits, as far as an exercise needs it; the table `[practice]`."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from explorer.model.setting_checks import (
    Mistakes,
    Wrong,
    check_keys,
    checked_count,
    checked_flag,
    checked_number,
    checked_word,
)

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
WEAKEST_VACUUM_KPA, STRONGEST_VACUUM_KPA = 0.1, 50.0  # others are taken for a slip (common practice: 20)


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


def checked_practice(entries: Mapping[str, Any], wrong: Wrong) -> dict[str, Any]:
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
        If keys are unknown or values none that they can have: all of them.

    Examples
    --------
    >>> from explorer.model.setting_place import SettingPlace
    >>> checked_practice({"line": "tenths", "readings": 3}, SettingPlace())
    {'line': 'tenths', 'readings': 3}
    """
    usual, mistakes = USUAL_RULES, Mistakes()
    mistakes.read(check_keys, entries, _KEYS, "[practice]", wrong)
    for key, words in _CHOICES.items():
        mistakes.read(checked_word, entries, key, words[0], words, wrong)
    mistakes.read(checked_flag, entries, "viewer", usual.viewer, wrong)
    counts, vacuums = (FEWEST_READINGS, MOST_READINGS), (WEAKEST_VACUUM_KPA, STRONGEST_VACUUM_KPA)
    mistakes.read(checked_count, entries, "readings", usual.readings, counts, wrong)
    mistakes.read(checked_number, entries, "most_vacuum_kpa", usual.most_vacuum_kpa, vacuums, wrong)
    mistakes.refuse()
    return dict(entries)
