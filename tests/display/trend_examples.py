"""Trends as the pages get them, made by hand: what was found is stated, not computed."""

from dataclasses import replace

from explorer.model.station_trends import StationTrend
from explorer.model.trends import Trend

NAN = float("nan")


def trend_of(verdict: str = "rising", **further: object) -> Trend:
    """Return a trend of 18 seasons x 5 months in a quantity about 4.3, which rises by 0.0527 a year."""
    sign = {"rising": 1.0, "falling": -1.0}.get(verdict, 0.5)
    usual = Trend(
        years=18, months=5, readings=86, test="seasonal_kendall", statistic_s=90 * sign, variance=900.0,
        z=2.97 * sign, p=0.003, p_adjusted=0.02, slope_per_year=0.0527 * sign,
        slope_low=0.031 if sign > 0 else -0.078, slope_high=0.078 if sign > 0 else -0.031,
        percent_per_year=1.23 * sign, median=4.3, seasons_differ_p=0.4, lag1=0.1, censored_share=0.0,
        smallest_found=NAN, years_needed=NAN, verdict=verdict,
    )  # fmt: skip
    if verdict in ("no_trend_found", "cannot_tell_yet"):
        usual = replace(usual, p=0.4, p_adjusted=0.6, smallest_found=0.06, years_needed=0.0)
    if verdict == "beyond_limit":
        usual = replace(usual, censored_share=0.9, slope_per_year=NAN, slope_low=NAN, slope_high=NAN)
    return replace(usual, **further)  # type: ignore[arg-type]


def station_trend(trend: Trend, quantity: str = "secchi_depth", others: tuple[str, ...] = ()) -> StationTrend:
    """Return the trend of a station from 2005 to 2024, tested together with 39 others."""
    return StationTrend("HM1", quantity, "disk", others, 2005, 2024, 2014.5, 40, trend)
