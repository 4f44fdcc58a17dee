"""The five steps: every sentence over every combination, and the demo's lakes number by number."""

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from plain_language import forbidden_in, reading_grade, syllables

from explorer.analysis.central_value import CentralValue
from explorer.analysis.class_schemes import schemes
from explorer.analysis.season_table import season_table
from explorer.display.judged_seasons import JudgedPeriod
from explorer.display.meeting_basis import MeetingBasis
from explorer.display.meeting_drawing import draw_picture
from explorer.display.meeting_months import months_step
from explorer.display.meeting_next import RULES, next_step
from explorer.display.meeting_pages import build_meeting_pages
from explorer.display.meeting_state import state_step
from explorer.display.meeting_together import together_step
from explorer.display.meeting_values import STEPS, Chart, ClassLadder, MeetingStep
from explorer.display.meeting_years import shown_trend, years_step
from explorer.display.together import Together
from explorer.model.classes import ClassResult
from explorer.model.places import WATER_KINDS
from explorer.model.programme import Programme
from explorer.model.station_trends import StationTrend
from explorer.model.trends import TREND_VERDICTS, TrendFindings

CAUTION = "These measurements cannot tell whether the water is safe to swim in. Ask the health office."
SURE = (
    "virtually_certain", "extremely_likely", "very_likely", "likely", "more_likely_than_not",
    "about_as_likely_as_not", "unlikely", "cannot_tell",
)  # fmt: skip
LONGEST_SENTENCE = 103  # letters: three lines of the hall's screen
LONGEST_LINE = 150  # of sureness and visits together: three lines beside a shorter sentence


NO_SENTENCE = re.compile(
    r"\{|\}|  | [.,:]|\.\.|nan|None|inf\b|\b1 (?:visits|months|seasons|years|volunteers|readings)\b"
)


def said_by(step: MeetingStep) -> Iterator[str]:
    yield from (step.title, step.sentence, step.sureness, *step.figures, *step.known, step.caution)
    if step.picture:
        yield step.picture.alt
        yield from (point.words for point in step.picture.points)


def check(step: MeetingStep) -> None:
    """Hold a step against what every step must be."""
    assert step.caution == CAUTION
    for text in (step.sentence, step.sureness, *step.figures, *step.known):
        assert re.fullmatch(r'["“0-9A-Z<].*\.', text), text
        assert not NO_SENTENCE.search(text), text
    assert len(step.sentence) <= LONGEST_SENTENCE, step.sentence
    assert len(step.sureness) + len(step.figures[0]) <= LONGEST_LINE, step.sureness
    assert forbidden_in("\n".join(said_by(step))) == []


@pytest.fixture
def make_basis(make_history, make_readings):
    """Return a function that makes the basis of a lake from its readings."""

    def make(*frames, trends=(), programme=None, year=2024, result=None, **water) -> MeetingBasis:
        programme = programme or Programme()
        history = make_history(*frames, **water)
        seasons = season_table(history.readings, programme)
        scheme = schemes()[programme.scheme]
        by_quantity = {each.quantity: each for each in trends}
        basis = MeetingBasis(history, seasons, by_quantity, scheme, programme, year)
        if result is not None:
            basis.__dict__["result"] = result
        return basis

    return make


