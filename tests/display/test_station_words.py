import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.certainty import sureness_word
from explorer.analysis.class_schemes import schemes
from explorer.display.choice import Choice
from explorer.display.station_words import station_sentences
from explorer.model.calendar import Period
from explorer.model.classes import ClassResult
from explorer.model.history import StationHistory
from explorer.model.places import ATTRIBUTES, WATER_KINDS, Lake, Station
from explorer.model.programme import Programme
from explorer.model.quantities import QUANTITIES

FORBIDDEN = (Path(__file__).parents[1] / "forbidden_words.txt").read_text().split()
TREND_WORDS = (
    "trend", "rising", "rises", "falling", "falls", "better", "worse", "improving", "worsening", "declining",
    "increasing", "decreasing", "recovering",
)  # fmt: skip
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip
SCHEMES = schemes()
LONGEST = 200  # characters: about two lines under a station's name
LONGEST_FIRST = 150  # characters: the state, at the length of scheme names such as "OECD 1982, fixed limits"
NAN = float("nan")


def make_readings(rows):
    """Return readings from tuples of date, quantity, value, sign, status."""
    dates, quantities, values, signs, statuses = zip(*rows, strict=True) if rows else [()] * 5
    texts = {"quantity": quantities, "sign": signs, "status": statuses}
    return pd.DataFrame(
        {
            "taken_on": np.array(dates, "datetime64[ms]"),
            "value": np.array(values, float),
            **{name: pd.Series(list(column), dtype="str") for name, column in texts.items()},
            "sample_type": "routine",
        }
    )


def sentences_of(case):
    history, result, choice, scheme, programme = case
    return station_sentences(history, history.readings, result, choice, scheme, programme)


@st.composite
def results(draw, scheme, kind, programme):
    """Return a class, or the reason for none, that the kind of water allows."""
    quantity = draw(st.sampled_from(scheme.priority))
    year = scheme.limits[quantity].window == "year"
    months = tuple(range(1, 13)) if year else programme.season_months
    missing_months = draw(st.lists(st.sampled_from(months), unique=True))
    visits = draw(st.integers(1, 300))
    label, missing = draw(st.sampled_from(scheme.classes)), ""
    if kind not in scheme.kinds:
        label, missing = None, "stream" if kind == "stream" else "kind"
    elif draw(st.booleans()):
        reasons = ["too_few_visits", "no_readings", "only_limits", *(["year_needed"] if year else [])]
        label, missing = None, draw(st.sampled_from(reasons))
    weights = np.array(draw(st.lists(st.integers(1, 99), min_size=7, max_size=7)), float)
    weights = weights[: len(scheme.classes)]
    shares = dict(zip(scheme.classes, (weights / weights.sum()).tolist(), strict=True))
    other = draw(st.sampled_from(["", *scheme.classes]))
    share = draw(st.sampled_from([shares.get(label, NAN), NAN]))
    return ClassResult(
        scheme=scheme.key,
        quantity=quantity if label else "",
        label=label,
        also=other if label and other != label else "",
        shares=shares if label and not np.isnan(share) else {},
        sureness=sureness_word(share, visits) if label else "",
        visits=0 if missing in ("stream", "kind", "no_readings") else visits,
        months=draw(st.integers(1, min(visits, len(months)))),
        missing=missing,
        missing_months=tuple(month for month in months if month in missing_months),
    )


@st.composite
def cases(draw):
    """Return everything that the sentences are made from, in any combination."""
    scheme = draw(st.sampled_from([*SCHEMES.values()]))
    programme = Programme(
        season_months=draw(st.sampled_from([(5, 6, 7, 8, 9), (11, 12, 1, 2), (7,)])),
        minimum_visits=draw(st.integers(1, 9)),
        minimum_months=draw(st.integers(1, 5)),
    )
    kind = draw(st.sampled_from(WATER_KINDS))
    first = draw(st.integers(1990, 2024))
    choice = Choice(
        "HM1",
        Period(first, first + draw(st.integers(0, 12))),
        picked=draw(st.booleans()),
        scheme=scheme.key,
        length_unit=draw(st.sampled_from(["m", "ft"])),
    )
    rows = draw(
        st.lists(
            st.tuples(
                st.dates(pd.Timestamp("1990-01-01").date(), pd.Timestamp("2030-12-31").date()),
                st.sampled_from(["secchi_depth", "chlorophyll_a", "total_phosphorus"]),
                st.integers(1, 39).map(lambda tenths: tenths / 10),
                st.sampled_from("=<>"),
                st.sampled_from(["accepted", "held"]),
            ),
            max_size=12,
        )
    )
    lake = Lake(
        "HM", "Hollow Mere", kind, frozenset(draw(st.sets(st.sampled_from(ATTRIBUTES)))), NAN, NAN, NAN
    )
    station = Station("HM1", "Hollow Mere, middle", "HM", NAN, NAN, NAN, draw(st.booleans()))
    history = StationHistory(station, lake, make_readings(rows), 1)
    return history, draw(results(scheme, kind, programme)), choice, scheme, programme


