"""A programme's settings: its season, its rules, its units."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from explorer.model.calendar import Season
from explorer.model.label_stock import LABEL_SHEETS, LabelSheet
from explorer.model.plan import Plan
from explorer.model.practice_rules import LineMarks, PracticeRules
from explorer.model.quality_rules import QualityRules
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.words import FULL_LANGUAGE, has_all_words

__all__ = ["LengthUnit", "Programme"]

LengthUnit = Literal["m", "ft"]


@dataclass(frozen=True, slots=True)
class Programme:
    """What a programme has decided for itself.

    Attributes
    ----------
    name : str
        The programme's own name.
    time_zone : str
        Name of the zone in which dates and times are written; they are never converted.
    season_months : tuple of int
        Months of the season, 1 to 12, in order.
    minimum_visits, minimum_months : int
        Visits in a season, in so many different months, below which no class is named.
    length_unit : {"m", "ft"}
        Unit of depths on screens.
    scheme : str
        Key of the class scheme shown first.
    language : str
        Language of the meeting and of its papers; see `office_language` for all else.
    contact : str
        Whom to ask, as a hand-out says it: an office, a telephone number, an address; may be empty.
    trend_years : int
        Seasons below which no trend word is used.
    comparable_methods : tuple of tuple of str
        Groups of methods that the programme has declared comparable: a series goes on between them.
    deviation_step : float
        Difference of two index values below which nothing is said (common practice). [index units]
    thermocline_gradient_degc_per_m : float
        Cooling over depth that a thermocline must reach: Birge's rule (1898, from memory). [°C/m]
    oxygen_mark_mg_per_l : float
        Dissolved oxygen whose depth is named beside a profile: common practice, and no claim. [mg/L]
    quantities : mapping of str to Quantity
        The usual ones and the programme's own.
    plan : Plan
        Which stations are visited when, and what for; see `explorer.model.plan`.
    quality : QualityRules
        Limits for duplicates, blanks and holding times; see `explorer.model.quality_rules`.
    labels : LabelSheet or None
        Sheets on which labels are printed, see `explorer.model.label_stock`; None where none is named.
    practice : mapping of str to object
        What the table `[practice]` sets.
    headings : mapping of str to object
        Further names of columns, units, marks and words, as the table [headings] states them; read by
        `explorer.intake.own_headings`.
    checks : mapping of str to object
        Checks switched off or limited otherwise, as the table [checks] states them; read by
        `explorer.intake.check_settings`.

    Examples
    --------
    >>> Programme().season.label(2024)
    '2024'
    """

    name: str = "Lake monitoring programme"
    time_zone: str = "UTC"
    season_months: tuple[int, ...] = (5, 6, 7, 8, 9)
    minimum_visits: int = 3
    minimum_months: int = 3
    length_unit: LengthUnit = "m"
    scheme: str = "carlson_simpson_1996"
    language: str = "en"
    contact: str = ""
    trend_years: int = 8
    comparable_methods: tuple[tuple[str, ...], ...] = ()
    deviation_step: float = 5.0
    thermocline_gradient_degc_per_m: float = 1.0
    oxygen_mark_mg_per_l: float = 2.0
    quantities: Mapping[str, Quantity] = field(default_factory=lambda: QUANTITIES)
    plan: Plan = field(default_factory=Plan)
    quality: QualityRules = field(default_factory=QualityRules)
    labels: LabelSheet | None = None
    practice: Mapping[str, Any] = field(default_factory=dict)
    headings: Mapping[str, Any] = field(default_factory=dict)
    checks: Mapping[str, Any] = field(default_factory=dict)

    @property
    def office_language(self) -> str:
        """Language of all but the meeting and its papers: a language without all sentences would be mixed."""
        return self.language if has_all_words(self.language) else FULL_LANGUAGE

    @property
    def season(self) -> Season:
        """The season's calendar."""
        return Season(self.season_months)

    @property
    def label_sheet(self) -> LabelSheet:
        """The sheet of labels that is named, else the usual one where depths are in feet or metres."""
        return self.labels or LABEL_SHEETS["letter_30" if self.length_unit == "ft" else "a4_21"]

    @property
    def practice_rules(self) -> PracticeRules:
        """The rules of its exercises; what it leaves open follows its unit of depths and its language."""
        line: LineMarks = "tenths" if self.length_unit == "ft" else "decimetres"
        return PracticeRules(**{"line": line, "language": self.office_language, **self.practice})