@pytest.fixture
def monthly(make_readings):
    """Return a function that makes one reading a month of 2024 and, at another value, of the years before."""

    def make(now: Sequence[float], before: float = 3.0, years: int = 8, quantity="secchi_depth", signs="="):
        days = [f"2024-{5 + number:02d}-12" for number in range(len(now))]
        past = [f"{2023 - year}-{month:02d}-14" for year in range(years) for month in range(5, 10)]
        spread = [before * (0.9 + 0.05 * (number // 5 % 5)) for number in range(len(past))]
        kinds = list(signs if len(signs) == len(now) else signs * len(now)) + ["="] * len(past)
        return make_readings(
            [*days, *past], [*now, *spread], kinds, quantity=quantity,
            observer=["V1", *["V2"] * (len(days) + len(past) - 1)],
        )  # fmt: skip

    return make


def test_state_over_every_class_certainty_gap_and_water(make_basis, monthly, monkeypatch):
    judged = JudgedPeriod(3.0, 3.0, 3.0, ())
    monkeypatch.setattr("explorer.display.meeting_state.judged_period", lambda *_: judged)
    names = schemes()["carlson_simpson_1996"].classes
    frame = monthly([3.0, 3.1, 2.9])
    bases = {kind: make_basis(frame, kind=kind) for kind in WATER_KINDS}
    usual = ClassResult("carlson_simpson_1996", "secchi_depth", None, "", {}, "", 5, 5, "", ())
    shares = {name: 0.2 + 0.1 * number for number, name in enumerate(names)}
    results = [
        replace(usual, label=label, sureness=sure, shares=kept, visits=visits, missing_months=gaps)
        for label, sure, kept, visits, gaps in itertools.product(
            names, SURE, (shares, dict(reversed(shares.items())), {}), (1, 5), ((), (6,), (5, 6, 8))
        )
        if kept or sure == "cannot_tell"
    ]
    results += [replace(usual, label=a, also=b, sureness="likely") for a, b in itertools.pairwise(names)]
    reasons = ("too_few_visits", "no_readings", "stream", "year_needed", "kind", "only_limits")
    results += [
        replace(usual, quantity="", missing=reason, visits=visits, missing_months=gaps)
        for reason, visits, gaps in itertools.product(reasons, (0, 1, 5), ((), (6,), (5, 6, 7, 8, 9)))
    ]
    for kind, result in itertools.product(WATER_KINDS, results):
        bases[kind].__dict__["result"] = result
        step = state_step(bases[kind])
        check(step)
        assert (result.label or "No") in step.sentence or result.missing == "stream"
        assert not result.label or "Carlson & Simpson" in step.sentence
        assert not result.label or re.search(r"\d+ visits? ", step.figures[0])


def test_state_of_a_stained_lake_never_speaks_of_a_colour_that_nobody_saw(make_basis, monthly):
    for attributes in itertools.chain.from_iterable(
        itertools.combinations(("stained", "turbid", "shallow", "nitrogen-limited"), n) for n in range(5)
    ):
        basis = make_basis(monthly([0.8, 0.9, 0.7]), attributes=attributes)
        for step in build_meeting_pages(basis):
            check(step)
            assert not re.search(r"\bgreen", " ".join(said_by(step)).casefold())
        assert ("brown like tea" in " ".join(state_step(basis).known)) == ("stained" in attributes)


def test_months_over_every_mixture_of_usual_above_and_below(make_basis, monthly):
    for quantity, kind in (
        ("secchi_depth", "lake"),
        ("chlorophyll_a", "pond"),
        ("transparency_tube", "stream"),
    ):
        for count in (1, 2, 3):
            for now in itertools.combinations_with_replacement((1.0, 3.0, 9.0), count):
                step = months_step(make_basis(monthly(now, quantity=quantity), kind=kind))
                check(step)
                counts = [sum(each == value for each in now) for value in (3.0, 9.0, 1.0)]
                said = [int(each) for each in re.findall(r"(?<!\d)\d(?= of | visits|\.|,)", step.sentence)]
                assert count == 1 or sorted({*said}) == sorted({*(each for each in counts if each), count})


def test_months_of_a_disk_on_the_bottom_let_the_algae_speak(make_basis, monthly):
    deep = monthly([2.0, 2.0, 2.0], signs=">")
    algae = monthly([3.0, 3.1, 2.9], quantity="chlorophyll_a")
    assert "the amount of algae was as usual on all 3 visits" in months_step(make_basis(deep, algae)).sentence
    alone = months_step(make_basis(deep))
    assert alone.sentence.startswith("In 2024 the disk lay in sight on the bottom")
    assert {point.kind for point in alone.picture.points} == {"beyond"}
    check(alone)


def test_months_count_no_limit_that_leaves_open_where_it_lies(make_basis, monthly):
    mixed = months_step(make_basis(monthly([2.0, 3.0, 3.0], signs=">==")))
    assert mixed.sentence == "In 2024 the water was as clear as usual on all 2 visits."
    assert any(line.startswith("Left out") and line.endswith(": 1 visit.") for line in mixed.known)
    deep_enough = months_step(make_basis(monthly([3.0, 3.0, 3.0], signs=">==")))
    assert "as clear as usual on all 3 visits" in deep_enough.sentence
    little = monthly([9.0, 9.0], quantity="chlorophyll_a", signs="<")
    below = months_step(make_basis(little))
    assert "too little for the lab to measure, so the amount of algae" in below.sentence
    for step in (mixed, deep_enough, below):
        check(step)


def test_steps_count_the_visits_of_what_they_speak_of(make_basis, monthly):
    clarity, algae = monthly([3.0] * 4), monthly([5.0] * 5, quantity="chlorophyll_a")
    state, months, *_ = build_meeting_pages(make_basis(clarity, algae))
    assert "judged by algae" in state.sureness
    assert state.figures[0].startswith("5 visits")
    assert "on all 4 visits" in months.sentence
    assert months.figures[0].startswith("4 visits")


def test_class_speaks_of_its_own_quantity_only_and_the_others_stand_beside_it(make_basis, monthly):
    basis = make_basis(
        monthly([4.2, 4.3, 4.1], quantity="chlorophyll_a"),
        monthly([78.0, 80.0, 75.0], quantity="total_phosphorus"),
        monthly([2.5, 2.6, 2.4]),
    )
    state = state_step(basis)
    assert state.sentence.endswith("mesotrophic in 2024: some algae.")
    assert "By phosphorus alone: eutrophic. By clarity alone: mesotrophic." in state.figures
    assert "The class looks at algae alone and says no more than that." in state.known
    assert "plant food" not in " ".join(said_by(state))
    assert isinstance(state.picture, ClassLadder)
    assert state.picture.ends == ("fewer algae", "more algae")
    assert all(end in draw_picture(state.picture) for end in ("← fewer algae", "more algae →"))
    deep = make_basis(monthly([4.2] * 3, quantity="chlorophyll_a"), monthly([2.4] * 3, signs=">"))
    assert "By clarity alone" not in " ".join(state_step(deep).figures)


def test_months_without_a_reading_of_the_class_are_not_said_to_be_empty(make_basis, monthly):
    algae = monthly([5.0, 5.1, 5.2], quantity="chlorophyll_a")
    state = state_step(make_basis(monthly([3.0] * 5), algae))
    assert "Months without a reading of algae: August and September." in state.known


def test_charts_of_clarity_begin_at_the_surface_and_others_at_zero(make_basis, monthly):
    for quantity, lowest in (("secchi_depth", "surface"), ("chlorophyll_a", "0"), ("transparency_tube", "0")):
        found = trend_of(quantity, "falling", slope_per_year=-0.1)
        basis = make_basis(monthly([2.0, 3.0, 4.0], quantity=quantity), trends=[found])
        for step in (months_step(basis), years_step(basis)):
            assert step.picture.up[0][1] == lowest
            assert step.picture.up[0][0] == pytest.approx(1.0 if lowest == "surface" else 0.0)


def test_months_without_years_before_or_without_anything(make_basis, monthly):
    young = months_step(make_basis(monthly([3.0], years=2)))
    assert young.sentence == "Too few years to say what is usual: 2 years so far, and it takes 5."
    nothing = months_step(make_basis(monthly([])))
    assert nothing.picture is None
    check(young)
    check(nothing)


def trend_of(quantity: str, verdict: str, **values: float) -> StationTrend:
    trend = replace(
        TrendFindings.empty(1).trend(0),
        verdict=verdict,
        years=12,
        months=5,
        readings=60,
        median=3.0,
        lag1=0.0,
    )
    return StationTrend(
        "HM1",
        quantity,
        "",
        (),
        2013,
        2024,
        2018.5,
        3,
        replace(trend, **values),  # type: ignore[arg-type]
    )


def possible_trends() -> Iterator[StationTrend]:
    """Yield every verdict with every kind of size, limit and year that it can come with."""
    nan, inf = float("nan"), float("inf")
    slopes = [(0.1, 0.05, 0.2), (0.1, nan, nan), (0.1, -0.02, 0.2), (nan, nan, nan), (0.0, 0.0, 0.0)]
    quantities = ("secchi_depth", "chlorophyll_a", "total_phosphorus", "total_nitrogen", "transparency_tube")
    for quantity, verdict in itertools.product(quantities, TREND_VERDICTS):
        sign = -1 if verdict == "falling" else 1
        is_found = verdict in ("rising", "falling")
        for (slope, low, high), smallest, needed, censored, lag1, years in itertools.product(
            slopes if is_found else slopes[-1:],
            {"no_trend_found": (0.1, 0.0), "cannot_tell_yet": (0.1, inf, nan)}.get(verdict, (nan,)),
            (nan, 0.2, 1.0, 7.0) if verdict == "cannot_tell_yet" else (nan,),
            (0.9, 1.0) if verdict == "beyond_limit" else (0.0, 0.5),
            (0.0, 0.5) if is_found or verdict in ("no_trend_found", "cannot_tell_yet") else (0.0,),
            (1, 4) if verdict in ("too_few_years", "drawn_only") else (12,),
        ):
            yield trend_of(
                quantity, verdict, slope_per_year=sign * slope, slope_low=sign * low, slope_high=sign * high,
                smallest_found=smallest, years_needed=needed, censored_share=censored, lag1=lag1, years=years,
                test="seasonal_kendall",
            )  # fmt: skip


def test_years_over_every_verdict_quantity_size_and_limit(make_basis):
    base = make_basis()
    for found in possible_trends():
        basis = replace(base, trends={found.quantity: found})
        step = years_step(basis)
        check(step)
        word = step.sentence.casefold()
        is_change = "become" in word or "has gone" in word
        assert is_change == (found.trend.verdict in ("rising", "falling"))
        assert ("cannot tell yet" in word) == (found.trend.verdict == "cannot_tell_yet")
        assert not is_change or re.search(r"\d", word)
        alike = [line for line in step.known if line.startswith("Each year here is much like")]
        assert len(alike) == found.trend.persistent
        said = " ".join((step.sureness, *step.figures)).casefold()
        assert not (found.trend.persistent and "very likely" in said)
        assert not re.search(r"\b(more|less)\b.*\b(more|less)\b", " ".join(step.figures).casefold())
        percent = " %)" in " ".join((step.sentence, step.sureness, *step.figures))
        assert any(line.startswith("A percentage is of the middle value") for line in step.known) == percent
        assert all(("the change looks surer" in line) == is_change for line in alike)
        assert ("perhaps in one step" in word) == found.uneven
        assert not (found.uneven and (re.search(r"a year\b", said) or (step.picture and step.picture.line)))


def test_years_let_what_was_found_speak_first_and_name_the_others(make_basis, monthly):
    trends = [
        trend_of("secchi_depth", "no_trend_found", smallest_found=0.05),
        trend_of("total_phosphorus", "rising", slope_per_year=0.2, slope_low=0.1, slope_high=0.3),
        trend_of("total_nitrogen", "cannot_tell_yet", smallest_found=40.0),
    ]
    basis = make_basis(monthly([3.0, 3.0, 3.0]), trends=trends)
    assert shown_trend(basis).quantity == "total_phosphorus"
    step = years_step(basis)
    assert (
        step.sentence
        == "The amount of phosphorus has gone up since 2013: by about 0.20\xa0µg/L (6.7 %) a year."
    )
    assert [line.split(":")[0] for line in step.figures[1:]] == ["Clarity", "Phosphorus", "Nitrogen"]


def test_years_early_and_without_a_series(make_basis, monthly):
    young = trend_of("secchi_depth", "drawn_only", years=5)
    step = years_step(make_basis(monthly([3.0]), trends=[young]))
    assert step.sentence == "Too early to speak of a change in clarity: 5 seasons so far, and it takes 8."
    check(years_step(make_basis()))


def test_together_over_every_relation_ratio_and_water(make_basis, monkeypatch):
    relations = ("", "algae_cloud_the_water", "large_particles", "colour_or_silt", "phosphorus_scarce",
                 "phosphorus_left_over")  # fmt: skip
    ratios = ("", "nitrogen_few", "nitrogen_middle", "nitrogen_many")
    indices = {"chlorophyll_a": 45.0, "total_phosphorus": 15.0, "secchi_depth": 95.0}
    enough = dict.fromkeys(indices, CentralValue(3.0, 3.0, 5, 5))
    monkeypatch.setattr("explorer.display.meeting_together.central_values", lambda *_: enough)
    seen = set()
    for kind, attributes in itertools.product(WATER_KINDS, ((), ("stained",), ("turbid",))):
        basis = make_basis(kind=kind, attributes=attributes)
        for known, relation, minus, ratio in itertools.product(range(4), relations, (0.0, -12.0), ratios):
            nitrogen = 40.0 if ratio else None
            some = dict(list(indices.items())[:known])
            found = Together(some, nitrogen, relation if known == 3 else "", minus, ratio, 31.4, 14.0)
            monkeypatch.setattr("explorer.display.meeting_together.together_values", lambda *_, it=found: it)
            step = together_step(basis)
            check(step)
            seen.add(step.sentence)
            assert not re.search(r"\b(because|due to|drives?|leads? to)\b", step.sentence)
            assert ("stained" in step.sentence) <= ("stained" in attributes)
            assert (step.picture is not None) == (kind != "stream" and known > 1)
    assert len(seen) == 11


def test_together_says_nothing_of_few_visits_or_of_a_disk_on_the_bottom(make_basis, monthly):
    algae = monthly([3.0] * 5, quantity="chlorophyll_a")
    two_visits = monthly([20.0, 21.0], quantity="total_phosphorus")
    thin = together_step(make_basis(algae, two_visits, monthly([3.0] * 5)))
    assert thin.sentence == "In 2024 there were too few visits to say what goes together."
    enough = monthly([20.0, 21.0, 22.0], quantity="total_phosphorus")
    deep = together_step(make_basis(algae, enough, monthly([2.0] * 5, signs=">")))
    assert "the disk lay in sight on the bottom" in deep.sentence
    for step in (thin, deep):
        check(step)


def test_next_over_every_rule(make_basis, monthly, make_readings):
    beyond = monthly([2.0, 2.0, 2.0], signs=">")
    held = make_readings(["2024-08-01", "2024-08-01"], [3.0, 3.1], status="held")
    dim = [make_readings([f"2024-05-{day:02d}" for day in (1, 11, 21)], [value] * 3, quantity=code)
           for code, value in (("secchi_depth", 0.5), ("chlorophyll_a", 1.0))]  # fmt: skip
    whole = monthly([3.0] * 5)
    bases = {
        "unseen": make_basis(monthly([])),
        "change": make_basis(whole, trends=[trend_of("secchi_depth", "falling", slope_per_year=-0.1)]),
        "gaps": make_basis(monthly([3.0, 3.0])),
        "years": make_basis(whole, trends=[trend_of("secchi_depth", "cannot_tell_yet", years_needed=4.0)]),
        "bottom": make_basis(beyond, programme=Programme(season_months=(5, 6, 7))),
        "dim": make_basis(*dim, programme=Programme(season_months=(5,), minimum_months=1)),
        "waiting": make_basis(whole, held),
        "always": make_basis(whole),
    }
    assert list(bases) == [rule.code for rule in RULES]
    for code, basis in bases.items():
        step = next_step(basis)
        check(step)
        made = [rule.code for rule in RULES if rule.applies(basis) is not None]
        assert made[0] == code
        assert len(step.figures) == 1 + len(made)
        months = [point.kind for point in step.picture.points if point.up > 0.5]
        assert (
            months.count("measured") == basis.in_season.query("year == 2024")["taken_on"].dt.month.nunique()
        )


def test_no_observer_stands_in_any_step(make_basis, monthly):
    frame = monthly([3.0, 3.1, 2.9]).assign(observer="Ada Example", status="accepted")
    for step in build_meeting_pages(make_basis(frame)):
        assert "Ada" not in " ".join(said_by(step))
    assert state_step(make_basis(frame)).figures[0] == "3 visits by 1 volunteer in 2024."
    unnamed = make_basis(frame.assign(observer=""))
    assert state_step(unnamed).figures[0] == "3 visits in 2024."


def test_syllables_of_words_that_are_counted_by_hand():
    counted = {"water": 2, "algae": 2, "phosphorus": 3, "measured": 2, "these": 1, "visits": 2, "lake": 1,
               "clear": 1, "since": 1, "usual": 2, "cannot": 2, "settle": 2}  # fmt: skip
    assert sum(syllables(word) == count for word, count in counted.items()) >= len(counted) - 1
    assert 1.0 < reading_grade("The cat sat on the mat. It was warm. The dog looked on and slept.") + 3 < 4.0


@pytest.fixture(scope="module")
def demo_bases(demo_meetings) -> dict[str, MeetingBasis]:
    return {lake.code: demo_meetings.basis(lake) for lake in demo_meetings.lakes()}


def test_demo_lakes_say_what_was_planted(demo_bases):
    assert len(demo_bases) == 12
    pages = {code: build_meeting_pages(basis) for code, basis in demo_bases.items()}
    for code, steps in pages.items():
        assert [step.code for step in steps] == list(STEPS)
        for step in steps:
            check(step)
        page = " ".join(text for step in steps for text in said_by(step) if text[-1:] == ".")
        assert reading_grade(page) <= 8, code
    assert "become less clear since 2006" in pages["FER"][2].sentence
    assert "become clearer since 2006" in pages["TES"][2].sentence
    assert "It is stained brown" in pages["UMB"][3].sentence
    assert "the amount of algae" in pages["SAL"][1].sentence
    assert "more phosphorus than they suggest" in pages["TAR"][3].sentence
    assert "stream" in pages["SED"][0].sentence
    assert pages["SED"][0].picture is None


def test_demo_numbers_are_those_of_the_record(demo_bases):
    for basis in demo_bases.values():
        state, months, years, *_ = build_meeting_pages(basis)
        table = basis.seasons.query("window == 'season' and year == 2025").set_index("quantity")
        if basis.result.label:
            value = table.loc[basis.result.quantity, "median"]
            assert f"{value:.1f}\xa0µg/L, the middle value of 2025" in state.figures[1]
            assert isinstance(state.picture, ClassLadder)
            assert state.picture.names[state.picture.here[0]] == basis.result.label
        readings = basis.history.readings
        season = readings[(readings["taken_on"] >= "2025-05-01") & (readings["taken_on"] < "2025-10-01")]
        counted = season[(season["status"] != "held") & (season["stratum"] == "surface")]
        counted = counted[counted["sample_type"] == "routine"]
        judged = counted[counted["quantity"] == basis.result.quantity] if basis.result.label else counted
        days, people = judged["taken_on"].nunique(), judged["observer"].nunique()
        assert state.figures[0].startswith(f"{days} visits by {people} volunteer")
        assert isinstance(months.picture, Chart)
        assert isinstance(years.picture, Chart)
        found = shown_trend(basis)
        line = years.picture.line
        assert bool(line) == (found.found and not found.uneven)
        medians = basis.seasons.query("window == 'season' and quantity == @found.quantity").sort_values(
            "year"
        )
        for point, (_, row) in zip(years.picture.points, medians.iterrows(), strict=True):
            assert point.words.startswith(f"{row['year']}, ")
            number = float(re.search(r"middle value \D*([\d.]+)", point.words)[1])
            assert np.isclose(number, row["median"], atol=0.5) or row["median_low"] < row["median_high"]


def test_speaking_station_is_the_index_with_most_visits(demo_bases):
    assert demo_bases["DUN"].history.station.code == "DUN3"
    assert pd.notna(demo_bases["DUN"].history.station.bottom_depth_m)
