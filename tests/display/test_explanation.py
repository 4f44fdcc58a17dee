import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from explorer.analysis.certainty import sureness_word
from explorer.analysis.class_schemes import class_index, schemes
from explorer.analysis.classes import class_result, period_classes
from explorer.analysis.season_table import season_table
from explorer.display.choice import Choice
from explorer.display.explanation import explain_station
from explorer.display.judged_seasons import judged_period
from explorer.display.left_out import readings_left_out
from explorer.display.limit_words import class_span_lines, value_text
from explorer.display.station_page import build_station_page
from explorer.model.calendar import Period
from explorer.model.classes import ClassResult
from explorer.model.programme import Programme
from explorer.model.quantities import QUANTITIES
from explorer.model.words import say, word_codes

FORBIDDEN = (Path(__file__).parents[1] / "forbidden_words.txt").read_text().split()
SCHEMES = schemes()
CARLSON = SCHEMES["carlson_simpson_1996"]
NUMBER = r"\d+(?:\.\d+)?"


def days(year, months=(5, 6, 7, 8, 9), day=15):
    return [f"{year}-{month:02d}-{day:02d}" for month in months]


SUMMER = days(2024)


@pytest.fixture
def explain(choice):
    def explain(history, choice=choice, scheme=CARLSON, programme=Programme(), record="County"):  # noqa: B008
        seasons = season_table(history.readings, programme)
        result = class_result(history, seasons, choice.period, scheme, programme)
        page = build_station_page(history, seasons, result, choice, scheme, programme)
        found = explain_station(page, history, seasons, result, choice, scheme, programme, record)
        assert all(section.lines for section in found)
        return {
            section.title: [line.replace("\N{NO-BREAK SPACE}", " ") for line in section.lines]
            for section in found
        }

    return explain


def test_value_behind_the_class_and_its_limits_are_said(explain, make_history, make_readings):
    said = explain(make_history(make_readings(SUMMER, [3.0, 2.8, 3.4, 3.1, 2.9])))
    assert said["The value behind the class"] == [
        "Clarity gave the class: its middle value (median) for 2024 is 3.0 m.",
        "This scheme asks in this order: chlorophyll a, then chlorophyll a (uncorrected), then total "
        "phosphorus, then clarity. The first with enough visits gives the class.",
        "Between 2 m and 4 m the class is mesotrophic (Carlson & Simpson).",
        "A value of exactly 4 m counts as mesotrophic.",
        "A value of exactly 2 m counts as eutrophic.",
    ]  # fmt: skip


def test_feet_change_the_value_and_its_limits(explain, make_history, make_readings, choice):
    said = explain(make_history(make_readings(SUMMER, [3.0] * 5)), replace(choice, length_unit="ft"))
    first, _, span, *_ = said["The value behind the class"]
    assert first.endswith("is 9.8 ft.")
    assert span.startswith("Between 6.6 ft and 13.1 ft ")


def test_every_season_of_the_period_is_listed_with_what_it_has(explain, make_history, make_readings, choice):
    readings = make_readings([*days(2022, (5, 6)), *days(2023), *SUMMER], [1.0, 1.0, *[3.0] * 5, *[5.0] * 5])
    said = explain(make_history(readings), replace(choice, period=Period(2022, 2024), picked=True))
    assert said["Visits and months"] == [
        "Season by season, with classes by Carlson & Simpson:",
        "Clarity 2022: 1.0 m; 2 visits in 2 months, which does not count.",
        "Clarity 2023: 3.0 m, mesotrophic; 5 visits in 5 months.",
        "Clarity 2024: 5.0 m, oligotrophic; 5 visits in 5 months.",
        "A season counts with at least 3 visits in 3 different months.",
    ]
    assert said["The value behind the class"][0].endswith("for 2022 to 2024 is 4.0 m.")
    assert (
        "Several seasons together have the middle one of their values."
        in said["How the readings are averaged"]
    )


