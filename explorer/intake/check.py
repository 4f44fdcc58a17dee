"""What a check is: a function that finds something, with its code, severity, source and limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings
from explorer.model.problems import Severity

__all__ = ["COMMON_PRACTICE", "Check", "Limits"]

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
