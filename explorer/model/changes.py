"""A comparison of the seasons before and after a date: the values, not the computing."""

from dataclasses import dataclass

from explorer.model.trends import LAG1_WARNING

__all__ = ["CHANGE_VERDICTS", "Change"]

CHANGE_VERDICTS = (
    "too_few_seasons",  # under three on a side
    "beyond_limit",  # more than 80 % below what can be measured, or deeper than the bottom
    "higher",
    "lower",
    "no_difference_found",
    "cannot_tell_yet",  # so few seasons that no order of them would have been a finding
)


@dataclass(frozen=True, slots=True)
class Change:
    """Season medians after a date against those before it.

    Attributes
    ----------
    before, after : int
        Seasons on either side; a season that the date falls into counts to neither.
    median_before, median_after : float
        Medians of the season medians. [record unit] NaN without seasons.
    difference, difference_low, difference_high : float
        Hodges-Lehmann difference, after less before, and its 90 % limits. [record unit] NaN with too few
        seasons or above 50 % censored.
    percent : float
        The difference in percent of `median_before`. [%] NaN where that is zero or less.
    p : float
        Two-sided p of the rank-sum test. [1] NaN with too few seasons or above 80 % censored.
    lag1 : float
        Lag-1 correlation of season medians about their side's median. [1] NaN where it has no value.
    verdict : str
        One of `CHANGE_VERDICTS`: the code of the words.
    """

    before: int
    after: int
    median_before: float
    median_after: float
    difference: float
    difference_low: float
    difference_high: float
    percent: float
    p: float
    lag1: float
    verdict: str

    @property
    def persistent(self) -> bool:
        """Whether one year follows the last so closely that p is too small: a warning belongs beside it."""
        return self.lag1 > LAG1_WARNING