def test_station_without_a_class_says_what_it_has_and_what_a_class_takes(
    explain, make_history, make_readings
):
    said = explain(make_history(make_readings(SUMMER[:2], [3.0, 3.2])))
    assert "The value behind the class" not in said
    assert "How sure" not in said
    assert said["Visits and months"] == [
        "Season by season, with classes by Carlson & Simpson:",
        "Clarity 2024: 3.1 m; 2 visits in 2 months, which does not count.",
        "A season counts with at least 3 visits in 3 different months.",
        "Without a reading: July, August and September.",
    ]


def test_stream_says_that_the_scheme_is_not_applied(explain, make_history, make_readings):
    said = explain(make_history(make_readings(SUMMER, [3.0] * 5), kind="stream"))
    assert list(said) == ["The usual range", "The class scheme", "The record"]
    assert said["The class scheme"][-1] == "This is a stream, so it is not applied here."


def test_station_without_readings_still_names_scheme_and_record(explain, make_history):
    said = explain(make_history())
    assert list(said)[-2:] == ["The class scheme", "The record"]
    assert said["The record"] == [
        "Record: County, version 1.",
        "Lake monitoring programme: the season runs from May to September.",
    ]


@pytest.mark.parametrize("key", SCHEMES)
def test_source_of_the_scheme_says_where_it_is_from_memory(explain, make_history, make_readings, choice, key):
    scheme = SCHEMES[key]
    said = explain(make_history(make_readings(SUMMER, [3.0] * 5)), replace(choice, scheme=key), scheme)
    lines = " ".join(said["The class scheme"])
    assert " ".join(scheme.source.split()) in lines
    assert ("from memory" in scheme.source + scheme.note) == ("from memory" in lines)
    window = "year" if key in ("burns_1999", "oecd_1982_fixed") else "season"
    statistic = "middle value (median)" if key == "carlson_simpson_1996" else "average (mean)"
    assert f"It judges the {statistic} of the {window} for chlorophyll a," in lines


ALL_YEAR = days(2024, months=range(1, 13))
NAMING = "How the 1982 experts would have named this value"
LEVELS = "The level by all quantities together"


def explain_by(explain, choice, key, history):
    return explain(history, replace(choice, scheme=key), SCHEMES[key])


def test_value_is_named_as_the_experts_of_the_oecd_study_would_have_under_their_scheme_alone(
    explain, make_history, make_readings, choice
):
    history = make_history(make_readings(ALL_YEAR, [26.7] * 12, quantity="total_phosphorus"))
    said = explain_by(explain, choice, "oecd_1982_fixed", history)
    assert said[NAMING][0] == (  # the shares of `naming_shares` at the mean of the mesotrophic row
        "The names that the experts of the OECD study gave to lakes with total phosphorus of 27 µg/L "
        "over the year: oligotrophic 5 %, mesotrophic 74 % and eutrophic 20 % (its open boundaries, numbers "
        "from memory)."
    )
    assert "does not say how sure" in said[NAMING][1]
    for key in SCHEMES:
        if key != "oecd_1982_fixed":
            assert NAMING not in explain_by(explain, choice, key, history)
    summer = make_history(make_readings(SUMMER, [26.7] * 5, quantity="total_phosphorus"))
    assert NAMING not in explain_by(explain, choice, "oecd_1982_fixed", summer), "no mean over a year"


def test_trophic_level_is_the_mean_of_all_four_or_says_which_is_missing(
    explain, make_history, make_readings, choice
):
    at_three = {"chlorophyll_a": 2.0, "total_phosphorus": 9.0, "total_nitrogen": 157.0, "secchi_depth": 7.0}
    frames = [make_readings(ALL_YEAR, [value] * 12, quantity=code) for code, value in at_three.items()]
    said = explain_by(explain, choice, "burns_1999", make_history(*frames))
    assert said[LEVELS][:2] == [  # Burns 1999 prints these four values as the limits at level 3
        "The trophic level by means over the year: chlorophyll a 3.0, total phosphorus 3.0, "
        "total nitrogen 3.0 and clarity 3.0.",
        "The index is their mean, 3.0. Each whole number is the limit of a class.",
    ]
    said = explain_by(explain, choice, "burns_1999", make_history(*frames[:2]))
    assert "missing for total nitrogen and clarity" in said[LEVELS][1]
    assert LEVELS not in explain_by(explain, choice, "oecd_1982_fixed", make_history(*frames))


