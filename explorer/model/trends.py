"""A trend and a table of trends: the values, not the computing."""

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

__all__ = [
    "LAG1_WARNING",
    "TREND_VERDICTS",
    "Trend",
    "TrendFindings",
    "TrendTable",
]

LAG1_WARNING = 0.2  # [1] lag-1 correlation of season medians above which p is too small to be trusted

TREND_VERDICTS = (
    "too_few_years",  # under five: not a series yet
    "drawn_only",  # under the programme's years for a trend: dots, no word
    "beyond_limit",  # more than 80 % below what can be measured, or deeper than the bottom
    "rising",
    "falling",
    "no_trend_found",  # a change that matters would have been found; `smallest_found` says which
    "cannot_tell_yet",  # a change that matters could have been missed, or nothing can be said of its size
)

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trend:
    """The trend of one series, or why there is none.

    Attributes
    ----------
    years : int
        Seasons with visits in enough months; they are counted against the years that a trend needs.
    months : int
        Months of the season that hold readings.
    readings : int
        Monthly values.
    test : {"seasonal_kendall", "season_medians", ""}
        Seasonal Kendall on monthly values, Mann-Kendall on season medians, or no test.
    statistic_s, variance, z, p : float
        Kendall's S, its variance, its standard score with continuity correction, two-sided p. [1]
        NaN without a test.
    p_adjusted : float
        p after Benjamini & Hochberg over all series of the table. [1] NaN without a test.
    slope_per_year, slope_low, slope_high : float
        Sen slope and its 90 % limits. [record unit per year] NaN without a test, above 50 % censored, or
        where there are too few pairs for a limit.
    percent_per_year : float
        The slope in percent of the period's median. [% per year] NaN where the median is zero or less.
    median : float
        Median of the monthly values, a censored one at its stand-in. [record unit] NaN without values.
    seasons_differ_p : float
        p of the hypothesis that all months share one trend. [1] NaN without a test or with one month.
    lag1 : float
        Lag-1 correlation of season medians along the slope. [1] NaN without a slope.
    censored_share : float
        Share of values below or above the one limit that the whole period is held to. [1] NaN without any.
    smallest_found : float
        The steepness that would have been found in four of five such series. [record unit per year]
        NaN where a trend was found or none was looked for; infinite where no change, however steep,
        could have been found.
    years_needed : float
        Further years until a change that matters could be found. [years] NaN where not known.
    verdict : str
        One of `TREND_VERDICTS`: the code of the words.

    Examples
    --------
    >>> trend = TrendFindings.empty(1).trend(0)
    >>> trend.verdict, trend.persistent
    ('too_few_years', False)
    """

    years: int
    months: int
    readings: int
    test: str
    statistic_s: float
    variance: float
    z: float
    p: float
    p_adjusted: float
    slope_per_year: float
    slope_low: float
    slope_high: float
    percent_per_year: float
    median: float
    seasons_differ_p: float
    lag1: float
    censored_share: float
    smallest_found: float
    years_needed: float
    verdict: str

    @property
    def persistent(self) -> bool:
        """Whether one year follows the last so closely that p is too small: a warning belongs beside it."""
        return self.lag1 > LAG1_WARNING

    @property
    def smallest_percent(self) -> float:
        """`smallest_found` in percent of the median. [% per year] NaN where the median is zero or less."""
        return 100 * self.smallest_found / self.median if self.median > 0 else float("nan")


@dataclass(frozen=True, slots=True)
class TrendTable:
    """Tests and slopes of many series: one array of shape (series,) per field, as described at `Trend`."""

    years: npt.NDArray[np.int64]
    months: npt.NDArray[np.int64]
    readings: npt.NDArray[np.int64]
    test: npt.NDArray[np.str_]
    statistic_s: Floats
    variance: Floats
    z: Floats
    p: Floats
    p_adjusted: Floats
    slope_per_year: Floats
    slope_low: Floats
    slope_high: Floats
    percent_per_year: Floats
    median: Floats
    seasons_differ_p: Floats
    lag1: Floats
    censored_share: Floats

    def __len__(self) -> int:
        return len(self.p)

    @classmethod
    def empty(cls, series: int) -> "TrendTable":
        """Return the table of so many series without a single value.

        Examples
        --------
        >>> len(TrendTable.empty(3))
        3
        """
        start = {"years": 0, "months": 0, "readings": 0}
        columns = {each.name: np.full(series, start.get(each.name, np.nan)) for each in fields(cls)}
        return cls(**{**columns, "test": np.full(series, "", dtype="<U16")})


@dataclass(frozen=True, slots=True)
class TrendFindings:
    """Many series' trends with what could have been missed and the code of the words for each.

    Attributes
    ----------
    table : TrendTable
        Tests and slopes.
    smallest_found, years_needed : ndarray, shape (series,)
        As at `Trend`.
    verdict : ndarray of str, shape (series,)
        One of `TREND_VERDICTS` each.
    """

    table: TrendTable
    smallest_found: Floats
    years_needed: Floats
    verdict: npt.NDArray[np.str_]

    def __len__(self) -> int:
        return len(self.table)

    @classmethod
    def empty(cls, series: int) -> "TrendFindings":
        """Return the findings of so many series without a single value.

        Examples
        --------
        >>> TrendFindings.empty(1).verdict.tolist()
        ['too_few_years']
        """
        nothing = np.full(series, np.nan)
        return cls(TrendTable.empty(series), nothing, nothing.copy(), np.full(series, "too_few_years"))

    def trend(self, number: int) -> Trend:
        """Return one series' trend.

        Parameters
        ----------
        number : int
            Its place along the first axis of the values.

        Raises
        ------
        IndexError
            If there is no such series.

        Examples
        --------
        >>> TrendFindings.empty(2).trend(1).years
        0
        """
        row = {each.name: getattr(self.table, each.name)[number].item() for each in fields(TrendTable)}
        return Trend(
            **row,
            smallest_found=self.smallest_found[number].item(),
            years_needed=self.years_needed[number].item(),
            verdict=self.verdict[number].item(),
        )
