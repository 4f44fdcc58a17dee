"""A class scheme, its limits, and the class that a station gets by it: the values, not the computing."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from explorer.model.places import WaterKind

__all__ = ["ClassResult", "ClassScheme", "Limits", "Statistic", "Window"]

Statistic = Literal["median", "mean", "geometric_mean", "maximum", "minimum"]
Window = Literal["season", "year"]


@dataclass(frozen=True, slots=True)
class Limits:
    """Where one quantity's classes meet, best class first.

    Attributes
    ----------
    quantity : str
        Code of the quantity.
    statistic : {"median", "mean", "geometric_mean", "maximum", "minimum"}
        What of the window's monthly values is held against the limits.
    window : {"season", "year"}
        The time that the limits were made for.
    upper : tuple of float
        The limit between each class and the next worse one; one fewer than the classes. [record unit]
        Rising where more is worse, falling where less is worse (clarity).
    boundary : {"better", "worse"}
        Which class a value exactly on the limit falls to.
    """

    quantity: str
    statistic: Statistic
    window: Window
    upper: tuple[float, ...]
    boundary: Literal["better", "worse"]


@dataclass(frozen=True, slots=True)
class ClassScheme:
    """A published or local way of naming a water's state.

    Attributes
    ----------
    key, name : str
        Name of its file, and its name in sentences: "mesotrophic by <name>".
    source : str
        Printed source with its table, and whether a number is from memory.
    kinds : tuple of str
        Kinds of water that it may class.
    classes : tuple of str
        Class names, best to worst.
    letters : tuple of str
        One or two letters for each class, unique.
    priority : tuple of str
        Quantities in the order in which one of them gives the single class.
    limits : mapping of str to Limits
        By quantity code.
    note : str
        What a reader must know beside it, empty if nothing.
    """

    key: str
    name: str
    source: str
    kinds: tuple[WaterKind, ...]
    classes: tuple[str, ...]
    letters: tuple[str, ...]
    priority: tuple[str, ...]
    limits: Mapping[str, Limits]
    note: str = ""


@dataclass(frozen=True, slots=True)
class ClassResult:
    """The class of one station by one scheme, or why there is none.

    Attributes
    ----------
    scheme : str
        Key of the scheme.
    quantity : str
        The quantity that gave the class, empty without one.
    label : str or None
        Class name; None: `missing` says why.
    also : str
        A second class that a censored interval allows, else empty.
    shares : mapping of str to float
        Share of each class given the spread of the readings. [1] Empty where the spread is not known.
    sureness : str
        Words code of how sure the class is, as "likely", or "cannot_tell"; empty without a class.
    visits, months : int
        Visits and different months behind it.
    missing : str
        Words code of the reason without a class: "too_few_visits", "no_readings", "stream",
        "year_needed", "kind", or "only_limits" where "<" or ">" leave more than two classes open; empty
        with a class.
    missing_months : tuple of int
        Months of the season (of the year, for a scheme that needs it) without a visit in any season of the
        period.
    """

    scheme: str
    quantity: str
    label: str | None
    also: str
    shares: Mapping[str, float]
    sureness: str
    visits: int
    months: int
    missing: str
    missing_months: tuple[int, ...]