def numbers_given(case):
    """Return every number that the sentences may hold, counted here in plain loops."""
    history, result, choice, scheme, programme = case
    season = programme.season
    given = {result.visits, result.months, programme.minimum_visits, programme.minimum_months}
    texts = [
        scheme.name,
        *(season.label(year) for year in (choice.period.first_year, choice.period.last_year)),
    ]
    numbers = {number for text in texts for number in re.findall(r"\d+", text)}
    readings = history.readings
    given.add(int((readings["status"] == "held").sum()))
    if not readings.empty:
        last = readings["taken_on"].max()
        given |= {last.day, last.year}
    limits = scheme.limits.get("secchi_depth")
    months = range(1, 13) if limits.window == "year" else programme.season_months
    days, deep, depths = set(), set(), []
    for row, year in zip(readings.itertuples(), season.year_of(readings["taken_on"]), strict=True):
        inside = choice.period.first_year <= year <= choice.period.last_year
        if (
            inside
            and row.taken_on.month in months
            and (row.quantity, row.status) == ("secchi_depth", "accepted")
        ):
            days.add(row.taken_on)
            if row.sign == ">":
                deep.add(row.taken_on)
                depths.append(row.value / (0.3048 if choice.length_unit == "ft" else 1))
    depths = [np.median(depths)] if depths else []
    given |= {len(days), len(deep)}
    return numbers | {str(number) for number in given} | {f"{depth:.1f}" for depth in depths}


@settings(deadline=None)
@given(cases())
def test_every_sentence_is_whole_and_short(case):
    sentences = sentences_of(case)
    for sentence in sentences:
        assert re.match(r"[A-Z0-9]", sentence), sentence
        assert sentence.endswith("."), sentence
        assert not re.search(
            r"  |[{}]|\b(\w+) \1\b|\b1 (visits|months|readings)\b| [.,:;]|\bNone\b", sentence
        )
        assert len(sentence) < LONGEST, sentence
    assert len(sentences[0]) < LONGEST_FIRST
    assert len(set(sentences)) == len(sentences)


@settings(deadline=None)
@given(cases())
def test_no_sentence_holds_a_forbidden_word(case):
    words = set(re.findall(r"[a-z-]+", " ".join(sentences_of(case)).casefold()))
    assert not words & set(FORBIDDEN)
    assert not words & set(TREND_WORDS)


@settings(deadline=None)
@given(cases())
def test_every_number_in_a_sentence_is_a_given_one(case):
    said = " ".join(sentences_of(case)).replace("\N{NO-BREAK SPACE}", " ")
    assert set(re.findall(r"\d+(?:\.\d+)?", said)) <= numbers_given(case)


@settings(deadline=None)
@given(cases())
def test_class_is_never_named_without_its_scheme_and_its_visits(case):
    _, result, _, scheme, _ = case
    for sentence in sentences_of(case):
        words = set(re.findall(r"[a-z-]+", sentence.casefold()))
        if words & set(scheme.classes):
            assert f"({scheme.name})" in sentence
            assert re.search(rf"\b{result.visits} visits?\b", sentence)


@settings(deadline=None)
@given(cases())
def test_months_stand_in_the_order_of_the_season(case):
    _, result, _, scheme, programme = case
    year = scheme.limits[result.quantity or scheme.priority[0]].window == "year"
    order = range(1, 13) if year else programme.season_months
    for sentence in sentences_of(case):
        found = [MONTHS.index(word) + 1 for word in re.findall(r"[A-Z]\w+", sentence) if word in MONTHS]
        if "last visit" not in sentence.casefold():
            assert found == [month for month in order if month in found]


@settings(deadline=None)
@given(cases())
def test_picked_period_is_said_to_be_the_readers(case):
    history, _, choice, _, _ = case
    said = "Period chosen by you." in sentences_of(case)
    assert said == (choice.picked and not history.readings.empty)


SUMMER = [f"2024-{month:02d}-15" for month in (5, 6, 7, 8, 9)]
MESOTROPHIC = ClassResult(
    scheme="carlson_simpson_1996", quantity="secchi_depth", label="mesotrophic", also="",
    shares={"oligotrophic": 0.04, "mesotrophic": 0.92, "eutrophic": 0.04, "hypereutrophic": 0.0},
    sureness="very_likely", visits=5, months=5, missing="", missing_months=(),
)  # fmt: skip
NO_CLASS = replace(MESOTROPHIC, quantity="", label=None, shares={}, sureness="")