def test_usual_range_is_explained_where_there_is_one(explain, make_history, make_readings):
    none = explain(make_history(make_readings(SUMMER, [3.0] * 5)))["The usual range"]
    assert none == ["No usual range is drawn: it takes readings from at least 5 years."]
    dates = [day for year in range(2019, 2025) for day in days(year)]
    some = explain(make_history(make_readings(dates, [3.0] * len(dates))))["The usual range"]
    assert some[-1] == "It is drawn where readings come from at least 5 years: here for clarity."


def test_readings_left_out_are_counted_by_their_reason(explain, make_history, make_readings):
    readings = make_readings(
        [*SUMMER, "2024-04-15", "2024-06-20", "2024-06-21", "2024-06-22", "2024-06-23"], [3.0] * 10
    )
    readings.loc[6, "status"] = "held"
    readings.loc[7, "sample_type"] = "field duplicate"
    readings.loc[8, "stratum"] = "bottom"
    readings.loc[9, "method"] = "view tube"
    said = explain(make_history(readings))["The record"]
    assert said[2:] == [
        "Of 10 readings in 2024 (clarity) 5 are left out:",
        "1 waits for an answer.",
        "1 is a duplicate, a blank or another check of the measuring.",
        "1 comes from below the surface water.",
        "1 lies outside the season.",
        "1 was made by another method than most of its season.",
    ]


def test_no_reading_left_out_is_said_too(explain, make_history, make_readings):
    said = explain(make_history(make_readings(SUMMER, [3.0] * 5)))["The record"]
    assert said[-1] == "Of 5 readings in 2024 (clarity) none is left out."


def test_readings_known_as_limits_say_how_they_are_averaged(explain, make_history, make_readings):
    dates = [*SUMMER]
    readings = make_readings(dates, [2.0, 3.0, 20.0, 21.0, 22.0], "<<===", quantity="total_phosphorus")
    said = explain(make_history(readings))
    assert (
        "With such readings the middle is found by the method of Kaplan and Meier."
        in said["How the readings are averaged"]
    )
    plain = explain(make_history(make_readings(SUMMER, [3.0] * 5)))["How the readings are averaged"]
    assert not [line for line in plain if "below" in line]


def test_record_of_one_month_season_names_that_month(explain, make_history, make_readings):
    programme = Programme(name="County", season_months=(7,), minimum_months=1)
    said = explain(make_history(make_readings(["2024-07-15"], [3.0])), programme=programme)
    assert said["The record"][1] == "County: the season is July."


@pytest.mark.parametrize("visits", [3, 30])
@pytest.mark.parametrize("share", [0.2, 0.4, 0.55, 0.7, 0.92, 0.96, 0.995])
def test_meaning_of_the_sureness_word_agrees_with_the_word(
    make_history, make_readings, choice, share, visits
):
    history = make_history(make_readings(SUMMER, [3.0] * 5))
    seasons = season_table(history.readings, Programme())
    word = sureness_word(share, visits)
    others = dict.fromkeys(CARLSON.classes, (1 - share) / 3)
    result = ClassResult(CARLSON.key, "secchi_depth", "mesotrophic", "", others | {"mesotrophic": share},
                         word, visits, 3, "", ())  # fmt: skip
    page = build_station_page(history, seasons, result, choice, CARLSON, Programme())
    sections = explain_station(page, history, seasons, result, choice, CARLSON, Programme(), "County")
    lines = next(section.lines for section in sections if section.title == "How sure")
    meaning = next(line for line in lines if line.startswith('"'))
    assert meaning.casefold().startswith(f'"{say(f"sureness.{word}")}" stands for ')
    percents = [float(number) for number in re.findall(rf"({NUMBER}) %", meaning)]
    if "or more" in meaning:
        assert 100 * share >= percents[0]
    elif "below" in meaning:
        assert 100 * share < percents[0]
    else:
        assert percents[0] <= 100 * share < percents[1]
    assert any("fewer than 5 visits" in line for line in lines) == (visits < 5)
    assert ("more than 99 %" in lines[0]) == (share > 0.995)


