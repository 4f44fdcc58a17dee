"""What is said about safety before an exercise begins: before the boat, ashore, and when to stop.

Sources of the guidance are those of `explorer.practice.safety`; cold water, swimming, and holding on to the
boat that has turned over from memory. The programme's safety officer and local rules decide.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.model.words import say
from explorer.practice.safety import LIGHTNING_WAIT_MINUTES

__all__ = ["CAUTIONS", "CautionList", "caution_lists"]

# Keys of the sentences `training_caution.<group>_<key>`, in the order in which they are read.
CAUTIONS: Mapping[str, tuple[str, ...]] = {
    "boat": ("jacket", "adults", "weather", "lightning", "cold", "scum", "when_not"),
    "ashore": ("vacuum", "glass", "reagents", "desiccant"),
    "stop": ("anybody", "at_once", "nothing_lost"),
}


@dataclass(frozen=True, slots=True)
class CautionList:
    """Cautions under one heading.

    Attributes
    ----------
    title : str
        Where they hold.
    lines : tuple of str
        Whole sentences.
    """

    title: str
    lines: tuple[str, ...]


def caution_lists(groups: tuple[str, ...], rules: PracticeRules = USUAL_RULES) -> tuple[CautionList, ...]:
    """Return the cautions of some groups, the rules for stopping last; none for no group.

    Parameters
    ----------
    groups : tuple of str
        Keys of `CAUTIONS`.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> [each.title for each in caution_lists(("boat",))]
    ['Before the boat', 'When to stop']
    """
    if not groups:
        return ()
    values = {"wait": str(LIGHTNING_WAIT_MINUTES), "most": f"{rules.most_vacuum_kpa:g}"}

    def said(code: str) -> str:
        return say(f"training_caution.{code}", values, rules.language)

    return tuple(
        CautionList(said(f"title_{group}"), tuple(said(f"{group}_{key}") for key in CAUTIONS[group]))
        for group in (*groups, "stop")
    )