def say_of(
    result, *, scheme="carlson_simpson_1996", period=(2024, 2024), signs="=====", picked=False, unit="m",
    kind="lake", attributes=(), is_index=True, status="accepted", quantity="secchi_depth",
    programme=Programme(),  # noqa: B008
):  # fmt: skip
    rows = [(day, quantity, 2.4, sign, status) for day, sign in zip(SUMMER, signs, strict=True)]
    lake = Lake("HM", "Hollow Mere", kind, frozenset(attributes), NAN, NAN, NAN)
    station = Station("HM1", "Hollow Mere, middle", "HM", NAN, NAN, NAN, is_index)
    history = StationHistory(station, lake, make_readings(rows), 1)
    choice = Choice("HM1", Period(*period), picked=picked, scheme=scheme, length_unit=unit)
    said = sentences_of((history, result, choice, SCHEMES[scheme], programme))
    return [sentence.replace("\N{NO-BREAK SPACE}", " ") for sentence in said]


def test_class_of_a_season_is_said_with_sureness_visits_and_months():
    assert say_of(MESOTROPHIC) == [
        "Mesotrophic by clarity (Carlson & Simpson) in 2024: very likely, from 5 visits.",
        "No month from May to September is missing.",
        "Last visit on 15 September 2024.",
    ]


def test_class_of_several_picked_seasons_is_said_of_them_together():
    result = replace(MESOTROPHIC, visits=61, missing_months=(7,))
    assert say_of(result, period=(2008, 2024), picked=True)[:3] == [
        "Mesotrophic by clarity (Carlson & Simpson) for 2008 to 2024 together: very likely, from 61 visits.",
        "Period chosen by you.",
        "In none of these seasons was clarity measured in July.",
    ]


@pytest.mark.parametrize(
    ("missing", "sentence"),
    [
        ((7,), "Clarity was not measured in July."),
        ((6, 7), "Clarity was not measured in June and July."),
        ((6, 7, 8), "Clarity was not measured in June, July and August."),
    ],
)
def test_missing_months_are_named(missing, sentence):
    assert say_of(replace(MESOTROPHIC, missing_months=missing))[1] == sentence


def test_few_visited_months_are_named_in_the_place_of_many_missing_ones():
    result = replace(MESOTROPHIC, scheme="burns_1999", missing_months=(1, 2, 3, 4, 8, 9, 10, 11, 12))
    assert say_of(result, scheme="burns_1999")[1] == "Clarity was measured in May, June and July only."


@pytest.mark.parametrize("sureness", ["more_likely_than_not", "about_as_likely_as_not", "unlikely"])
def test_class_less_than_likely_names_the_next_one(sureness):
    shares = {"oligotrophic": 0.02, "mesotrophic": 0.58, "eutrophic": 0.38, "hypereutrophic": 0.02}
    close = replace(MESOTROPHIC, sureness=sureness, shares=shares)
    assert say_of(close)[1] == "Next most likely from the same 5 visits: eutrophic (Carlson & Simpson)."
    tied = replace(close, shares=shares | {"eutrophic": 0.58})
    assert say_of(tied)[1] == (
        "From the same 5 visits, eutrophic (Carlson & Simpson) is just as likely or likelier."
    )


def test_class_of_unknown_sureness_says_so_and_no_word_for_it():
    unsure = replace(MESOTROPHIC, sureness="cannot_tell", shares={})
    assert say_of(unsure)[:2] == [
        "Mesotrophic by clarity (Carlson & Simpson) in 2024, from 5 visits.",
        "How sure this is, nobody can tell yet.",
    ]


@pytest.mark.parametrize(
    ("quantity", "signs", "why"),
    [
        ("secchi_depth", "==>>=", "on some visits the disk was still in sight on the bottom."),
        ("total_phosphorus", "<<===", "some readings lie below what the laboratory can measure."),
        ("total_phosphorus", "<>===", 'some readings say only "below" or "more than".'),
    ],
)
def test_two_possible_classes_say_why_in_the_right_words(quantity, signs, why):
    result = replace(MESOTROPHIC, quantity=quantity, also="oligotrophic")
    first, second, *_ = say_of(result, quantity=quantity, signs=signs)
    name = QUANTITIES[quantity].name.lower()
    assert first == f"Mesotrophic or oligotrophic by {name} (Carlson & Simpson) in 2024, from 5 visits."
    assert second == f"Both classes are possible, because {why}"


