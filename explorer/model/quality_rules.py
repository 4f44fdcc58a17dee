"""How good is good enough: limits for duplicates and blanks, and how long a sample keeps.

In a programme's `programme.toml`, where its quality plan says otherwise:

    [quality]
    duplicate_limit_percent = 25        # relative difference of two duplicates
    blank_limit = "reporting_limit"     # or "detection_limit": a blank lies below it
    bottle = "frozen"                   # how bottles and filters are kept: frozen, cooled,
    filter = "frozen"                   # or acidified and cooled

    [[quality.holding_times]]           # where no limit is published, or the plan has another
    quantity = "total_phosphorus"
    container = "bottle"
    preservation = "frozen"
    days = 90
    source = "Quality plan of 2024, table 3"

Limits of chlorophyll that is computed from extracts stand beside them: see `extract_limits`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from explorer.model.extract_limits import ExtractLimit, read_extract_limit
from explorer.model.quantities import Quantity
from explorer.model.setting_checks import Mistakes, check_keys, checked_number, checked_word
from explorer.model.setting_place import SettingPlace

__all__ = [
    "BLANK_LIMITS",
    "CONTAINER_OF",
    "DUPLICATE_LIMIT_PERCENT",
    "HOLDING_TIMES",
    "PRESERVATIONS",
    "HoldingTime",
    "QualityRules",
    "read_quality_rules",
]

# Field and laboratory duplicates of conventional analytes, and blanks below the reporting limit: California
# measurement quality objectives, table A1.
DUPLICATE_LIMIT_PERCENT = 25.0
BLANK_LIMITS = ("reporting_limit", "detection_limit")
PRESERVATIONS = ("frozen", "cooled", "acidified and cooled")

# What a quantity is measured from; whatever is not named here is measured at the water.
CONTAINER_OF: Mapping[str, str] = {
    **dict.fromkeys(("chlorophyll_a", "chlorophyll_a_uncorrected", "pheophytin_a"), "filter"),
    **dict.fromkeys(
        ("total_phosphorus", "total_nitrogen", "nitrate_nitrite", "ammonia", "orthophosphate", "true_colour",
         "turbidity", "alkalinity"),
        "bottle",
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class HoldingTime:
    """How long a sample may wait for its analysis.

    Attributes
    ----------
    quantity : str
        Code of what is measured.
    container : str
        "bottle" or "filter".
    preservation : str
        One of `PRESERVATIONS`.
    days : float
        Days from sampling to analysis, at most. [d]
    source : str
        Where the limit is printed.
    """

    quantity: str
    container: str
    preservation: str
    days: float
    source: str


_FILTERS = "US EPA method 447.0 (EPA/600/R-97/072): 3.5 weeks at -20 °C; methods 445.0 and 446.0 from memory"
_TABLE_II = "40 CFR 136.3, table II"

# Published limits only. Frozen bottles have none; nor has total nitrogen in one piece.
HOLDING_TIMES: tuple[HoldingTime, ...] = (
    *(
        HoldingTime(code, "filter", "frozen", 24.5, _FILTERS)
        for code in ("chlorophyll_a", "chlorophyll_a_uncorrected", "pheophytin_a")
    ),
    *(
        HoldingTime(code, "bottle", "acidified and cooled", 28.0, _TABLE_II)
        for code in ("total_phosphorus", "nitrate_nitrite", "ammonia")
    ),
    HoldingTime("orthophosphate", "bottle", "cooled", 2.0, f"{_TABLE_II} (from memory)"),
    HoldingTime("alkalinity", "bottle", "cooled", 14.0, _TABLE_II),
    HoldingTime("turbidity", "bottle", "cooled", 2.0, _TABLE_II),
    HoldingTime("true_colour", "bottle", "cooled", 2.0, _TABLE_II),
)


@dataclass(frozen=True, slots=True)
class QualityRules:
    """The limits by which a season's samples are judged.

    Attributes
    ----------
    duplicate_limit_percent : float
        Relative difference of two duplicates, at most. [%]
    blank_limit : str
        Which limit a blank must lie below: one of `BLANK_LIMITS`.
    bottle, filter : str
        How each is kept until the analysis: one of `PRESERVATIONS`.
    holding_times : tuple of HoldingTime
        The programme's own, before the published ones.
    extract_limits : tuple of ExtractLimit
        Down to which concentration its laboratory's instrument measures.

    Examples
    --------
    >>> rules = QualityRules()
    >>> rules.holding_time("chlorophyll_a").days, rules.holding_time("total_phosphorus")
    (24.5, None)
    """

    duplicate_limit_percent: float = DUPLICATE_LIMIT_PERCENT
    blank_limit: str = "reporting_limit"
    bottle: str = "frozen"
    filter: str = "frozen"
    holding_times: tuple[HoldingTime, ...] = ()
    extract_limits: tuple[ExtractLimit, ...] = ()

    def preservation(self, container: str) -> str:
        """Return how a container is kept.

        Parameters
        ----------
        container : {"bottle", "filter"}
            What it is.
        """
        return self.filter if container == "filter" else self.bottle

    def holding_time(self, quantity: str) -> HoldingTime | None:
        """Return the limit that holds for a quantity as this programme keeps its sample.

        Parameters
        ----------
        quantity : str
            Code of the quantity.

        Returns
        -------
        HoldingTime or None
            None where neither the programme nor a published table has one.
        """
        container = CONTAINER_OF.get(quantity, "bottle")
        wanted = (quantity, container, self.preservation(container))
        known = (*self.holding_times, *HOLDING_TIMES)
        return next(
            (each for each in known if (each.quantity, each.container, each.preservation) == wanted), None
        )


def read_quality_rules(
    table: Mapping[str, Any], quantities: Mapping[str, Quantity], place: SettingPlace
) -> QualityRules:
    """Return the rules that the table [quality] of a programme's settings writes down.

    Parameters
    ----------
    table : mapping
        The table.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    place : SettingPlace
        Where the table stands.

    Raises
    ------
    ProgrammeError
        If keys are unknown or values wrong: all of them.

    Examples
    --------
    >>> read_quality_rules({"bottle": "cooled"}, {}, SettingPlace()).bottle
    'cooled'
    """
    keys = ("duplicate_limit_percent", "blank_limit", "bottle", "filter", "holding_times", "extract_limits")
    mistakes = Mistakes()
    mistakes.read(check_keys, table, keys, "[quality]", place)
    limits = (1.0, 200.0)  # the relative difference of two values is never above 200 %
    usual = DUPLICATE_LIMIT_PERCENT
    percent = mistakes.read(checked_number, table, "duplicate_limit_percent", usual, limits, place)
    words = {
        key: mistakes.read(checked_word, table, key, word, known, place)
        for key, word, known in (
            ("blank_limit", "reporting_limit", BLANK_LIMITS),
            ("bottle", "frozen", PRESERVATIONS),
            ("filter", "frozen", PRESERVATIONS),
        )
    }
    own = [
        mistakes.read(_holding_time, entry, quantities, inner)
        for entry, inner in mistakes.read(_tables, table, "holding_times", place) or ()
    ]
    limits_of = [
        mistakes.read(read_extract_limit, entry, inner)
        for entry, inner in mistakes.read(_tables, table, "extract_limits", place) or ()
    ]
    mistakes.refuse()
    return QualityRules(percent, **words, holding_times=tuple(own), extract_limits=tuple(limits_of))


def _tables(
    table: Mapping[str, Any], key: str, place: SettingPlace
) -> list[tuple[Mapping[str, Any], SettingPlace]]:
    """Return the tables of a name, each with its place."""
    entries = table.get(key, [])
    if not isinstance(entries, list) or not all(isinstance(each, Mapping) for each in entries):
        raise place(key, f"write each as a table [[quality.{key}]], its keys below.")
    return [(entry, place.inside(key, number)) for number, entry in enumerate(entries)]


def _holding_time(
    entry: Mapping[str, Any], quantities: Mapping[str, Quantity], place: SettingPlace
) -> HoldingTime:
    keys = ("quantity", "container", "preservation", "days", "source")
    mistakes = Mistakes()
    mistakes.read(check_keys, entry, keys, "a holding time", place)
    lacking = [key for key in keys if key not in entry]
    with mistakes.gathered():
        if lacking:
            raise place("", f"{', '.join(lacking)} is missing. Write all of {', '.join(keys)}.")
    words = {
        key: mistakes.read(checked_word, entry, key, "", known, place)
        for key, known in (
            ("quantity", tuple(quantities)),
            ("container", ("bottle", "filter")),
            ("preservation", PRESERVATIONS),
        )
        if key in entry
    }
    days = mistakes.read(checked_number, entry, "days", 1.0, (0.01, 3650.0), place)
    mistakes.refuse()
    return HoldingTime(**words, days=days, source=str(entry["source"]))
