"""What the record says of change at one station in one quantity: a trend with what it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.model.quantities import Quantity
from explorer.model.trends import Trend
from explorer.model.units import find_unit

__all__ = ["DIRECTIONS", "TRENDS", "StationTrend", "trend_direction"]

CLEARER = ("secchi_depth", "transparency_tube")  # quantities of which more is clearer water

DIRECTIONS = (
    "clearer",
    "less_clear",
    "more",  # of a concentration
    "less",
    "higher",  # of whatever is not held by the water: temperature, pH, turbidity
    "lower",
)

# A trend as it is stored: what was computed of one series alone. What depends on all the others (the adjusted
# p, the verdict) is judged whenever the rows are read.
TRENDS: Mapping[str, str] = {
    "station_code": "str",
    "quantity": "str",
    "method": "str",
    "other_methods": "str",  # JSON
    "first_year": "int64",
    "last_year": "int64",
    "middle_year": "float64",
    "years": "int64",
    "months": "int64",
    "readings": "int64",
    "test": "str",
    "statistic_s": "float64",
    "variance": "float64",
    "z": "float64",
    "p": "float64",
    "slope_per_year": "float64",
    "slope_low": "float64",
    "slope_high": "float64",
    "percent_per_year": "float64",
    "median": "float64",
    "seasons_differ_p": "float64",
    "lag1": "float64",
    "censored_share": "float64",
    "smallest_found": "float64",
    "level": "float64",  # the p that a finding took when the smallest change was simulated
}


@dataclass(frozen=True, slots=True)
class StationTrend:
    """The trend of a station's newest series of one quantity.

    A series is one method, or several that the programme has declared comparable. Where a station has more
    than one, the one that was used last speaks, of equal ones the longer.

    Attributes
    ----------
    station_code, quantity : str
        Of which station, in what.
    method : str
        Method of the series; empty where none is stated.
    other_methods : tuple of str
        Methods of the station's other series, which are left out.
    first_year, last_year : int
        First and last season with a value.
    middle_year : float
        Median of the years of all monthly values: the line of the trend passes here at `trend.median`. [year]
    together : int
        Series of the record that were tested together for this quantity, this one among them if it was.
    trend : Trend
        Test, slope and verdict.
    """

    station_code: str
    quantity: str
    method: str
    other_methods: tuple[str, ...]
    first_year: int
    last_year: int
    middle_year: float
    together: int
    trend: Trend

    @property
    def found(self) -> bool:
        """Whether a trend was found."""
        return self.trend.verdict in ("rising", "falling")

    @property
    def uneven(self) -> bool:
        """Whether no rate a year describes a found trend.

        Years that resemble the ones before may as well hold one step; a straight line that passes zero
        within the record tells of values that cannot be.

        Examples
        --------
        >>> from dataclasses import replace
        >>> from explorer.model.trends import TrendFindings
        >>> falling = replace(TrendFindings.empty(1).trend(0), verdict="falling", median=5.0,
        ...                   slope_per_year=-1.0)
        >>> whole = StationTrend("HM1", "chlorophyll_a", "", (), 2001, 2020, 2010.5, 1, falling)
        >>> whole.uneven, replace(whole, first_year=2007, last_year=2014).uneven
        (True, False)
        """
        trend = self.trend
        ends = [
            trend.median + trend.slope_per_year * (year - self.middle_year)
            for year in (self.first_year, self.last_year)
        ]
        return self.found and (trend.persistent or (trend.median > 0 and min(ends) < 0))


def trend_direction(verdict: str, quantity: Quantity) -> str:
    """Return which way a found trend goes, as one of `DIRECTIONS`; empty where none was found.

    Parameters
    ----------
    verdict : str
        One of `TREND_VERDICTS`.
    quantity : Quantity
        In what.

    Examples
    --------
    >>> from explorer.model.quantities import QUANTITIES
    >>> trend_direction("rising", QUANTITIES["secchi_depth"]), trend_direction("falling", QUANTITIES["ph"])
    ('clearer', 'lower')
    """
    if verdict not in ("rising", "falling"):
        return ""
    pairs = ("higher", "lower")
    if quantity.code in CLEARER:
        pairs = ("clearer", "less_clear")
    elif find_unit(quantity.unit).dimension == "concentration":
        pairs = ("more", "less")
    return pairs[verdict == "falling"]