@pytest.mark.parametrize(
    ("quantity", "signs", "why"),
    [
        ("secchi_depth", ">>>>>", "The disk was in sight on the bottom too often."),
        ("total_phosphorus", "<<<<<", "Too many readings lie below what the laboratory can measure."),
    ],
)
def test_limits_that_leave_no_class_are_said_with_their_visits(quantity, signs, why):
    result = replace(NO_CLASS, missing="only_limits")
    one = say_of(result, quantity=quantity, signs=signs)
    assert one[:2] == ["No class for 2024 (Carlson & Simpson) from 5 visits.", why]
    several = say_of(result, quantity=quantity, signs=signs, period=(2020, 2024))
    assert several[0] == "No class for 2020 to 2024 (Carlson & Simpson) from at most 5 visits a season."


def test_too_few_visits_say_what_a_class_takes_and_which_months_are_missing():
    few = replace(NO_CLASS, missing="too_few_visits", visits=1, months=1, missing_months=(5, 6, 7, 9))
    assert say_of(few)[:3] == [
        "No class for 2024 (Carlson & Simpson): only 1 visit in 1 month.",
        "A class takes 3 visits in 3 different months of a season.",
        "The missing months are May, June, July and September.",
    ]
    some = replace(few, visits=4, months=2, missing_months=(6,))
    assert say_of(some, period=(2020, 2024), programme=Programme(minimum_visits=1, minimum_months=1))[:3] == [
        "No class for 2020 to 2024 (Carlson & Simpson): too few visits in every season, 4 visits at most.",
        "A class takes 1 visit in 1 month of the same season.",
        "The missing month is June.",
    ]


def test_scheme_for_whole_years_says_what_it_needs():
    result = replace(NO_CLASS, missing="year_needed", missing_months=(1, 2, 3, 4, 10, 11, 12))
    assert say_of(result, scheme="oecd_1982_fixed")[:4] == [
        "No class for 2024 (OECD 1982, fixed limits): its limits are meant for whole-year means.",
        "5 visits do not cover the year.",
        "Visits fell in May, June, July, August and September only.",
        "The limits are shown for comparison only.",
    ]
    assert say_of(replace(result, visits=1), scheme="oecd_1982_fixed", period=(2020, 2024))[1] == (
        "The fullest year has 1 visit, which does not cover it."
    )


def test_class_by_a_whole_year_scheme_counts_the_months_of_the_year():
    result = replace(MESOTROPHIC, scheme="burns_1999", missing_months=(2,))
    assert say_of(result, scheme="burns_1999")[1] == "Clarity was not measured in February."
    assert say_of(replace(result, missing_months=()), scheme="burns_1999")[1] == (
        "No month from January to December is missing."
    )


def test_stream_and_unsuited_kind_have_no_class_in_words():
    assert say_of(replace(NO_CLASS, missing="stream"), kind="stream")[:2] == [
        "This is a stream: no lake scheme applied.",
        "The panels show the readings without classes.",
    ]
    assert say_of(replace(NO_CLASS, missing="kind"), scheme="nurnberg_1996", kind="pond")[0] == (
        "No class: this scheme (Nürnberg 1996) is not made for a pond."
    )


@pytest.mark.parametrize(("unit", "depth"), [("m", "2.4 m"), ("ft", "7.9 ft")])
def test_disk_on_the_bottom_is_counted_within_the_period(unit, depth):
    said = say_of(MESOTROPHIC, signs="==>>=", unit=unit)
    line = f"On 2 of 5 visits the disk was still in sight on the bottom, at about {depth}"
    assert f"{line}: the water is at least that clear." in said
    assert not [line for line in say_of(MESOTROPHIC, signs="==>>=", period=(2020, 2023)) if "disk" in line]


@pytest.mark.parametrize(
    ("attribute", "words"),
    [
        ("stained", "stained brown"),
        ("turbid", "fine silt"),
        ("shallow", "wind"),
        ("nitrogen-limited", "scarcer"),
    ],
)
def test_attribute_of_a_water_has_a_sentence(attribute, words):
    assert [line for line in say_of(MESOTROPHIC, attributes=[attribute]) if words in line]
    assert not [line for line in say_of(MESOTROPHIC) if words in line]


def test_held_readings_are_counted_and_do_not_reach_the_bottom():
    said = say_of(MESOTROPHIC, signs=">>>>>", status="held")
    assert "5 readings wait for an answer and are left out." in said
    assert not [line for line in said if "disk" in line]


def test_secondary_station_does_not_stand_for_its_water():
    line = "This station does not stand for the whole of Hollow Mere."
    assert line in say_of(MESOTROPHIC, is_index=False)
    assert line not in say_of(replace(NO_CLASS, missing="stream"), kind="stream", is_index=False)