# M. D. Mastrandrea and others, Guidance Note for Lead Authors of the IPCC Fifth Assessment Report on
# Consistent Treatment of Uncertainties, IPCC, 2010, table 1 with its additional terms (from memory).
IPCC_LEAST_PERCENT = {"virtually_certain": 99, "extremely_likely": 95, "very_likely": 90, "likely": 66,
                      "more_likely_than_not": 50, "about_as_likely_as_not": 33}  # fmt: skip


@pytest.mark.parametrize(("word", "least"), IPCC_LEAST_PERCENT.items())
def test_meaning_of_the_sureness_words_agrees_with_ipcc_2010(word, least):
    assert re.search(rf"\b{least} %", say(f"explanation.meaning_{word}", {"word": word}))


@settings(deadline=None)
@given(
    st.sampled_from([*SCHEMES.values()]),
    st.sampled_from(["secchi_depth", "chlorophyll_a", "total_phosphorus"]),
    st.floats(0.01, 3000),
    st.sampled_from(["m", "ft"]),
)
@example(SCHEMES["burns_1999"], "chlorophyll_a", 0.33, "m")
def test_value_in_words_lies_between_the_limits_of_its_class(scheme, code, value, unit):
    quantity, limits = QUANTITIES[code], scheme.limits[code]
    label = scheme.classes[int(class_index(value, limits, quantity.higher_is_worse))]
    result = ClassResult(scheme.key, code, label, "", {}, "cannot_tell", 5, 5, "", ())
    choice = Choice("HM1", Period(2024, 2024), length_unit=unit)

    def numbers(text):
        return [float(each.replace(" ", "")) for each in re.findall(r"\d[\d ]*(?:\.\d+)?", text)]

    said = value_text(value, value, value, limits, quantity, choice).replace("\N{NO-BREAK SPACE}", " ")
    span, *on_limits = class_span_lines(result, scheme, quantity, choice)
    span = span.replace(f"({scheme.name})", "").replace("\N{NO-BREAK SPACE}", " ")
    (shown,) = numbers(said)
    ends = numbers(span)
    slack = 0.051 if unit == "ft" and code == "secchi_depth" else 1e-3  # limits in feet are rounded
    if span.startswith("Below"):
        assert shown <= ends[0] + slack
    elif span.startswith("Above"):
        assert shown >= ends[0] - slack
    else:
        assert ends[0] < ends[1]
        assert ends[0] - slack <= shown <= ends[1] + slack
    assert len(on_limits) == len(ends)


@pytest.mark.parametrize("scheme", SCHEMES.values(), ids=SCHEMES.keys())
@pytest.mark.parametrize("code", ["secchi_depth", "chlorophyll_a", "total_phosphorus"])
def test_value_on_a_limit_counts_as_the_words_say(scheme, code):
    quantity, limits = QUANTITIES[code], scheme.limits[code]
    choice = Choice("HM1", Period(2024, 2024))
    for place, limit in enumerate(limits.upper):
        falls_to = scheme.classes[int(class_index(limit, limits, quantity.higher_is_worse))]
        result = ClassResult(scheme.key, code, scheme.classes[place], "", {}, "", 5, 5, "", ())
        lines = class_span_lines(result, scheme, quantity, choice)
        text = f"A value of exactly {limit:g}\N{NO-BREAK SPACE}{quantity.unit} counts as {falls_to}."
        assert text in lines


