"""What a check is: a function that finds something, with its code, severity, source and limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import wraps
from typing import TypeVar
from weakref import WeakKeyDictionary

from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings
from explorer.model.problems import Severity

__all__ = ["COMMON_PRACTICE", "Check", "Limits", "once_a_delivery"]

Found = TypeVar("Found")

COMMON_PRACTICE = "common practice"

Limits = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Check:
    """One check of a delivery.

    Attributes
    ----------
    code : str
        Its name in the settings; `problem.<code>` is its sentence, with the cure, `check.<code>` its title.
    severity : {"refuse", "hold", "note"}
        What becomes of the readings that it finds.
    source : str
        Where its rule or limit is from: printed, or common practice.
    look : callable
        Takes the delivery and the limits, returns the findings.
    limits : mapping of str to float
        Its limits by name, as they usually are.
    needs : str
        Kind of file without which it cannot find anything, empty where any kind will do.
    """

    code: str
    severity: Severity
    source: str
    look: Callable[[Delivery, Limits], Findings]
    limits: Mapping[str, float] = field(default_factory=dict)
    needs: str = ""


def once_a_delivery(find: Callable[[Delivery], Found]) -> Callable[[Delivery], Found]:
    """Let several checks share what is found in a delivery: it is computed once, and goes with the delivery.

    Parameters
    ----------
    find : callable
        Takes a delivery alone; what it returns must not be changed.
    """
    known: WeakKeyDictionary[Delivery, Found] = WeakKeyDictionary()

    @wraps(find)
    def found(delivery: Delivery) -> Found:
        if delivery not in known:
            known[delivery] = find(delivery)
        return known[delivery]

    return found
