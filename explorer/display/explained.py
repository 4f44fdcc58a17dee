"""The values that a class is explained from, and how they are said."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.display.choice import Choice
from explorer.display.judged_seasons import JudgedPeriod
from explorer.display.limit_words import value_text
from explorer.display.numbers import period_text
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.quantities import Quantity, name_in_sentence
from explorer.model.words import say

__all__ = ["Explained", "name_in_list"]


@dataclass(frozen=True, slots=True)
class Explained:
    """The values that an explanation is made from.

    Attributes
    ----------
    history : StationHistory
        The station, its water and all its readings.
    result : ClassResult
        Its class in `choice.period`, or why there is none.
    choice : Choice
        Period, units and language.
    scheme, programme : ClassScheme, Programme
        The chosen scheme; season and rules.
    judged : mapping of str to JudgedPeriod
        By quantity code: the one that gave the class; without a class all that the scheme judges and that
        were measured in the period; empty where the scheme does not apply.
    """

    history: StationHistory
    result: ClassResult
    choice: Choice
    scheme: ClassScheme
    programme: Programme
    judged: Mapping[str, JudgedPeriod]

    @property
    def applies(self) -> bool:
        """Whether the scheme is made for this kind of water."""
        return self.history.lake.kind in self.scheme.kinds

    def say(self, code: str, values: Mapping[str, object] | None = None) -> str:
        """Return a sentence of the explanation in the reader's language."""
        return say(f"explanation.{code}", values, self.choice.language)

    def period(self) -> str:
        """Return the period in words."""
        return period_text(self.choice.period, self.programme.season, self.choice.language)

    def statistic(self, code: str) -> dict[str, object]:
        """Return in words what the scheme uses of a quantity, and over what time."""
        limits = self.scheme.limits[code]
        return {
            "statistic": self.say(f"statistic_{limits.statistic}"),
            "window": say(f"heading.window_{limits.window}", language=self.choice.language),
        }

    def value(self, code: str, value: float, low: float, high: float) -> str:
        """Return a value of a quantity in words."""
        quantity = self.programme.quantities[code]
        return value_text(value, low, high, self.scheme.limits[code], quantity, self.choice)


def name_in_list(quantity: Quantity) -> str:
    """Return a quantity's name for a list: without a comma of its own.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> name_in_list(QUANTITIES["chlorophyll_a_uncorrected"])
    'chlorophyll a (uncorrected)'
    """
    name, comma, rest = name_in_sentence(quantity).partition(", ")
    return f"{name} ({rest})" if comma else name
