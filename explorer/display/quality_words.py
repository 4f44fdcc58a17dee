"""Words, names and units of a quality report, in the office's language."""

from collections.abc import Mapping

import numpy as np

from explorer.display.numbers import date_text, reading_text
from explorer.display.paper_tables import PaperColumn
from explorer.intake.season_report import SeasonReport
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["QualityWords"]


class QualityWords:
    """The report's words, quantities and units in the office's language.

    Parameters
    ----------
    report : SeasonReport
        Gives the programme.
    """

    def __init__(self, report: SeasonReport) -> None:
        self.language = report.programme.office_language
        self.quantities: Mapping[str, Quantity] = report.programme.quantities
        self.length_unit = report.programme.length_unit

    def say(self, code: str, **values: object) -> str:
        """Return a sentence of the report."""
        return say(f"quality.{code}", values, self.language)

    def column(self, code: str, *, number: bool = False, wide: bool = False) -> PaperColumn:
        """Return a column by the code of its heading."""
        return PaperColumn(self.say(code), number, wide)

    def numbers(self, *codes: str) -> tuple[PaperColumn, ...]:
        """Return columns of numbers by the codes of their headings."""
        return tuple(self.column(code, number=True) for code in codes)

    def name(self, code: str) -> str:
        """Return what a quantity is called."""
        return self.quantities[code].name if code in self.quantities else code

    def day(self, day: np.datetime64) -> str:
        """Return a date in words."""
        return date_text(day, self.language)

    def reading(self, value: float, sign: str, quantity: str) -> str:
        """Return a reading in words."""
        return reading_text(value, sign, self.quantities[quantity], self.length_unit, self.language)