@pytest.mark.parametrize(
    ("value", "low", "high", "text"),
    [
        (7.26, 7.26, 7.26, "7.26 µg/L"),
        (7.3, 7.3, 7.3, "7.3 µg/L"),
        (7.1, 7.1, 7.1, "7.1 µg/L"),
        (np.nan, 0.0, 2.0, "below 2.0 µg/L"),
        (np.nan, 2.0, np.inf, "more than 2.0 µg/L"),
        (np.nan, 2.0, 3.0, "between 2.0 µg/L and 3.0 µg/L"),
        (np.nan, 0.0, np.inf, "not known"),
        (2.5, 2.0, 3.0, "about 2.5 µg/L (between 2.0 µg/L and 3.0 µg/L)"),
        (np.nan, np.nan, np.nan, "not known"),
    ],
)
def test_value_is_said_as_it_is_known_and_not_rounded_onto_a_limit(value, low, high, text):
    limits = CARLSON.limits["chlorophyll_a"]
    choice = Choice("HM1", Period(2024, 2024))
    said = value_text(value, low, high, limits, QUANTITIES["chlorophyll_a"], choice)
    assert said.replace("\N{NO-BREAK SPACE}", " ") == text


@st.composite
def histories(draw):
    """Return readings of one quantity, at most one a day, of any status, place, sign and method."""
    found = draw(
        st.lists(
            st.tuples(
                st.dates(pd.Timestamp("2021-01-01").date(), pd.Timestamp("2024-12-31").date()),
                st.floats(0.5, 9.0),
                st.sampled_from("===<>"),
                st.sampled_from(["accepted", "accepted", "held", "rejected"]),
                st.sampled_from(["routine", "routine", "field blank"]),
                st.sampled_from(["surface", "surface", "bottom"]),
                st.sampled_from(["disk", "disk", "view tube"]),
            ),
            max_size=60,
            unique_by=lambda row: row[0],
        )
    )
    columns = ["taken_on", "value", "sign", "status", "sample_type", "stratum", "method"]
    frame = pd.DataFrame(found, columns=columns).assign(station_code="HM1", quantity="secchi_depth")
    frame["taken_on"] = pd.to_datetime(frame["taken_on"]).astype("datetime64[ms]")
    return frame.astype(dict.fromkeys(("sign", "status", "sample_type", "stratum", "method"), "str"))


@settings(deadline=None, max_examples=50)
@given(
    histories(),
    st.sampled_from([*SCHEMES.values()]),
    st.integers(2021, 2024),
    st.sampled_from([(), (("disk", "view tube"),)]),
)
def test_readings_that_are_not_left_out_are_the_visits_of_the_counted_seasons(
    readings, scheme, first, comparable
):
    programme, period = Programme(comparable_methods=comparable), Period(first, 2024)
    seasons = season_table(readings, programme)
    judged = judged_period(seasons, "secchi_depth", period, scheme, programme, "lake")
    left = readings_left_out(readings, {"secchi_depth": judged}, period, scheme, programme)
    assert left.readings == int((readings["taken_on"].dt.year >= first).sum())
    counted = sum(season.visits for season in judged.seasons if season.counts)
    assert left.readings - left.count == counted


@settings(deadline=None, max_examples=50)
@given(histories(), st.sampled_from([*SCHEMES.values()]), st.integers(2021, 2024))
def test_judged_period_has_the_value_of_the_class(readings, scheme, first):
    programme, period = Programme(), Period(first, 2024)
    seasons = season_table(readings, programme)
    judged = judged_period(seasons, "secchi_depth", period, scheme, programme, "lake")
    kinds = pd.Series({"HM1": "lake"})
    found = period_classes(seasons, period, scheme, programme, kinds).iloc[0]
    assert judged.value == pytest.approx(found["central"], nan_ok=True)
    if found["label"]:
        assert judged.low <= judged.high
        assert np.isnan(judged.value) or judged.low <= judged.value * (1 + 1e-9)
        assert found["visits"] == sum(season.visits for season in judged.seasons if season.counts)


@pytest.mark.parametrize("code", [code for code in word_codes() if code.startswith("explanation.")])
def test_no_sentence_of_the_explanation_holds_a_forbidden_word(code):
    from explorer.model import words

    sentence = re.sub(r"\{\w+\}", "", words._words("en")[code]).casefold()
    assert not set(re.findall(r"[a-z-]+", sentence)) & set(FORBIDDEN)
