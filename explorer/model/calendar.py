"""The season of a programme and periods of whole seasons."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = ["Period", "Season", "month_of"]

MIDDLE_OF_THE_YEAR = 7  # where the year of a season across New Year begins, if the season leaves it free


def _months_since_1970(dates: pd.Series) -> npt.NDArray[np.int64]:
    return dates.to_numpy().astype("datetime64[M]").astype(np.int64)


def month_of(dates: pd.Series) -> npt.NDArray[np.int64]:
    """Return the month of each date, 1 to 12.

    Parameters
    ----------
    dates : Series of datetime64, shape (n,)
        Local dates.

    Examples
    --------
    >>> month_of(pd.Series(pd.to_datetime(["2024-04-30", "2024-05-01"]))).tolist()
    [4, 5]
    """
    return _months_since_1970(dates) % 12 + 1


@dataclass(frozen=True, slots=True)
class Season:
    """The months of a year in which a programme measures.

    Attributes
    ----------
    months : tuple of int
        In order, 1 to 12, each once; may cross New Year: (11, 12, 1, 2).

    Raises
    ------
    ValueError
        If the months do not follow one another, are not 1 to 12, or are more than a year.

    Examples
    --------
    >>> Season((11, 12, 1, 2)).crosses_new_year
    True
    """

    months: tuple[int, ...]

    def __post_init__(self) -> None:
        follow = all(b == a % 12 + 1 for a, b in zip(self.months, self.months[1:], strict=False))
        once = len(set(self.months)) == len(self.months)
        if not self.months or not follow or not once or not all(1 <= month <= 12 for month in self.months):
            raise ValueError(
                f"A season is months that follow one another, 1 to 12, each once; found {list(self.months)}. "
                "Write for example [5, 6, 7, 8, 9], or [11, 12, 1, 2] across New Year."
            )

    @property
    def crosses_new_year(self) -> bool:
        """Whether the season starts in one calendar year and ends in the next."""
        return self.months[-1] < self.months[0]

    @property
    def first_month_of_year(self) -> int:
        """The month with which the season's year begins: January, or across New Year one that cuts no season.

        Examples
        --------
        >>> water_year = Season((10, 11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9))
        >>> [each.first_month_of_year for each in (Season((5, 6)), Season((11, 12, 1, 2)), water_year)]
        [1, 7, 10]
        """
        if not self.crosses_new_year:
            return 1
        return min(max(MIDDLE_OF_THE_YEAR, self.months[-1] + 1), self.months[0])

    def year_bounds(self, year: int) -> tuple[np.datetime64, np.datetime64]:
        """Return the first day of the season's year, in which the whole season lies, and the first after it.

        Examples
        --------
        >>> [str(day) for day in Season((11, 12, 1, 2)).year_bounds(2025)]
        ['2025-07-01', '2026-07-01']
        """
        first = np.datetime64(f"{year:04d}-{self.first_month_of_year:02d}", "M")
        return first.astype("datetime64[D]"), (first + 12).astype("datetime64[D]")

    def contains(self, dates: pd.Series) -> pd.Series:
        """Return which dates lie in the season's months.

        Parameters
        ----------
        dates : Series of datetime64, shape (n,)
            Local dates.

        Returns
        -------
        Series of bool, shape (n,), same index

        Examples
        --------
        >>> dates = pd.Series(pd.to_datetime(["2024-04-30", "2024-05-01"]))
        >>> Season((5, 6, 7, 8, 9)).contains(dates).tolist()
        [False, True]
        """
        return pd.Series(np.isin(month_of(dates), self.months), index=dates.index)

    def year_of(self, dates: pd.Series) -> pd.Series:
        """Return the season's year of each date: the year in which that season (or its year) began.

        Parameters
        ----------
        dates : Series of datetime64, shape (n,)
            Local dates.

        Returns
        -------
        Series of int, shape (n,), same index
            The calendar year; for a season across New Year, the months before `first_month_of_year` count to
            the year before.

        Examples
        --------
        >>> dates = pd.Series(pd.to_datetime(["2023-12-24", "2024-01-06"]))
        >>> Season((11, 12, 1, 2)).year_of(dates).tolist()
        [2023, 2023]
        """
        months = _months_since_1970(dates) - (self.first_month_of_year - 1)
        return pd.Series(months // 12 + 1970, index=dates.index)

    def label(self, year: int) -> str:
        """Return how the season of a year is written: "2024", or "2024/25" across New Year.

        Examples
        --------
        >>> Season((11, 12, 1, 2)).label(2024)
        '2024/25'
        """
        return f"{year}/{(year + 1) % 100:02d}" if self.crosses_new_year else str(year)

    def bounds(self, year: int) -> tuple[np.datetime64, np.datetime64]:
        """Return the first day of the season and the first day after it.

        Examples
        --------
        >>> [str(day) for day in Season((5, 6, 7, 8, 9)).bounds(2024)]
        ['2024-05-01', '2024-10-01']
        """
        first = np.datetime64(f"{year:04d}-{self.months[0]:02d}", "M")
        return first.astype("datetime64[D]"), (first + len(self.months)).astype("datetime64[D]")


@dataclass(frozen=True, slots=True, order=True)
class Period:
    """Whole seasons from a first to a last year, both included.

    Raises
    ------
    ValueError
        If the last year lies before the first.

    Examples
    --------
    >>> Period(2020, 2024).years
    5
    """

    first_year: int
    last_year: int

    def __post_init__(self) -> None:
        if self.last_year < self.first_year:
            raise ValueError(
                f"A period ends in or after its first year; found {self.first_year} to {self.last_year}."
            )

    @property
    def years(self) -> int:
        """Number of seasons in the period."""
        return self.last_year - self.first_year + 1

    def contains(self, years: npt.ArrayLike) -> npt.NDArray[np.bool_]:
        """Return which years lie in the period.

        Parameters
        ----------
        years : array_like of int, shape (n,)
            Season years.

        Examples
        --------
        >>> Period(2020, 2024).contains([2019, 2020]).tolist()
        [False, True]
        """
        number = np.asarray(years)
        return (number >= self.first_year) & (number <= self.last_year)
