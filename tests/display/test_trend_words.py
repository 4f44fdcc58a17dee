"""The words of a trend: over every combination grammatical, never a claim without its number."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trend_judgement import trend_findings

from explorer.display.trend_words import trend_words
from explorer.model.calendar import Season
from explorer.model.quantities import QUANTITIES
from explorer.model.station_trends import DIRECTIONS, trend_direction
from explorer.model.trends import TREND_VERDICTS, Trend
from explorer.model.words import word_codes

from .trend_examples import NAN, station_trend, trend_of

FORBIDDEN = (Path(__file__).parents[1] / "forbidden_words.txt").read_text().split()
SEASON = Season((5, 6, 7, 8, 9))
LONGEST = 230  # characters: about two lines under a station's name at 1024 px


def said(trend: Trend, quantity: str = "secchi_depth", unit: str = "m", others: tuple[str, ...] = ()):
    words = trend_words(
        station_trend(trend, quantity, others), QUANTITIES[quantity], SEASON, length_unit=unit
    )
    return replace(
        words, sentence=words.sentence.replace("\N{NO-BREAK SPACE}", " "),
        short=words.short.replace("\N{NO-BREAK SPACE}", " "),
    )  # fmt: skip


def test_found_trend_in_clarity_says_direction_slope_limits_percent_and_years() -> None:
    assert said(trend_of()).sentence == (
        "The water has become clearer: about 0.053 m (1.2 %) more a year (very likely 0.031 to 0.078 m), "
        "in 18 seasons × 5 months from 2005 to 2024."
    )


def test_falling_trend_swaps_its_limits() -> None:
    assert said(trend_of("falling"), "total_phosphorus").sentence == (
        "There is less total phosphorus in the water: about 0.053 µg/L (1.2 %) less a year "
        "(very likely 0.031 to 0.078 µg/L), in 18 seasons × 5 months from 2005 to 2024."
    )


def test_depths_follow_the_unit_that_is_shown() -> None:
    assert "about 0.17 ft (1.2 %) more" in said(trend_of(), unit="ft").sentence


def test_no_trend_found_says_what_would_have_been_found() -> None:
    assert said(trend_of("no_trend_found")).sentence == (
        "No trend found in clarity in 18 seasons × 5 months from 2005 to 2024: a change of 0.060 m "
        "(1.4 %) a year would have shown in four of five such records."
    )


def test_large_change_that_could_be_missed_is_we_cannot_tell_yet() -> None:
    sentence = said(trend_of("cannot_tell_yet", smallest_found=0.6, years_needed=4.0)).sentence
    assert sentence.startswith("We cannot tell yet whether clarity is changing")
    assert "even a change of 0.60 m (14 %) a year could have been missed" in sentence
    assert "About 4 more years of such visits would show a change of 5 % a year." in sentence


def test_change_of_any_size_that_could_be_missed_is_said_so() -> None:
    sentence = said(trend_of("cannot_tell_yet", smallest_found=float("inf"), years_needed=NAN)).sentence
    assert "a change of any size could have been missed" in sentence


@pytest.mark.parametrize(("years", "verdict"), [(3, "too_few_years"), (6, "drawn_only")])
def test_too_few_years_are_counted_and_no_direction_is_named(years: int, verdict: str) -> None:
    words = said(trend_of(verdict, years=years, years_needed=8.0 - years, test="", p=NAN, p_adjusted=NAN))
    assert f"{years} seasons with enough visits so far, and it takes 8" in words.sentence
    assert words.short == f"too few years ({years} seasons)"


def test_mostly_below_the_limit_gives_the_share_and_no_word_of_direction() -> None:
    trend = trend_of("beyond_limit", censored_share=0.92, test="", p=NAN, p_adjusted=NAN)
    assert (
        "92 % of the monthly values lie below what the laboratory could measure"
        in said(trend, "chlorophyll_a").sentence
    )
    assert "in 92 % of the months the disk" in said(trend).sentence


def test_found_trend_without_a_slope_says_why_there_is_none() -> None:
    hidden = trend_of(
        slope_per_year=NAN, slope_low=NAN, slope_high=NAN, percent_per_year=NAN, censored_share=0.6
    )
    assert "60 % of the monthly values lie below" in said(hidden, "total_nitrogen").sentence
    equal = trend_of(slope_per_year=0.0, slope_low=0.0, slope_high=0.01, percent_per_year=0.0)
    assert said(equal).sentence.endswith(
        "How much a year cannot be said, because too many readings are equal."
    )


def test_percent_is_left_out_where_zero_is_not_nothing() -> None:
    assert "%" not in said(trend_of(), "ph").sentence
    assert "%" not in said(trend_of(), "water_temperature").sentence


def test_cautions_name_other_methods_chance_persistence_and_months() -> None:
    trend = trend_of("no_trend_found", p=0.01, p_adjusted=0.2, lag1=0.45, seasons_differ_p=0.01)
    cautions = said(trend, others=("", "old lab")).cautions
    assert cautions == (
        "Readings by other methods are left out: method not stated and old lab. Nobody has declared them "
        "comparable.",
        "Looked at alone this would have been called a trend; among 40 stations looked at together, some "
        "look so by chance.",
        "Each year resembles the one before (0.5 of 1): a larger change than this could be missed, too.",
        "Not all months change alike.",
    )
    assert said(trend_of()).cautions == ()


@st.composite
def trends(draw: st.DrawFn) -> Trend:
    """Every combination that the computing can give, and some that it cannot."""
    verdict = draw(st.sampled_from(TREND_VERDICTS))
    tested = verdict not in ("too_few_years", "drawn_only", "beyond_limit")
    years = draw(st.integers(*{"too_few_years": (0, 4), "drawn_only": (5, 7)}.get(verdict, (8, 60))))
    shares = [0.81, 0.999, 1.0] if verdict == "beyond_limit" else [0.0, 0.004, 0.3, 0.6, 0.8, NAN]
    share = draw(st.sampled_from(shares))
    sign = -1.0 if verdict == "falling" else 1.0
    size = draw(st.floats(1e-5, 5e3))
    slope = draw(st.sampled_from([sign * size, 0.0, NAN])) if tested else NAN
    known = draw(st.booleans()) and not np.isnan(slope)
    ends = sorted((slope * 0.5, slope * 1.7)) if known else (NAN, NAN)
    open_size = (
        draw(st.sampled_from([size, 0.0, float("inf"), NAN])) if verdict == "cannot_tell_yet" else size
    )
    more = draw(st.sampled_from([0.0, 1.0, 7.0, NAN]))
    return trend_of(
        verdict, years=years, months=draw(st.integers(1, 12)), readings=draw(st.integers(0, 600)),
        test=draw(st.sampled_from(["seasonal_kendall", "season_medians"])) if tested else "",
        p=draw(st.sampled_from([0.001, 0.04, 0.5])) if tested else NAN,
        p_adjusted=draw(st.sampled_from([0.01, 0.2])) if tested else NAN,
        slope_per_year=slope, slope_low=ends[0], slope_high=ends[1],
        percent_per_year=draw(st.sampled_from([slope, NAN])), median=draw(st.sampled_from([4.0, -1.0, NAN])),
        lag1=draw(st.sampled_from([NAN, -0.4, 0.1, 0.6])), censored_share=share,
        seasons_differ_p=draw(st.sampled_from([NAN, 0.01, 0.6])),
        smallest_found=NAN if verdict in ("rising", "falling") or not tested else open_size,
        years_needed=8.0 - years if years < 8 else more,
    )  # fmt: skip


@settings(max_examples=400)
@given(
    trends(), st.sampled_from(sorted(QUANTITIES)), st.sampled_from(["m", "ft"]),
    st.sampled_from([(), ("",), ("old lab", "new lab")]),
)  # fmt: skip
def test_every_combination_is_whole_sentences_with_a_number_and_plain_words(
    trend: Trend, quantity: str, unit: str, others: tuple[str, ...]
) -> None:
    words = said(trend, quantity, unit, others)
    texts = [words.short, words.sentence, words.basis, *words.cautions]
    for text in texts:
        assert text == text.strip(), text
        assert not any(part in text for part in ("  ", "()", "{", " ,", " .")), text
        assert not {word.casefold() for word in re.findall(r"[\w-]+", text)} & {*FORBIDDEN, "nan", "inf"}, (
            text
        )
    for text in texts[1:]:
        assert re.fullmatch(r"[A-Zp].*[.]", text), text  # pH begins in its own way
        assert not re.search(r"\b1 seasons|\b1 months|\b(?:[02-9]|\d\d+) season\b", text), text
    assert re.search(r"\d", words.sentence), "a verdict has its number"
    assert bool(trend_direction(trend.verdict, QUANTITIES[quantity])) == (
        trend.verdict in ("rising", "falling")
    )
    if trend.years < 8:
        assert not any(
            f" {each}" in words.sentence for each in ("clearer", "higher", "lower", "more ", "less ")
        )


def test_usual_sentences_fit_two_lines() -> None:
    for verdict in ("rising", "falling", "no_trend_found", "cannot_tell_yet"):
        for quantity in ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen"):
            assert len(said(trend_of(verdict), quantity).sentence) <= LONGEST


def test_every_direction_has_its_words() -> None:
    codes = set(word_codes())
    for each in DIRECTIONS:
        assert {f"trend.{kind}_{each}" for kind in ("found", "unrated", "short")} <= codes


def test_words_follow_the_computed_findings() -> None:
    rng = np.random.default_rng(8)
    values = rng.normal(20.0, 2.0, (3, 20, 5))
    values[1] += 1.5 * np.arange(20.0)[:, None]
    values[2, 6:] = np.nan
    findings = trend_findings(values)
    first = [said(findings.trend(place), "chlorophyll_a").sentence.split(":")[0] for place in range(3)]
    assert first == [
        "No trend found in chlorophyll a in 20 seasons × 5 months from 2005 to 2024",
        "There is more chlorophyll a in the water",
        "Too early to speak of a trend in chlorophyll a",
    ]
